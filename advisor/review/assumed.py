"""What an operation of a plan leaves open, and what is taken for it: the advisor's own settings for that way."""

from __future__ import annotations

from dataclasses import replace
from math import inf, log, radians, sin
from typing import NamedTuple

from advisor.choosing.candidates import RegionSearch, judged, worked_out
from advisor.choosing.corner import corner_feed
from advisor.choosing.ranking import ranked
from advisor.knowledge.conditions import Situation
from advisor.mechanics.lengths import difference, exceeds, reaches
from advisor.methods.cut import Cut
from advisor.methods.entries import drilled_by
from advisor.methods.holes import drilled_to_size, point_of
from advisor.methods.registry import METHODS
from advisor.methods.skin import planned
from advisor.methods.trial import cut_of
from advisor.model.candidate import GRADES, Candidate
from advisor.model.cutter import Cutter
from advisor.model.entry import ENTRIES
from advisor.model.finding import FULL_WIDTH, NARROW, ONE_LEVEL, NotSaid
from advisor.model.operations import OperationRow
from advisor.model.plan import FREE, Drilled, Pinned, Plan
from advisor.model.region import Region
from advisor.review.centre_feed import wall_feed_said
from advisor.situation import derived
from advisor.situation.bench import Bench
from advisor.situation.facts import InFeature, Left
from advisor.situation.pairings import Way, ways

DRILLED_TO = "drilled_to"
THROUGH_A_HOLE = next(kind.name for kind in ENTRIES.values() if kind.needs_drill)
FROM_THE_SIDE = next(kind.name for kind in ENTRIES.values() if kind.from_the_side)
DRILL = "drill"
BY_DRILL = next(method.name for method in METHODS.values() if method.by_drill)
SHORT_OF = ("depth_to_cut", "level_shortfall", "reached_share")
ALONG_A_SLOT = next(method.name for method in METHODS.values() if method.along_the_cut)


class Chosen(NamedTuple):
    """Method and way in of an operation, the drill of a pre-drilled hole, and what the advisor would do with them.

    ``fills`` tells that nothing but the whole cutter fits, so that the method is the one at full width;
    ``taken`` that the plan has no drill for its way in, and the one of the advice stands for it.
    """

    way: Way
    entry: str
    drill: Cutter | None
    own: Candidate | None
    fills: bool = False
    taken: bool = False


def own_ways(cutter: Cutter, search: RegionSearch) -> list[Candidate]:
    """Everything that the advisor would do with one cutter in this region, best first."""
    found = [
        candidate
        for way in ways().values()
        if way.suits(search.region) and cutter.body in way.bodies
        for candidate in worked_out(judged(way, cutter, search), search)
    ]
    return ranked(found, search.bench.limits)


def fills_the_way(row: OperationRow, cutter: Cutter, search: RegionSearch) -> bool:
    """Whether a plan that says neither method nor width cuts with the whole cutter: in a region hardly wider than it.

    There a cutter that goes in stands at full width, whatever its depth; who means loops or a narrow cut says so.
    """
    slotting, width = ways()[ALONG_A_SLOT], search.region.narrowest
    if row.method is not None or row.radial_width is not None or width is None:
        return False
    meant = slotting.suits(search.region) and cutter.body in slotting.bodies
    return meant and exceeds(search.bench.limits["full_width_ratio_most"] * cutter.DC, width)


