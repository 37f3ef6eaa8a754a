"""Engagement-limited clearing: large axial depth, small radial width, the engagement held even into corners."""

from __future__ import annotations

from math import inf, pi
from typing import NamedTuple

from advisor.mechanics import levels as level_rules
from advisor.mechanics.engagement import (
    engagement_angle,
    engagement_angle_inside_arc,
    radial_width_for_angle,
    radial_width_for_angle_inside_arc,
)
from advisor.mechanics.lengths import difference, exceeds, reaches, steps
from advisor.mechanics.motion import axis_limited_feed, loop_cut_width, loop_length, loops
from advisor.mechanics.timing import clearing_path, path_time, rings_beside_path, share_time
from advisor.methods.cut import Cut, Trial
from advisor.methods.easing import (
    Option,
    TrialAt,
    at_size,
    counts,
    even_depth,
    narrowed,
    pieces_of,
    pinned_levels,
    quickest,
)
from advisor.methods.feeds import ease_feed, eased_feed, load_cause
from advisor.methods.finishing import CutResult, FeedBasis, MethodFacts, finished, strip_travel
from advisor.methods.method import Method
from advisor.methods.pace import MINUTE, Pace, TimeAt, beside_a_hole, greatest_gain, pass_way, way_back, widths
from advisor.methods.rings import ring_facts, ring_radius, wall_feed_most
from advisor.methods.speeds import speed_gain
from advisor.methods.thin import held_by_cap, held_by_floor, level_cap, levels_over_floor
from advisor.methods.trial import TrialBasis, down_to, settled, slender_cause, try_cut
from advisor.model.cause import Cause, Held, HeldBy, Limited, limited
from advisor.model.plan import Plan

OF_LOOPS = ("path_length", "axis_feed_ratio", "reversals_per_minute")


def plan(cut: Cut) -> Plan | None:
    """The plan for this cutter in this region; nothing for a round hole that is no wider than the cutter."""
    cutter, limits, ring = cut.cutter, cut.bench.limits, ring_radius(cut)
    if ring is not None and ring <= 0:
        return None
    depth = cut.inside.depth_to_cut
    most, usual = level_cap(cut), min(depth, cutter.APMX)
    count = levels_over_floor(cut, most)
    axial = even_depth(cut, count, limits["handy_depth"], most)
    count, axial = pinned_levels(cut) or (count, axial)
    held = held_by_cap(cut, usual, axial)
    held += held_by_floor(cut, min(usual, most), axial, held)
    loop = loop_radius_of(cut)
    arc = ring if loop is None else loop
    path_radius = _corner_path(cut) if arc is None else arc
    feed_most = _feed_most(cut, loop, ring)
    straight_width = _straight_width(cut, axial, arc)
    passes, (radial, of_passes) = _passes(cut, straight_width.value, ring)
    held += (*straight_width.held, *of_passes)

    def trial_at(width: float, /, chip: float | None = None, speed_most: float | None = None) -> Trial:
        straight = engagement_angle(width, cutter.DC)
        return try_cut(
            cut,
            axial,
            _width_on_arc(cut, width, ring) if loop is None else _width_in_the_cut(cut, width, loop),
            straight,
            basis=TrialBasis(speed_gain(cut, width / cutter.DC), feed_most, across=width),
            chip=chip,
            speed_most=speed_most,
        )

    wanted = trial_at(radial)
    if cut.pinned.radial_width is None:
        passes, (radial, of_load) = _eased(cut, passes, radial, ring, trial_at)
        held += of_load
    trial, of_feed = ease_feed(cut, at_size(trial_at, radial))
    clearing = _Clearing(trial, wanted, count, axial, radial, passes, loop, path_radius)
    return _timed(cut, clearing, (*held, *of_feed))


def _feed_most(cut: Cut, loop: float | None, ring: float | None) -> float | None:
    """The greatest feed with which the axes follow loops, or at the wall of a round hole [mm/min]; else nothing."""
    if loop is not None:
        return axis_limited_feed(cut.bench.machine.axis_acceleration, loop)
    return None if ring is None else wall_feed_most(cut, ring)


