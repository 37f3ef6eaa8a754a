"""Helical boring with a cutter narrower than the hole: in the solid, or round a hole that was drilled first."""

from __future__ import annotations

from dataclasses import replace
from math import pi, radians, tan
from typing import NamedTuple

from advisor.mechanics import levels as level_rules
from advisor.mechanics.chip import chip_thickness, feed_per_tooth_for_chip
from advisor.mechanics.engagement import engagement_angle, engagement_angle_inside_arc, radial_width_for_angle
from advisor.mechanics.entry import corner_inset, helix_angle, helix_depth
from advisor.mechanics.lengths import difference, exceeds, pieces, reaches
from advisor.mechanics.motion import arc_feed, axis_limited_feed
from advisor.mechanics.timing import path_time
from advisor.methods.cut import Cut, Trial
from advisor.methods.easing import TrialAt, at_size, pieces_of, pinned_levels, thinnest
from advisor.methods.feeds import ease_feed, light_chip, lightest, thinned
from advisor.methods.finishing import CutResult, FeedBasis, MethodFacts, finished
from advisor.methods.layers import full_width_most, level_most
from advisor.methods.method import Method
from advisor.methods.pace import MINUTE, NEVER, Pace, TimeAt
from advisor.methods.slotting import ramp_angle, ramp_held
from advisor.methods.trial import TrialBasis, ease, try_cut
from advisor.model.cause import Cause, Held, HeldBy, Limited, limited
from advisor.model.cutter import Cutter
from advisor.model.plan import FREE, Plan

BURIED = 180.0  # deg: the whole front of the cutter is in the material


class Ring(NamedTuple):
    """What the cutter takes in a turn: radial width, and the width of the straight cut that engages it as much [mm],
    engagement [deg]; the height at the bottom of the bore where a drilled hole has no longer its full diameter [mm];
    the feed of the cutter's centre over that at the wall, and the share of the table's chip that is cut at it.
    """

    radial: float
    straight: float
    engagement: float
    cone: float = 0.0
    feed_share: float = 1.0
    chip_share: float = 1.0

    @property
    def solid(self) -> bool:
        """Whether the cutter is buried, as in the solid."""
        return self.engagement >= BURIED


def core_margin(cut: Cut, bore: float) -> float:
    """The widest bore in which no core stands, less this one [mm]; 0 where the core is so thin that it breaks off.
    In the hole of a casting the middle is open: there a ring would stand round the opening.

    Where the corners of the cutter go past the bottom, or down to it, only what the whole diameter leaves stands. So it
    is where what they leave in the middle is no higher than the stock on the floor, with which it is finished.
    """
    left = max(0.0, difference(cut.cutter.RE, cut.inside.overcut))
    if cut.cutter.KAPR >= 90:
        left = min(left, corner_inset(cut.cutter.RE, cut.inside.bottom))
    margin = difference(2 * (cut.cutter.DC - left) + opened(cut), bore)
    return 0.0 if -margin > 0 and reaches(cut.bench.limits["core_breaks_off"], -margin) else margin


def middle_margin(bore: float, cutter: Cutter, hole: float) -> float:
    """A drilled hole less the circle that the dead centre of the cutter goes over on its helix down a bore [mm]."""
    return difference(hole, bore - cutter.DC, cutter.dead_centre)


def opened(cut: Cut) -> float:
    """How wide the hole of a casting is open before it is bored [mm]; 0 in the solid."""
    return (cut.region.opening or 0.0) if cut.region.cored else 0.0


def bored(cut: Cut) -> float:
    """The bore on the cutter's helix: the hole less its allowances [mm]."""
    return cut.region.width - 2 * cut.inside.side


def ring_of(cut: Cut) -> Ring:
    """What the cutter takes on its helix: in the solid the whole cutter, round a drilled hole the ring between."""
    bore, DC, hole = bored(cut), cut.cutter.DC, cut.drilled
    if hole is None or hole.full_depth <= 0 or not exceeds(bore, hole.diameter):
        return Ring(DC, DC, BURIED)
    radial = (bore - hole.diameter) / 2
    angle = engagement_angle_inside_arc(radial, DC, (bore - DC) / 2)
    if angle >= BURIED:
        return Ring(DC, DC, BURIED)
    cone = max(0.0, difference(min(cut.inside.depth_to_cut, cut.region.depth), hole.full_depth))
    # The feed at the wall is that of a straight wall; the centre goes slower, and the arc engages the cutter further.
    share, straight = difference(bore, DC) / bore, engagement_angle(radial, DC)
    tooth = share * min(feed_per_tooth_for_chip(1.0, 90, straight), cut.bench.limits["thinning_factor_most"])
    chip = min(1.0, chip_thickness(tooth, 90, angle))
    return Ring(radial, radial_width_for_angle(angle, DC), angle, cone, share, chip)


