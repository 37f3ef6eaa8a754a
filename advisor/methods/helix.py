"""The helix that a cutter goes down on, and how far it goes straight down a drilled hole before it needs one."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import NamedTuple

from advisor.knowledge.conditions import Value
from advisor.mechanics.chip import top_edge_angle
from advisor.mechanics.entry import (
    cone_depth,
    drill_point,
    helix_angle,
    helix_bore,
    helix_depth,
    helix_pitch,
    helix_time,
)
from advisor.mechanics.lengths import difference, exceeds, reaches
from advisor.mechanics.motion import axis_limited_feed
from advisor.mechanics.timing import path_time
from advisor.methods.boring import middle_margin
from advisor.methods.cut import Cut, Trial
from advisor.methods.easing import TrialAt, at_size, light_share, thinnest
from advisor.methods.feeds import ease_feed, least_share
from advisor.methods.layers import full_width_most
from advisor.methods.slotting import ramp_angle, ramp_held
from advisor.methods.trial import TrialBasis, ease, greatest, try_cut
from advisor.model.cause import Cause, Held, HeldBy
from advisor.model.cutter import Cutter
from advisor.model.plan import Helix, Plan

WAY_IN_FEED = "feed_per_tooth_on_the_way_in"


def ramps(cutter: Cutter) -> bool:
    """Whether the cutter can go down at an angle."""
    return cutter.end_cutting or bool(cutter.RMPX)


def entry_share(cut: Cut) -> float:
    """The share of the full feed on the way in, by the group of the material."""
    return float(cut.inside.facts.get("entry_feed_share", cut.bench.limits["opening_feed_share"]))


def full_width_feed(cut: Cut, depth: float) -> tuple[float, tuple[Held, ...]]:
    """The feed at full width and a small depth [mm/min], and what held it back; the same for every method."""
    place = (depth, cut.chip, cut.cutter.KAPR, cut.spare, cut.pinned)
    known = cut._feeds.get(place)
    if known is None:
        trial, held = ease_feed(cut, at_size(_full_width(cut), depth))
        known = trial.feed, tuple(one._replace(setting=WAY_IN_FEED) for one in held)
        cut._feeds[place] = known
    return known


def _full_width(cut: Cut) -> TrialAt:
    """Tries an axial depth [mm] at full width."""

    def trial_at(depth: float, /, chip: float | None = None, speed_most: float | None = None) -> Trial:
        return try_cut(cut, depth, cut.cutter.DC, 180.0, chip=chip, speed_most=speed_most)

    return trial_at


def borne_at_full_width(cut: Cut, most: float) -> float:
    """The greatest depth at full width up to ``most`` that is borne with a little less feed, with a slower spindle
    where the thinnest is not [mm]; ``most`` itself where somebody else chose the angle of descent.
    """
    if cut.pinned.ramp_angle is not None:
        return most
    trial_at, least = _full_width(cut), thinnest(cut, most)
    share = light_share if light_share(cut, at_size(trial_at, least)) <= 1 else least_share
    return greatest(lambda depth: share(cut, at_size(trial_at, depth)), least, most)


def helix_room(cut: Cut) -> float | None:
    """The widest bore that the cutter can helix down in [mm]; nothing where it does not ramp or there is no room."""
    cutter, limits = cut.cutter, cut.bench.limits
    kind = "end_cutting" if cutter.end_cutting else "inserted"
    bore = helix_bore(
        cutter.DC,
        cutter.RE,
        cut.region.entry_width,
        cut.inside.side,
        limits[f"helix_bore_low_{kind}"],
        limits[f"helix_bore_high_{kind}"],
        cutter.dead_centre,
    )
    return None if bore is None or not exceeds(bore, cutter.DC) or not ramps(cutter) else bore


def turn_of(cut: Cut, bore: float) -> tuple[float, float]:
    """How far the cutter goes down in one turn [mm], and at which angle [deg]: no deeper than a cut at full width may
    be, unless somebody else chose the angle.
    """
    angle, deepest = ramp_angle(cut), full_width_most(cut)
    pitch = helix_pitch(bore, cut.cutter.DC, angle)
    if exceeds(pitch, deepest) and cut.pinned.ramp_angle is None:
        return deepest, helix_angle(deepest, bore, cut.cutter.DC)
    return pitch, angle


def on_the_corner(cut: Cut, depth: float) -> Cut:
    """The cut with the edge angle that the corner radius has at a depth [mm], where that is less than the radius: the
    chip is thinner there, and the feed may be raised by as much, up to a bound.
    """
    cutter = cut.cutter
    edge = top_edge_angle(depth, cutter.RE, cutter.KAPR, cut.bench.limits["corner_thinning_most"])
    inside = replace(cut.inside, cutter=cutter.model_copy(update={"KAPR": edge}))
    return replace(cut, inside=inside) if edge < cutter.KAPR else cut


def helix_of(cut: Cut) -> Helix | None:
    """The helix in the widest bore there is room for; nothing where there is none."""
    bore = helix_room(cut)
    if bore is None:
        return None
    place = (bore, cut.chip, cut.spare, cut.pinned)
    found = cut._helices.get(place)
    if found is None:
        found = cut._helices[place] = _borne(cut, bore)
    return found


def _borne(cut: Cut, bore: float) -> Helix:
    """The helix that spindle and cutter bear: where it asks too much of them it is flatter, and the chip no thinner
    until it is as flat as a way in may be.
    """
    DC, (pitch, angle), steepest, held = cut.cutter.DC, turn_of(cut, bore), ramp_angle(cut), ramp_held(cut)
    if angle < steepest:
        held = (*held, Held("ramp_angle", steepest, angle, Cause(HeldBy.DEPTH_AT_FULL_WIDTH)))
    share = difference(bore, DC) / bore
    moves = share * entry_share(cut)  # of the table's feed at the wall, how fast the centre goes
    moves = max(moves, min(1.0, cut.chip_least / cut.chip))  # no slower than the edge can cut
    axes = axis_limited_feed(cut.bench.machine.axis_acceleration, (bore - DC) / 2)
    chip, pinned = moves * cut.chip, cut.pinned
    if pinned.feed_per_tooth is not None:
        pinned = pinned._replace(feed_per_tooth=moves * pinned.feed_per_tooth)
    centre = replace(cut, chip=chip, chip_least=min(cut.chip_least, chip), pinned=pinned)
    basis = TrialBasis(feed_most=moves * cut.bench.machine.feed_max)

    def trial_at(at: float, chip: float | None = None, speed_most: float | None = None) -> Trial:
        turn = helix_pitch(bore, DC, at)
        shaped, wanted = on_the_corner(centre, turn), centre.chip if chip is None else chip
        deep = helix_depth(turn, bore, DC)
        found = try_cut(shaped, deep, DC, 180.0, basis=basis, chip=wanted, speed_most=speed_most)
        if found.feed <= axes or pinned.feed_per_tooth is not None:
            return found
        wanted *= axes / found.feed  # the axes go no faster on so small a circle, and the spindle turns as before
        return try_cut(shaped, deep, DC, 180.0, basis=basis, chip=wanted, speed_most=speed_most)

    least = min(angle, cut.bench.limits["RMPX_least"])
    eased, of_angle = ease(centre, "ramp_angle", angle, least, trial_at)
    trial, of_feed = ease_feed(centre, partial(trial_at, eased))
    if eased < angle:
        pitch = helix_pitch(bore, DC, eased)
    why = (one._replace(setting=WAY_IN_FEED, before=one.before / share, after=one.after / share) for one in of_feed)
    return Helix(bore, pitch, eased, min(trial.feed, axes), (*held, *of_angle, *why))


def descent_time(helix: Helix, depth: float, DC: float) -> float:
    """Time for a depth of the helix [s]."""
    return helix_time(depth, helix.bore, DC, helix.angle, helix.feed)


class Descent(NamedTuple):
    """How a cutter goes down a drilled hole, over all levels: time [s], or nothing where it cannot; its facts."""

    time: float | None
    facts: tuple[tuple[str, Value], ...]


def down_the_hole(plan: Plan, cut: Cut, drill: Cutter, hole_depth: float) -> Descent:
    """Down a hole whose tip lies ``hole_depth`` deep [mm]: in rapid to the cone, in feed through it, and on a helix
    from where a dead centre, or in material that is hard to cut any of the cutter, meets the cone.
    """
    cutter, limits, depth = cut.cutter, cut.bench.limits, cut.inside.depth_to_cut
    material, point = depth_in_material(cut), drill_point(drill.DC, drill.point_angle or 180.0)
    full = max(0.0, cone_depth(hole_depth, point, drill.DC, drill.DC))
    spared = cut.inside.facts.get("hard_to_cut") == "yes"  # there no cutter plunges, not even into a cone
    solid = min(cutter.DC if spared else cutter.dead_centre, drill.DC)
    meets = cone_depth(hole_depth, point, drill.DC, solid)
    free = solid == 0 or reaches(meets, material)  # nothing stays under the middle of the cutter
    straight = depth if free else max(0.0, meets)
    slow, _ = full_width_feed(cut, min(plan.axial_depth, full_width_most(cut)))
    time = path_time(max(0.0, min(straight, material) - full), slow * limits["plunge_feed_share"])
    time += plan.levels * path_time(limits["entry_clearance"], plan.feed_rate)
    left = difference(depth, straight)
    facts: tuple[tuple[str, Value], ...] = (("hole_straight", straight), ("hole_helix_depth", left))
    if left <= 0:
        return Descent(time, facts)
    helix = helix_of(cut)
    if helix is None:
        return Descent(None, facts)
    below = sum(1 for level in range(1, plan.levels + 1) if exceeds(min(depth, level * plan.axial_depth), straight))
    on = descent_time(helix, left + below * limits["entry_clearance"], cutter.DC)
    return Descent(time + on, (*facts, ("hole_helix_bore", helix.bore), ("hole_helix_time", on)))


def core_of(plan: Plan) -> float:
    """Diameter of the core that a helix down a bore would leave in its middle, under the cutter or inside its path
    [mm]; 0 where it leaves none.
    """
    return round(max(0.0, -float(plan.facts["core_margin"]), -float(plan.facts["dead_core_margin"])), 6)


def depth_in_material(cut: Cut) -> float:
    """How deep the material goes that the cutter takes [mm]: past the bottom of a through feature there is none."""
    return difference(cut.inside.depth_to_cut, cut.inside.overcut)


def round_the_hole(plan: Plan, cut: Cut, drill: Cutter, hole_depth: float) -> Descent:
    """Down a bore on its helix round a drilled hole, which takes the core away as deep as it is as wide as the core;
    the helix is the cut.
    """
    core, depth = core_of(plan), depth_in_material(cut)
    left = 0.0 if core == 0 else depth
    if core > 0 and reaches(drill.DC, core):
        point = drill_point(drill.DC, drill.point_angle or 180.0)
        left = max(0.0, difference(depth, cone_depth(hole_depth, point, drill.DC, core)))
    middle = middle_margin(float(plan.facts["bore"]), cut.cutter, drill.DC)
    return Descent(0.0, (("bore_core", core), ("core_height", left), ("middle_margin", middle)))