def _eased(cut: Cut, passes: int, radial: float, ring: float | None, trial_at: TrialAt) -> tuple[int, Limited]:
    """How many passes there are and how wide each is as on a straight wall [mm], held back to what spindle and
    stiffness bear; the feed is eased a little first.
    """
    narrowest = min(radial, cut.bench.limits["radial_share_floor"] * cut.cutter.DC)
    cause = load_cause(cut, trial_at(radial))
    even = _even_stock(cut) or 0.0
    width = even if even > 0 else passes * radial
    if width <= 0 or not (even > 0 or cut.region.strip_like):
        wide, _ = narrowed(cut, radial, narrowest, trial_at, lambda _, trial: 1 / trial.rate)
        return passes, limited("radial_width", radial, wide, cause)

    def option(count: int) -> Option:
        wide = width / count
        found = eased_feed(cut, at_size(trial_at, _width_on_straight(cut, wide, ring)))
        if ring is None:
            path = count * cut.region.wall_way(cut.cutter.DC, cut.inside.side)
        else:
            path = rings_beside_path(2 * ring + cut.cutter.DC, width, count)
        time = path_time(path, found.trial.feed)
        time += strip_travel(cut, count, wide, found.trial.feed) or 0.0
        return Option(count, 0.0, wide, found.share, time, found.free, found.slow)

    most = max(passes, level_rules.levels(width, _width_on_arc(cut, narrowest, ring)))
    best = quickest(cut, map(option, counts(passes, most)))
    of_load = Cause(HeldBy.EVEN_PASSES, (best.levels_or_passes,), cause)
    held = limited("radial_width", _width_on_arc(cut, radial, ring), best.radial, of_load).held
    more = best.levels_or_passes > passes
    return best.levels_or_passes, Limited(_width_on_straight(cut, best.radial, ring), held if more else ())


def _straight_width(cut: Cut, axial: float, arc: float | None) -> Limited:
    """The radial width on a straight wall [mm]: of the tables, or with the engagement of the width that was chosen."""
    chosen = cut.pinned.radial_width
    if chosen is None:
        return width_at_depth(cut, axial)
    if cut.region.round and arc is not None:
        chosen = min(chosen, arc)
    if arc is not None:
        chosen = _width_on_straight(cut, chosen, arc)
    return Limited(chosen)


def table_share(cut: Cut, axial: float) -> float:
    """The radial width of the table at an axial depth [mm], as a share of DC: the upper end when shallow, the lower
    when deep.
    """
    limits, (low, high) = cut.bench.limits, cut.bench.data.radial_share
    upper, lower = limits["radial_upper_depth_ratio"], limits["radial_lower_depth_ratio"]
    return low + (high - low) * max(0.0, min(1.0, (lower - axial / cut.cutter.DC) / (lower - upper)))


def width_at_depth(cut: Cut, axial: float) -> Limited:
    """The radial width of the table for this depth, with the factors that the settings rules set [mm]."""
    cutter, limits, facts = cut.cutter, cut.bench.limits, settled(cut, METHOD.name, axial)
    ratio = axial / cutter.DC
    factors = {name: float(facts[name]) for name in ("reach_factor", "deep_factor_here") if name in facts}
    step = limits["handy_width"]
    width, held = down_to(table_share(cut, axial) * cutter.DC, step), list[Held]()
    if factors:
        name = min(factors, key=factors.__getitem__)
        why = {
            "reach_factor": slender_cause(cut),
            "deep_factor_here": Cause(HeldBy.AXIAL_RATIO, (ratio,)),
        }[name]
        factor = factors[name]
        by_factor = limited(
            "radial_width", width, down_to(width * factor, step), Cause(HeldBy.SHARE_OF_TABLE_WIDTH, (factor,), why)
        )
        width, held = by_factor.value, [*by_factor.held]
    most = float(facts.get("radial_share_most", 1.0))
    if exceeds(width, most * cutter.DC):
        cause = Cause(HeldBy.SHARE_OF_DC, (most,))
        by_share = limited("radial_width", width, down_to(most * cutter.DC, step), cause)
        width, held = by_share.value, [*held, *by_share.held]
    return Limited(width, tuple(held))


def _even_stock(cut: Cut) -> float | None:
    """The stock that even passes share [mm]: beside a wall, or on the wall of a casting's hole; else nothing."""
    strip = cut.region.strip
    if strip is None or not (cut.region.strip_like or cut.region.cored):
        return None
    return difference(strip, cut.inside.side)


def _pass_count(cut: Cut, stock: float, radial: float) -> int:
    """How many passes take some stock [mm] at most so wide each [mm]; along the wall of a casting or forging fewer
    where each would stay inside the skin, as long as they are not much wider for that.
    """
    count, limits = pieces_of(cut, stock, radial), cut.bench.limits
    if cut.region.rough != "walls" or cut.pinned.radial_width is not None or count == 1:
        return count
    if reaches(stock / count, limits["skin_pass_least"]):
        return count
    fewer = max(1, steps(stock, limits["skin_pass_least"]))
    return fewer if reaches(limits["skin_pass_stretch"] * radial, stock / fewer) else count


