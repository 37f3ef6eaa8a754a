"""House rules: a folder of the shop's own whose ``house.yaml`` moves thresholds, and switches rules off, replaces or
adds them, each with a reason. Checked like the shipped rules; a fault anywhere, and nothing of it is taken.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import NamedTuple

from advisor.files.problems import BadInput, Problem, printable
from advisor.files.reading import read_text
from advisor.files.yaml_reader import LARGEST_FILE, Document, parse_yaml, read_yaml
from advisor.knowledge.conditions import quantise
from advisor.knowledge.house_checks import faults_of_all, faults_of_each
from advisor.knowledge.house_files import House, Own, change_of, read_house
from advisor.knowledge.house_loops import loops
from advisor.knowledge.measures import STAGES
from advisor.knowledge.origin import with_limits
from advisor.knowledge.schema import Change, ChangeKind, Rule, RuleBase
from advisor.knowledge.threshold_order import out_of_order
from advisor.paths import shared_dir

FILE = "house.yaml"


def house_text(folder: Path) -> str:
    """The text of the file in a folder of house rules, or of the file that the path is.

    Raises:
        BadInput: there is no such folder, or no file in it that can be read.
    """
    path = file_of(folder)
    if path == folder / FILE and not _is_folder(folder):
        raise BadInput([Problem(printable(str(folder)), None, "", "no such folder", f"a folder with a {FILE}")])
    return read_text(path, limit_bytes=LARGEST_FILE)


def file_of(folder: Path) -> Path:
    """The file of a folder of house rules; the path itself where it is a file."""
    try:
        return folder if folder.is_file() else folder / FILE
    except (OSError, ValueError):
        return folder / FILE


class Joined(NamedTuple):
    """The rule base with a shop's own changes in it, and these as they were read."""

    base: RuleBase
    house: House


def house_base(base: RuleBase, folder: Path, text: str | None = None) -> RuleBase:
    """The rule base with a shop's own changes in it: its rules marked as the house's, its thresholds with the reason.

    ``text`` is that of the folder's file, where it was read before.

    Raises:
        BadInput: there is no such folder or file, or it is not as it must be; all faults at once.
    """
    return joined(base, folder, text).base


def joined(base: RuleBase, folder: Path, text: str | None = None) -> Joined:
    """The same, with the changes as they were read.

    Raises:
        BadInput: there is no such folder or file, or it is not as it must be; all faults at once.
    """
    document = parse_yaml(house_text(folder) if text is None else text, str(file_of(folder)))
    found, problems = _read(document, base)
    if problems:
        from advisor.knowledge.house_sample import sample  # only where something is wrong

        told = _in_order(problems)
        raise BadInput(told, sample(document, told))
    return found


def _read(document: Document, base: RuleBase) -> tuple[Joined, list[Problem]]:
    """The rule base with the changes of a document in it, and all that is wrong with these."""
    works = set(read_yaml(shared_dir() / "sources.yaml").value or {})
    problems: list[Problem] = []
    house = read_house(document, base, works, problems)
    problems += [*loops(document, base), *faults_of_each(base, house)]
    found = _joined(base, house)
    problems += out_of_order(found)
    if not problems or _tells_alike(house):
        problems += faults_of_all(base, found)
    return Joined(found, house), problems


def _tells_alike(house: House) -> bool:
    """Whether what could be read tells of its own how it goes together with the shipped rules: nothing that could not
    be read moves a threshold, concludes a fact or overrides a rule.
    """
    value = house.document.value
    if not isinstance(value, dict):
        return False
    moved = value.get("thresholds")
    if moved is not None and (not isinstance(moved, dict) or len(moved) != len(house.thresholds)):
        return False
    read = {own.rule.id for own in (*house.replaced, *house.added)}
    for part in ("replace", "add"):
        entries = value.get(part)
        for entry in entries if isinstance(entries, list) else [] if entries is None else [entries]:
            if not isinstance(entry, dict):
                return False
            if str(entry.get("id")) not in read and ("concludes" in entry or "overrides" in entry):
                return False
    return True


def without_each(base: RuleBase, house: House) -> dict[str, RuleBase]:
    """Of sound house rules the rule bases that lack one change each, by the name of the change."""
    return {change.name: _joined(base, _less(house, change)) for change in _joined(base, house).changes}


def _less(house: House, change: Change) -> House:
    """The changes without one of them."""

    def others(owned: tuple[Own, ...]) -> tuple[Own, ...]:
        return tuple(own for own in owned if own.change != change)

    return house._replace(
        thresholds={
            name: one
            for name, one in house.thresholds.items()
            if (change.kind, change.name) != (ChangeKind.MOVED, name)
        },
        moved=tuple(one for one in house.moved if one != change),
        off=tuple(one for one in house.off if one != change),
        replaced=others(house.replaced),
        added=others(house.added),
        preferred=tuple(one for one in house.preferred if one != change.preference),
    )


def _is_folder(folder: Path) -> bool:
    try:
        return folder.is_dir()
    except (OSError, ValueError):
        return False


def _in_order(problems: Iterable[Problem]) -> list[Problem]:
    return sorted(dict.fromkeys(problems), key=lambda problem: problem.line or 0)


def _joined(base: RuleBase, house: House) -> RuleBase:
    """The rule base with the changes in it, whatever they are worth; rules stay in the order of the stages."""
    thresholds = dict(base.thresholds) | house.thresholds
    limits = {name: threshold.value for name, threshold in thresholds.items()}
    off = {change.name for change in house.off}
    replaced = {own.rule.id: own.rule for own in house.replaced}
    kept = [_rebound(replaced.get(rule.id, rule), limits) for rule in base.rules if rule.id not in off]
    added = [_rebound(own.rule, limits) for own in house.added]
    rules = tuple(
        rule._replace(overrides=tuple(other for other in rule.overrides if other not in off))
        if off & set(rule.overrides)
        else rule
        for stage in STAGES
        for rule in (*kept, *added)
        if rule.stage == stage
    )
    changes = (
        *house.moved,
        *house.off,
        *(own.change for own in (*house.replaced, *house.added)),
        *map(change_of, house.preferred),
    )
    preferences = tuple(one._replace(condition=with_limits(one.condition, limits)) for one in house.preferred)
    return RuleBase(rules, thresholds, base.measures, {rule.id: rule for rule in rules}, limits, changes, preferences)


def _rebound(rule: Rule, limits: Mapping[str, float]) -> Rule:
    """The rule with the values that its thresholds have now; the very same where they are as shipped."""
    concludes = rule.concludes
    if concludes is not None and concludes[2] is not None:
        concludes = (concludes[0], quantise(limits[concludes[2]]), concludes[2])
    condition = with_limits(rule.condition, limits)
    if condition == rule.condition and concludes == rule.concludes:
        return rule
    return rule._replace(condition=condition, concludes=concludes)
