"""Holes: drilling in one go, and helical boring with a cutter narrower than the hole."""

from __future__ import annotations

from math import pi, radians, tan

from advisor.inputs.cutter import Cutter
from advisor.mechanics import levels as level_rules
from advisor.mechanics.drilling import drill_thrust
from advisor.mechanics.entry import drill_point
from advisor.mechanics.lengths import difference, exceeds, reaches
from advisor.mechanics.motion import arc_feed, axis_limited_feed
from advisor.mechanics.timing import path_time
from advisor.reasoning.cut import Cut, Trial, ease, greatest, spindle_cause, spindle_share, try_cut, unbent
from advisor.reasoning.feeds import ease_feed, light_chip
from advisor.reasoning.methods.borne import at_size, pinned_levels, thinnest
from advisor.reasoning.methods.finish import finished
from advisor.reasoning.methods.slotting import full_width_most, ramp_angle, ramp_held
from advisor.reasoning.plan import Plan
from advisor.reasoning.situation import InFeature
from advisor.rulebase.wording import quantity

DRILLING, BORING = "drilling", "helical_boring"


def point_of(cutter: Cutter) -> float:
    """Length of a drill's point [mm]."""
    return drill_point(cutter.DC, cutter.point_angle or 180.0)


def drilled_to_size(item: InFeature) -> bool:
    """Whether a drill is so little wider than a hole for clearance or thread that it drills it to size."""
    return item.facts.get("drilled_to_size") == "yes"


def drill_depth(cut: Cut) -> float:
    """How deep the tip of a drill goes in a round hole [mm]: a drawing's depth is that at full diameter, so the point
    goes deeper, unless the floor must be flat.
    """
    if cut.pinned.axial_depth is not None:
        return cut.pinned.axial_depth
    flat = cut.region.floor and cut.region.flat_floor
    return cut.inside.depth_to_cut + (0.0 if flat else point_of(cut.cutter))


def drilling_trial(cut: Cut, chip: float | None = None) -> Trial:
    """The load of drilling: both lips together take the whole section a turn, as a cut DC/4 deep and pi DC wide would.

    The lips balance each other, so nothing pushes the drill aside.
    """
    return unbent(try_cut(cut, cut.cutter.DC / 4, cut.cutter.DC * pi, 90.0, chip=chip, steady=True))


def eased_drilling(cut: Cut) -> Trial:
    """The load of drilling with the feed that the spindle has power and torque for, no less than the edge can cut."""
    return drilling_trial(
        cut, greatest(lambda thin: spindle_share(cut, drilling_trial(cut, thin)), cut.chip_least, cut.chip)
    )


def thrust_of(cut: Cut, trial: Trial) -> float:
    """The force of a drill along the spindle, with a worn edge as all forces are [N]."""
    cutter, share = cut.cutter, cut.bench.limits["drill_thrust_share"]
    worn = cut.bench.limits["wear_factor"] * trial.load.k_c
    return drill_thrust(worn, cutter.DC, trial.feed_per_tooth * cutter.ZEFP, cutter.KAPR, share)


def drilling_time(cut: Cut, depth: float, feed: float) -> float:
    """Time for drilling to a depth [s], with lifting to clear chips where the hole is deep."""
    limits = cut.bench.limits
    lifting = limits["drill_peck_factor"] if exceeds(depth, limits["drill_peck_ratio"] * cut.cutter.DC) else 1.0
    return path_time(depth + limits["approach"], feed) * lifting + path_time(depth, cut.bench.machine.rapid)


def plan_drilling(cut: Cut) -> Plan:
    """The plan for this drill in this hole."""
    cutter = cut.cutter
    wanted, trial = drilling_trial(cut), eased_drilling(cut)
    cut.hold("feed_per_tooth", wanted.feed_per_tooth, trial.feed_per_tooth, spindle_cause(cut, wanted))
    depth = drill_depth(cut)
    plan = finished(
        cut,
        DRILLING,
        trial,
        levels=1,
        axial=depth,
        radial=cutter.DC,
        angle=180.0,
        cut_time=drilling_time(cut, depth, trial.feed),
        travel=0.0,
        wanted=wanted,
        facts={
            "thrust": thrust_of(cut, trial),
            "feed_per_revolution": trial.feed_per_tooth * cutter.ZEFP,
            **_deep(cut, depth),
            **_left(cut),
        },
    )
    if cut.pinned.side_allowance is None:  # what stays on the wall follows from the drill
        plan.side_allowance = max(0.0, difference(cut.region.width, cutter.DC) / 2)
        plan.facts["planned_side_allowance"] = plan.side_allowance
        plan.facts.pop("deflection_share", None)
        if plan.side_allowance > 0:
            plan.facts["deflection_share"] = 0.0
    return plan


