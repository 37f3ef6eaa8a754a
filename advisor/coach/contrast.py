"""The near-identical case in which the answer changes: as drawn and beyond the line, a line each."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial

from advisor.analysis.inputs import changed_feature
from advisor.analysis.line_search import told
from advisor.analysis.sensitivity import feature_changes
from advisor.choosing.advice import advise_feature
from advisor.coach.invent import rounded
from advisor.coach.scene import Scene
from advisor.coach.table import table
from advisor.coach.would_run import would_run
from advisor.knowledge.schema import Rule
from advisor.knowledge.wording import fill, given
from advisor.mechanics.bisection import closed_in, mean
from advisor.model.answer import Breakpoint
from advisor.model.candidate import Candidate
from advisor.model.owner import Owner
from advisor.text.blocks import Block, Heading, Item, Items
from advisor.text.names import spaced
from advisor.text.words import way_text

TITLE = "Where the answer changes"
HALVINGS = 12
SIZES = ("depth", "width", "diameter")
STEPS = (0.85, 1.2, 0.7, 1.5, 0.5, 2)  # times the size as drawn, where another cutter is looked for


def contrast_blocks(
    scene: Scene, part: str, method: str | None = None, without: tuple[Rule, Candidate] | None = None
) -> tuple[Block, ...]:
    """The nearest size of the feature at which the part of the way that was asked for is another, as a shop would run;
    rather one at which it is a certain method; nothing where no single size turns it.

    ``without`` is a rule with the way that it holds against: then only a size at which it no longer does is told. No
    cutter is varied: one of other sizes is not made, nor is another machine at hand.
    """
    if without is None and part == "cutter" and (nearest := _another_cutter(scene)) is not None:
        return (Heading(TITLE), Items(tuple(pair(scene, nearest))))
    turns = feature_changes(scene.answer, scene.feature, scene.assignment.crib, scene.bench)
    for turn in sorted(turns, key=lambda one: (one.method != method, one.distance)):
        beyond = _beyond(scene, turn) if teaches(turn) else None
        if beyond is None or (without is not None and _still_holds(*without, beyond)):
            continue
        if _turned(scene.best, beyond.best, part) and would_run(beyond):
            return (Heading(TITLE), Items(tuple(pair(scene, turn))))
    return ()


def _still_holds(rule: Rule, way: Candidate, beyond: Scene) -> bool:
    """Whether a rule holds against a way at another size of the feature too."""
    name = (way.method, way.cutter.id, way.entry)
    there = [one for one in beyond.answer.candidates if (one.method, one.cutter.id, one.entry) == name]
    return not there or any(one.id == rule.id for way in there for one in way.fired)


def _another_cutter(scene: Scene) -> Breakpoint | None:
    """The nearest size of the feature at which another cutter takes it by the same method, as a shop would run."""
    found = []
    for name in SIZES:
        start = getattr(scene.feature, name, None)
        if not start:
            continue
        for step in STEPS:
            value = rounded(start * step)
            beyond = _with_way(scene, name, value)
            if beyond is None or differing(scene.best, beyond.best) != "cutter" or not would_run(beyond):
                continue
            _, first = last_right(partial(_same_cutter, scene, name), start, value, whole=False)
            at = told(first, start)
            line = _with_way(scene, name, at)
            if line is not None and differing(scene.best, line.best) == "cutter":
                best = line.best
                way = (best.method, best.cutter.id, best.cutter.body, best.entry)
                found.append(Breakpoint(Owner.FEATURE, scene.feature.id, name, "mm", start, at, *way))
                break
    return min(found, key=lambda one: one.distance, default=None)


def _same_cutter(scene: Scene, name: str, value: float) -> bool:
    """Whether the advice at another size is the same cutter by the same method."""
    there = _with_way(scene, name, value)
    best = scene.best
    return there is not None and (there.best.method, there.best.cutter.id) == (best.method, best.cutter.id)


def differing(best: Candidate, other: Candidate) -> str:
    """What two ways differ in: the way in where that is all, the cutter within a method, else the method."""
    if other.method != best.method:
        return "method"
    return "entry" if other.cutter.id == best.cutter.id else "cutter"


def _turned(best: Candidate, other: Candidate, part: str) -> bool:
    """Whether a part of the way is another: the way in, where method and cutter stay; the cutter; the method."""
    if part == "entry":
        return differing(best, other) == "entry" and other.entry != best.entry
    return other.cutter.id != best.cutter.id if part == "cutter" else other.method != best.method


def _beyond(scene: Scene, turn: Breakpoint) -> Scene | None:
    """The scene beyond the line; nothing where there is no such feature, or no way."""
    return _with_way(scene, turn.name, turn.at)


def _with_way(scene: Scene, name: str, value: float) -> Scene | None:
    """The scene with another size of the feature; nothing where there is no such feature, or no way."""
    there = at_size(scene, name, value)
    return None if there is None or there.answer.best is None else there


def at_size(scene: Scene, name: str, value: float) -> Scene | None:
    """The scene with another size of the feature; nothing where there is no such feature."""
    feature = changed_feature(scene.feature, name, value)
    if feature is None:
        return None
    return scene._replace(feature=feature, answer=advise_feature(feature, scene.assignment.crib, scene.bench))


def teaches(change: Breakpoint) -> bool:
    """Whether a change teaches something: not that a crib has nothing more, which was perhaps not shown, nor a cutter
    of a size that nobody makes, nor a size that is the same on a drawing.
    """
    seen = change.distance >= table().trade.change_seen.value
    return change.method is not None and change.owner is Owner.FEATURE and seen


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
