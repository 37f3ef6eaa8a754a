"""Reading the rules of one file, with every fault noted where it stands."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any as Anything

from advisor.files.checking import checked
from advisor.files.problems import listed
from advisor.files.yaml_reader import Document
from advisor.knowledge import conditions
from advisor.knowledge.conditions import All, Condition, ConditionError, is_number, quantise
from advisor.knowledge.examples import ExampleReader
from advisor.knowledge.faults import Faults, one_of, read_source
from advisor.knowledge.fields import WrittenConclusion, WrittenRule
from advisor.knowledge.measures import LEVELS, STAGES, Measure, later_level
from advisor.knowledge.schema import Rule
from advisor.knowledge.wording import misnamed

VERDICTS_OF_STAGE = {
    "appraisal": {"concludes"},
    "settings": {"concludes"},
    "clearing": {"for", "against", "forbids"},
    "cutter": {"for", "against", "forbids"},
    "entry": {"for", "against", "forbids", "concludes"},
    "caution": {"cautions"},
    "review": {"finds"},
}
TEXTS = ("because", "remedy")  # that numbers are put into


class RuleReader:
    """Reads the rules of one file."""

    def __init__(
        self,
        document: Document,
        stage: str,
        measures: Mapping[str, Measure],
        limits: Mapping[str, float],
        works: set[str],
        faults: Faults,
    ) -> None:
        self.document, self.stage, self.measures = document, stage, measures
        self.limits, self.works, self.faults = limits, works, faults
        self.examples = ExampleReader(document, measures, faults)

    def rules(self) -> Iterator[Rule]:
        entries = self.document.value
        if not isinstance(entries, list):
            self.fault((), "the file", type(entries).__name__, "a list of rules")
            return
        for index, entry in enumerate(entries):
            before = len(self.faults.problems)
            rule = self.rule(index, entry)
            if rule is not None and len(self.faults.problems) == before:
                yield rule

    def ids(self) -> Iterator[str]:
        """The ids of all rules, also of those with faults."""
        for entry in self.document.value if isinstance(self.document.value, list) else ():
            if isinstance(entry, dict) and "id" in entry:
                yield str(entry["id"])

    def fault(self, path: tuple[Anything, ...], field: str, found: object, wanted: str) -> None:
        self.faults.add(self.document, path, field, found, wanted)

    def rule(self, index: int, entry: Anything) -> Rule | None:
        written = checked(WrittenRule, self.document, (index,), entry, self.faults.problems)
        if written is None:
            return None
        name = written.id
        about = self.about(index, written)
        condition, verdict = self.condition(index, name, about, written.when), self.verdict(index, written)
        if condition is None or verdict is None:
            return None
        level = self.level(index, name, condition)
        for key in TEXTS:
            self.placeholders((index, key), f"{name}.{key}", getattr(written, key))
        return Rule(
            id=name,
            title=written.title,
            stage=self.stage,
            level=level,
            about=about,
            condition=condition,
            verdict=verdict,
            because=" ".join(written.because.split()),
            remedy=" ".join(written.remedy.split()),
            source=read_source(written.source, self.works, self.document, (index, "source"), self.faults),
            examples=self.examples.of_rule((index, "examples"), name, written.examples),
            file=self.document.name,
            line=self.document.line((index,)),
            concludes=self.conclusion(index, name, written.concludes, level),
            overrides=tuple(written.overrides),
            harm=written.harm,
            outright=written.outright,
            weight=written.weight or "",
        )

    def about(self, index: int, written: WrittenRule) -> tuple[tuple[str, tuple[str, ...]], ...]:
        name = written.id
        for fact, words in written.about.items():
            measure = self.measures.get(fact)
            if measure is None or measure.numeric:
                self.fault((index, "about", fact), f"{name}.about", fact, "a registered fact of words")
            elif strange := set(words) - set(measure.words):
                self.fault((index, "about", fact), f"{name}.about.{fact}", ", ".join(sorted(strange)), one_of(measure))
        return tuple((fact, tuple(words)) for fact, words in written.about.items())

    def condition(
        self, index: int, name: str, about: tuple[tuple[str, tuple[str, ...]], ...], when: Sequence[Anything]
    ) -> Condition | None:
        parts: list[Condition] = []
        for fact, words in about:
            tests = tuple(conditions.Compare(fact, "=", word) for word in words)
            parts.append(tests[0] if len(tests) == 1 else conditions.Any(tests))
        for number, item in enumerate(when):
            try:
                parts.append(conditions.parse(item, self.limits))
            except ConditionError as error:
                self.fault((index, "when", number), f"{name}.when", error, "a condition")
                return None
        tree = All(tuple(parts))
        for leaf in conditions.leaves(tree):
            self.leaf(index, name, leaf)
        return tree if all(leaf.fact in self.measures for leaf in conditions.leaves(tree)) else None

    def leaf(self, index: int, name: str, leaf: conditions.Compare | conditions.Known) -> None:
        measure, place = self.measures.get(leaf.fact), f"{name}.when"
        if measure is None:
            self.fault((index, "when"), place, leaf.fact, "a fact registered in measures.yaml")
            return
        late = STAGES.index(measure.since) > STAGES.index(self.stage)
        if late or (measure.concluded and STAGES.index(measure.since) >= STAGES.index(self.stage)):
            self.fault(
                (index, "when"),
                place,
                leaf.fact,
                f"a fact known before stage {self.stage}; this one is known since {measure.since}",
            )
        if not isinstance(leaf, conditions.Compare):
            return
        if measure.numeric and isinstance(leaf.value, str):
            self.fault(
                (index, "when"), place, leaf.value, f"a number or the name of a threshold to compare {leaf.fact} with"
            )
        if not measure.numeric and (leaf.value not in measure.words or leaf.operator not in ("=", "!=")):
            self.fault((index, "when"), place, f"{leaf.operator} {leaf.value}", f"= or != {one_of(measure)}")

    def verdict(self, index: int, written: WrittenRule) -> str | None:
        verdict, known = written.verdict, VERDICTS_OF_STAGE[self.stage]
        if verdict not in known:
            wanted = f"{listed(sorted(known))} in stage {self.stage}"
            self.fault((index, "verdict"), f"{written.id}.verdict", verdict, wanted)
            return None
        if (verdict == "concludes") != (written.concludes is not None):
            wanted = "'concludes: {fact: ..., value: ...}' with the verdict concludes, and only there"
            self.fault((index,), written.id, verdict, wanted)
            return None
        return verdict

    def level(self, index: int, name: str, condition: Condition) -> str:
        level = LEVELS[0]
        for fact in conditions.facts_read(condition):
            level = later_level(level, self.measures[fact].level)
        if self.stage == "appraisal" and LEVELS.index(level) > LEVELS.index("cutter"):
            self.fault((index, "when"), name, f"facts of level {level}", "facts of feature and cutter in the appraisal")
        return level

    def conclusion(
        self, index: int, name: str, concludes: WrittenConclusion | None, level: str
    ) -> tuple[str, conditions.Value, str | None] | None:
        if concludes is None:
            return None
        place, value, measure = f"{name}.concludes", concludes.value, self.measures.get(concludes.fact)
        if measure is None or not measure.concluded or measure.since != self.stage:
            self.fault(
                (index, "concludes"), place, concludes.fact, f"a measure registered as concluded in stage {self.stage}"
            )
            return None
        if LEVELS.index(level) > LEVELS.index(measure.level):
            self.fault(
                (index, "concludes"), place, level, f"a rule of level {measure.level} or coarser, like the measure"
            )
        if measure.numeric:
            if isinstance(value, str) and value in self.limits:
                return measure.name, quantise(self.limits[value]), value
            if is_number(value):
                return measure.name, quantise(float(value)), None
        elif value in measure.words:
            return measure.name, str(value), None
        self.fault(
            (index, "concludes"),
            place,
            value,
            one_of(measure) if measure.words else "a number or a threshold",
        )
        return None

    def placeholders(self, path: tuple[Anything, ...], field: str, text: str) -> None:
        for found, wanted in misnamed(text, {*self.measures, *self.limits}):
            self.fault(path, field, found, wanted)
