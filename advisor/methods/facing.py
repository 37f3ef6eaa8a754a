"""Face milling: a cutter somewhat wider than its pass, off centre, rolled in from the side; on a face, or along an
open shoulder up to the allowance on its wall.
"""

from __future__ import annotations

from dataclasses import replace

from advisor.mechanics import levels as level_rules
from advisor.mechanics.engagement import engagement_angle
from advisor.mechanics.lengths import difference, exceeds, reaches
from advisor.mechanics.timing import one_way_travel, path_time
from advisor.methods.cut import Cut, Trial
from advisor.methods.easing import at_size, borne, pieces_of
from advisor.methods.feeds import ease_feed
from advisor.methods.finishing import CutResult, FeedBasis, MethodFacts, finished
from advisor.methods.layers import level_most, with_layer_chip
from advisor.methods.method import Method
from advisor.methods.pace import TimeAt, way_back
from advisor.methods.thin import held_by_cap, level_cap
from advisor.methods.trial import settled, try_cut
from advisor.model.cause import Cause, Held, HeldBy, limited
from advisor.model.plan import Plan


def prepare(cut: Cut) -> Cut:
    """The cut with the chip of layers, and the deflection that leaves no steps on the face."""
    return replace(with_layer_chip(cut), bend_most=cut.bench.limits["face_bend_planned"])


def face_width(cut: Cut) -> float:
    """How wide the face is, less the allowance on the wall of a shoulder [mm]."""
    beside = difference(cut.region.width, cut.inside.side)
    return beside if beside > 0 else cut.region.width


def pass_width(cut: Cut) -> tuple[int, float]:
    """How many passes there are, and how wide each is [mm]: even where that stays near the usual width, or a thin wall
    bears no wider ones.
    """
    width, most = face_width(cut), cut.bench.limits["face_radial_share_most"] * cut.cutter.DC
    if cut.pinned.radial_width is not None:
        return pieces_of(cut, width, cut.pinned.radial_width), cut.pinned.radial_width
    count, usual = usual_passes(cut)
    beside = wall_share(cut) * cut.cutter.DC
    if not exceeds(usual, beside):
        return count, usual
    count = level_rules.levels(width, min(most, beside))
    return count, width / count


def wall_share(cut: Cut) -> float:
    """The greatest width of a pass as a share of DC that the settings rules leave beside a thin wall."""
    if "thinnest_wall" not in cut.inside.facts:
        return 1.0
    return float(settled(cut, METHOD.name, 0.0).get("radial_share_most", 1.0))


def usual_passes(cut: Cut) -> tuple[int, float]:
    """How many passes there are where no wall gives way, and how wide each is [mm]."""
    width, DC, limits = face_width(cut), cut.cutter.DC, cut.bench.limits
    count = level_rules.levels(width, limits["face_radial_share_most"] * DC)
    even = width / count
    if count == 1 or reaches(even, DC / limits["face_ratio_most"]):
        return count, even
    usual = limits["face_radial_share"] * DC
    return level_rules.levels(width, usual), usual


def plan(cut: Cut) -> Plan:
    """The plan for this cutter on this face."""
    cutter, region = cut.cutter, cut.region
    passes, radial = pass_width(cut)
    held: tuple[Held, ...] = ()
    if cut.pinned.radial_width is None:
        share, tall = wall_share(cut), float(cut.inside.facts.get("wall_slenderness", 0.0))
        cause = Cause(HeldBy.SHARE_OF_DC_AT_WALL, (share, tall))
        held = limited("radial_width", max(radial, usual_passes(cut)[1]), radial, cause).held
    angle = engagement_angle(radial, cutter.DC)

    def trial_at(axial: float, /, chip: float | None = None, speed_most: float | None = None) -> Trial:
        return try_cut(cut, axial, radial, angle, chip=chip, speed_most=speed_most)

    def parts(count: int, feed: float) -> tuple[float, float]:
        travel = one_way_travel(count * passes, region.length, radial, cutter.DC, feed, cut.bench.machine.rapid)
        return path_time(count * passes * region.length, feed), travel

    wanted, count, axial, allowed, of_depth = borne(
        cut,
        min(level_most(cut), level_cap(cut)),
        trial_at,
        time_of=lambda count, axial, trial: sum(parts(count, trial.feed)),
    )
    of_wall = held_by_cap(cut, min(level_most(cut), cut.inside.depth_to_cut), axial)
    trial, of_feed = ease_feed(cut, at_size(trial_at, axial))
    cut_time, travel = parts(count, trial.feed)
    result = CutResult(
        trial=trial,
        wanted=wanted,
        levels=count,
        axial=axial,
        radial=radial,
        angle=angle,
        cut_time=cut_time,
        travel=travel,
        held=(*held, *of_depth, *of_wall, *of_feed),
    )
    added = MethodFacts(facts={"allowed_depth": allowed, "passes": float(passes)}, names=("pass_ratio",))
    return finished(cut, METHOD, result, added, FeedBasis(wanted_feed=trial.feed))


def lower_bound(cut: Cut) -> TimeAt:
    """A time at each pace that no plan of it stays below [s]; ``cut`` is as ``METHOD`` prepares it."""
    depth, half = cut.inside.depth_to_cut, cut.cutter.DC / 2
    passes, radial = pass_width(cut)
    count = level_rules.levels(depth, min(level_most(cut), level_cap(cut)))
    along = passes * (cut.region.length + half)
    back = way_back(cut, count * passes)
    return lambda pace: pace.time(count * along, depth * radial * along, radial) + back


METHOD = Method(
    name="face_milling",
    plan=plan,
    lower_bound=lower_bound,
    prepare=prepare,
    in_levels=True,
    passes_over=True,
)