def chosen_way(
    row: OperationRow, cutter: Cutter, drill: Cutter | None, search: RegionSearch, rest: bool = False
) -> Chosen:
    """Method and way in: as said; what is not said as the advisor would have it with this cutter.

    Without a method the one is taken whose own numbers are nearest to the plan's; nobody plunges without saying so.
    Without a width either, in a region hardly wider than the cutter, it is the one at full width, unless the operation
    takes a ``rest``.
    """
    if not rest and fills_the_way(row, cutter, search):
        full = row.model_copy(update={"method": ALONG_A_SLOT})
        return chosen_way(full, cutter, drill, search)._replace(fills=True)
    own = own_ways(cutter, search)
    entry = row.entry or (THROUGH_A_HOLE if drill is not None else None)
    round_it = row.method is not None and METHODS[row.method].round_a_hole and row.entry_kind.helix
    if drill is not None and (round_it or row.entry_kind.straight_down):
        entry = THROUGH_A_HOLE  # the helix goes down round it; or straight down the hole of an operation before
    fitting = [item for item in own if row.method in (None, item.method) and entry in (None, item.entry)]
    if entry is None:  # nobody takes the core out of a bore first without saying so
        fitting = sorted(fitting, key=lambda item: METHODS[item.method].round_a_hole and item.drill is not None)
        # Nor goes anybody in worse than on a helix of which the worst is that it leaves nothing to clear.
        helix = {item.method: item.entry for item in fitting if "helix_leaves" in item.facts}
        worst = GRADES[-1]
        fitting = sorted(
            fitting, key=lambda item: item.grade == worst and helix.get(item.method, item.entry) != item.entry
        )
    if entry == THROUGH_A_HOLE and drill is not None:
        named = drill.id
        fitting = sorted(fitting, key=lambda item: item.drill is None or item.drill.id != named)
    if row.method is None and fitting:
        first = fitting[0].method
        other, wide = not METHODS[first].only_if_named, _wide(row, cutter, search)
        fitting = sorted(
            fitting,
            key=lambda item: (
                other and METHODS[item.method].only_if_named,
                wide and METHODS[item.method].narrow,
                search.region.has_walls and METHODS[item.method].passes_over,
                _apart(row, item),
            ),
        )
    best = fitting[0] if fitting else next((item for item in own if row.method in (None, item.method)), None)
    method: str = row.method or (best.method if best else _meant(cutter, search.region))
    way = ways()[method]
    open_ways = way.entries(search.region) or (FROM_THE_SIDE,)
    went = entry or (best.entry if best and best.entry else open_ways[0])
    if went != THROUGH_A_HOLE:
        return Chosen(way, went, None, best)
    if drill is None and best is not None:
        return Chosen(way, went, best.drill, best, taken=best.drill is not None)
    return Chosen(way, went, drill, best)


def _wide(row: OperationRow, cutter: Cutter, search: RegionSearch) -> bool:
    """Whether a plan cuts so wide that nobody would mean a narrow cut by it."""
    return row.radial_width is not None and reaches(row.radial_width, search.bench.limits["wide_cut_share"] * cutter.DC)


def stock_there(row: OperationRow, region: Region) -> float | None:
    """How much stock stands beside the wall that a cutter runs along [mm], less what the plan leaves there; nothing
    where it says no width, or none beyond that.
    """
    if row.radial_width is None or not region.strip_like or region.strip is None:
        return None
    there = difference(region.strip, row.allowance_side or 0.0)
    return there if there > 0 and exceeds(row.radial_width, there) else None


def _meant(cutter: Cutter, region: Region) -> str:
    """The first method of the table for this body, in this kind of feature if there is one."""
    of_body = [way for way in ways().values() if cutter.body in way.bodies]
    return next((way.method for way in of_body if way.suits(region)), of_body[0].method)


def _apart(row: OperationRow, own: Candidate) -> float:
    """How far the plan's depth and width are from the advisor's own by this method, as a sum of ratios."""
    if own.plan is None:
        return inf
    said = (
        (row.axial_depth, own.plan.axial_depth),
        (row.radial_width, own.plan.radial_width),
        (row.levels, own.plan.levels),
    )
    return round(sum(abs(log(value / usual)) for value, usual in said if value is not None and usual > 0), 2)


