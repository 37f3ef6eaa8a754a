"""Ramped slotting: down along the slot at full width, then a pass along each wall for what the cutter leaves there."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from advisor.mechanics import levels as level_rules
from advisor.mechanics.chip import feed_per_tooth_for_chip
from advisor.mechanics.engagement import engagement_angle
from advisor.mechanics.entry import ramp_descent, ramp_strokes, ramp_time
from advisor.mechanics.lengths import exceeds, reaches
from advisor.mechanics.timing import path_time, share_time
from advisor.methods import engagement
from advisor.methods.cut import Cut, Trial
from advisor.methods.easing import at_size, borne, even_depth
from advisor.methods.feeds import ease_feed, load_share
from advisor.methods.finishing import CutResult, FeedBasis, MethodFacts, finished
from advisor.methods.layers import (
    full_width_most,
    full_width_table,
    held_even,
    layer_chip,
    level_most,
    opening_facts,
    reach_factor,
    slender_depth,
)
from advisor.methods.method import Method
from advisor.methods.pace import MINUTE, TimeAt
from advisor.methods.speeds import speed_for
from advisor.methods.thin import held_by_cap, held_by_floor, last_cap, level_cap, levels_over_floor
from advisor.methods.trial import bend_share, try_cut
from advisor.model.cause import Cause, Held, HeldBy, Limited, limited
from advisor.model.plan import FREE, Plan

WALL_LEVELS = 12  # more are not tried for a cutter that bends too much whatever its depth


def ramp_angle(cut: Cut) -> float:
    """The ramp angle: the one taken of the material's range, never above the cutter's RMPX [deg]."""
    if cut.pinned.ramp_angle is not None:
        return cut.pinned.ramp_angle
    usual = cut.bench.taken(cut.bench.data.ramp_angle)
    return min(usual, cut.cutter.RMPX) if cut.cutter.RMPX else usual


def ramp_held(cut: Cut) -> tuple[Held, ...]:
    """What holds the ramp angle back from the one taken of the material's range: the cutter's RMPX, if it does."""
    usual, angle = cut.bench.taken(cut.bench.data.ramp_angle), ramp_angle(cut)
    return (Held("ramp_angle", usual, angle, Cause(HeldBy.RAMP_OF_CUTTER)),) if angle < usual else ()


def slot_level_most(cut: Cut) -> Limited:
    """The deepest level of a slot [mm]: of the tables, of a slender cutter less, of one with many teeth and in a deep
    slot thin, so that the chips get out; thinner where no neck gives them room beside the cutter.
    """
    most, limits, DC = full_width_table(cut), cut.bench.limits, cut.cutter.DC
    held: tuple[Held, ...] = ()
    if exceeds(min(most, cut.inside.depth_to_cut), full_width_most(cut)):
        most, held = slender_depth(cut, min(most, cut.inside.depth_to_cut))
    most, of_teeth = _crowded_depth(cut, most)
    held = (*held, *of_teeth)
    thin = limits["slot_thin_level_ratio_flutes" if cut.cutter.DN is None else "slot_thin_level_ratio"] * DC
    if not exceeds(cut.region.depth, limits["slot_depth_ratio_most"] * DC) or reaches(thin, most):
        return Limited(most, held)
    deep = limited("axial_depth", most, thin, Cause(HeldBy.DEEP_SLOT, (cut.region.depth / DC,)))
    return Limited(deep.value, (*held, *deep.held))


def _crowded_depth(cut: Cut, most: float) -> Limited:
    """A level of a slot, held back to what the settings rules leave a cutter with many teeth [mm]."""
    share, wanted = cut.inside.facts.get("slot_level_share_most"), min(most, cut.inside.depth_to_cut)
    if share is None or reaches(float(share) * cut.cutter.DC, wanted):
        return Limited(most)
    room = float(share) * cut.cutter.DC
    if cut.pinned.axial_depth is not None or cut.pinned.levels is not None:
        return Limited(room)
    return limited("axial_depth", wanted, room, Cause(HeldBy.CHIP_ROOM, (cut.cutter.ZEFP,)))


def prepare(cut: Cut) -> Cut:
    """The cut with the chip of layers, and what stays on the walls for the passes along them."""
    spare = max(0.0, float(cut.inside.facts.get("gap_spare", 0.0)))
    return replace(cut, chip=layer_chip(cut), spare=spare)


def plan(cut: Cut) -> Plan:
    """The plan for this cutter in this region; the time is that of full-width passes, which the way in may replace.

    A spindle that turns slower for its power at full width slows the passes along the walls as well: where that costs
    more than it saves, it keeps its speed.
    """
    along_wall = _along_wall(cut)
    found, trial = _planned(cut, along_wall)
    if along_wall is None or trial.speed_most is None:
        return found
    other, trial = _planned(replace(cut, keeps_speed=True), along_wall)
    saves = other.cut_time + other.travel_time < found.cut_time + found.travel_time
    return other if saves and load_share(cut, trial) <= 1 else found


def _planned(cut: Cut, along_wall: _WallPass | None) -> tuple[Plan, Trial]:
    """The plan with these passes along the walls, and the trial that it is made of."""
    cutter, limits = cut.cutter, cut.bench.limits

    def trial_at(axial: float, /, chip: float | None = None, speed_most: float | None = None) -> Trial:
        return try_cut(cut, axial, cutter.DC, 180.0, chip=chip, speed_most=speed_most)

    def time_of(count: int, axial: float, trial: Trial) -> float:
        ramp = None if cut.region.open_ends else _ramp(cut, axial, trial.feed).get("ramp_time")  # else an end is open
        return (ramp or _passes(cut, trial, count)[0]) + float(_walls(cut, trial, along_wall)["walls_time"] or 0.0)

    most, held = slot_level_most(cut)
    capped = min(level_cap(cut), last_cap(cut))  # a ramp has no last level of its own
    wanted, count, axial, allowed, of_depth = borne(cut, min(most, capped), trial_at, limits["handy_depth"], time_of)
    held = (*held, *of_depth, *held_by_cap(cut, min(most, cut.inside.depth_to_cut), axial))
    held += held_by_floor(cut, min(most, level_cap(cut)), axial, held)
    held += held_even(count, axial, held)
    trial, of_feed = ease_feed(cut, at_size(trial_at, axial))
    facts = _ramp(cut, axial, trial.feed)
    passes, travel = _passes(cut, trial, count)
    walls = _walls(cut, trial, along_wall)
    facts |= {
        "allowed_depth": allowed,
        "full_width_time": passes,
        **opening_facts(cut),
        **walls,
        "cut_share": limits["cut_share_profile"],
    }
    result = CutResult(
        trial=trial,
        wanted=wanted,
        levels=count,
        axial=axial,
        radial=cutter.DC,
        angle=180.0,
        cut_time=passes + float(walls["walls_time"] or 0.0),
        travel=travel,
        held=(*held, *of_feed),
    )
    added = MethodFacts(facts=facts, names=("opening_over_most", "ramp_step", "wall_pass_width"))
    return finished(cut, METHOD, result, added, FeedBasis(wanted_feed=trial.feed)), trial


def _ramp(cut: Cut, axial: float, feed: float) -> dict[str, float | None]:
    """Facts of ramping to and fro along the slot."""
    region, side, DC = cut.region, cut.inside.side, cut.cutter.DC
    length = region.ring_way(side) + DC if region.goes_round else region.along - (2 - region.open_ends) * side
    if not exceeds(length, DC):
        return {}
    angle = ramp_angle(cut)
    rounding = 1.0 if cut.pinned.axial_depth is None else cut.bench.limits["over_the_limit"]
    strokes = ramp_strokes(cut.inside.depth_to_cut, length, DC, angle, axial * rounding)
    return {
        "ramp_angle": angle,
        "ramp_length": length - DC,
        "ramp_descent": ramp_descent(length, DC, angle),
        "ramp_strokes": float(strokes),
        "ramp_time": ramp_time(strokes, length, DC, feed),
    }


def _passes(cut: Cut, trial: Trial, count: int) -> tuple[float, float]:
    """Time of the level passes at full width, and of the travel between them [s]."""
    region = cut.region
    length = region.centre_way(cut.inside.side, cut.cutter.DC)
    cut_time = path_time(length * count, trial.feed)
    return cut_time, share_time(cut_time, cut.bench.limits["cut_share_profile"]) - cut_time


def wall_width(cut: Cut, deep: float) -> float:
    """How wide a pass along a wall may be at a depth [mm]: that of layers down to their depth, else of the table for
    deep cuts.
    """
    if not exceeds(deep, level_most(cut)):
        return reach_factor(cut, deep) * cut.bench.limits["layer_radial_share"] * cut.cutter.DC
    return engagement.width_at_depth(replace(cut, pinned=FREE), deep).value


def _spare(cut: Cut) -> float:
    """What the full width leaves on each wall beyond the allowance, where the way is widest [mm]."""
    return float(cut.inside.facts.get("wall_spare", 0.0))


class _WallPass(NamedTuple):
    """The passes along a wall: levels, how deep each is [mm], passes in a level."""

    levels: int
    deep: float
    passes: int


def _along_wall(cut: Cut) -> _WallPass | None:
    """The passes that take what stays on the wall, in as many levels as the allowance there covers the bending of the
    cutter; nothing where nothing stays.
    """
    spare = _spare(cut)
    if spare <= 0:
        return None
    alone = replace(cut, pinned=FREE, spare=0.0)
    fewest = levels_over_floor(cut, level_cap(cut))
    for levels in range(fewest, fewest + WALL_LEVELS):
        deep = even_depth(cut, levels, 0.0, level_cap(cut))
        passes = level_rules.levels(spare, wall_width(cut, deep))
        wide = min(spare / passes, cut.cutter.DC)
        force = try_cut(alone, deep, wide, engagement_angle(wide, cut.cutter.DC)).load.force
        if (bend_share(alone, force * cut.tip_compliance(deep / 2), cut.inside.side) or 0.0) <= 1:
            break
    return _WallPass(levels, deep, passes)


def _walls(cut: Cut, trial: Trial, along: _WallPass | None) -> dict[str, float | None]:
    """Facts of the passes that take what the full width leaves on each wall beyond the allowance; their time is 0 where
    it leaves nothing.
    """
    if along is None:
        return {"walls_time": 0.0}
    cutter, limits, spare = cut.cutter, cut.bench.limits, _spare(cut)
    levels, deep, passes = along
    angle = engagement_angle(min(spare / passes, cutter.DC), cutter.DC)
    thin = min(feed_per_tooth_for_chip(cut.chip, cutter.KAPR, angle), limits["thinning_factor_most"] * cut.chip)
    feed = min(cut.bench.machine.feed_max, trial.speed * cutter.ZEFP * thin)
    path = 2 * cut.region.walls_way * levels * passes
    return {
        "wall_levels": float(levels),
        "wall_depth": deep,
        "wall_passes": float(passes),
        "wall_feed": feed,
        "wall_path": path,
        "walls_time": path_time(path, feed),
    }


def lower_bound(cut: Cut) -> TimeAt:
    """A time at each pace that no plan of it stays below [s]; ``cut`` is as ``METHOD`` prepares it."""
    limits, region = cut.bench.limits, cut.region
    DC, depth, side = cut.cutter.DC, cut.inside.depth_to_cut, cut.inside.side
    length = region.along - (2 - region.open_ends) * side - DC
    way = max(0.0, min(length, region.centre_way(side, DC)))
    count = level_rules.levels(depth, min(slot_level_most(cut).value, level_cap(cut), last_cap(cut)))
    walls = 0.0
    if _spare(cut) > 0:
        fastest = speed_for(cut) * cut.cutter.ZEFP * limits["thinning_factor_most"] * cut.chip
        walls = MINUTE * 2 * region.walls_way * levels_over_floor(cut, level_cap(cut))
        walls /= min(cut.bench.machine.feed_max, fastest)
    return lambda pace: pace.time(way * count, way * DC * depth) / limits["cut_share_profile"] + walls


METHOD = Method(
    name="ramped_slotting",
    plan=plan,
    lower_bound=lower_bound,
    prepare=prepare,
    in_levels=True,
    full_width=True,
    along_the_cut=True,
    spares_a_floor=True,
)