def _on_the_circle(cut: Cut, ring: Ring) -> Cut:
    """The cut with the chip that is cut on the circle, and the feed of the centre for one that somebody else chose."""
    chip, pinned = ring.chip_share * cut.chip, cut.pinned
    if pinned.feed_per_tooth is not None:
        pinned = pinned._replace(feed_per_tooth=ring.feed_share * pinned.feed_per_tooth)
    return replace(cut, chip=chip, chip_least=min(cut.chip_least, chip), pinned=pinned)


def _at_the_wall(trial: Trial, ring: Ring) -> Trial:
    """The trial of a feed of the centre with the feed at the wall, as it is told and typed."""
    return trial._replace(feed_per_tooth=trial.feed_per_tooth / ring.feed_share, feed=trial.feed / ring.feed_share)


def _raised(cut: Cut, share: float) -> float:
    """By how much the feed is raised so that the chip, which is but a ``share`` of the table's since the centre goes
    slower than the wall, is no thinner than the edge can cut.
    """
    return max(1.0, min(cut.chip_least, cut.chip) / (share * cut.chip))


def _as_in_the_solid(cut: Cut, pitch: float, trial: Trial) -> Trial:
    """The trial of a feed at the wall with the load of the cutter's centre, which goes slower: a turn takes the area of
    the bore as deep as the pitch [mm].
    """
    bore, DC = bored(cut), cut.cutter.DC
    tooth = trial.feed_per_tooth * difference(bore, DC) / bore
    moved = replace(cut, pinned=cut.pinned._replace(feed_per_tooth=tooth, spindle_speed=trial.speed))
    found = try_cut(moved, helix_depth(pitch, bore, DC), DC, BURIED)
    bent = found.load._replace(deflection=found.load.force * cut.tip_compliance(pitch / 2))
    return trial._replace(rate=found.rate, load=bent)


def steepest_angle(cut: Cut, ring: Ring) -> float:
    """The angle of descent [deg]: the one taken of the material's range, never above the cutter's RMPX; steeper where
    the middle of the cutter goes over a drilled hole. Nothing is left there for its body to rub on, which is what RMPX
    keeps it from, but for the cone over a floor.
    """
    usual = ramp_angle(cut)
    if cut.drilled is None or ring.solid or cut.pinned.ramp_angle is not None:
        return usual
    if middle_margin(bored(cut), cut.cutter, cut.drilled.diameter) < 0:
        return usual
    beside = helix_angle(_rim_pitch(cut, cut.drilled.diameter), bored(cut), cut.cutter.DC)
    steep = max(cut.bench.data.ramp_angle[1], beside)
    return min(steep, cut.cutter.RMPX) if ring.cone > 0 and cut.cutter.RMPX else steep


def _rim_pitch(cut: Cut, diameter: float) -> float:
    """How deep a turn goes at most along the rim of a drilled hole of a diameter [mm]."""
    return pi * diameter * tan(radians(cut.bench.limits["bore_helix_angle_most"]))