def left_beneath(row: OperationRow, method: str, usual: InFeature, bench: Bench) -> float | None:
    """What the levels leave on the bottom [mm], where the plan says no allowance there and that is finishing stock;
    above a cast floor what levels that go nearer to it than the advice leave there.
    """
    rest, limits = _rest_unsaid(row, method, usual), bench.limits
    if rest is None:
        return None
    if usual.facts.get("cast_floor") == "yes" and exceeds(usual.bottom, rest):
        return max(0.0, rest)
    if usual.overcut > 0 or usual.bottom <= 0:
        return None
    if reaches((row.levels or 1) * limits["typed_depth"], abs(difference(rest, usual.bottom))):
        return None  # the usual allowance, but for the rounding of each level
    most = limits["bottom_implied_most" if row.levels is None else "bottom_implied_levels_most"]
    implied = exceeds(rest, limits["level_shortfall_least"]) and reaches(most, rest)
    return rest if implied else None


def _rest_unsaid(row: OperationRow, method: str, usual: InFeature) -> float | None:
    """What one level, or as many as the plan says, leave on the bottom [mm]; nothing where the plan gives no depth, or
    says itself what stays there or how far the cut goes past it.
    """
    if (row.allowance_bottom, row.overcut) != (None, None) or row.axial_depth is None or not METHODS[method].in_levels:
        return None
    return difference(float(usual.facts["depth"]), (row.levels or 1) * row.axial_depth)


def beyond_the_bottom(row: OperationRow, method: str, usual: InFeature, bench: Bench, drilled: bool) -> float:
    """How far the levels of the plan go below the bottom of a feature [mm]; 0 where they do not.

    One level goes as deep as the plan says. Several that come out deeper than a through feature by no more than one
    goes past a bottom are meant to go there; otherwise the last of them is thinner.
    """
    if (deep := depth_said(row, method, drilled)) is None:
        return 0.0
    limits, in_levels = bench.limits, METHODS[method].in_levels
    count = (row.levels or 1) if in_levels else 1
    beyond = difference(deep, float(usual.facts["depth"]))
    through = usual.facts["floor"] == "no"
    if through and row.overcut is not None:
        return 0.0
    meant = count == 1 or (
        through and not row.allowance_bottom and reaches(limits["overcut_implied_levels_most"], beyond)
    )
    return beyond if meant and exceeds(beyond, limits["level_shortfall_least"]) else 0.0


def depth_said(row: OperationRow, method: str, drilled: bool) -> float | None:
    """How deep the numbers of a plan come to [mm]: its levels together, one level where it gives no count, the turns of
    a helix together, a plunge; nothing where they do not say, nor for a drill, whose depth is that of its tip.

    Round a ``drilled`` hole the turns are not all alike: those in its cone are flatter.
    """
    kind = METHODS[method]
    if row.axial_depth is None or kind.by_drill or (kind.in_turns and (row.levels is None or drilled)):
        return None
    return (row.levels or 1) * row.axial_depth


def short_of_the_bottom(row: OperationRow, method: str, usual: InFeature, bench: Bench, drilled: bool) -> Situation:
    """How far the turns of a helix, or a plunge, end above what is to be cut [mm], and the share that they reach,
    where the plan says nothing else of the bottom; nothing where they reach it, and for levels, which are judged as
    they are planned.
    """
    deep = depth_said(row, method, drilled)
    if deep is None or METHODS[method].in_levels or (row.allowance_bottom, row.overcut) != (None, None):
        return {}
    short = difference(float(usual.facts["depth"]), usual.bottom, deep)
    if not exceeds(short, bench.limits["level_shortfall_least"]):
        return {}
    depth = float(usual.facts["depth"])
    one_level = {"depth": depth, "overcut": 0.0, "bottom_allowance": usual.bottom, "levels": 1.0, "axial_depth": deep}
    found = derived.worked_out(SHORT_OF, one_level, limits=bench.limits)
    return {name: found[name] for name in SHORT_OF[1:]}


