"""Ways into the material for a plan: from the side, down a helix, to and fro, through a hole, straight down."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import inf
from typing import NamedTuple

from advisor.knowledge.conditions import Situation, Value, yes
from advisor.mechanics.entry import ramp_descent, ramp_strokes, ramp_time
from advisor.mechanics.lengths import HAIR, difference, exceeds, reaches
from advisor.mechanics.timing import path_time, roll_in_time, share_time
from advisor.methods.boring import bored, core_margin
from advisor.methods.boring import plan as round_it
from advisor.methods.cut import Cut
from advisor.methods.drills import has_inserts
from advisor.methods.helix import (
    borne_at_full_width,
    core_of,
    descent_time,
    down_the_hole,
    entry_share,
    full_width_feed,
    helix_of,
    ramps,
    round_the_hole,
)
from advisor.methods.holes import drilling_time, drilling_trial, eased_drilling, point_of, thrust_of
from advisor.methods.layers import full_width_most
from advisor.methods.registry import METHODS
from advisor.methods.slotting import ramp_angle, ramp_held
from advisor.methods.trial import cut_of, spindle_cause
from advisor.model.cause import Held
from advisor.model.cutter import Cutter
from advisor.model.entry import HELIX, HOLE, PLUNGE, SIDE, ZIGZAG
from advisor.model.plan import Drilled, Plan, WayIn
from advisor.situation.derived import worked_out
from advisor.situation.facts import InFeature, drilled_through

OF_THE_HELIX = ("helix_leaves", "helix_leaves_share")
OF_A_HOLE = (
    "hole_ratio", "hole_full_depth", "hole_full_share", "hole_beyond", "hole_cap", "hole_depth_ratio",
    "hole_under_tip", "hole_under_tip_ratio", "opening_engagement", "opening_over_straight",
)  # fmt: skip
NO_COOLANT = "none"
HOLE_SPEED, HOLE_FEED = "spindle_speed_of_the_drill", "feed_per_revolution_of_the_drill"


@dataclass(slots=True)
class Drills:
    """The drills of a crib, narrowest first, and how to put one into the region; their holes are worked out once each.

    ``tip`` is how deep a tip goes by somebody else's choice [mm]; ``holes`` are kept by drill and depth of the tip.
    Where the drills are ``said`` by a plan, one hardly wider than the cutter, or wider than anybody would take, is gone
    down too.
    """

    cutters: tuple[Cutter, ...]
    inside: Callable[[Cutter], InFeature]
    tip: float | None = None
    said: bool = False
    holes: dict[tuple[str, float], Hole | None] = field(default_factory=dict)


def drills_of(crib: Sequence[Cutter]) -> tuple[Cutter, ...]:
    """The drills of a crib, narrowest first."""
    return tuple(sorted((cutter for cutter in crib if cutter.kind.drill), key=_width))


class Hole(NamedTuple):
    """A hole for getting in: depth at the tip and length of the point [mm]; speed [1/min] and feed [mm/min] of the
    drill, feed of a turn [mm], thrust [N], shares of the spindle's power and of the tables' feed; time without the
    change [s], and what held speed and feed back.
    """

    depth: float
    point: float
    speed: float
    feed: float
    per_turn: float
    thrust: float
    power_share: float
    chip_kept: float
    time: float
    held: tuple[Held, ...]


def ways_in(
    plan: Plan, cut: Cut, entries: Sequence[str], drills: Drills, spare: float = float("inf")
) -> Iterator[WayIn]:
    """Every way in that the table of ways lists, worked out; a pre-drilled hole once for each drill that suits and
    takes no longer than ``spare`` [s].
    """
    for entry in entries:
        if entry == HOLE.name:
            yield from _through_a_hole(plan, cut, drills, spare)
        else:
            yield WORKED_OUT[entry](plan, cut)


def _from_the_side(plan: Plan, cut: Cut) -> WayIn:
    """Rolled in on an arc from beside the material at each level; a plunge needs only a radius of way."""
    if METHODS[plan.method].plunges:
        return WayIn(SIDE.name, path_time(cut.cutter.DC / 2, plan.feed_rate))
    feed = plan.feed_rate * entry_share(cut)
    return WayIn(SIDE.name, plan.levels * roll_in_time(cut.cutter.DC, cut.bench.limits["approach"], feed))


def _down_a_helix(plan: Plan, cut: Cut) -> WayIn:
    if METHODS[plan.method].in_turns:
        return WayIn(HELIX.name, 0.0, ramp_angle=float(plan.facts["ramp_angle"]))
    helix = helix_of(cut)
    if helix is None:
        return WayIn(HELIX.name, None)
    depth = cut.inside.depth_to_cut + plan.levels * cut.bench.limits["entry_clearance"]
    time = descent_time(helix, depth, cut.cutter.DC)
    facts: tuple[tuple[str, Value], ...] = (
        ("helix_bore", helix.bore),
        ("helix_pitch", helix.pitch),
        ("helix_feed", helix.feed),
        ("helix_time", time),
        ("entry_angle", helix.angle),
        ("entry_depth", depth),
        *_beside_the_helix(cut, helix.bore),
    )
    return WayIn(HELIX.name, time, ramp_angle=helix.angle, facts=facts, held=helix.held)


def _beside_the_helix(cut: Cut, bore: float) -> tuple[tuple[str, Value], ...]:
    """What a helix of a bore [mm] leaves on the wall of a round hole that it could bore whole, leaving no core."""
    whole, cutter = bored(cut), cut.cutter
    if not cut.region.round or core_margin(cut, whole) < 0 or exceeds(cutter.DC + cutter.dead_centre, whole):
        return ()
    left = worked_out(OF_THE_HELIX, cut.inside.facts, {"helix_bore": bore}, limits=cut.bench.limits)
    return tuple(left.items())


def _to_and_fro(plan: Plan, cut: Cut) -> WayIn:
    cutter, limits, region = cut.cutter, cut.bench.limits, cut.region
    if METHODS[plan.method].along_the_cut:
        if "ramp_time" not in plan.facts or not ramps(cutter):
            return WayIn(ZIGZAG.name, None)
        ramp, walls = float(plan.facts["ramp_time"]), float(plan.facts["walls_time"])
        travel = share_time(ramp, limits["cut_share_profile"]) - ramp
        return WayIn(
            ZIGZAG.name,
            0.0,
            cut_time=ramp + walls,
            travel_time=travel,
            ramp_angle=float(plan.facts["ramp_angle"]),
            facts=(
                ("entry_angle", plan.facts["ramp_angle"]),
                ("cut_time", ramp + walls),
                ("travel_time", travel),
                ("ramp_short", difference(cutter.dead_centre, float(plan.facts["ramp_length"]))),
            ),
            held=ramp_held(cut),
        )
    length = difference(region.width if region.round else region.length, 2 * cut.inside.side)
    if exceeds(limits["ramp_length_ratio_least"] * cutter.DC, length) or not ramps(cutter):
        return WayIn(ZIGZAG.name, None)
    angle = ramp_angle(cut)
    deepest = borne_at_full_width(cut, min(full_width_most(cut), 2 * ramp_descent(length, cutter.DC, angle)))
    depth, air = cut.inside.depth_to_cut + plan.levels * limits["entry_clearance"], limits["entry_clearance"]
    level = cut.inside.depth_to_cut / plan.levels
    strokes = plan.levels * (ramp_strokes(level, length, cutter.DC, angle, deepest, air) - 1) + 1  # each is ramped into
    feed, held = full_width_feed(cut, deepest)
    time = ramp_time(strokes, length, cutter.DC, feed * entry_share(cut))
    facts: tuple[tuple[str, Value], ...] = (
        ("entry_strokes", float(strokes)),
        ("entry_angle", angle),
        ("entry_stroke", length - cutter.DC),
        ("ramp_short", difference(cutter.DC + cutter.dead_centre, length)),
        ("entry_depth", depth),
        ("entry_way_feed", feed * entry_share(cut)),
    )
    return WayIn(ZIGZAG.name, time, ramp_angle=angle, facts=facts, held=(*ramp_held(cut), *held))


def _suiting(plan: Plan, drills: Drills, cut: Cut) -> tuple[Cutter, ...]:
    """The drills through whose holes a cutter can get in; of those wider than need be, the nearest few that reach.

    Of those that take the core out of a bore, the narrowest few and the widest few.
    """
    limits, DC = cut.bench.limits, cut.cutter.DC
    few = int(limits["hole_drills_wide"])
    if METHODS[plan.method].round_a_hole:
        core, bore = core_of(plan), float(plan.facts["bore"])
        inside = drills.cutters[
            bisect_left(drills.cutters, core - HAIR, key=_width) : bisect_left(drills.cutters, bore - HAIR, key=_width)
        ]
        inside = _reaching(inside, cut) or inside
        return inside[:few] + inside[max(few, len(inside) - few) :]
    least = limits["hole_ratio_bare" if drills.said else "hole_ratio_least"] * DC
    first = bisect_left(drills.cutters, least - HAIR, key=_width)
    widest = limits["hole_ratio_most"] * DC
    if cut.region.round:  # a wider one would be the hole itself
        widest = min(widest, limits["hole_round_share_most"] * float(cut.inside.facts["entry_room"]))
    if drills.said:  # however wide it is, the cutter goes down it
        widest = inf
    enough = bisect_right(drills.cutters, limits["hole_ratio_enough"] * DC + HAIR, key=_width)
    last = bisect_right(drills.cutters, widest + HAIR, key=_width)
    wide = drills.cutters[enough:last]
    return drills.cutters[first:enough] + (_reaching(wide, cut) or wide)[:few]


def _reaching(drills: tuple[Cutter, ...], cut: Cut) -> tuple[Cutter, ...]:
    return tuple(drill for drill in drills if reaches(min(drill.APMX, drill.LU - cut.region.top), tip_of(drill, cut)))


def _width(cutter: Cutter) -> float:
    return cutter.DC


def _through_a_hole(plan: Plan, cut: Cut, drills: Drills, spare: float) -> Iterator[WayIn]:
    region, DC, found, boring = cut.region, cut.cutter.DC, False, METHODS[plan.method].round_a_hole
    change, room = cut.bench.machine.tool_change, float(cut.inside.facts["entry_room"])
    for drill in _suiting(plan, drills, cut):
        hole = _hole(drill, drills, cut, core_of(plan) if boring else 0.0)
        if hole is None:
            continue
        found = True
        other = None
        down = (round_the_hole if boring else down_the_hole)(plan, cut, drill, hole.depth)
        time, more = None if down.time is None else hole.time + down.time, 0.0
        if boring and cut.drilled is None:
            other = round_it(replace(cut, drilled=drilled_by(drill, cut)))
            more = 0.0 if other is None else other.cut_time - plan.cut_time
        if time is not None and region.copies * (time + more) + change > spare:
            continue
        place: Situation = {
            "method": plan.method,
            "DC": DC,
            "radial_width": plan.radial_width,
            "engagement": plan.engagement,
            "depth": region.depth,
            "hole_diameter": drill.DC,
            "hole_depth": hole.depth,
            "hole_point": hole.point,
        }
        if region.floor_thickness is not None:
            place["floor_thickness"] = region.floor_thickness
        facts: tuple[tuple[str, Value], ...] = (
            ("hole_diameter", drill.DC),
            ("hole_depth", hole.depth),
            ("hole_point", hole.point),
            ("hole_time", region.copies * hole.time + change),
            ("hole_speed", hole.speed),
            ("hole_feed", hole.feed),
            ("hole_feed_per_revolution", hole.per_turn),
            ("hole_thrust", hole.thrust),
            ("hole_power_share", hole.power_share),
            ("hole_chip_kept", hole.chip_kept),
            ("hole_flute_margin", difference(drill.APMX, hole.depth)),
            ("hole_holder_margin", difference(drill.LPR, hole.depth, region.top)),
            ("hole_reach_margin", difference(drill.LU, hole.depth, region.top)),
            ("hole_short", difference(hole.depth + region.top, drill.LU)),
            ("hole_room_margin", difference(room, drill.DC)),
            ("hole_substrate", drill.substrate),
            ("hole_cooled_by", drills.inside(drill).facts.get("coolant", NO_COOLANT)),
            ("hole_inserts", yes(has_inserts(drill))),
            *_ground(drill, cut),
            *worked_out(OF_A_HOLE, place, limits=cut.bench.limits).items(),
            *down.facts,
        )
        if down.time is not None:
            facts = (*facts, ("hole_down_time", down.time))
        yield WayIn(HOLE.name, time, change=change, drill=drill, facts=facts, held=hole.held, plan=other)
    if not found:
        yield WayIn(HOLE.name, None)


def _ground(drill: Cutter, cut: Cut) -> tuple[tuple[str, Value], ...]:
    """Whether a drill for the way in is ground for the material; nothing where the crib does not say."""
    if drill.TMC1ISO is None:
        return ()
    fitting = {cut.bench.material.group, *cut.bench.data.ground_for}
    return (("hole_ground_here", yes(not fitting.isdisjoint(drill.TMC1ISO.split()))),)


def _hole(drill: Cutter, drills: Drills, cut: Cut, core: float) -> Hole | None:
    """The hole of a drill for a cutter to get in by; nothing where the tables have no cutting data for the drill."""
    depth = tip_of(drill, cut, core) if drills.tip is None else drills.tip
    place = (drill.id, depth)
    if place not in drills.holes:
        drill_cut = cut_of(drills.inside(drill), cut.region, cut.bench)
        drills.holes[place] = None if drill_cut is None else _drilled(drill_cut, depth)
    return drills.holes[place]


def tip_of(drill: Cutter, cut: Cut, core: float = 0.0) -> float:
    """How deep the tip of a drill goes [mm]: through where point and gap have room beneath, else short of it.

    Where a helix leaves a ``core`` [mm], the tip alone goes as far past the bottom as there is room, if the hole there
    is as wide as the core.
    """
    region, limits = cut.region, cut.bench.limits
    beyond = point_of(drill) + drilled_through(region, drill, cut.bench)
    room = difference(region.clearance_below or 0.0, limits["clearance_beyond_overcut"])
    if not region.floor and cut.inside.overcut > 0:
        if reaches(room, beyond):
            return region.depth + beyond
        tip = limits["drill_through_least"] + point_of(drill) * core / drill.DC
        if core > 0 and reaches(drill.DC, core) and reaches(room, tip):
            return region.depth + room
    return region.depth - (cut.inside.bottom or min(limits["skin"], limits["allowance_depth_share"] * region.depth))


def drilled_by(drill: Cutter, cut: Cut) -> Drilled:
    """The hole that a drill makes for a cutter to get in by."""
    return Drilled(drill.DC, difference(tip_of(drill, cut), point_of(drill)))


def _drilled(drill: Cut, depth: float) -> Hole:
    wanted, trial, lips = drilling_trial(drill), eased_drilling(drill), drill.cutter.ZEFP
    before, after = lips * wanted.feed_per_tooth, lips * trial.feed_per_tooth
    cause, held = spindle_cause(drill, wanted), []
    if exceeds(wanted.speed, trial.speed):
        held.append(Held(HOLE_SPEED, wanted.speed, trial.speed, cause))
    if exceeds(before, after):
        held.append(Held(HOLE_FEED, before, after, cause))
    return Hole(
        depth,
        point_of(drill.cutter),
        trial.speed,
        trial.feed,
        after,
        thrust_of(drill, trial),
        trial.load.worn_power / trial.load.power_available,
        after / before,
        drilling_time(drill, depth, trial.feed),
        tuple(held),
    )


def _straight_down(plan: Plan, cut: Cut) -> WayIn:
    if not cut.cutter.end_cutting:
        return WayIn(PLUNGE.name, None)
    if METHODS[plan.method].straight_down:
        return WayIn(PLUNGE.name, 0.0)
    limits = cut.bench.limits
    depth = cut.inside.depth_to_cut + plan.levels * limits["entry_clearance"]
    feed, held = full_width_feed(cut, min(plan.axial_depth, full_width_most(cut)))
    down = feed * limits["plunge_feed_share"]
    facts: tuple[tuple[str, Value], ...] = (("entry_depth", depth), ("entry_way_feed", down))
    return WayIn(PLUNGE.name, path_time(depth, down), facts=facts, held=held)


# The ways in that a plan has one of each; through a hole there is one for each drill.
WORKED_OUT: Mapping[str, Callable[[Plan, Cut], WayIn]] = {
    SIDE.name: _from_the_side,
    HELIX.name: _down_a_helix,
    ZIGZAG.name: _to_and_fro,
    PLUNGE.name: _straight_down,
}