def _passes(cut: Cut, radial: float, ring: float | None) -> tuple[int, Limited]:
    """For a strip of stock beside a wall, or in a casting's hole: how many passes, and how wide each is as on a
    straight wall [mm].

    Along a round wall the width is first narrowed to the engagement on the straight, and what is left is shared out.
    """
    width = _even_stock(cut)
    if width is None or width <= 0:
        return 1, Limited(radial)
    on_arc = limited(
        "radial_width",
        radial,
        _width_on_arc(cut, radial, ring),
        Cause(HeldBy.ENGAGEMENT_AT_ROUND_WALL, (engagement_angle(radial, cut.cutter.DC),)),
    )
    count = _pass_count(cut, width, on_arc.value)
    if cut.pinned.radial_width is not None:
        return count, Limited(radial)
    even = limited("radial_width", on_arc.value, width / count, Cause(HeldBy.EVEN_PASSES_OF_STOCK, (count, width)))
    return count, Limited(_width_on_straight(cut, even.value, ring), (*on_arc.held, *even.held))


def loop_radius_of(cut: Cut) -> float | None:
    """The radius of the loops across a narrow region [mm]; nothing where the region is wide or open. Round an island
    the cutter loops where the way is nowhere wide, or has only just room to loop where it is narrowest.
    """
    limits, DC = cut.bench.limits, cut.cutter.DC
    width, tight = cut.region.narrowest, limits["open_width_ratio_least"] * DC
    if width is None or cut.region.round:
        return None
    squeezed = cut.region.goes_round and exceeds(tight, cut.region.fit_width or inf)
    if exceeds(width, limits["loop_region_ratio_most"] * DC) and not squeezed:
        return None
    return max(float(cut.inside.facts["loop_radius"]), 1e-3)


def _corner_path(cut: Cut) -> float:
    """The tightest radius on which the cutter's centre turns where it does not loop [mm]."""
    smooth = cut.bench.limits["corner_path_share"] * cut.cutter.DC
    corner = cut.region.corner_radius
    return smooth if corner is None else max(smooth, corner - cut.inside.side - cut.cutter.DC / 2)


def _turns(cut: Cut, loop: float | None) -> bool:
    """Whether the path has small arcs: loops, a round wall, inside corners, whether or not their radius is given, or a
    way round an island; a straight wall and an outline without corners have none.
    """
    region = cut.region
    bends = region.walls_meet or region.kind == "slot" or region.island is not None
    return loop is not None or region.round or region.corner_radius is not None or bends


def _width_on_arc(cut: Cut, width: float, arc: float | None) -> float:
    """The radial width that has on an arc, be it a loop or along a round wall, the engagement of ``width`` on a
    straight wall [mm]; ``arc`` is the radius on which the cutter's centre moves [mm].
    """
    if arc is None:
        return width
    return radial_width_for_angle_inside_arc(engagement_angle(width, cut.cutter.DC), cut.cutter.DC, arc)


def _width_on_straight(cut: Cut, width: float, arc: float | None) -> float:
    """The radial width that has on a straight wall the engagement of ``width`` on an arc [mm]: ``_width_on_arc``
    backwards.
    """
    if arc is None:
        return width
    return radial_width_for_angle(engagement_angle_inside_arc(width, cut.cutter.DC, arc), cut.cutter.DC)


def _width_in_the_cut(cut: Cut, width: float, loop: float) -> float:
    """How wide the straight cut is that takes the power of a loop in the half of its way in which it cuts [mm]."""
    return min(width, loop_cut_width(_width_on_arc(cut, width, loop), loop, cut.cutter.DC))


class _Clearing(NamedTuple):
    """The final cut and the one of the tables; levels, how deep each is and how wide on a straight wall [mm], passes
    beside each other in one; the radius of the loops, if it loops, and of the tightest arc of the path [mm].
    """

    trial: Trial
    wanted: Trial
    levels: int
    axial: float
    straight_width: float
    passes: int
    loop: float | None
    path_radius: float


class _Path(NamedTuple):
    """A path over all levels: the radial width on it [mm], the time in the cut and beside it [s], the facts that these
    rest on, and what held width and feed back on it.
    """

    radial: float
    cut_time: float
    travel: float
    facts: dict[str, float | None]
    held: tuple[Held, ...] = ()