def ends_at_the_underside(row: OperationRow, method: str, usual: InFeature, bench: Bench) -> bool:
    """Whether the levels of the plan end at the underside of a through feature, and it says nothing else of that.

    Where no room below is known, several levels may come out deeper by as much as plans are rounded.
    """
    rest, limits = _rest_unsaid(row, method, usual), bench.limits
    if rest is None or usual.facts["floor"] != "no":
        return False
    slack = limits["level_shortfall_least"]
    if (row.levels or 1) > 1 and usual.overcut == 0:
        rounded = (limits["reached_share_most"] - 1) * float(usual.facts["depth"])
        return not exceeds(rest, slack) and not exceeds(-rest, max(slack, rounded))
    return not exceeds(abs(rest), slack)


def taken_beneath(row: OperationRow, method: str, usual: InFeature, bench: Bench) -> float | None:
    """What is taken to stay on the floor [mm] where the levels of the plan come down to the floor itself, and the plan
    does not say that anything stays.
    """
    rest = _rest_unsaid(row, method, usual)
    if rest is None or usual.facts["floor"] != "yes" or usual.bottom <= 0:
        return None
    return None if exceeds(abs(rest), bench.limits["level_shortfall_least"]) else usual.bottom


def left_of(row: OperationRow, usual: InFeature, tip: float | None = None) -> Left:
    """What the cut leaves: as said, else as usual for this cutter.

    How far a drill goes past the bottom of a through hole follows from how deep its ``tip`` is said to go [mm].

    A side allowance beyond the usual one does not make a feature narrower: what is left where it does not fit is
    still the usual.
    """
    drilled = usual.cutter.kind.drill  # what stays on the wall then follows from the drill, whatever is said
    side = usual.side if row.allowance_side is None or drilled else min(row.allowance_side, usual.side)
    bottom, overcut = row.allowance_bottom, row.overcut
    if tip is not None:
        return Left(side, 0.0, max(0.0, difference(tip, point_of(usual.cutter), float(usual.facts["depth"]))))
    if overcut is not None and overcut > 0:
        return Left(side, bottom or 0.0, overcut)
    if bottom is not None and bottom > 0:
        return Left(side, bottom, 0.0)
    if overcut is not None:  # none is wanted
        return Left(side, usual.bottom if bottom is None else bottom, 0.0)
    return Left(side, usual.bottom if bottom is None else bottom, usual.overcut)


def bored_side(row: OperationRow, way: Chosen, usual: InFeature) -> float | None:
    """What a plan leaves on the wall of a bore beyond what the advisor would [mm]: its helix is as much narrower.

    Nothing where it leaves no more, or so much that the bore would be no wider than the cutter.
    """
    side, own = row.allowance_side, way.own.plan if way.own else None
    if not METHODS[way.way.method].round_a_hole or side is None:
        return None
    most = own.side_allowance if own and METHODS[own.method].round_a_hole else usual.side
    goes_round = exceeds(float(usual.facts["width"]) - 2 * side, usual.cutter.DC)
    return side if goes_round and exceeds(side, most) else None


class Settled(NamedTuple):
    """A plan's settings worked out: ``plan`` with all its numbers.

    ``usual`` is what the advisor would do with this method and cutter; ``borne`` the plan's cut with the feed that is
    borne there, and ``cut`` that cut. ``feed_borne`` is that feed per tooth [mm]; of a cut in layers that only takes
    the rest in corners it is the one borne in a corner, if that is less.
    """

    usual: Plan
    borne: Plan
    plan: Plan
    cut: Cut
    feed_borne: float


class MethodHere(NamedTuple):
    """A method in a region; ``hole`` is what is drilled first: the drill of the hole that a cutter goes round, or the
    pilot hole that a drill opens.
    """

    method: str
    region: Region
    bench: Bench
    hole: Cutter | Drilled | None = None


