"""House rules checked: what they change in the rule base, and what that changes in the worked cases, or in jobs of
the shop's own, rule by rule.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from advisor.analysis.house_effect import Compared, compared
from advisor.analysis.house_trial import Trial, Tried, trials
from advisor.files.problems import Problem, printable
from advisor.knowledge.house import without_each
from advisor.knowledge.house_checks import warnings
from advisor.knowledge.schema import Change, ChangeKind, RuleBase
from advisor.knowledge.wording import counted
from advisor.model.answer import Advice
from advisor.model.assignment import Assignment
from advisor.situation.bench import inference_of, shared_inference
from advisor.text.blocks import Block, Heading, Item, Para, section
from advisor.text.house import change_text, told
from advisor.text.house_trial import trial_item, trial_record
from advisor.text.names import spaced


class Checked(NamedTuple):
    """House rules with what they change. ``faults`` are cases or jobs that cannot be worked out with them; ``trials``
    are what each change does in jobs of the shop's own, where these were asked for.
    """

    folder: Path
    base: RuleBase
    warnings: tuple[Problem, ...]
    faults: tuple[Problem, ...]
    features: tuple[Compared, ...]
    trials: tuple[Trial, ...] | None = None

    @property
    def where(self) -> str:
        """What they were run on."""
        return "case" if self.trials is None else "job"

    @property
    def changed(self) -> tuple[Compared, ...]:
        """The features whose answer is another."""
        return tuple(found for found in self.features if found.changes)


def checked_house(folder: Path, jobs: Sequence[tuple[str, Assignment]] | None = None) -> Checked:
    """The house rules of a folder, run beside the shipped rules on every worked case, or on jobs under their names.

    Raises:
        BadInput: the house rules are not as they must be.
    """
    own, tried = inference_of(folder), list[Tried]()
    shipped, word = shared_inference(), "case" if jobs is None else "job"

    def keep(name: str, advice: Advice) -> None:
        if jobs is not None:
            tried.append(Tried(name, advice))

    every = tuple(compared(shipped, own, jobs, keep))
    faults = tuple(
        Problem(str(folder), None, "", f"{word} {found.case} that cannot be worked out ({found.fault})", "other values")
        for found in every
        if found.fault
    )
    features = tuple(found for found in every if not found.fault)
    found = None if jobs is None else tuple(trials(tried, own.base, without_each(shipped.base, folder)))
    return Checked(folder, own.base, warnings(shipped.base, own.base), faults, features, found)


def house_blocks(found: Checked) -> Iterator[Block]:
    """The changes with their reasons, and the features of the worked cases that change, before and after."""
    changes = found.base.changes
    yield Heading(f"House rules in {printable(str(found.folder))}", 1)
    yield Para(f"{told(changes) or 'No change'}; {counted(str(len(found.warnings)), 'warning')}. {_count(found)}")
    yield from section(
        "Changes", (Item(f"{change_text(change, found.base)}: {printable(change.reason)}.") for change in changes)
    )
    where = "In the cases" if found.trials is None else "In the jobs"
    several = len({one.case for one in found.features}) > 1
    yield from section(where, (Item(_difference(one)) for one in found.changed))
    yield from section("Rule by rule", (trial_item(one, found.base, several) for one in found.trials or ()))


def _difference(found: Compared) -> str:
    parts = (f"{name} {_word(before)} → {_word(after)}" for name, (before, after) in found.changes.items())
    return f"{found.case}, {found.feature}: {'; '.join(parts)}"


def _word(value: str | int | None) -> str:
    return "none" if value is None else spaced(str(value))


def _count(found: Checked) -> str:
    cases = {one.case for one in found.features}
    changed = {one.case for one in found.changed}
    return (
        f"{len(found.changed)} of {counted(str(len(found.features)), 'feature')} change, in {len(changed)} of "
        f"{counted(str(len(cases)), found.where)} (method, cutter, entry, levels or grade)."
    )


def _change(change: Change) -> dict[str, Any]:
    values = {"from": change.before, "to": change.after} if change.kind is ChangeKind.MOVED else {}
    return {"kind": change.kind.value, "name": change.name, "reason": change.reason, "line": change.line, **values}


def house_record(found: Checked) -> dict[str, Any]:
    """The same for JSON."""
    return {
        "folder": str(found.folder),
        "changes": [_change(change) for change in found.base.changes],
        "warnings": [str(problem) for problem in found.warnings],
        "faults": [str(problem) for problem in found.faults],
        "features": len(found.features),
        "changed": [
            {
                "case": one.case,
                "feature": one.feature,
                "changes": {name: {"from": before, "to": after} for name, (before, after) in one.changes.items()},
            }
            for one in found.changed
        ],
        **({} if found.trials is None else {"trials": [trial_record(one, found.base) for one in found.trials]}),
    }
