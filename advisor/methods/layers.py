"""Layered pocketing: wide radial width, shallow levels; each level opened by a cut at full width."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import partial
from typing import NamedTuple, Protocol

from advisor.mechanics import levels as level_rules
from advisor.mechanics.chip import chip_thickness
from advisor.mechanics.engagement import engagement_angle, engagement_angle_corner, engagement_angle_inside_arc
from advisor.mechanics.lengths import difference, exceeds, reaches
from advisor.mechanics.timing import clearing_path, path_time, share_time
from advisor.methods.cut import Cut, Trial
from advisor.methods.easing import (
    Option,
    TrialAt,
    at_size,
    counts,
    handy_level,
    narrowed,
    pieces_of,
    pinned_levels,
    quickest,
    thinnest,
)
from advisor.methods.feeds import ease_feed, least_share, load_cause
from advisor.methods.finishing import CutResult, FeedBasis, MethodFacts, finished, strip_travel
from advisor.methods.method import Method
from advisor.methods.pace import MINUTE, Pace, TimeAt, beside_a_hole, pass_way, way_back, widths
from advisor.methods.rings import ring_facts, ring_radius, ring_stock, wall_feed_most
from advisor.methods.thin import held_by_cap, held_by_floor, level_cap, levels_over_floor, wanted_level
from advisor.methods.trial import TrialBasis, down_to, greatest, settled, slender_cause, try_cut
from advisor.model.cause import Cause, Held, HeldBy, Limited, limited
from advisor.model.plan import Plan

EASED = 0.9  # share of a narrowed width that is left at least once it is rounded down to a handy step


def level_most(cut: Cut) -> float:
    """The deepest level of the tables for this cutter, before anything but its slenderness holds it back [mm]."""
    return min(table_level(cut), slender_most(cut))


def table_level(cut: Cut) -> float:
    """The deepest level of the tables for this cutter, however slender it is [mm]."""
    cutter, limits = cut.cutter, cut.bench.limits
    if cutter.kind.high_feed:
        depth = high_feed(cut, limits["high_feed_depth_least"], limits["high_feed_depth_most"])
    elif cutter.kind.fluted:
        depth = cut.bench.taken(cut.bench.data.layer_depth_share) * cutter.DC
    else:
        share = "face_edge_share" if cutter.kind.end_face else "inserted_edge_share"
        depth = limits[share] * cutter.APMX * cut.bench.data.insert_depth
    return min(cutter.APMX, depth)


def slender_most(cut: Cut) -> float:
    """The deepest level of a wide cut that the settings rules leave a slender cutter [mm]; infinite where they do not
    speak of it.
    """
    share = cut.inside.facts.get("level_share_most")
    return float("inf") if share is None else float(share) * cut.cutter.DC


def full_width_table(cut: Cut) -> float:
    """The deepest cut at full width of the tables, however slender the cutter [mm]."""
    if not cut.cutter.kind.fluted:
        return level_most(cut)
    depth = cut.bench.taken(cut.bench.data.full_width_depth_share) * cut.cutter.DC
    return min(cut.cutter.APMX, depth, slender_most(cut))


def full_width_most(cut: Cut) -> float:
    """The deepest cut at full width that this cutter bears [mm]: of the tables, of a slender cutter less."""
    most, edge = full_width_table(cut), cut.cutter.KAPR
    if edge <= cut.bench.limits["flat_edge_angle_most"]:  # its force goes along the spindle
        return most
    return most * float(cut.inside.facts["full_width_factor"])


def slender_depth(cut: Cut, wanted: float) -> Limited:
    """A depth of cut at full width, held back to what a slender cutter bears [mm]."""
    most = full_width_most(cut)
    if cut.pinned.axial_depth is not None or cut.pinned.levels is not None or not exceeds(wanted, most):
        return Limited(min(wanted, most))
    return limited("axial_depth", wanted, most, Cause(HeldBy.SLENDER_AT_FULL_WIDTH, since=slender_cause(cut)))


def held_even(count: int, axial: float, held: Iterable[Held]) -> tuple[Held, ...]:
    """Equal levels, where they are less deep than what was ``held`` last left of the depth [mm]."""
    steps = [one.after for one in held if one.setting == "axial_depth"]
    if not steps or not exceeds(steps[-1], axial):
        return ()
    return limited("axial_depth", steps[-1], axial, Cause(HeldBy.EQUAL_LEVELS, (count,))).held


def opening_facts(cut: Cut) -> dict[str, float | None]:
    """How deep a cut at full width the cutter bears [mm]."""
    return {"opening_depth_most": full_width_most(cut)}


def opens_wide(cut: Cut) -> bool:
    """Whether every level begins with a cut at full width, as it does where the cutter runs between walls."""
    return not (cut.region.strip_like or cut.region.cored)


def level_greatest(cut: Cut) -> float:
    """The deepest level that the tables give at all [mm]: the upper end of their range for a solid cutter."""
    if not cut.cutter.kind.fluted:
        return level_most(cut)
    return min(cut.cutter.APMX, cut.bench.data.layer_depth_share[1] * cut.cutter.DC)


def high_feed(cut: Cut, least: float, most: float) -> float:
    """A high-feed mill's value between least and most, by how thick a chip the material allows."""
    limits = cut.bench.limits
    thin, thick = limits["high_feed_chip_low"], limits["high_feed_chip_high"]
    borne = cut.bench.material.h_insert or thin  # the table's, not the chip that the mill then takes
    reach = max(0.0, min(1.0, (borne - thin) / (thick - thin)))
    return least + reach * (most - least)