def plan(cut: Cut) -> Plan | None:
    """The plan for this cutter in this hole; nothing where the hole less its allowance is no wider than the cutter."""
    cutter, bore = cut.cutter, bored(cut)
    if not exceeds(bore, cutter.DC):
        return None
    ring, way = ring_of(cut), pi * (bore - cutter.DC)
    share = difference(bore, cutter.DC) / bore
    angle = steepest_angle(cut, ring)
    held = ramp_held(cut) if angle == ramp_angle(cut) else ()
    table, cut = cut, _on_the_circle(cut, ring)

    raised = _raised(table, share if ring.solid else ring.chip_share)
    basis = TrialBasis(feed_most=ring.feed_share * cut.bench.machine.feed_max, across=ring.radial)

    def trial_at(pitch: float, /, chip: float | None = None, speed_most: float | None = None) -> Trial:
        thick = raised * (cut.chip if chip is None else chip)
        found = try_cut(cut, pitch, ring.straight, ring.engagement, basis=basis, chip=thick, speed_most=speed_most)
        return _as_in_the_solid(cut, pitch, found) if ring.solid else _at_the_wall(found, ring)

    found = _turns(cut, ring, tan(radians(angle)) * way, tan(radians(ramp_angle(cut))) * way, trial_at, _buried(table))
    pitch, turns = found.pitch, found.turns
    trial, of_feed = ease_feed(cut, at_size(trial_at, pitch))
    centre, of_axes = _within_the_axes(cut, arc_feed(trial.feed, bore, cutter.DC), way)
    cut_time = path_time((turns + 1) * way, centre)
    facts: dict[str, float | None] = {}
    if not ring.solid:
        below, slow = 0, centre
        if ring.cone > 0:
            below, slow = found.below + 1, min(centre, _feed_in_the_cone(table, found.cone_pitch, trial.speed))
        cut_time = path_time((turns + 1 - below) * way, centre) + path_time(below * way, slow)
        facts = {
            "straight_width": ring.straight,
            "arc_feed_share": ring.feed_share,
            "arc_chip_share": ring.chip_share,
            "cone_height": ring.cone,
            "cone_turns": float(below),
            "cone_pitch": found.cone_pitch if ring.cone > 0 else None,
            "cone_feed": slow,
        }
    result = CutResult(
        trial=trial,
        wanted=found.wanted,
        levels=turns,
        axial=pitch,
        radial=ring.radial,
        angle=ring.engagement,
        cut_time=cut_time,
        travel=0.0,
        held=(*held, *found.held, *of_feed, *of_axes),
    )
    added = MethodFacts(
        facts={
            "allowed_depth": found.allowed,
            "bore": bore,
            "centre_feed": centre,
            "ramp_angle": helix_angle(pitch, bore, cutter.DC),
            "pitch": pitch,
            "path_radius": way / (2 * pi),
            "axis_feed": _axes(cut, way),
            "core_margin": core_margin(cut, bore),
            "middle_margin": middle_margin(bore, cutter, opened(cut)) if cut.region.cored else None,
            "chip_least_here": table.chip_least,
            **facts,
        },
        names=("dead_core_margin",),
    )
    return finished(cut, METHOD, result, added, FeedBasis(feed_share=share))


class Turns(NamedTuple):
    """The cut that the tables want; how deep a turn goes and may go [mm], and how many there are; how deep each goes
    over the cone of a drilled hole [mm], and how many of them lie there; what held the depth of a turn back.
    """

    wanted: Trial
    pitch: float
    allowed: float
    turns: int
    cone_pitch: float
    below: int
    held: tuple[Held, ...] = ()


def _turns(cut: Cut, ring: Ring, steepest: float, steepest_buried: float, trial_at: TrialAt, buried: TrialAt) -> Turns:
    """The turns of the helix, which descends no more in one than the steepest, beside a hole and buried [mm].

    Round a drilled hole each may be as deep as a level; where the cutter is buried, in the solid and over the cone of
    the hole, no deeper than a cut at full width.
    """
    depth, cone = cut.inside.depth_to_cut, ring.cone
    said = pinned_levels(cut)
    if said is None and cut.pinned.ramp_angle is not None and steepest > 0:  # who chose the angle chose the pitch
        deep = min(steepest, depth)
        said = pieces(depth, deep), deep
    if said is not None:
        count, deep = said
        turn = deep if cut.pinned.levels is None else None  # a pitch that was said goes on to the end of the last turn
        beside = difference(depth, cone)
        if cone == 0 or beside <= 0 or (above := pieces_of(cut, beside, deep)) >= count:
            below = min(count, pieces(cone, depth / count)) if cone > 0 else 0
            return Turns(
                wanted=trial_at(deep),
                pitch=turn or depth / count,
                allowed=deep,
                turns=count,
                cone_pitch=turn or depth / count,
                below=below,
            )
        return Turns(
            wanted=trial_at(deep),
            pitch=turn or beside / above,
            allowed=deep,
            turns=count,
            cone_pitch=cone / (count - above),
            below=count - above,
        )
    most, by = full_width_most(cut), HeldBy.DEPTH_AT_FULL_WIDTH
    if not ring.solid and exceeds(level_most(cut), most):
        most, by = level_most(cut), HeldBy.DEPTH_OF_LEVEL
    allowed = min(most, depth)
    pitch, held = steepest, list[Held]()
    if exceeds(steepest, allowed):
        pitch, held = allowed, [*limited("axial_depth", steepest, allowed, Cause(by)).held]
    wanted = trial_at(pitch)
    light = light_chip(cut, at_size(trial_at, pitch))
    eased, of_load = ease(cut, "axial_depth", pitch, thinnest(cut, pitch), lambda deep: trial_at(deep, light))
    held += of_load
    narrow, below = eased, 0
    if cone > 0:  # there it is buried, with as thin a chip as the edge can cut
        thin = cut.chip_least or lightest(cut)
        start = min(eased, steepest_buried, full_width_most(cut))
        narrow = ease(cut, "axial_depth", start, thinnest(cut, start), lambda deep: buried(deep, thin)).value
        below = pieces(cone, narrow)
        narrow = cone / below
    beside = difference(depth, cone)
    above = level_rules.levels(beside, eased) if beside > 0 else 0
    turns = above + below
    even = beside / above if above else narrow
    if exceeds(steepest, eased):
        held += limited("axial_depth", eased, even, Cause(HeldBy.EQUAL_TURNS, (above or below,))).held
    return Turns(wanted, pitch=even, allowed=eased, turns=turns, cone_pitch=narrow, below=below, held=tuple(held))