def settled(
    row: OperationRow, here: MethodHere, item: InFeature, free: InFeature, tip: float | None, rest: bool = False
) -> Settled | None:
    """The settings of an operation; nothing where the method cannot be worked out with this cutter here.

    ``item`` leaves on the walls what the plan says, ``free`` what is usual: a thin allowance of the plan does not make
    what it leaves open more careful. ``tip`` is how deep the plan sends the tip of a drill [mm]. A ``rest`` operation
    takes what a wider cutter left.
    """
    method, region, bench, _ = here
    usual, _ = _worked(here, FREE, free)
    if usual is None:
        return None
    pinned = _of_the_cut(row, method, usual, item, tip)
    if row.radial_width is None and pinned.radial_width is not None and (row.levels or row.axial_depth):
        eased, _ = _worked(here, pinned._replace(radial_width=None), free)
        if eased is not None:  # no wider than the depth of the plan lets it be
            pinned = pinned._replace(radial_width=min(pinned.radial_width, eased.radial_width))
    borne, cut = _worked(here, pinned, free)
    if borne is None or cut is None:
        return None
    most = borne.feed_per_tooth
    if rest and METHODS[method].corners_engage_more and region.corners:
        most = min(most, corner_feed(cut, borne.axial_depth))
    if row.feed_rate is not None:
        own, _ = _worked(here, pinned, item)  # a bore is as wide as the plan's allowance lets it
        row = row.model_copy(update={"feed_rate": wall_feed_said(row, own or borne)})
    speed, tooth, teeth = row.spindle_speed, row.feed_per_tooth, item.cutter.ZEFP
    if speed is None:
        speed = borne.spindle_speed
        if row.feed_rate is not None and tooth is not None:
            follows, rounding = row.feed_rate / (teeth * tooth), bench.limits["over_the_limit"]
            speed = speed if 1 / rounding <= follows / speed <= rounding else follows
            tooth = row.feed_rate / (teeth * speed)
    if tooth is None:
        usually = _usual_feed(usual, borne, speed, bench)
        usually = min(usually, most) if most < borne.feed_per_tooth else usually
        tooth = row.feed_rate / (teeth * speed) if row.feed_rate is not None else usually
    typed = pinned._replace(feed_per_tooth=tooth, spindle_speed=speed)
    plan, _ = _worked(here, typed, item)
    return None if plan is None else Settled(usual, borne, plan, cut, most)


def _usual_feed(usual: Plan, borne: Plan, speed: float, bench: Bench) -> float:
    """The feed per tooth that gives the usual chip in the cut of the plan [mm], within what machine and axes reach.

    It is eased for what the plan asks of spindle and cutter where half of it is enough for that, and else not at all:
    depth and width are then too much.
    """

    def thinning(plan: Plan) -> float:
        angle = min(90.0, float(plan.facts["load_angle"]))
        return min(1 / sin(radians(angle)), bench.limits["thinning_factor_most"])

    tooth = usual.feed_per_tooth * thinning(borne) / thinning(usual)
    if borne.feed_per_tooth >= bench.limits["feed_filled_in_least"] * tooth:
        return min(tooth, borne.feed_per_tooth)
    axes = float(borne.facts["axis_feed"]) if "loop_count" in borne.facts else float("inf")
    most = min(bench.machine.feed_max, axes) / (borne.cutter.ZEFP * speed)
    return min(tooth, max(most, borne.feed_per_tooth))


def _of_the_cut(row: OperationRow, method: str, usual: Plan, item: InFeature, tip: float | None) -> Pinned:
    """Depth, width, angle and allowance, all of them: as said, else the usual ones."""
    levels, axial, kind = row.levels, row.axial_depth, METHODS[method]
    if kind.by_drill:
        levels, axial = None, tip
    elif kind.straight_down:  # its levels follow from the depth
        levels, axial = None, None
    elif levels is not None and axial is None:
        axial = item.depth_to_cut / levels
        if levels == usual.levels and "floor_level_ratio" in item.facts:  # then its last one is thinner than the others
            axial = usual.axial_depth if (levels - 1) * usual.axial_depth < item.depth_to_cut else axial
    elif axial is None and not (kind.in_turns and row.ramp_angle is not None):
        levels, axial = usual.levels, usual.axial_depth
    side = usual.side_allowance if row.allowance_side is None else row.allowance_side
    return Pinned(
        levels=levels,
        axial_depth=axial,
        radial_width=None if kind.full_width else row.radial_width or usual.radial_width,
        ramp_angle=row.ramp_angle,
        side_allowance=side if item.facts["feature"] != "planar_face" else 0.0,
    )