def _deep(cut: Cut, depth: float) -> dict[str, float | None]:
    """How deep the drill goes, and what stays beneath and above it [mm]."""
    region, cutter, beyond = cut.region, cut.cutter, difference(depth, cut.region.depth)
    under = None if region.floor_thickness is None else difference(region.floor_thickness, beyond)
    return {
        "drill_point": point_of(cutter),
        "drill_depth": depth,
        "full_depth": difference(depth, point_of(cutter)),
        "full_short": difference(cut.inside.depth_to_cut + point_of(cutter), depth),
        "tip_beyond": beyond,
        "point_room": None if region.floor else difference(region.clearance_below or 0.0, beyond),
        "under_tip": under,
        "under_tip_ratio": None if under is None else under / cutter.DC,
        "drill_margin": difference(cutter.LU, depth, region.top),
        "drill_holder_margin": difference(cutter.LPR, depth, region.top),
    }


def _left(cut: Cut) -> dict[str, float | None]:
    """What the drill leaves on the wall, what the purpose of the hole asks for, and the drills that leave it [mm]."""
    width, side = cut.region.width, cut.inside.side
    rest, purpose = difference(width, cut.cutter.DC) / 2, cut.inside.facts["hole_purpose"]
    if rest < 0 and drilled_to_size(cut.inside):
        rest = 0.0
    most = max(side, cut.bench.limits[f"hole_left_most_{purpose}"])
    return {
        "wall_rest": rest,
        "left_short": difference(side, rest),
        "left_over": difference(rest, most),
        "drill_size_least": width - 2 * most,
        "drill_size_most": width - 2 * side,
    }


def _core_margin(cut: Cut, bore: float) -> float:
    """The widest bore in which no core stands, less this one [mm]; 0 where the core is so thin that it breaks off.

    Where the corners of the cutter go past the bottom, or down to it, only what the whole diameter leaves stands.
    """
    left = max(0.0, difference(cut.cutter.RE, cut.inside.overcut))
    margin = difference(2 * (cut.cutter.DC - left), bore)
    return 0.0 if -margin > 0 and reaches(cut.bench.limits["core_breaks_off"], -margin) else margin


def plan_boring(cut: Cut) -> Plan | None:
    """The plan for this cutter in this hole; nothing where the hole less its allowance is no wider than the cutter."""
    region, cutter = cut.region, cut.cutter
    bore = region.width - 2 * cut.inside.side
    if not exceeds(bore, cutter.DC):
        return None
    angle, way, depth = ramp_angle(cut), pi * (bore - cutter.DC), cut.inside.depth_to_cut
    cut.held.extend(ramp_held(cut))

    def trial_at(pitch: float, /, chip: float | None = None, speed_most: float | None = None) -> Trial:
        return try_cut(cut, pitch, cutter.DC, 180.0, chip=chip, speed_most=speed_most)

    steepest = way * tan(radians(angle))
    allowed = min(full_width_most(cut), depth)
    if (said := pinned_levels(cut)) is not None:
        steepest = allowed = said[1]
    pitch = (
        cut.hold("axial_depth", steepest, allowed, "depth at full width") if exceeds(steepest, allowed) else steepest
    )
    wanted = trial_at(pitch)
    light = light_chip(cut, at_size(trial_at, pitch))
    eased = ease(cut, "axial_depth", pitch, thinnest(cut, pitch, trial_at), lambda deep: trial_at(deep, light))
    turns = said[0] if said is not None else level_rules.levels(depth, eased)
    if exceeds(steepest, eased):
        cut.hold("axial_depth", eased, depth / turns, f"{turns} equal turns")
    pitch = depth / turns
    trial = ease_feed(cut, at_size(trial_at, pitch))
    centre = arc_feed(trial.feed, bore, cutter.DC)
    axes = axis_limited_feed(cut.bench.machine.axis_acceleration, way / (2 * pi))
    cause = f"axis acceleration on {quantity(way / (2 * pi), 'mm')} radius"
    held = cut.hold("centre_feed", centre, min(centre, axes), cause)
    cut_time = path_time((turns + 1) * way, held)
    return finished(
        cut,
        BORING,
        trial,
        levels=turns,
        axial=pitch,
        radial=cutter.DC,
        angle=180.0,
        cut_time=cut_time,
        travel=0.0,
        wanted=wanted,
        facts={
            "allowed_depth": eased,
            "bore": bore,
            "centre_feed": held,
            "ramp_angle": angle,
            "pitch": pitch,
            "path_radius": way / (2 * pi),
            "axis_feed": axes,
            "core_margin": _core_margin(cut, bore),
            "dead_core_margin": difference(bore, cutter.DC, cutter.dead_centre),
        },
    )
