"""How it is told what house rules change in the rule base, and in the worked cases, or in jobs of the shop's own."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.analysis.house_check import Checked
from advisor.analysis.house_effect import Compared
from advisor.files.problems import printable
from advisor.knowledge.wording import counted
from advisor.text.blocks import Block, Heading, Item, Para, section
from advisor.text.house import change_text, told
from advisor.text.house_trial import trial_item
from advisor.text.names import spaced


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
