"""Plunge roughing: straight down beside the last plunge, the force along the spindle."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from advisor.mechanics.engagement import engagement_angle
from advisor.mechanics.force import plunge_side_force
from advisor.mechanics.lengths import exceeds, pieces
from advisor.mechanics.timing import path_time
from advisor.methods.cut import Cut, Trial
from advisor.methods.feeds import ease_feed
from advisor.methods.finishing import CutResult, MethodFacts, finished
from advisor.methods.layers import layer_chip, table_level
from advisor.methods.method import Method
from advisor.methods.pace import MINUTE, TimeAt
from advisor.methods.trial import STEADY, bend_share, flat_edged, solid_chip, try_cut, unbent
from advisor.model.plan import FREE, Plan

SQUARE = 90.0  # deg: the edge that cuts lies across the spindle, whatever the edge angle for a cut with the side


def insert_width(cut: Cut) -> float:
    """How wide the end of the cutter cuts, from its rim to its dead centre [mm]."""
    return (cut.cutter.DC - cut.cutter.dead_centre) / 2


def steps(cut: Cut) -> tuple[float, float]:
    """The radial width of a plunge, at most as wide as the end cuts, and the step sideways to the next [mm]."""
    limits, region, DC = cut.bench.limits, cut.region, cut.cutter.DC
    radial, step = min(limits["plunge_radial_share"] * DC, insert_width(cut)), limits["plunge_step_share"] * DC
    if region.strip_like and region.strip is not None and exceeds(region.strip, cut.inside.side):
        radial = min(radial, region.strip - cut.inside.side)
    return cut.pinned.radial_width or radial, step


class SideCut(NamedTuple):
    """The thinnest cut with the side that is worth its time: depth [mm], deflection of the tip [mm]."""

    depth: float
    bend: float


def thin_side_cut(cut: Cut) -> SideCut:
    """The thinnest sensible cut with the side of this cutter: a thin level, as narrow as levels are cut.

    What is sensible hangs on width and edge of the cutter alone, so that a longer one always bends more in it.
    """
    limits, region, DC = cut.bench.limits, cut.region, cut.cutter.DC
    level = limits["side_cut_level_share"] * table_level(cut)
    depth = min(limits["side_cut_thin_share"] * DC, level, cut.inside.depth_to_cut)
    radial = limits["layer_radial_share_least"] * DC
    if region.strip_like and region.strip is not None and exceeds(region.strip, cut.inside.side):
        radial = min(radial, region.strip - cut.inside.side)
    free = replace(cut, pinned=FREE)
    trial = try_cut(free, depth, radial, engagement_angle(radial, DC), chip=layer_chip(cut))
    return SideCut(depth, trial.load.deflection)


def _squared(cut: Cut) -> Cut:
    """The cut with the edge that a plunge cuts with, and the chip for it."""
    if cut.cutter.KAPR == SQUARE:
        return cut
    cutter = cut.cutter.model_copy(update={"KAPR": SQUARE})
    chip = solid_chip(cutter, cut.bench) if flat_edged(cut.cutter, cut.bench) else cut.chip
    least = min(cut.chip_least, chip)
    return replace(cut, inside=replace(cut.inside, cutter=cutter), chip=chip, chip_least=least)


def plan(cut: Cut) -> Plan:
    """The plan for this cutter in this region. The radial width is that of a plunge; the step sideways is a fact."""
    side_cut, given = thin_side_cut(cut), cut.cutter
    cut = _squared(cut)
    cutter, limits, region = cut.cutter, cut.bench.limits, cut.region
    depth, (radial, step) = cut.inside.depth_to_cut, steps(cut)
    angle = engagement_angle(radial, cutter.DC)
    share = limits["plunge_feed_share"]

    def trial_at(chip: float | None = None, speed_most: float | None = None) -> Trial:
        # A plunging tooth cuts a chip as thick as its feed; its force goes along the spindle.
        chip = share * (cut.chip if chip is None else chip)
        return unbent(try_cut(cut, step, radial, 90.0, basis=STEADY, chip=chip, speed_most=speed_most))

    wanted = trial_at()
    trial, held = ease_feed(cut, trial_at)
    area = region.area(cut.inside.side) or region.wall_way(cutter.DC, cut.inside.side) * radial
    plunges = max(1, pieces(area, radial * step))
    cut_time = plunges * path_time(depth + limits["approach"], trial.feed)
    travel = plunges * path_time(depth + limits["approach"] + step, cut.bench.machine.rapid)
    worn = limits["wear_factor"] * trial.load.k_c
    side = plunge_side_force(
        worn, radial * step, min(radial, cutter.DC / 2), cutter.DC, trial.feed_per_tooth, cutter.ZEFP
    )
    result = CutResult(
        trial=trial,
        wanted=wanted,
        levels=1,
        axial=depth,
        radial=radial,
        angle=angle,
        cut_time=cut_time,
        travel=travel,
        held=held,
    )
    added = MethodFacts(
        facts={
            "load_angle": 90.0,
            "end_edge_angle": SQUARE,
            "plunges": float(plunges),
            "plunge_step": step,
            "plunge_side_force": side,
            "side_cut_depth": side_cut.depth,
            "side_cut_bend": side_cut.bend,
            "side_bend_share": bend_share(cut, side_cut.bend, cut.inside.side),
        },
        names=("plunge_bite_margin", "plunge_thrust"),
    )
    return replace(finished(cut, METHOD, result, added), cutter=given)


def lower_bound(cut: Cut) -> TimeAt:
    """A time at each pace that no plan of it stays below [s]; ``cut`` is as ``METHOD`` prepares it."""
    limits, region = cut.bench.limits, cut.region
    radial, step = steps(cut)
    area = region.area(cut.inside.side) or region.wall_way(cut.cutter.DC, cut.inside.side) * radial
    plunges, deep = max(1, pieces(area, radial * step)), cut.inside.depth_to_cut + limits["approach"]
    lifted = MINUTE * (deep + step) / cut.bench.machine.rapid
    return lambda pace: plunges * (pace.time(deep, deep * radial * step) + lifted)


METHOD = Method(
    name="plunge_roughing",
    plan=plan,
    lower_bound=lower_bound,
    straight_down=True,
    plunges=True,
    only_if_named=True,
)