def _worked(here: MethodHere, pinned: Pinned, item: InFeature) -> tuple[Plan | None, Cut | None]:
    method, region, bench, hole = here
    plain, kind = cut_of(item, region, bench), METHODS[method]
    fits = float(item.facts.get("fit_ratio", 1.0)) >= bench.limits["cutter_slender_room_ratio"]
    if plain is None or not (fits or drilled_to_size(item)):
        return None, None
    drilled, pilot = plain.drilled, hole if isinstance(hole, Drilled) and kind.by_drill else None
    if isinstance(hole, Cutter) and kind.round_a_hole:
        drilled = drilled_by(hole, plain)
    cut = kind.prepared(replace(plain, pinned=pinned, drilled=drilled, pilot=pilot))
    try:
        return planned(kind, cut), cut
    except (ValueError, ArithmeticError):  # a cut that geometry does not know, such as one deeper than it is
        return None, None


def not_said(
    row: OperationRow,
    way: Chosen,
    found: Settled | None,
    item: InFeature,
    place: tuple[int, str],
    implied: bool = False,
) -> list[NotSaid]:
    """What the plan leaves open, with what was taken for it; nothing that follows from what is said.

    ``implied`` tells that the bottom allowance follows from the level of the plan.
    """
    told: list[NotSaid] = []
    kind = METHODS[way.way.method]

    def open_(field: str, taken: str | float, unit: str = "", cause: str = "", operand: float = 0.0) -> None:
        told.append(NotSaid(*place, field, taken, unit, cause, operand))

    if row.method is None:
        cause = (NARROW, float(item.facts["narrowest_width"])) if way.fills else ("", 0.0)
        open_("method", way.way.method, "", *cause)
    if row.entry is None and not kind.whole_hole:
        open_("entry", way.entry)
    if way.taken and way.drill is not None:
        open_(DRILL, way.drill.id)
    if found is None:
        return told
    plan = found.plan
    if kind.by_drill:  # a drawing has the depth at full diameter, a plan that of the tip: both are told
        open_(DRILLED_TO, float(plan.facts["drill_depth"]), "mm", operand=float(plan.facts["full_depth"]))
    if row.axial_depth is None and row.levels is None and not kind.straight_down:
        open_("axial_depth", plan.axial_depth, "mm")
    if row.radial_width is None and (way.fills or not kind.full_width):
        open_("radial_width", plan.radial_width, "mm", FULL_WIDTH if way.fills else "")
    if row.allowance_side is None and item.facts["feature"] != "planar_face":
        open_("allowance_side", plan.side_allowance, "mm")
    drilled_so_deep = kind.by_drill and row.axial_depth is not None and item.facts["floor"] == "no"
    if row.allowance_bottom is None and row.overcut is None and not drilled_so_deep:
        past, cause = item.overcut > 0, (ONE_LEVEL, row.axial_depth or 0.0) if implied else ("", 0.0)
        open_("overcut" if past else "allowance_bottom", item.overcut if past else item.bottom, "mm", *cause)
    given = [row.spindle_speed, row.feed_per_tooth, row.feed_rate]
    if sum(value is not None for value in given) < 2:
        if row.spindle_speed is None:
            open_("spindle_speed", plan.spindle_speed, "1/min")
        if row.feed_per_tooth is None and row.feed_rate is None:
            open_("feed_per_tooth", plan.feed_per_tooth, "mm")
    return told