def _timed(cut: Cut, clearing: _Clearing, held: tuple[Held, ...]) -> Plan:
    """The plan with its path and its times; on loops and along a round wall the width of cut is the one that has there
    the engagement of the width on a straight wall.
    """
    cutter, trial, axial, straight_width = cut.cutter, clearing.trial, clearing.axial, clearing.straight_width
    straight, gain = engagement_angle(straight_width, cutter.DC), speed_gain(cut, straight_width / cutter.DC)
    free = try_cut(cut, axial, straight_width, straight, basis=TrialBasis(gain))
    wanted_feed = cutter.ZEFP * free.feed_per_tooth * free.speed
    most = level_cap(cut)
    fewest = level_rules.levels(cut.inside.depth_to_cut, most)
    facts: dict[str, float | None] = {
        "wanted_feed": wanted_feed,
        "straight_width": straight_width,
        "allowed_depth": axial if levels_over_floor(cut, most) > fewest else most,
        "table_radial_share": table_share(cut, axial),
    }
    if _turns(cut, clearing.loop):
        axis_feed = axis_limited_feed(cut.bench.machine.axis_acceleration, clearing.path_radius)
        facts |= {"path_radius": clearing.path_radius, "axis_feed": axis_feed}
    path = _path_of(cut, clearing, straight, wanted_feed)
    result = CutResult(
        trial=trial,
        wanted=clearing.wanted,
        levels=clearing.levels,
        axial=axial,
        radial=path.radial,
        angle=straight,
        cut_time=path.cut_time,
        travel=path.travel,
        held=(*held, *path.held),
    )
    facts |= path.facts
    if clearing.loop is not None:  # the axes hold the feed back there, and are told, not the machine's greatest feed
        return finished(cut, METHOD, result, MethodFacts(facts=facts, names=OF_LOOPS), FeedBasis(gain=gain))
    basis = FeedBasis(gain=gain, wanted_feed=wanted_feed)
    return finished(cut, METHOD, result, MethodFacts(facts=facts, names=("axis_feed_ratio",)), basis)


def _path_of(cut: Cut, clearing: _Clearing, straight: float, wanted_feed: float) -> _Path:
    """The path with an engagement on a straight wall [deg] and a feed that is wanted [mm/min]."""
    if clearing.loop is not None:
        return _in_loops(cut, clearing, clearing.loop, straight, wanted_feed)
    if cut.region.strip_like:
        return _along_strip(cut, clearing)
    return _in_rings(cut, clearing, straight, wanted_feed) if cut.region.round else _over_area(cut, clearing)


def _in_loops(cut: Cut, clearing: _Clearing, loop: float, straight: float, wanted_feed: float) -> _Path:
    """The path of loops of a radius [mm]; half of each loop is in the cut."""
    feed, DC = clearing.trial.feed, cut.cutter.DC
    on_arc, held = cut.pinned.radial_width, tuple[Held, ...]()
    if not on_arc:
        cause, width = Cause(HeldBy.ENGAGEMENT_ON_LOOPS, (straight, loop)), clearing.straight_width
        on_arc, held = limited("radial_width", width, _width_on_arc(cut, width, loop), cause)
    if axis_limited_feed(cut.bench.machine.axis_acceleration, clearing.path_radius) < wanted_feed:
        held += limited("feed_rate", wanted_feed, feed, Cause(HeldBy.AXES_ON_LOOPS, (loop,))).held
    way = loop_length(loop, on_arc)
    rounds = loops(max(on_arc, cut.region.loops_way(cut.inside.side, DC)), on_arc)
    total = clearing.levels * path_time(rounds * way, feed)
    facts: dict[str, float | None] = {
        "loop_count": float(rounds),
        "loop_way": way,
        "loop_cut_width": _width_in_the_cut(cut, clearing.straight_width, loop),
    }
    return _Path(on_arc, total / 2, total / 2, facts, held)


def _along_strip(cut: Cut, clearing: _Clearing) -> _Path:
    """The path of passes beside each other along a strip of stock."""
    way, radial = cut.region.wall_way(cut.cutter.DC, cut.inside.side), clearing.straight_width
    length = way * clearing.passes * clearing.levels
    facts: dict[str, float | None] = {"passes": float(clearing.passes), "wall_length": way, "path_length": length}
    travel = strip_travel(cut, clearing.passes * clearing.levels, radial, clearing.trial.feed)
    if travel is not None:
        return _Path(radial, path_time(length, clearing.trial.feed), travel, facts)
    return _in_part(clearing, radial, length, cut.bench.limits["cut_share_profile"], facts)