def layer_chip(cut: Cut) -> float:
    """The chip thickness of this cutter in layers [mm]; a high-feed mill's follows from its feed per tooth."""
    if not cut.cutter.kind.high_feed:
        return cut.chip
    limits = cut.bench.limits
    tooth = high_feed(cut, limits["high_feed_tooth_low"], limits["high_feed_tooth_high"])
    small = min(1.0, cut.cutter.APMX / limits["high_feed_edge_usual"])  # a small insert bears less
    return chip_thickness(tooth * small, cut.cutter.KAPR, 90)


def with_layer_chip(cut: Cut) -> Cut:
    """The cut with the chip thickness of its cutter in layers."""
    return replace(cut, chip=layer_chip(cut))


def reach_factor(cut: Cut, axial: float) -> float:
    """The share of the table's width that the settings rules leave a slender cutter at an axial depth [mm]."""
    return float(settled(cut, METHOD.name, axial).get("reach_factor", 1.0))


def _narrowed_by_rules(cut: Cut, axial: float, radial: float) -> Limited:
    """The radial width, held back for a slender cutter and beside a thin wall as the settings rules conclude, whichever
    is less [mm].
    """
    facts, limits, DC = settled(cut, METHOD.name, axial), cut.bench.limits, cut.cutter.DC
    factor, share = float(facts.get("reach_factor", 1.0)), float(facts.get("radial_share_most", 1.0))
    tall = float(facts.get("wall_slenderness", 0.0))
    most, cause = min(
        (factor * limits["layer_radial_share"] * DC, Cause(HeldBy.SHARE_OF_TABLE_WIDTH, (factor,), slender_cause(cut))),
        (share * DC, Cause(HeldBy.SHARE_OF_DC_AT_WALL, (share, tall))),
    )
    most = down_to(most, limits["handy_width"])
    return limited("radial_width", radial, most, cause) if exceeds(radial, most) else Limited(radial)


