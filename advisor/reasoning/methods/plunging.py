"""Plunge roughing: straight down beside the last plunge, the force along the spindle."""

from __future__ import annotations

from math import ceil

from advisor.mechanics.engagement import engagement_angle
from advisor.mechanics.timing import path_time
from advisor.reasoning.cut import Cut, Trial, ease_feed, try_cut, unbent
from advisor.reasoning.methods.finish import finished
from advisor.reasoning.plan import Plan

METHOD = "plunge_roughing"


def steps(cut: Cut) -> tuple[float, float]:
    """The radial width of a plunge, and the step sideways to the next [mm]."""
    limits, region, DC = cut.bench.limits, cut.region, cut.cutter.DC
    radial, step = limits["plunge_radial_share"] * DC, limits["plunge_step_share"] * DC
    if region.strip_like and region.strip is not None and region.strip > cut.inside.side:
        radial = min(radial, region.strip - cut.inside.side)
    return cut.pinned.radial_width or radial, step


def plan(cut: Cut) -> Plan:
    """The plan for this cutter in this region. The radial width is that of a plunge; the step sideways is a fact."""
    cutter, limits, region = cut.cutter, cut.bench.limits, cut.region
    depth, (radial, step) = cut.inside.depth_to_cut, steps(cut)
    angle = engagement_angle(radial, cutter.DC)
    share = limits["plunge_feed_share"]

    def trial_at(chip: float | None = None) -> Trial:
        # A plunging tooth cuts a chip as thick as its feed; its force goes along the spindle.
        chip = share * (cut.chip if chip is None else chip)
        return unbent(try_cut(cut, step, radial, 90.0, chip=chip, steady=True))

    wanted = trial_at()
    trial = trial_at(ease_feed(cut, trial_at))
    area = region.area(cut.inside.side) or region.wall_way(cutter.DC) * radial
    plunges = ceil(area / (radial * step))
    cut_time = plunges * path_time(depth + limits["approach"], trial.feed)
    travel = plunges * path_time(depth + limits["approach"] + step, cut.bench.machine.rapid)
    return finished(
        cut,
        METHOD,
        trial,
        levels=1,
        axial=depth,
        radial=radial,
        angle=angle,
        cut_time=cut_time,
        travel=travel,
        wanted=wanted,
        facts={"load_angle": 90.0, "plunges": float(plunges), "plunge_step": step},
    )
