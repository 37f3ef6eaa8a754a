"""What would turn the advice: for each number of the input, the nearest value found with another method, body or entry.

The whole reasoning is asked again with one number changed, outwards from its value in growing steps until the answer is
another, then by halving between the last value with the same answer and the first with another. On the way only the
contenders are worked out. Both sides of what is found are then asked with the whole crib; what the whole crib does not
bear out is not told. A turn that comes and goes between two steps of the ladder can be missed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from advisor.inputs.cutter import Cutter
from advisor.inputs.features import FeatureBase
from advisor.inputs.machine import Machine
from advisor.reasoning.advice import FeatureAdvice
from advisor.reasoning.bench import Bench
from advisor.reasoning.candidates import Candidate, candidates
from advisor.reasoning.inputs_of import changed_feature
from advisor.reasoning.region import region_of
from advisor.reasoning.situation import feature_facts

LADDER = (1.02, 1.06, 1.15, 1.3, 1.6, 2.2, 3.5)
FINE, FINE_SHARE = 0.01, 0.001
OF_FEATURE = (
    "depth", "width", "length", "diameter", "corner_radius", "clearance_below", "stock_side", "island", "top",
    "allowance_side", "allowance_bottom",
)  # fmt: skip
OF_CUTTER = ("DC", "APMX", "LU", "LPR", "DCONMS", "holder_diameter", "RE", "RMPX", "RPMX", "dead_centre")
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
Key = tuple[str, str, str]
MOST_OF_A_KIND = 3


class Turn(NamedTuple):
    """A turn of the advice: whose input, its name and unit, from which value to which, and what is advised there.

    ``method`` is absent where no way is left.
    """

    whose: str
    name: str
    unit: str
    start: float
    at: float
    method: str | None
    cutter: str | None
    body: str | None
    entry: str | None

    @property
    def distance(self) -> float:
        """How far off the turn is, as a share of the value."""
        return abs(self.at - self.start) / self.start if self.start else abs(self.at)


def changes(answer: FeatureAdvice, feature: FeatureBase, crib: Sequence[Cutter], bench: Bench) -> tuple[Turn, ...]:
    """Every turn of the advice that was found and borne out, the nearest first."""
    if answer.best is None:
        return ()
    found = [
        *_by_feature(answer, feature, crib, bench),
        *_by_cutter(answer, answer.best, feature, crib, bench),
        *_by_machine(answer, feature, crib, bench),
    ]
    return tuple(sorted(found, key=lambda change: change.distance))


def key_of(best: Candidate | None) -> Key | None:
    """What a turn is judged by: method, body and way in."""
    return (best.method, best.cutter.body, best.entry or "") if best else None


class Field(NamedTuple):
    """Who is asked: some cutters, and which pairs of method and cutter id; all pairs where that is absent."""

    cutters: tuple[Cutter, ...]
    pairs: frozenset[tuple[str, str]] | None = None


def best_of(feature: FeatureBase, field: Field, bench: Bench) -> Candidate | None:
    """The best candidate of a field, or nothing where all are forbidden."""
    region = region_of(feature)
    found = candidates(region, feature_facts(region, bench), field.cutters, bench, field.pairs)
    best = min(found, key=Candidate.rank, default=None)
    return best if best is not None and best.grade != "forbidden" else None


def contenders(answer: FeatureAdvice, crib: Sequence[Cutter]) -> Field:
    """The pairs of method and cutter that may win when a number moves, and the drills that their ways in need.

    For each method and body: those that stand best now, and of those that are forbidden the longest and the narrowest.
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
        drills.update(item.drill.id for item in standing if item.drill and (item.method, item.cutter.id) in pairs)
        if out:
            for far in (max(out, key=lambda one: one.cutter.LU), min(out, key=lambda one: one.cutter.DC)):
                pairs[far.method, far.cutter.id] = None
    ids = {cutter for _, cutter in pairs} | drills
    return Field(tuple(cutter for cutter in crib if cutter.id in ids), frozenset(pairs))


def changed_cutter(cutter: Cutter, name: str, value: float) -> Cutter | None:
    """The cutter with one number changed, and the lengths that must grow with it; nothing if it contradicts itself."""
    given = {field: getattr(cutter, field) for field in Cutter.model_fields} | {name: value}
    if name in ("APMX", "LU"):
        given["LU"] = max(given["LU"], value)
        given["LPR"] = max(given["LPR"], given["LU"] + cutter.LPR - cutter.LU)
    try:
        return Cutter.model_validate(given)
    except ValueError:
        return None


def _by_feature(answer: FeatureAdvice, feature: FeatureBase, crib: Sequence[Cutter], bench: Bench) -> Iterator[Turn]:
    few = contenders(answer, crib)
    for name in OF_FEATURE:
        value = getattr(feature, name, None)
        if not value:
            continue

        def ask(at: float, field: Field, name: str = name) -> tuple[Key | None, Candidate | None] | None:
            other = changed_feature(feature, name, at)
            best = best_of(other, field, bench) if other is not None else None
            return None if other is None else (key_of(best), best)

        yield from _turns("feature", name, "mm", float(value), ask, few, Field(tuple(crib)), answer)


