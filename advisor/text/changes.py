"""What would change the advice, in words."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.files.problems import printable
from advisor.knowledge.wording import DOWN, UP, counted, quantity, stepped
from advisor.model.answer import Breakpoint, FeatureAdvice, Upgrade
from advisor.model.cutter import LENGTHS, OF_CUTTER
from advisor.model.owner import Owner
from advisor.situation.pairings import ways
from advisor.text.blocks import Item
from advisor.text.names import spaced

MOST_TELLING = 3
FAR = 3.0  # times as much, or as little: another feature or another machine, not a change of this one


def breakpoints(answer: FeatureAdvice, most: int | None = None) -> Iterator[Item]:
    """The breakpoints of an answer, nearest first; or so many of them, the most telling first and none far off."""
    for change in answer.changes if most is None else nearest_changes(answer)[:most]:
        yield Item(breakpoint_text(change))


def nearest_changes(answer: FeatureAdvice) -> list[Breakpoint]:
    """The breakpoints of an answer that are not far off, the most telling first."""
    near = (change for change in answer.changes if change.start / FAR <= change.at <= change.start * FAR)
    return sorted(near, key=_telling)


def of_the_drawing(change: Breakpoint) -> bool:
    """Whether a breakpoint is a number of the drawing, or a longer cutter that somebody could put in."""
    return change.owner is Owner.FEATURE or (change.name in LENGTHS and change.at > change.start)


def _telling(change: Breakpoint) -> tuple[int, float]:
    """What a programmer meets first: another feature or a longer cutter, another machine, then another cutter."""
    if change.owner is Owner.FEATURE or change.name in LENGTHS:
        return 0, change.distance
    return (2 if change.name in OF_CUTTER else 1), change.distance


def breakpoint_text(change: Breakpoint) -> str:
    """One breakpoint: the number, what it is now, and what is advised beyond."""
    if change.method is None:
        return f"{changed_text(change)}: not possible with this crib."
    way = f"{ways()[change.method].title} with {printable(change.cutter or '')}, {spaced(change.entry or '')}"
    return f"{changed_text(change)}: {way}."


def changed_text(change: Breakpoint) -> str:
    """The number that turns the answer, and what it is now."""
    beyond = UP if change.at > change.start else DOWN
    now, at = stepped(change.start, change.unit), stepped(change.at, change.unit, beyond)
    if change.name == "DC":
        return f"a cutter like {printable(change.owner_id)} with DC {at} instead of {now}"
    whose = "" if change.owner is Owner.FEATURE else f" of {printable(change.owner_id)}"
    return f"{spaced(change.name)}{whose} {at} instead of {now}"


def input_name(change: Breakpoint) -> str:
    """The input as one word: ``feature.depth``, ``E12.LU``, ``vmc-40-12k.spindle_power``."""
    owner = change.owner if change.owner is Owner.FEATURE else change.owner_id
    return f"{owner}.{change.name.replace(' ', '_')}"


def upgrade_text(upgrade: Upgrade) -> str:
    """One change of a cutter: the length it would want, and what it would give."""
    better, plan = upgrade.better, upgrade.better.plan
    name = {"APMX": "flute", "LU": "usable length"}[upgrade.name]
    now, wanted = stepped(getattr(upgrade.cutter, upgrade.name), "mm", UP), stepped(upgrade.length, "mm", UP)
    if any(one.name == upgrade.name for one in upgrade.cutter.assumed):
        now = f"the assumed {now}"
    levels = counted(str(plan.levels), "level") if plan else ""
    change = f"{quantity(abs(upgrade.saved), 'share', 2)} {'less' if upgrade.saved > 0 else 'more'} time"
    if upgrade.saved <= 0:  # told for its grade
        change = f"{change} than the {upgrade.today.grade} way now"
    return (
        f"{printable(upgrade.cutter.id)} with {wanted} of {name} or more instead of {now}: "
        f"{ways()[better.method].title}, {better.grade}, {levels}, {change}."
    )
