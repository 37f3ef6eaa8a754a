"""What only shows beside other operations: who drills the hole for the way in, and what is left for a drill."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from advisor.knowledge.conditions import Situation, yes
from advisor.mechanics.lengths import difference, exceeds, reaches
from advisor.model.region import Region
from advisor.review.coverage import MAIN, REST, Part

Worked = tuple[Part, Situation]
OF_THE_END = frozenset({"full_short", "full_short_ratio"})  # how a drill ends: no matter where a wider one goes as deep
OF_THE_WALL = frozenset({"rest_over_ream", "rest_over_bore", "left_over"})  # what the tool after them all finds there
OF_THE_HOLE = OF_THE_END | {"wall_rest", "wall_rest_share", "left_over", "left_short", "wanted_room"}


def order_facts(part: Part, worked: Sequence[Worked], regions: Mapping[str, Region], least: float) -> Situation:
    """The facts of one operation that follow from those before and after it.

    ``least`` is how many times as wide as the cutter a hole must be for it to go down.
    """
    at = _place(part, worked)
    before, after = worked[:at], worked[at + 1 :]
    if part.cutter.kind.drill:
        return _of_the_drill(worked[at], before, after, regions[part.feature])
    hole = _of_the_hole(part, before, after, regions, least) | _of_its_coolant(part, before, after)
    return hole | _cleared(worked[at], before, regions[part.feature])


def less(part: Part, worked: Sequence[Worked], region: Region) -> frozenset[str]:
    """The facts of an operation that say nothing of the hole, since another cuts it wider and as deep."""
    at = _place(part, worked)
    own = worked[at][1]
    here = [(one, facts) for one, facts in worked[:at] if one.feature == part.feature]
    wall = OF_THE_WALL if any(_left_less(own, one, facts, region) for one, facts in here) else frozenset()
    if own.get("nothing_left") == "yes":
        return OF_THE_HOLE | wall
    if not part.cutter.kind.drill or not region.round:
        return wall
    later = ((one, facts) for one, facts in worked[at + 1 :] if one.feature == part.feature)
    return wall | (OF_THE_END if any(_within(part, own, one, facts, region) for one, facts in later) else frozenset())


def _left_less(own: Situation, before: Part, told: Situation, region: Region) -> bool:
    """Whether an operation before left less on the wall of a hole, all the way down; its own end is judged with it."""
    known = [name for name in OF_THE_WALL if name in own and name in told]
    deep = (
        before.role == MAIN
        if not before.cutter.kind.drill
        else reaches(float(told.get("drill_depth", 0.0)), region.depth)
    )
    return bool(known) and deep and all(float(told[name]) < float(own[name]) for name in known)


def _place(part: Part, worked: Sequence[Worked]) -> int:
    return next(place for place, (one, _) in enumerate(worked) if one is part)


def _of_the_hole(
    part: Part, before: Sequence[Worked], after: Sequence[Worked], regions: Mapping[str, Region], least: float
) -> Situation:
    """By whom the hole for the way in is drilled, where no operation before does it in this feature."""
    row = part.operation.row
    if part.role == REST or (not row.entry_kind.needs_drill and row.entry_cutter is None):
        return {}
    named = row.entry_cutter
    if named is None and part.drill is not None:
        return {}
    if named is not None and any(
        one.feature == part.feature and named in (one.cutter.id, one.drill.id if one.drill else None)
        for one, _ in before
    ):
        return {}
    for one, _ in after:
        if one.feature == part.feature and (one.cutter.id == named or (named is None and one.cutter.kind.drill)):
            return {"hole_drilled_by": "later", "hole_operation": float(one.operation.number)}
    if named is not None:
        return {}
    for one, _ in before:
        region = regions[one.feature]
        wide = one.cutter.DC if one.cutter.kind.drill else region.width
        if one.feature != part.feature and region.round and reaches(wide, least * part.cutter.DC):
            return {"hole_drilled_by": "elsewhere", "hole_operation": float(one.operation.number)}
    return {}


def _of_its_coolant(part: Part, before: Sequence[Worked], after: Sequence[Worked]) -> Situation:
    """What cools the drill that an operation names for its way in; one with an operation of its own is judged there."""
    row = part.operation.row
    if part.role == REST or row.entry_cutter is None or row.coolant is None:
        return {}
    here = [one for one, _ in before if one.feature == part.feature]
    drills = {one.cutter.id for one, _ in after if one.feature == part.feature} | {one.cutter.id for one in here}
    drilled = row.entry_cutter in drills | {one.operation.row.entry_cutter for one in here}
    return {} if drilled else {"hole_coolant": row.coolant}


def _of_the_drill(own: Worked, before: Sequence[Worked], after: Sequence[Worked], region: Region) -> Situation:
    """Whether operations before leave a drill anything to cut, and the pilot hole that it comes into [mm]."""
    part, facts = own
    here = [(one, told) for one, told in before if one.feature == part.feature]
    if region.round:
        cut = [one for one, told in here if _within(part, facts, one, told, region)]
    else:  # the drill makes the way in, for whoever comes after it
        mills = [one for one, _ in after if one.feature == part.feature and not one.cutter.kind.drill]
        cut = [] if mills else [one for one, _ in here if one.role == MAIN and not one.cutter.kind.drill]
    mills = [one for one, _ in (*here, own, *after) if one.feature == part.feature and not one.cutter.kind.drill]
    cleared: Situation = {"feature_cleared": yes(mills or region.round)}
    if cut:
        return cleared | {"nothing_left": "yes", "cut_before_by": float(cut[-1].operation.number)}
    pilots = [one.cutter.DC for one, _ in here if one.cutter.kind.drill and exceeds(part.cutter.DC, one.cutter.DC)]
    pilot: Situation = {"pilot_diameter": max(pilots)} if pilots and region.round and part.role == MAIN else {}
    return cleared | {"nothing_left": "no"} | pilot


def _cleared(own: Worked, before: Sequence[Worked], region: Region) -> Situation:
    """The operation before that has cut as wide and as deep as this one, with another cutter or by another method."""
    part, facts = own
    if part.role != MAIN or part.same_again:
        return {}
    for one, told in before:
        if one.feature != part.feature or one.role == REST:
            continue
        drilled = one.cutter.kind.drill
        if _as_wide(told, facts, region, one.cutter.DC) if drilled else _as_much(one, told, part, facts):
            return {"cleared_by": float(one.operation.number)}
    return {}


def _as_wide(drilled: Situation, facts: Situation, region: Region, width: float) -> bool:
    """Whether the hole of a drill is as wide and, at full diameter, as deep as a mill would make a round hole."""
    if not region.round or "full_depth" not in drilled:
        return False
    side = float(facts.get("planned_side_allowance", facts["side_allowance"]))
    bore, deep = difference(region.width, 2 * side), difference(region.depth, float(facts["bottom_allowance"]))
    return reaches(width, bore) and reaches(float(drilled["full_depth"]), deep)


def _as_much(one: Part, told: Situation, part: Part, facts: Situation) -> bool:
    """Whether a mill as wide has left no more on walls and bottom than another would."""
    left = ("planned_side_allowance", "bottom_allowance")
    if exceeds(one.cutter.DC, part.cutter.DC) or exceeds(part.cutter.DC, one.cutter.DC) or "levels" not in told:
        return False
    known = all(name in told and name in facts for name in left)
    reached = float(told["levels"]) * float(told["axial_depth"])
    whole = reaches(reached, float(told["depth_to_cut"])) and reaches(float(told["overcut"]), float(facts["overcut"]))
    return known and whole and all(reaches(float(facts[name]), float(told[name])) for name in left)


def _within(part: Part, facts: Situation, other: Part, told: Situation, region: Region) -> bool:
    """Whether the hole of a drill lies within what another operation cuts: its walls, and its bottom or cone."""
    if "drill_depth" not in facts:
        return False
    DC, tip, full = part.cutter.DC, float(facts["drill_depth"]), float(facts["full_depth"])
    if not other.cutter.kind.drill:
        cleared = difference(region.width, 2 * float(told.get("planned_side_allowance", region.width)))
        deep = not region.floor or reaches(region.depth, tip)
        return other.role == MAIN and reaches(cleared, DC) and deep
    if other.cutter.id == part.cutter.id or not reaches(other.cutter.DC, DC) or "drill_depth" not in told:
        return False
    if not region.floor and reaches(float(told["full_depth"]), region.depth):
        return True
    deepest, point = float(told["drill_depth"]), float(told["drill_point"])
    return reaches(deepest, tip) and reaches(difference(deepest, point * DC / other.cutter.DC), full)