def plan(cut: Cut) -> Plan | None:
    """The plan for this cutter in this region; nothing for a round hole that is no wider than the cutter."""
    ring = ring_radius(cut)
    if ring is not None and ring <= 0:
        return None
    allowed, held = min(level_most(cut), level_cap(cut)), list[Held]()
    if opens_wide(cut):
        slender = slender_depth(cut, min(allowed, cut.inside.depth_to_cut))
        allowed, held = min(allowed, slender.value), [*slender.held]
    said, chosen = pinned_levels(cut), cut.pinned.radial_width
    of_table = Limited(chosen) if chosen else level_width(cut)
    held += of_table.held
    radial = beside(None if ring is None else ring_stock(cut, ring), of_table.value)
    basis = TrialBasis(feed_most=None if ring is None else wall_feed_most(cut, ring))

    def trial_at(axial: float, width: float, /, chip: float | None = None, speed_most: float | None = None) -> Trial:
        angle = _load_angle(cut, width)
        return try_cut(cut, axial, width, angle, basis=basis, chip=chip, speed_most=speed_most)

    wanted = trial_at(said[1] if said else wanted_level(cut, allowed), radial)
    best = _best(cut, allowed, radial, trial_at)
    count, axial = best.levels_or_passes, best.axial
    if not (opens_wide(cut) and exceeds(level_cap(cut), full_width_most(cut))):  # held by the wall, not by the cutter
        held += held_by_cap(cut, min(level_most(cut), cut.inside.depth_to_cut), axial)
    narrowed_to = limited("radial_width", radial, _even(cut, ring, best.radial), load_cause(cut, wanted))
    radial, held = narrowed_to.value, [*held, *narrowed_to.held]
    if said is None and count > levels_over_floor(cut, allowed):
        before = min(allowed, cut.inside.depth_to_cut)
        cause = Cause(HeldBy.EQUAL_LEVELS, (count,), load_cause(cut, wanted))
        held += limited("axial_depth", before, axial, cause).held
    held += held_by_floor(cut, allowed, axial, held)
    held += held_even(count, axial, held)
    trial, of_feed = ease_feed(cut, partial(trial_at, axial, radial))
    angle = _angle(cut, radial)
    facts: dict[str, float | None] = {
        "allowed_depth": max(allowed, axial) if count == 1 else axial,
        "load_angle": _load_angle(cut, radial),
    }
    if opens_wide(cut):
        facts |= opening_facts(cut)
    time = _cut_time(cut, trial, count, radial)
    travel = strip_travel(cut, time.passes * count, radial, trial.feed)
    result = CutResult(
        trial=trial,
        wanted=wanted,
        levels=count,
        axial=axial,
        radial=radial,
        angle=angle,
        cut_time=time.seconds,
        travel=share_time(time.seconds, time.share) - time.seconds if travel is None else travel,
        held=(*held, *of_feed),
    )
    added = MethodFacts(facts=facts | time.facts, names=("opening_feed", "opening_over_most"))
    return finished(cut, METHOD, result, added, FeedBasis(wanted_feed=trial.feed))


class LevelTrialAt(Protocol):
    """Tries levels so deep and wide [mm], with the table's chip thickness if none is given [mm], the spindle no faster
    than a speed [1/min] if one is given.
    """

    def __call__(
        self, axial: float, width: float, /, chip: float | None = None, speed_most: float | None = None
    ) -> Trial:
        """The trial."""


def _best(cut: Cut, allowed: float, width: float, trial_at: LevelTrialAt) -> Option:
    """The quickest of the levels that spindle and stiffness bear: a little less feed first, then narrower passes."""
    said, chosen, DC = pinned_levels(cut), cut.pinned.radial_width, cut.cutter.DC
    limits, depth = cut.bench.limits, cut.inside.depth_to_cut
    full = chosen or reaches(width, DC)  # the opening cut is as wide as the cutter, whatever is taken beside it
    narrowest = width if full else min(width, limits["layer_radial_share_least"] * DC)
    step = limits["handy_depth"] if reaches(allowed, 10 * limits["handy_width"]) else 0.0

    def at(axial: float, count: int) -> Option:
        def time_of(wide: float, trial: Trial) -> float:
            time = _cut_time(cut, trial, count, wide)
            return time.seconds + (strip_travel(cut, time.passes * count, wide, trial.feed) or 0.0)

        radial, found = narrowed(cut, width, narrowest, partial(trial_at, axial), time_of)
        time = time_of(radial, found.trial)
        return Option(count, axial, radial, found.share, time, found.free and radial == width, found.slow)

    def deep_at(wide: float) -> TrialAt:
        return lambda deep, chip=None, speed_most=None: trial_at(deep, wide, chip, speed_most)

    def option(count: int) -> Option:
        return at(handy_level(cut, count, allowed, step, deep_at(width)), count)

    if said is not None:
        return at(said[1], said[0])
    start = min(allowed, depth)
    narrow_at = deep_at(narrowest)
    least = thinnest(cut, start)
    easiest = greatest(lambda deep: least_share(cut, at_size(narrow_at, deep)), least, start)
    fewest = levels_over_floor(cut, allowed if easiest == start else easiest)
    return quickest(cut, map(option, counts(fewest, levels_over_floor(cut, least))))


