"""Reading the rule base: every file under ``rules/``, every fault of it at once, each with its file and line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from advisor.files.checking import checked
from advisor.files.problems import BadInput, Problem
from advisor.files.yaml_reader import Document, read_yaml
from advisor.knowledge.examples import ExampleReader, is_examples_file, rules_of
from advisor.knowledge.faults import Faults, read_source
from advisor.knowledge.fields import WrittenMeasure, WrittenThreshold
from advisor.knowledge.measures import STAGES, Measure
from advisor.knowledge.rule_reader import RuleReader
from advisor.knowledge.schema import Example, Rule, RuleBase, Threshold

TYPED = "typed"  # not a measure: which of them are typed into a machine


def load(folder: Path, bibliography: Path) -> RuleBase:
    """The rule base of a folder.

    Raises:
        BadInput: a file cannot be read or a rule, threshold or measure is not as it must be; all faults at once.
    """
    faults = Faults()
    works = set(read_yaml(bibliography).value or {})
    measures = _measures(read_yaml(folder / "measures.yaml"), faults)
    thresholds = _thresholds(read_yaml(folder / "thresholds.yaml"), works, faults)
    limits = {name: threshold.value for name, threshold in thresholds.items()}
    rules: list[Rule] = []
    written: dict[str, frozenset[str]] = {}  # the ids of all rules, also of those with faults: the files they stand in
    for stage, path in _files(folder, examples=False):
        reader = RuleReader(read_yaml(path), stage, measures, limits, works, faults)
        rules.extend(reader.rules())
        for name in reader.ids():
            written[name] = written.get(name, frozenset()) | {str(path)}
    rules = _with_examples(rules, folder, written, measures, faults)
    for path in sorted(folder.rglob("*.yaml")):
        if path.parent.name not in STAGES and path.name not in ("measures.yaml", "thresholds.yaml"):
            wanted = f"files in a folder of a stage: {', '.join(STAGES)}"
            faults.problems.append(Problem(str(path), None, "the folder", path.parent.name, wanted, None))
    _check_together(rules, faults)
    if faults.problems:
        raise BadInput(tuple(faults.problems))
    return RuleBase(tuple(rules), thresholds, measures, {rule.id: rule for rule in rules}, limits)


def _files(folder: Path, *, examples: bool) -> Iterator[tuple[str, Path]]:
    """The files of rules, stage by stage, or those of their further examples."""
    for stage in STAGES:
        yield from (
            (stage, path) for path in sorted((folder / stage).glob("*.yaml")) if is_examples_file(path) is examples
        )


def _with_examples(
    rules: list[Rule],
    folder: Path,
    written: Mapping[str, frozenset[str]],
    measures: Mapping[str, Measure],
    faults: Faults,
) -> list[Rule]:
    """The rules with the examples of the files beside theirs after their own, those that fire first."""
    found: dict[str, tuple[Example, ...]] = {}
    for _, path in _files(folder, examples=True):
        document = read_yaml(path)
        if rules_of(path).is_file():
            found |= ExampleReader(document, measures, faults).of_file(written)
        else:
            faults.add(document, (), "the file", "no file of rules beside it", rules_of(path).name)
    return [_joined(rule, found[rule.id]) if rule.id in found else rule for rule in rules]


def _joined(rule: Rule, further: tuple[Example, ...]) -> Rule:
    return rule._replace(examples=tuple(sorted((*rule.examples, *further), key=lambda example: not example.fires)))


def _measures(document: Document, faults: Faults) -> dict[str, Measure]:
    found: dict[str, Measure] = {}
    entries = dict(document.value or {})
    typed = entries.pop(TYPED, {})
    for name, entry in entries.items():
        if (measure := checked(WrittenMeasure, document, (name,), entry, faults.problems)) is not None:
            found[name] = _measure(name, measure)
    for towards, names in typed.items() if isinstance(typed, dict) else ():
        for name in names:
            if name not in found or not found[name].numeric or towards not in ("down", "up"):
                faults.add(document, (TYPED, towards), name, name, "a measure that is a number, under down or up")
            else:
                found[name] = found[name]._replace(typed=towards)
    return found


def _measure(name: str, entry: WrittenMeasure) -> Measure:
    return Measure(
        name=name,
        what=entry.what,
        level=entry.level,
        since=entry.since,
        unit=entry.unit,
        range=None if entry.range is None else (entry.range[0], entry.range[1]),
        words=tuple(entry.words or ()),
        formulas=tuple(entry.formula.items()),
        needs=tuple(entry.needs),
        not_given=entry.not_given,
        concluded=entry.concluded,
        named=entry.named,
    )


def _thresholds(document: Document, works: set[str], faults: Faults) -> dict[str, Threshold]:
    found: dict[str, Threshold] = {}
    for name, entry in (document.value or {}).items():
        written = checked(WrittenThreshold, document, (name,), entry, faults.problems)
        if written is None:
            continue
        found[name] = Threshold(
            name,
            written.value,
            written.unit,
            written.what,
            read_source(written.source, works, document, (name, "source"), faults),
            document.name,
            document.line((name,)),
            written.range[0],
            written.range[1],
            written.beyond,
            tuple(written.at_most),
        )
    for name, threshold in found.items():
        for other in threshold.at_most:
            if other not in document.value or other == name:
                faults.add(document, (name, "at_most"), f"{name}.at_most", other, "the name of another threshold")
    return found


def _check_together(rules: list[Rule], faults: Faults) -> None:
    seen: dict[str, Rule] = {}
    for rule in rules:
        if rule.id in seen:
            first = seen[rule.id]
            faults.problems.append(
                Problem(
                    rule.file,
                    rule.line,
                    rule.id,
                    "the id a second time",
                    f"another id; {first.file}:{first.line} has this one",
                    None,
                )
            )
        seen[rule.id] = rule
    for rule in rules:
        for other in rule.overrides:
            if other not in seen:
                found, wanted = other, "the id of a rule"
            elif rule.id in seen[other].overrides:
                found, wanted = other, f"one of the two to override the other, not both ({other} overrides {rule.id})"
            else:
                continue
            faults.problems.append(Problem(rule.file, rule.line, f"{rule.id}.overrides", found, wanted, None))