def _in_rings(cut: Cut, clearing: _Clearing, straight: float, wanted_feed: float) -> _Path:
    """The path of rings in a round hole."""
    chosen, radius, feed = cut.pinned.radial_width, clearing.path_radius, clearing.trial.feed
    width, why = clearing.straight_width, Cause(HeldBy.ENGAGEMENT_AT_ROUND_WALL, (straight,))
    if chosen:
        radial, held = Limited(min(chosen, radius))
    elif (stock := _even_stock(cut) or 0.0) > 0:
        radial, held = Limited(stock / clearing.passes)
    else:
        radial, held = limited("radial_width", width, _width_on_arc(cut, width, radius), why)
    facts = ring_facts(cut, radius, radial, clearing.levels, feed)
    if wall_feed_most(cut, radius) < wanted_feed:
        held += limited("feed_rate", wanted_feed, feed, Cause(HeldBy.AXES_ON_RADIUS, (radius,))).held
    length = float(facts["path_length"] or 0.0)
    return _in_part(clearing, radial, length, cut.bench.limits["cut_share_pocket"], facts, held)


def _over_area(cut: Cut, clearing: _Clearing) -> _Path:
    """The path over the whole area of a region."""
    area, radial = cut.region.area(cut.inside.side), clearing.straight_width
    length = clearing_path(area, radial) * clearing.levels
    facts: dict[str, float | None] = {"cut_area": area, "path_length": length}
    return _in_part(clearing, radial, length, cut.bench.limits["cut_share_pocket"], facts)


def _in_part(
    clearing: _Clearing,
    radial: float,
    length: float,
    share: float,
    facts: dict[str, float | None],
    held: tuple[Held, ...] = (),
) -> _Path:
    """A path of a length [mm] of which a share is in the cut."""
    cut_time = path_time(length, clearing.trial.feed)
    return _Path(radial, cut_time, share_time(cut_time, share) - cut_time, facts | {"cut_share": share}, held)


def lower_bound(cut: Cut) -> TimeAt:
    """A time at each pace that no plan of it stays below [s]; ``cut`` is as ``METHOD`` prepares it."""
    limits, region, side = cut.bench.limits, cut.region, cut.inside.side
    count = levels_over_floor(cut, level_cap(cut))
    axial = even_depth(cut, count, limits["handy_depth"], level_cap(cut))
    radial = width_at_depth(cut, axial).value
    back = 0.0
    if region.strip_like:
        (way, share), strip = pass_way(cut), difference(region.strip or 0.0, side)
        if strip <= 0:
            path, back = MINUTE * way * count / share, way_back(cut, count)
            return lambda pace: path / pace.feed(0.0, greatest_gain(cut)) + back
        passes = _pass_count(cut, strip, radial)
        radial, back = strip / passes, way_back(cut, count * passes)
        area = way * strip * count
    elif (loop := loop_radius_of(cut)) is not None:
        return _looped(cut, loop, radial, axial, count)
    elif (ring := ring_radius(cut)) is not None:
        area, share = beside_a_hole(cut, ring) * count, limits["cut_share_pocket"]
        if (stock := _even_stock(cut) or 0.0) > 0:
            radial = max(radial, stock / _pass_count(cut, stock, radial))
    else:
        area, share = region.area(side) * count, limits["cut_share_pocket"]

    def at(pace: Pace) -> float:
        swept = max(width * feed for width, feed in widths(pace, 0.0, radial, gains=True))
        return MINUTE * max(area / swept, area * axial / pace.rate) / share + back

    return at


def _looped(cut: Cut, loop: float, radial: float, axial: float, count: int) -> TimeAt:
    DC, axes = cut.cutter.DC, axis_limited_feed(cut.bench.machine.axis_acceleration, loop)
    travelled, round_way = cut.region.centre_way(cut.inside.side, DC) * count, 2 * pi * loop

    def at(pace: Pace) -> float:
        best = 0.0  # how far along the slot in a minute
        for width, feed in widths(pace, 0.0, radial, gains=True):
            step = radial_width_for_angle_inside_arc(engagement_angle(width, DC), DC, loop)
            best = max(best, step * min(feed, axes) / (round_way + step))
        return MINUTE * max(travelled / best, travelled * round_way * axial / pace.rate)

    return at


METHOD = Method(
    name="engagement_limited_clearing",
    plan=plan,
    lower_bound=lower_bound,
    entry_bounded=True,
    in_levels=True,
    whole_depth=True,
    narrow=True,
    spares_a_floor=True,
)