def level_width(cut: Cut) -> Limited:
    """The radial width of the tables; where it is not the full width, held back for a slender cutter and beside a thin
    wall [mm].
    """
    radial = _radial_width(cut)
    if reaches(radial, cut.cutter.DC):  # at full width nothing is left to narrow
        return Limited(radial)
    handy = radial if cut.region.strip_like or cut.region.round else down_to(radial, cut.bench.limits["handy_width"])
    return _narrowed_by_rules(cut, level_most(cut), handy)


def _radial_width(cut: Cut) -> float:
    """The radial width of the tables, narrowed to what there is beside the opening cut or the wall [mm]."""
    cutter, limits, region, side = cut.cutter, cut.bench.limits, cut.region, cut.inside.side
    usual = limits["layer_radial_share"] * cutter.DC
    if region.strip_like:
        width = difference(region.strip or usual + side, side)
        return width / level_rules.levels(width, usual) if width > 0 else usual
    if (ring := ring_radius(cut)) is not None:  # the hole the cutter came down leaves no more than this beside it
        stock = ring_stock(cut, ring)
        return stock / level_rules.levels(stock, usual) if stock > 0 else usual
    if region.narrowest is not None:
        # Where little stays beside the opening cut, that cut at full width is the one to reckon with.
        return usual if reaches(difference(region.narrowest, 2 * side, cutter.DC), usual) else cutter.DC
    return usual


def _even(cut: Cut, ring: float | None, radial: float) -> float:
    """The radial width of even passes that take the stock on the walls of what is cored [mm], in as many as at a width
    that was held back.
    """
    if not cut.region.cored or cut.pinned.radial_width is not None:
        return radial
    side = cut.inside.side
    stock = difference(cut.region.strip or 0.0, side) if ring is None else ring_stock(cut, ring)
    return stock / level_rules.levels(stock, radial) if stock > 0 else radial


def _rest_width(cut: Cut, radial: float) -> float:
    """How wide the passes beside the opening cut are [mm]."""
    region, DC = cut.region, cut.cutter.DC
    if exceeds(DC, radial) or region.narrowest is None:
        return radial
    rest = difference(region.narrowest, 2 * cut.inside.side, DC)
    usual = cut.bench.limits["layer_radial_share"] * DC
    return rest / level_rules.levels(rest, usual) if rest > 0 else usual


def beside(ring: float | None, width: float) -> float:
    """A radial width [mm], in a round hole no more than lies beside the hole that the cutter came down."""
    return width if ring is None else min(width, ring)


def _load_angle(cut: Cut, width: float) -> float:
    """The engagement that the load is reckoned with [deg]: on the straight, or inside the last ring of a round hole."""
    ring, DC = ring_radius(cut), cut.cutter.DC
    return engagement_angle(min(width, DC), DC) if ring is None else engagement_angle_inside_arc(width, DC, ring)