def _by_cutter(
    answer: FeatureAdvice, best: Candidate, feature: FeatureBase, crib: Sequence[Cutter], bench: Bench
) -> Iterator[Turn]:
    drills = [cutter for cutter in crib if cutter.body == "drill" and cutter.id != best.cutter.id]
    others = (item for item in answer.candidates if item.cutter.id != best.cutter.id and item.grade != "forbidden")
    rival = next(others, None)
    for name in OF_CUTTER:
        value = getattr(best.cutter, name)
        if not value or (best.method == "drilling" and name == "RMPX"):
            continue

        def ask(at: float, field: Field, name: str = name) -> tuple[Key | None, Candidate | None] | None:
            other = changed_cutter(best.cutter, name, at)
            if other is None:
                return None
            mine = best_of(feature, Field((other, *field.cutters)), bench)
            found = [item for item in (mine, rival) if item is not None]
            winner = min(found, key=Candidate.rank, default=None)
            return key_of(winner), winner

        unit = UNITS.get(name, "mm")
        yield from _turns(
            best.cutter.id, name, unit, float(value), ask, Field(tuple(drills)), Field(tuple(drills)), answer
        )


def _by_machine(answer: FeatureAdvice, feature: FeatureBase, crib: Sequence[Cutter], bench: Bench) -> Iterator[Turn]:
    few, machine = contenders(answer, crib), bench.machine
    values = {
        "spindle power": max(machine.spindle.power),
        "spindle speed": machine.spindle.speed[-1],
        "stiffness": machine.stiffness,
        "axis_acceleration": machine.axis_acceleration,
        "feed_max": machine.feed_max,
        "tool_change": machine.tool_change,
    }
    for name, value in values.items():
        if not value:
            continue

        def ask(at: float, field: Field, name: str = name) -> tuple[Key | None, Candidate | None] | None:
            best = best_of(feature, field, bench._replace(machine=changed_machine(machine, name, at)))
            return key_of(best), best

        yield from _turns(machine.name, name, UNITS[name], value, ask, few, Field(tuple(crib)), answer)


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


Ask = Callable[[float, Field], tuple[Key | None, Candidate | None] | None]


def _turns(
    whose: str, name: str, unit: str, start: float, ask: Ask, few: Field, every: Field,
    answer: FeatureAdvice,
) -> Iterator[Turn]:  # fmt: skip
    """The nearest turn below and above a value, if there is one on the ladder and the whole crib bears it out."""
    same = key_of(answer.best)
    for up in (False, True):
        near, far, rivals = start, None, [answer.best]
        for factor in _steps(ask, few, same, start, up):
            value = start * factor if up else start / factor
            found = ask(value, few)
            if found is None:
                break
            rivals.append(found[1])
            if found[0] != same:
                far = value
                break
            near = value
        if far is None:
            continue
        fields = (_between(rivals, few), few, every)  # two or three ways decide most turns; the rest asks more widely
        found_turn = next(filter(None, (_borne_out(ask, field, every, same, near, far) for field in fields)), None)
        if found_turn is None:
            continue
        at, best = found_turn
        yield Turn(
            whose, name, unit, start, at, best.method if best else None, best.cutter.id if best else None,
            best.cutter.body if best else None, best.entry if best else None,
        )  # fmt: skip


def _between(rivals: Sequence[Candidate | None], few: Field) -> Field:
    """The ways that won on the way to a turn, with the drills of the field."""
    pairs = frozenset((rival.method, rival.cutter.id) for rival in [rivals[0], *rivals[-2:]] if rival is not None)
    ids = {cutter for _, cutter in pairs} | {rival.drill.id for rival in rivals if rival and rival.drill}
    return Field(tuple(cutter for cutter in few.cutters if cutter.id in ids), pairs)


def _steps(ask: Ask, few: Field, same: Key | None, start: float, up: bool) -> tuple[float, ...]:
    """The ladder, or none of it where neither its middle nor its end has another answer."""
    for factor in (LADDER[-1], LADDER[len(LADDER) // 2]):
        found = ask(start * factor if up else start / factor, few)
        if found is None or found[0] != same:
            return LADDER
    return ()


def _borne_out(
    ask: Ask, field: Field, every: Field, same: Key | None, near: float, far: float
) -> tuple[float, Candidate | None] | None:
    """The turn between two values as a field finds it, and what is advised there, if the whole crib bears it out."""
    near, far = _halved(ask, field, same, near, far)
    at = _told(far, near)
    beyond, before = ask(at, every), ask(_told(near, far), every)
    if beyond is None or before is None or before[0] != same or beyond[0] == same:
        return None
    return at, beyond[1]


def _halved(ask: Ask, few: Field, same: Key | None, near: float, far: float) -> tuple[float, float]:
    """The last value with the same answer and the first with another, as close together as it is told."""
    while abs(far - near) > max(FINE / 2, FINE_SHARE / 2 * abs(near)):
        middle = (near + far) / 2
        found = ask(middle, few)
        if found is not None and found[0] == same:
            near = middle
        else:
            far = middle
    return near, far


def _told(value: float, other: float) -> float:
    """A value as it is told: to a hundredth, rounded away from the other side."""
    step = FINE
    whole = value / step
    rounded = round(whole)
    if (value > other and rounded < whole) or (value < other and rounded > whole):
        rounded += 1 if value > other else -1
    return round(rounded * step, 2)
