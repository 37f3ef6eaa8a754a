"""Face milling: a cutter somewhat wider than its pass, off centre, rolled in from the side; on a face, or along an
open shoulder up to the allowance on its wall.
"""

from __future__ import annotations

from advisor.mechanics import levels as level_rules
from advisor.mechanics.engagement import engagement_angle
from advisor.mechanics.lengths import difference, reaches
from advisor.mechanics.timing import one_way_travel, path_time
from advisor.reasoning.cut import Cut, Trial, try_cut
from advisor.reasoning.feeds import ease_feed
from advisor.reasoning.methods.borne import at_size, borne, pieces_of
from advisor.reasoning.methods.finish import finished
from advisor.reasoning.methods.layers import layer_chip, level_most
from advisor.reasoning.plan import Plan

METHOD = "face_milling"


def face_width(cut: Cut) -> float:
    """How wide the face is, less the allowance on the wall of a shoulder [mm]."""
    beside = difference(cut.region.width, cut.inside.side)
    return beside if beside > 0 else cut.region.width


def pass_width(cut: Cut) -> tuple[int, float]:
    """How many passes there are, and how wide each is [mm]: even where that stays near the usual width."""
    width, DC, limits = face_width(cut), cut.cutter.DC, cut.bench.limits
    if cut.pinned.radial_width is not None:
        return pieces_of(cut, width, cut.pinned.radial_width), cut.pinned.radial_width
    count = level_rules.levels(width, limits["face_radial_share_most"] * DC)
    even = width / count
    if count == 1 or reaches(even, DC / limits["face_ratio_most"]):
        return count, even
    usual = limits["face_radial_share"] * DC
    return level_rules.levels(width, usual), usual


def plan(cut: Cut) -> Plan:
    """The plan for this cutter on this face."""
    cutter, region = cut.cutter, cut.region
    cut.chip = layer_chip(cut)
    passes, radial = pass_width(cut)
    angle = engagement_angle(radial, cutter.DC)

    def trial_at(axial: float, /, chip: float | None = None, speed_most: float | None = None) -> Trial:
        return try_cut(cut, axial, radial, angle, chip=chip, speed_most=speed_most)

    def parts(count: int, feed: float) -> tuple[float, float]:
        travel = one_way_travel(count * passes, region.length, radial, cutter.DC, feed, cut.bench.machine.rapid)
        return path_time(count * passes * region.length, feed), travel

    wanted, count, axial, allowed = borne(
        cut, level_most(cut), trial_at, time_of=lambda count, axial, feed: sum(parts(count, feed))
    )
    trial = ease_feed(cut, at_size(trial_at, axial))
    cut_time, travel = parts(count, trial.feed)
    return finished(
        cut,
        METHOD,
        trial,
        levels=count,
        axial=axial,
        radial=radial,
        angle=angle,
        cut_time=cut_time,
        travel=travel,
        wanted=wanted,
        wanted_feed=trial.feed,
        facts={
            "allowed_depth": allowed,
            "passes": float(passes),
            "pass_ratio": cutter.DC / radial,
        },
    )