def _buried(cut: Cut) -> TrialAt:
    """Tries a pitch [mm] with the whole front of the cutter in the material, whatever feed somebody else chose."""
    free = replace(cut, pinned=FREE)

    def trial_at(pitch: float, /, chip: float | None = None, speed_most: float | None = None) -> Trial:
        return try_cut(free, pitch, cut.cutter.DC, BURIED, chip=chip, speed_most=speed_most)

    return trial_at


def _feed_in_the_cone(cut: Cut, pitch: float, speed: float) -> float:
    """The feed of the cutter's centre where the drilled hole gets narrower [mm/min]: as in the solid, at the spindle
    speed of the turns above.
    """
    free = replace(cut, pinned=FREE)
    fed = thinned(free, cut.chip_least or lightest(cut), at_size(_buried(cut), pitch), speed)
    return arc_feed(fed.trial.feed, bored(cut), cut.cutter.DC)


def _axes(cut: Cut, way: float) -> float:
    """The feed that the axes can follow on the circle of the helix [mm/min]; ``way`` is its length [mm]."""
    return axis_limited_feed(cut.bench.machine.axis_acceleration, way / (2 * pi))


def _within_the_axes(cut: Cut, centre: float, way: float) -> Limited:
    """The feed of the cutter's centre that the axes can follow [mm/min]."""
    cause = Cause(HeldBy.AXES_ON_RADIUS, (way / (2 * pi),))
    return limited("centre_feed", centre, min(centre, _axes(cut, way)), cause)


def lower_bound(cut: Cut) -> TimeAt:
    """A time at each pace that no plan of it stays below [s]; ``cut`` is as ``METHOD`` prepares it."""
    DC, depth = cut.cutter.DC, cut.inside.depth_to_cut
    bore = bored(cut)
    if not exceeds(bore, DC):
        return lambda pace: NEVER
    way = pi * (bore - DC)
    pitch = min(way * tan(radians(ramp_angle(cut))), full_width_most(cut), depth)
    path, slower = (level_rules.levels(depth, pitch) + 1) * way, (bore - DC) / bore
    slower *= _raised(cut, slower)
    axes = axis_limited_feed(cut.bench.machine.axis_acceleration, way / (2 * pi))
    held = MINUTE * path / axes
    angle = max(ramp_angle(cut), cut.bench.data.ramp_angle[1])
    steepest = max(way * tan(radians(angle)), _rim_pitch(cut, bore))
    beside = max(full_width_most(cut), level_most(cut))
    open_ = (level_rules.levels(depth, min(steepest, beside, depth)) + 1) * way
    change = cut.bench.machine.tool_change / cut.region.copies if cut.drilled is None else 0.0  # once for all alike

    def at(pace: Pace) -> float:
        solid = max(pace.time(path / slower, depth * DC * way / slower), held)
        return min(solid, change + max(pace.time(open_, width=0.0), MINUTE * open_ / axes))  # round a drilled hole

    return at


METHOD = Method(
    name="helical_boring",
    plan=plan,
    lower_bound=lower_bound,
    in_turns=True,
    full_width=True,
    whole_hole=True,
    round_a_hole=True,
)
