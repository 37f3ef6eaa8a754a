"""How the operations of a plan share the work: who roughs a feature, who takes the rest, who only drills the way in."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from advisor.mechanics.lengths import exceeds, reaches
from advisor.methods.registry import METHODS
from advisor.model.answer import FeatureAdvice
from advisor.model.cutter import Cutter
from advisor.model.operations import Operation, Plan

MAIN, REST, PILOT = "main", "rest", "pilot"
PLACE = {"planar_face": 0, "outside_profile": 2}  # the face first, since depths start there; what frees the part last
MIDDLE = 1


class Part(NamedTuple):
    """What one operation does in one feature. ``wider_later`` tells that a wider cutter comes when it is too late."""

    operation: Operation
    feature: str
    role: str
    cutter: Cutter
    drill: Cutter | None
    wider_later: bool = False
    same_again: int = 0


def without(plan: Plan, features: Iterable[str]) -> Plan:
    """The plan less some features; operations keep their numbers, one that is left with none is left out."""
    gone = set(features)
    if not gone:
        return plan
    rows = []
    for operation in plan.operations:
        left = tuple(name for name in operation.features if name not in gone)
        if left:
            rows.append(operation._replace(row=operation.row.model_copy(update={"feature": left})))
    return plan._replace(operations=tuple(rows))


def parts(plan: Plan, crib: Mapping[str, Cutter], kinds: Mapping[str, str], most: float) -> tuple[Part, ...]:
    """Every operation in every feature it cuts, in the order of work; ``kinds`` are those of the features by id, and
    ``most`` is what finishing may take of a floor [mm]: what leaves more there is a stage, and the next one goes on.
    """
    found: dict[str, list[Operation]] = {}
    for operation in plan.operations:
        for feature in operation.features:
            found.setdefault(feature, []).append(operation)
    by_feature = {feature: _of_feature(feature, one, crib, kinds[feature], most) for feature, one in found.items()}
    waiting = {feature: iter(one) for feature, one in by_feature.items()}
    return tuple(next(waiting[feature]) for operation in plan.operations for feature in operation.features)


def _of_feature(
    feature: str, found: Sequence[Operation], crib: Mapping[str, Cutter], kind: str, most: float
) -> list[Part]:
    cutters = [crib[operation.row.cutter] for operation in found]
    clearing = [cutter.DC for cutter in cutters if not cutter.kind.drill]
    widest = max(clearing, default=0.0)
    first_widest = next((at for at, cutter in enumerate(cutters) if not cutter.kind.drill and widest == cutter.DC), -1)
    told: list[Part] = []
    pilot: Cutter | None = None
    named: Cutter | None = None  # the drill that an operation before names for its own way in
    staged = False  # whether the one before left more on the floor than finishing takes
    for place, (operation, cutter) in enumerate(zip(found, cutters, strict=True)):
        if cutter.kind.drill and (
            kind != "round_hole"
            or any(not one.kind.drill or exceeds(one.DC, cutter.DC) for one in cutters[place + 1 :])
        ):
            told.append(Part(operation, feature, PILOT, cutter, None))
            pilot = cutter if pilot is None or exceeds(cutter.DC, pilot.DC) else pilot
            continue
        narrower = not cutter.kind.drill and exceeds(widest, cutter.DC) and place > first_widest
        along = kind == "slot" and _along_the_walls(operation, found[:place])
        role = REST if (narrower and not staged) or along else MAIN
        staged = exceeds(operation.row.allowance_bottom or 0.0, most)
        earlier = sum(
            (one.operation.row.cutter, one.operation.row.method) == (operation.row.cutter, operation.row.method)
            for one in told
        )
        late = role == MAIN and not narrower and not cutter.kind.drill and exceeds(widest, cutter.DC)
        told.append(Part(operation, feature, role, cutter, _drill(operation, pilot, named, kind, crib), late, earlier))
        named = crib[operation.row.entry_cutter] if operation.row.entry_cutter is not None else named
    return told


def _along_the_walls(operation: Operation, before: Sequence[Operation]) -> bool:
    """Whether an operation takes the walls of a slot down whose middle the same cutter has run at full width."""
    row = operation.row
    if row.method is not None and METHODS[row.method].full_width:
        return False
    if row.method is None and row.radial_width is None:
        return False
    middle = (one.row for one in before if one.row.method is not None and METHODS[one.row.method].full_width)
    return any(one.cutter == row.cutter for one in middle)


def _drill(
    operation: Operation, pilot: Cutter | None, named: Cutter | None, kind: str, crib: Mapping[str, Cutter]
) -> Cutter | None:
    """The drill of a pre-drilled hole: the one said, else that of an operation before."""
    row = operation.row
    method = None if row.method is None else METHODS[row.method]
    if row.entry_cutter is not None:
        return crib[row.entry_cutter]
    if row.entry_kind.needs_drill:
        return pilot or named
    endwise = method is not None and method.endwise and not method.plunges
    if row.entry_kind.straight_down and not endwise:  # yet in a hole that lets it in
        return pilot if pilot is not None and reaches(pilot.DC, crib[row.cutter].DC) else None
    if method is not None and method.round_a_hole:
        return pilot if row.entry is None or row.entry_kind.helix else None
    return pilot if kind != "round_hole" and row.entry is None else None


def rest_taken(part: Part, every: Sequence[Part], answer: FeatureAdvice) -> bool:
    """Whether another operation fits into the finished corners: one for the rest later, or one that cleared before."""
    radius, at = answer.region.corner_radius, every.index(part)
    if radius is None:
        return False
    others = [one for one in every[:at] if not one.cutter.kind.drill]
    others += [one for one in every[at + 1 :] if one.role == REST]
    return any(one.feature == part.feature and reaches(radius, one.cutter.DC / 2) for one in others)


def opened_later(part: Part, every: Sequence[Part]) -> str:
    """What opens the same feature wider in a later operation: a mill, a wider drill, or nobody."""
    later = [one.cutter for one in every[every.index(part) + 1 :] if one.feature == part.feature]
    if any(not cutter.kind.drill for cutter in later):
        return "mill"
    return "drill" if any(exceeds(cutter.DC, part.cutter.DC) for cutter in later) else "nobody"


def features_before(part: Part, every: Sequence[Part], kinds: Mapping[str, str]) -> int:
    """How many features other than faces have been cut before, even if not to the end."""
    earlier = {one.feature for one in every[: every.index(part)]}
    return sum(kinds[name] != "planar_face" for name in earlier - {part.feature})


def features_after(part: Part, every: Sequence[Part], kinds: Mapping[str, str]) -> int:
    """How many features other than outlines are cut afterwards, even if they were begun before."""
    later = {one.feature for one in every[every.index(part) + 1 :]}
    return sum(kinds[name] != "outside_profile" for name in later - {part.feature})


def sequence(every: Sequence[Part]) -> list[tuple[str, str]]:
    """The cutters in the order they are put in, drills for the way in too, each with its feature."""
    told: list[tuple[str, str]] = []
    for part in every:
        drilled = any(one.feature == part.feature and one.role == PILOT for one in every)
        if part.drill is not None and not drilled:
            told.append((part.drill.id, part.feature))
        told.append((part.cutter.id, part.feature))
    return told


def changes(used: Sequence[str]) -> int:
    """How often a cutter is put in, the first time counted."""
    return sum(one != before for one, before in zip(used, [None, *used], strict=False))


def fewest_changes(used: Sequence[tuple[str, str]], kinds: Mapping[str, str] | None = None) -> int:
    """How often a cutter is put in at least, as far as going on with each cutter as long as it can shows.

    The order within a feature stays; by the ``kinds`` of the features, faces come first and what frees the part last.
    """
    place = {feature: PLACE.get((kinds or {}).get(feature, ""), MIDDLE) for _, feature in used}
    features = {feature: [cutter for cutter, own in used if own == feature] for _, feature in used}
    best = changes([cutter for cutter, _ in used])
    first = min(place.values(), default=MIDDLE)
    for start in dict.fromkeys(queue[0] for name, queue in features.items() if place[name] == first):
        waiting, now, count = {name: list(queue) for name, queue in features.items()}, start, 0
        while any(waiting.values()):
            turn = min(place[name] for name, queue in waiting.items() if queue)
            ready = [queue[0] for name, queue in waiting.items() if queue and place[name] == turn]
            now = now if now in ready and count else (start if count == 0 else max(ready, key=ready.count))
            count += 1
            for turn in sorted(set(place.values())):
                for name, queue in waiting.items():
                    while place[name] == turn and queue and queue[0] == now:
                        queue.pop(0)
                if any(queue for name, queue in waiting.items() if place[name] == turn):
                    break
        best = min(best, count)
    return best
