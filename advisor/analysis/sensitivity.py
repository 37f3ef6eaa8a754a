"""Sensitivity: for each number of the input, the nearest value found with another method, body or entry.

The whole reasoning is asked again with one number changed, by ``line_search``, which closes in on where the rules
would change the answer and asks both sides of what it finds with the whole crib.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from typing import TypeVar

from advisor.analysis.breakpoints import Key, Outcomes, key_of
from advisor.analysis.inputs import changed_cutter, changed_feature
from advisor.analysis.line_search import FINE, Field, Line, nearest
from advisor.choosing.advice import places_of
from advisor.choosing.candidates import candidates
from advisor.choosing.drill_sizes import only_another_drill
from advisor.choosing.pruning import ANY, foremost
from advisor.choosing.ranking import foremost_of, front, quickest
from advisor.knowledge.schema import reads
from advisor.model.answer import Breakpoint, FeatureAdvice
from advisor.model.candidate import FREELY, HELD_BACK, SOUND, Candidate
from advisor.model.cutter import OF_CUTTER, Cutter
from advisor.model.feature_inputs import VARIED
from advisor.model.features import FeatureBase
from advisor.model.machine import Machine
from advisor.model.owner import Owner
from advisor.situation.bench import Bench

__all__ = ["Breakpoint", "Field", "Key", "best_of", "changed_machine", "changes", "key_of", "possible_machine"]

UNITS = {
    "RMPX": "deg",
    "RPMX": "1/min",
    "spindle power": "kW",
    "spindle speed": "1/min",
    "stiffness": "N/µm",
    "axis_acceleration": "m/s²",
    "feed_max": "mm/min",
    "tool_change": "s",
}
Changed = TypeVar("Changed")
DIAMETERS = ("diameter", "DC")
LENGTHS = ("APMX", "LU", "LPR")
STEPS = {"1/min": 1.0, "mm/min": 1.0}  # nobody types a part of a turn, or of a millimetre a minute
MOST_OF_A_KIND = 3
OF_MACHINE = frozenset({"torque_most", "tool_change", "axis_acceleration"})


def changes(
    answer: FeatureAdvice, feature: FeatureBase, crib: Sequence[Cutter], bench: Bench
) -> tuple[Breakpoint, ...]:
    """Every breakpoint of the advice that was found and borne out, the nearest first."""
    if answer.best is None:
        return ()
    few, every = contenders(answer, crib), Field(tuple(crib))
    found = [
        *_by_feature(answer, feature, few, every, bench),
        *_by_cutter(answer, answer.best, feature, every, bench),
        *_by_machine(answer, feature, few, every, bench),
    ]
    return tuple(sorted(found, key=lambda change: change.distance))


def feature_changes(
    answer: FeatureAdvice,
    feature: FeatureBase,
    crib: Sequence[Cutter],
    bench: Bench,
    names: Sequence[str] = VARIED,
) -> tuple[Breakpoint, ...]:
    """Every breakpoint of the advice by some numbers of the feature alone, the nearest first."""
    if answer.best is None:
        return ()
    found = _by_feature(answer, feature, contenders(answer, crib), Field(tuple(crib)), bench, names)
    return tuple(sorted(found, key=lambda change: change.distance))


def outcomes(feature: FeatureBase, field: Field, bench: Bench) -> Outcomes:
    """Every way of a field for a feature, worked out and judged; of a whole crib only the best, if any is allowed."""
    if field.pairs is None:
        best = best_of(feature, field, bench)
        return [] if best is None else [best]
    return [
        candidate
        for region, shared in places_of(feature, field.cutters, bench)
        for candidate in candidates(region, shared, field.cutters, bench, field.pairs)
    ]


def best_of(feature: FeatureBase, field: Field, bench: Bench, least: tuple[int, float] = ANY) -> Candidate | None:
    """The best way of a field, or nothing where all are forbidden; what is no better than the ``least`` may be too."""
    found = [
        foremost(region, shared, field.cutters, bench, field.pairs, least)
        for region, shared in places_of(feature, field.cutters, bench)
    ]
    return foremost_of((best for best in found if best is not None), bench.limits)


def contenders(answer: FeatureAdvice, crib: Sequence[Cutter]) -> Field:
    """The pairs of method and cutter that may win when a number moves, and the drills that their ways in need.

    For each method and body: those that stand best now, the quickest good and workable ones, which the others are held
    against, and of those that are forbidden the longest and the narrowest.
    """
    pairs: dict[tuple[str, str], None] = {}
    drills: set[str] = set()
    kinds: dict[tuple[str, str], list[Candidate]] = {}
    for item in answer.candidates:
        kinds.setdefault((item.method, item.cutter.body), []).append(item)
    for items in kinds.values():
        standing = [item for item in items if item.grade != "forbidden"]
        out = [item for item in items if item.grade == "forbidden"]
        for cutter in [*dict.fromkeys(item.cutter.id for item in standing)][:MOST_OF_A_KIND]:
            pairs[standing[0].method, cutter] = None
        paces = [quickest(standing, grade) for grade in SOUND]
        for pace in (*paces, *(quickest(standing, "workable", overtaking) for overtaking in (HELD_BACK, FREELY))):
            if pace is not None:
                pairs[pace.method, pace.cutter.id] = None
        drills.update(item.drill.id for item in standing if item.drill and (item.method, item.cutter.id) in pairs)
        if out:
            for far in (max(out, key=lambda one: one.cutter.LU), min(out, key=lambda one: one.cutter.DC)):
                pairs[far.method, far.cutter.id] = None
    ids = {cutter for _, cutter in pairs} | drills
    return Field(tuple(cutter for cutter in crib if cutter.id in ids), frozenset(pairs))


def _by_feature(
    answer: FeatureAdvice,
    feature: FeatureBase,
    few: Field,
    every: Field,
    bench: Bench,
    names: Sequence[str] = VARIED,
) -> Iterator[Breakpoint]:
    now = _of_field(answer, few)
    for name in names:
        value = getattr(feature, name, None)
        if not value:
            continue
        changed = partial(changed_feature, feature, name)
        line = _line(float(value), now, changed, lambda other, field: outcomes(other, field, bench), few, every, bench)
        yield from nearest_breakpoints((Owner.FEATURE, feature.id), name, "mm", line)


def _by_cutter(
    answer: FeatureAdvice, best: Candidate, feature: FeatureBase, crib: Field, bench: Bench
) -> Iterator[Breakpoint]:
    """Only the advised cutter changes, so those of the others that may come first as they are stand for all.

    A drill may open the way for others, so with another drill they are worked out anew.
    """
    if best.cutter.kind.drill:
        yield from _by_drill(answer, best.cutter, feature, crib, bench)
        return
    field = Field(tuple(cutter for cutter in crib.cutters if cutter.kind.drill and cutter.id != best.cutter.id))
    rivals = front([item for item in answer.candidates if item.cutter.id != best.cutter.id], bench.limits)
    now = [*(item for item in answer.candidates if item.cutter.id == best.cutter.id), *rivals]

    def beside_rivals(other: Cutter, field: Field) -> Outcomes:
        return [*outcomes(feature, Field.of_one(other, field.cutters), bench), *rivals]

    for name in OF_CUTTER:
        value = getattr(best.cutter, name)
        if not value:
            continue
        changed = partial(changed_cutter, best.cutter, name)
        line = _line(float(value), now, changed, beside_rivals, field, field, bench)
        yield from nearest_breakpoints((Owner.CUTTER, best.cutter.id), name, UNITS.get(name, "mm"), line)


def _by_drill(
    answer: FeatureAdvice, drill: Cutter, feature: FeatureBase, crib: Field, bench: Bench
) -> Iterator[Breakpoint]:
    few = contenders(answer, crib.cutters)
    now = _of_field(answer, few)

    def in_its_place(other: Cutter, field: Field) -> Outcomes:
        cutters = tuple(other if cutter.id == drill.id else cutter for cutter in field.cutters)
        return outcomes(feature, field._replace(cutters=cutters), bench)

    for name in OF_CUTTER:
        value = getattr(drill, name)
        if not value or name == "RMPX":
            continue
        changed = partial(changed_cutter, drill, name)
        line = _line(float(value), now, changed, in_its_place, few, crib, bench)
        yield from nearest_breakpoints((Owner.DRILL, drill.id), name, UNITS.get(name, "mm"), line)


def _by_machine(
    answer: FeatureAdvice, feature: FeatureBase, few: Field, every: Field, bench: Bench
) -> Iterator[Breakpoint]:
    few = _on_machine(answer, few)
    machine, now = bench.machine, _of_field(answer, few)
    values = {
        "spindle power": max(machine.spindle.power),
        "spindle speed": machine.spindle.speed[-1],
        "stiffness": machine.stiffness,
        "axis_acceleration": machine.axis_acceleration,
        "feed_max": machine.feed_max,
        "tool_change": machine.tool_change,
    }

    def possible(name: str, value: float) -> Machine | None:
        other = changed_machine(machine, name, value)
        return other if possible_machine(other) else None

    def on_it(other: Machine, field: Field) -> Outcomes:
        return outcomes(feature, field, bench._replace(machine=other))

    for name, value in values.items():
        if value:
            line = _line(value, now, partial(possible, name), on_it, few, every, bench)
            yield from nearest_breakpoints((Owner.MACHINE, machine.name), name, UNITS[name], line)


def _line(
    start: float,
    now: Outcomes,
    changed: Callable[[float], Changed | None],
    worked_out: Callable[[Changed, Field], Outcomes],
    few: Field,
    every: Field,
    bench: Bench,
) -> Line:
    """The line of a number: what it belongs to is ``changed`` to another value, nothing where it cannot be so, and the
    ways are worked out with that.
    """

    def at(value: float, field: Field) -> Outcomes | None:
        other = changed(value)
        return None if other is None else worked_out(other, field)

    return Line(start, now, lambda value: changed(value) is not None, at, few, every, bench)


def _on_machine(answer: FeatureAdvice, few: Field) -> Field:
    """Those of a field whom the machine can help or hinder: not who is forbidden for what cutter and feature are."""
    stuck = {
        (item.method, item.cutter.id)
        for item in answer.candidates
        if item.plan is None and any(rule.verdict == "forbids" and not reads(rule) & OF_MACHINE for rule in item.fired)
    }
    return few._replace(pairs=(few.pairs or frozenset()) - stuck)


def _of_field(answer: FeatureAdvice, few: Field) -> Outcomes:
    """The ways of a field as they are today."""
    return [item for item in answer.candidates if few.pairs is None or (item.method, item.cutter.id) in few.pairs]


def nearest_breakpoints(whose: tuple[Owner, str], name: str, unit: str, line: Line) -> Iterator[Breakpoint]:
    """The nearest breakpoint below and above a value, where there is one."""
    limits = line.bench.limits
    line, now = line._replace(step=STEPS.get(unit, FINE)), foremost_of(line.now, limits)
    if name in LENGTHS:
        line = line._replace(far=limits["cutter_length_times_most"])
    for up in (False, True):
        found = nearest(line, up)
        if found is None:
            continue
        best = found.best
        if name not in DIAMETERS or not only_another_drill(line.start, found.at, (now, best), limits):
            way = (best.method, best.cutter.id, best.cutter.body, best.entry) if best else (None, None, None, None)
            yield Breakpoint(*whose, name, unit, line.start, found.at, *way)


def possible_machine(machine: Machine) -> bool:
    """Whether a shop may write down such a machine."""
    try:
        Machine.model_validate({**dict(machine), "spindle": dict(machine.spindle)})
    except ValueError:
        return False
    return True


def changed_machine(machine: Machine, name: str, value: float) -> Machine:
    """The machine with one number changed; spindle power [kW] and speed [1/min] at their greatest, the whole curve with
    them.
    """
    spindle = machine.spindle
    if name == "spindle power":
        share = value / max(spindle.power)
        changed = spindle.model_copy(update={"power": tuple(point * share for point in spindle.power)})
    elif name == "spindle speed":
        share = value / spindle.speed[-1]
        changed = spindle.model_copy(update={"speed": tuple(point * share for point in spindle.speed)})
    else:
        return machine.model_copy(update={name: value})
    return machine.model_copy(update={"spindle": changed})
