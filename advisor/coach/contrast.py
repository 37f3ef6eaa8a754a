"""The near-identical case in which the answer changes: today and beyond the line, a line each."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from advisor.analysis.inputs import changed_feature
from advisor.analysis.sensitivity import changes, feature_changes
from advisor.choosing.advice import advise_feature
from advisor.coach.scene import Scene
from advisor.coach.table import table
from advisor.knowledge.wording import fill, given, quantity
from advisor.mechanics.bisection import closed_in, mean
from advisor.model.answer import Breakpoint
from advisor.text.blocks import Block, Heading, Item, Items
from advisor.text.changes import breakpoint_text
from advisor.text.names import spaced
from advisor.text.words import way_text

TITLE = "Where the answer changes"
HALVINGS = 12


def contrast_blocks(scene: Scene, method: str | None = None) -> tuple[Block, ...]:
    """The nearest change of the feature, else of cutter or machine, at which the advice is another; rather one at which
    it is a certain method; nothing where no single number turns it that teaches something.
    """
    answer, feature, crib = scene.answer, scene.feature, scene.assignment.crib
    found = [one for one in feature_changes(answer, feature, crib, scene.bench) if teaches(one)]
    if found:
        turn = min(found, key=lambda one: (one.method != method, one.distance))
        return (Heading(TITLE), Items(tuple(pair(scene, turn))))
    others = [one for one in changes(answer, feature, crib, scene.bench) if teaches(one)]
    if others:
        now = f"today: {way_text(scene.best)}, {quantity(scene.best.time, 's')}"
        return (Heading(TITLE), Items((Item(now), Item(breakpoint_text(others[0])))))
    return ()


def teaches(change: Breakpoint) -> bool:
    """Whether a change teaches something: not that a crib has nothing more, which was perhaps not shown, nor a cutter
    of a width that nobody makes, nor a size that is the same on a drawing.
    """
    seen = change.distance >= table().trade.change_seen.value
    return change.method is not None and change.name != "DC" and seen


def pair(scene: Scene, turn: Breakpoint) -> Iterator[Item]:
    """Two lines: the feature as it is, and beyond the line, each with its way and the rule behind it."""
    name = spaced(turn.name)
    yield Item(f"{name} {given(turn.start)}: {way_text(scene.best)}, {scene.best.grade}.")
    other = changed_feature(scene.feature, turn.name, turn.at)
    if other is None:
        return
    beyond = advise_feature(other, scene.assignment.crib, scene.bench)
    if beyond.best is None:
        yield Item(f"{name} {given(turn.at)}: no way with this crib.")
        return
    before = {rule.id for rule in scene.best.fired}
    new = next((rule for rule in beyond.best.fired if rule.verdict == "for" and rule.id not in before), None)
    said = f" {fill(scene.bench.base, new, new.because, beyond.best.facts)}" if new else ""
    yield Item(f"{name} {given(turn.at)}: {way_text(beyond.best)}, {beyond.best.grade}.{said}", new.id if new else "")


def last_right(right: Callable[[float], bool], good: float, bad: float, whole: bool) -> tuple[float, float]:
    """The last right value and the first wrong one on the way between two, as close together as it is told."""
    return closed_in(
        right, good, bad, lambda one, other: round(mean(one, other)) if whole else mean(one, other), HALVINGS
    )


def two_lines(lines: Sequence[str]) -> tuple[Block, ...]:
    """A contrast told by its lines."""
    return (Heading(TITLE), Items(tuple(Item(line) for line in lines))) if lines else ()
