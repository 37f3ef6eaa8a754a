"""Holes: drilling in one go, and helical boring with a cutter narrower than the hole."""

from __future__ import annotations

from math import ceil, pi, radians, tan

from advisor.mechanics.entry import drill_point
from advisor.mechanics.motion import arc_feed, axis_limited_feed
from advisor.mechanics.timing import path_time
from advisor.reasoning.cut import Cut, Trial, ease, ease_feed, greatest, spindle_cause, spindle_share, try_cut, unbent
from advisor.reasoning.methods.borne import pinned_levels, thinnest
from advisor.reasoning.methods.finish import finished
from advisor.reasoning.methods.slotting import full_width_most, ramp_angle, ramp_held
from advisor.reasoning.plan import Plan
from advisor.rulebase.wording import quantity

DRILLING, BORING = "drilling", "helical_boring"


def drill_depth(cut: Cut, depth: float, through: bool, bottom: float) -> float:
    """How deep the tip of a drill goes [mm]: through by its point and a little more, or short of a floor by its
    allowance.
    """
    if not through:
        return depth - bottom
    return depth + drill_point(cut.cutter.DC, cut.cutter.point_angle or 180.0) + cut.bench.limits["drill_through"]


def drilling_trial(cut: Cut, chip: float | None = None) -> Trial:
    """The load of drilling: both lips together take the whole section a turn, as a cut DC/4 deep and pi DC wide would.

    The lips balance each other, so nothing pushes the drill aside.
    """
    return unbent(try_cut(cut, cut.cutter.DC / 4, cut.cutter.DC * pi, 90.0, chip=chip, steady=True))


def drilling_time(cut: Cut, depth: float, feed: float) -> float:
    """Time for drilling to a depth [s], with lifting to clear chips where the hole is deep."""
    limits = cut.bench.limits
    lifting = limits["drill_peck_factor"] if depth > limits["drill_peck_ratio"] * cut.cutter.DC else 1.0
    return path_time(depth + limits["approach"], feed) * lifting + path_time(depth, cut.bench.machine.rapid)


def plan_drilling(cut: Cut) -> Plan:
    """The plan for this drill in this hole."""
    region, cutter = cut.region, cut.cutter
    wanted = drilling_trial(cut)
    chip = greatest(lambda thin: spindle_share(cut, drilling_trial(cut, thin)), cut.chip_least, cut.chip)
    trial = drilling_trial(cut, chip)
    cut.hold("feed_per_tooth", wanted.feed_per_tooth, trial.feed_per_tooth, spindle_cause(cut, wanted))
    depth = drill_depth(cut, region.depth, not region.floor, cut.inside.bottom)
    point = drill_point(cutter.DC, cutter.point_angle or 180.0)
    rest = (region.width - cutter.DC) / 2
    return finished(
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
            "drill_point": point,
            "drill_depth": depth,
            "wall_rest": rest - cut.inside.side,
            "drill_margin": cutter.LU - depth - region.top,
        },
    )


def plan_boring(cut: Cut) -> Plan | None:
    """The plan for this cutter in this hole; nothing where the hole less its allowance is no wider than the cutter."""
    region, cutter = cut.region, cut.cutter
    bore = region.width - 2 * cut.inside.side
    if bore <= cutter.DC:
        return None
    angle, way, depth = ramp_angle(cut), pi * (bore - cutter.DC), cut.inside.depth_to_cut
    cut.held.extend(ramp_held(cut))

    def trial_at(pitch: float, chip: float | None = None) -> Trial:
        return try_cut(cut, pitch, cutter.DC, 180.0, chip=chip)

    steepest = way * tan(radians(angle))
    allowed = min(full_width_most(cut), depth)
    if (said := pinned_levels(cut)) is not None:
        steepest = allowed = said[1]
    pitch = cut.hold("axial_depth", steepest, allowed, "depth at full width") if steepest > allowed else steepest
    wanted = trial_at(pitch)
    eased = ease(cut, "axial_depth", pitch, thinnest(cut, pitch, trial_at), trial_at)
    turns = said[0] if said is not None else ceil(depth / eased)
    if eased < steepest:
        cut.hold("axial_depth", eased, depth / turns, f"{turns} equal turns")
    pitch = depth / turns
    trial = trial_at(pitch, ease_feed(cut, lambda thin: trial_at(pitch, thin)))
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
            "core_margin": 2 * (cutter.DC - cutter.RE) - bore,
        },
    )