def _angle(cut: Cut, radial: float) -> float:
    """The greatest engagement of the path [deg]: in an inside corner up to a right angle more than on the straight."""
    if cut.region.round:
        return _load_angle(cut, radial)
    corner = cut.region.corner_radius is not None or cut.region.walls_meet
    return (engagement_angle_corner if corner else engagement_angle)(min(radial, cut.cutter.DC), cut.cutter.DC)


class CutTime(NamedTuple):
    """Time in the cut over all levels [s], the share of the path that cuts, and the facts that both rest on; passes
    beside each other in a level, where there is a strip to be cut.
    """

    seconds: float
    share: float
    facts: dict[str, float | None]
    passes: int = 0


def _cut_time(cut: Cut, trial: Trial, count: int, radial: float) -> CutTime:
    """The time in the cut over so many levels so wide [mm]."""
    region, limits, DC, side = cut.region, cut.bench.limits, cut.cutter.DC, cut.inside.side
    if region.strip_like:
        strip = difference(region.strip or radial + side, side)
        passes = max(1, pieces_of(cut, strip, radial)) if strip > 0 else 1
        path, share = region.wall_way(DC, side) * passes * count, limits["cut_share_profile"]
        facts: dict[str, float | None] = {
            "passes": float(passes),
            "wall_length": region.wall_way(DC, side),
            "path_length": path,
            "cut_share": None if region.one_way else share,
        }
        return CutTime(path_time(path, trial.feed), share, facts, passes)
    share = limits["cut_share_pocket"]
    if (ring := ring_radius(cut)) is not None:
        found = ring_facts(cut, ring, radial, count, trial.feed)
        seconds = path_time(float(found["path_length"] or 0.0), trial.feed)
        return CutTime(seconds, share, {**found, "cut_share": share})
    area = region.area(side)
    opening = min(region.centre_way(side, DC), area / DC)
    rest, wide = max(0.0, difference(area, opening * DC)), _rest_width(cut, radial)
    level = path_time(opening, trial.feed * limits["opening_feed_share"]) + path_time(
        clearing_path(rest, wide), trial.feed
    )
    facts = {"cut_area": area, "rest_width": wide, "opening_length": opening, "cut_share": share}
    return CutTime(count * level, share, facts)


def lower_bound(cut: Cut) -> TimeAt:
    """A time at each pace that no plan of it stays below [s]; ``cut`` is as ``METHOD`` prepares it."""
    limits, region = cut.bench.limits, cut.region
    DC, depth, side = cut.cutter.DC, cut.inside.depth_to_cut, cut.inside.side
    most = min(level_most(cut), full_width_most(cut) if opens_wide(cut) else depth, level_cap(cut))
    count, radial = levels_over_floor(cut, most), level_width(cut).value
    least = EASED * min(radial, limits["layer_radial_share_least"] * DC)
    back = 0.0
    if region.strip_like:
        (way, share), strip = pass_way(cut), max(0.0, difference(region.strip or 0.0, side))
        opening, rest, back = (
            0.0,
            way * strip,
            way_back(cut, count * (level_rules.levels(strip, radial) if strip else 1)),
        )
        if not rest:
            return lambda pace: pace.time(way * count, width=least) / share + back
    elif (ring := ring_radius(cut)) is not None:
        share, opening, rest = limits["cut_share_pocket"], 0.0, beside_a_hole(cut, ring)
    else:
        area, share = region.area(side), limits["cut_share_pocket"]
        opening = min(region.centre_way(side, DC), area / DC)
        opening, rest = opening / limits["opening_feed_share"], max(0.0, difference(area, opening * DC))

    def at(pace: Pace) -> float:
        swept = min((opening + rest / width) / feed for width, feed in widths(pace, least, radial))
        return MINUTE * max(swept * count, (opening * least + rest) * depth / pace.rate) / share + back

    return at


METHOD = Method(
    name="layered_pocketing",
    plan=plan,
    lower_bound=lower_bound,
    prepare=with_layer_chip,
    entry_bounded=True,
    in_levels=True,
    wide_levels=True,
    corners_engage_more=True,
    spares_a_floor=True,
    takes_corners=True,
)
