"""One operation of a plan worked out by the mechanics of the advice, with the plan's own numbers."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf
from typing import NamedTuple

from advisor.choosing.candidates import Cleared, RegionSearch, cutter_in_region, of_way_in, region_search
from advisor.choosing.corner import NO_REST, rest_cut
from advisor.knowledge.conditions import Situation, yes
from advisor.mechanics.chip import top_edge_angle
from advisor.mechanics.entry import helix_angle
from advisor.mechanics.lengths import difference, reaches
from advisor.mechanics.levels import levels
from advisor.mechanics.motion import arc_feed, wall_feed
from advisor.methods.cut import Cut
from advisor.methods.entries import Drills, ways_in
from advisor.methods.helix import core_of
from advisor.methods.holes import point_of
from advisor.methods.layers import full_width_table, level_greatest
from advisor.methods.registry import METHODS
from advisor.methods.thin import last_cap
from advisor.model.answer import FeatureAdvice
from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter
from advisor.model.finding import NotSaid
from advisor.model.operations import OperationRow
from advisor.model.plan import Drilled, Plan, WayIn
from advisor.model.region import Region
from advisor.review.assumed import (
    DRILL,
    Chosen,
    MethodHere,
    Settled,
    beyond_the_bottom,
    bored_side,
    chosen_way,
    ends_at_the_underside,
    left_beneath,
    left_of,
    not_said,
    settled,
    short_of_the_bottom,
    stock_there,
    taken_beneath,
)
from advisor.review.boring_stock import to_bore
from advisor.review.centre_feed import centre_feed_said
from advisor.review.drilled import as_advised, depth_not_said, drill_goes, of_the_drill
from advisor.review.nearest_data import nearest_facts
from advisor.review.operation_facts import overcut_room, plain_facts
from advisor.review.pilot import rates_of
from advisor.review.ratios import derive
from advisor.review.shorter import beside_shorter
from advisor.review.speeds import speed_facts
from advisor.review.stand_in import borne, listed, stand_ins
from advisor.situation.bench import Bench
from advisor.situation.derived import work_out, worked_out
from advisor.situation.facts import InFeature, cutter_in, put
from advisor.situation.pairings import ways

OF_THE_TABLES = ("wanted_power", "load_kept", "rate_kept")


class Named(NamedTuple):
    """The method that a plan names, if it does, and whether the cutter can cut so by that method or by another name."""

    method: str | None
    borne: bool


class Evaluated(NamedTuple):
    """An operation in one feature: the candidate it is, with the facts of the review, and what the plan leaves open."""

    candidate: Candidate
    open: tuple[NotSaid, ...]
    worked_out: bool


class Task(NamedTuple):
    """The place of an operation in a plan: its ``number``, the feature with its advice, cutter and crib.

    ``drill`` is that of a pre-drilled hole, with its tip ``drilled_to`` [mm] where an operation before drills it so
    deep; a ``pilot`` drills such a hole, and a wider drill ``opens`` it. A ``rest`` operation takes what a wider cutter
    left, and comes in there.
    """

    number: int
    answer: FeatureAdvice
    cutter: Cutter
    drill: Cutter | None
    crib: Sequence[Cutter]
    bench: Bench
    rest: bool = False
    drilled_to: float | None = None
    pilot: bool = False
    opens: Drilled | None = None


def evaluated(row: OperationRow, task: Task) -> Evaluated:
    """An operation of a plan in one feature, whatever its worth: no rule has been asked about it yet.

    Its candidate has no grade of its own: ``workable`` stands for not yet judged, and its time is infinite where none
    can be estimated.

    Raises:
        ValueError: it leaves the whole depth at the bottom, which ``check_plan`` refuses.
    """
    told = stand_ins(row, task.cutter, task.answer.region)
    named = Named(row.method, len(told) > 1)
    for one in told:
        found = _as(one, named, task)
        if found.worked_out:
            break
    return found


def _as(row: OperationRow, named: Named, task: Task) -> Evaluated:
    """The operation by the method that is judged, which the plan may name otherwise."""
    answer, cutter, bench, region, rest = task.answer, task.cutter, task.bench, task.answer.region, task.rest
    search = region_search(region, answer.facts, task.crib, bench)
    there, said_width = None if rest or named.borne else stock_there(row, region), row.radial_width
    if there is not None:  # the cutter meets no more than that, however wide the plan takes it to be
        row = row.model_copy(update={"radial_width": there})
    way = chosen_way(row, cutter, task.drill, search, rest)
    usual = cutter_in_region(cutter, search)
    goes = drill_goes(row, way.way.method, usual, region)
    if task.pilot and depth_not_said(row):
        goes = as_advised(way.way.method, usual, region, bench)
    beneath = left_beneath(row, way.way.method, usual, bench)
    left = left_of(row, usual, goes.tip if goes.through else None)
    left = left if beneath is None else left._replace(bottom=beneath)
    if ends_at_the_underside(row, way.way.method, usual, bench):
        left = left._replace(bottom=0.0, overcut=0.0)
    elif (beyond := beyond_the_bottom(row, way.way.method, usual, bench, way.drill is not None)) > 0:
        left = left._replace(bottom=0.0, overcut=max(beyond, row.overcut or 0.0))
    if (side := bored_side(row, way, usual)) is not None:
        left = left._replace(side=side)
    if reaches(left.bottom, region.depth + left.overcut):
        raise ValueError(f"operation {task.number} leaves {left.bottom:g} mm of {region.depth:g} mm: nothing to cut")
    item = cutter_in(region, cutter, answer.facts, bench, left)
    free = cutter_in(region, cutter, answer.facts, bench, left._replace(side=usual.side))
    meant = listed(way.way, cutter, region) or borne(way.way, row, cutter, region)
    here = MethodHere(way.way.method, region, bench, way.drill or task.opens)
    found = settled(row, here, item, free, goes.tip, rest) if meant else None
    facts = item.facts | {"method": way.way.method} | _said(row, way, named, meant, cutter, region, bench)
    if there is not None and said_width is not None:
        facts |= {"said_width": said_width, "stock_there": there}
    if (taken := taken_beneath(row, way.way.method, usual, bench)) is not None:
        facts["bottom_taken"] = taken
    open_ = tuple(not_said(row, way, found, item, (task.number, region.id), beneath is not None))
    if row.entry_kind.needs_drill and not rest:
        facts["hole_drilled_by"] = "nobody" if task.drill is None else "plan"
    plunged = METHODS[way.way.method].plunges and row.entry_kind.straight_down
    beside = rest and (row.entry is None or plunged)  # it comes in where a wider cutter has cleared
    if rest:
        open_ = tuple(one for one in open_ if one.setting not in ("entry", DRILL))
    if found is None:
        put(facts, of_the_drill(row, cutter, region, goes.tip, bench))
        rates = rates_of(row, cutter, region, answer.facts, left, bench)
        facts |= rates if rates or task.pilot else plain_facts(row, item, way.way.method, region, bench)
        facts |= nearest_facts(row, item, bench)
        derive(facts, bench.limits)
        entry = None if beside else way.entry
        own: Situation = facts | ({"entry": entry} if entry else {})
        return Evaluated(Candidate(way.way.method, cutter, entry, "workable", float("inf"), (), own), open_, False)
    facts |= found.plan.facts
    facts |= speed_facts(row, facts, bench)
    facts |= _measured(row, found, usual, item, bench)
    facts |= beside_shorter(cutter, found.plan.axial_depth, item, task.crib, search)
    if METHODS[found.plan.method].round_a_hole and way.drill is not None and (core := core_of(found.plan)) > 0:
        facts["core_beyond_hole"] = core - way.drill.DC
    cleared = Cleared(way.way, item, found.plan, facts)
    if beside:
        candidate = _without_entry(WayIn(way.entry, 0.0), cleared, bench)
    else:
        candidate = _with_entry(way, found.cut, cleared, search, task.drilled_to)
    facts = dict(candidate.facts) | short_of_the_bottom(row, way.way.method, usual, bench, way.drill is not None)
    if task.drilled_to is not None and "hole_cap" in facts:  # what nobody says goes as deep as the cutter
        work_out(("hole_solid_ratio",), facts, bench.limits)
    facts |= _descent(facts, found.plan, candidate.way_in, row)
    derive(facts, bench.limits)
    return Evaluated(candidate._replace(facts=facts), open_, True)


def _said(
    row: OperationRow, way: Chosen, named: Named, meant: bool, cutter: Cutter, region: Region, bench: Bench
) -> dict[str, str | float]:
    """What the plan says in words, and whether its way is one that can be meant."""
    entries = way.way.entries(region)
    said = way.way if named.method is None else ways()[named.method]
    facts: dict[str, str | float] = {
        "said_method": said.method,
        "judged_otherwise": yes(said.method != way.way.method),
        "cut_so": yes(named.borne or meant),
        "body_meant": yes(cutter.body in said.bodies),
        "feature_meant": yes(region.kind in said.features),
        "entry_meant": yes(not meant or row.entry is None or way.entry in entries),
        "speed_most": bench.speed_most,
        "feed_most": bench.machine.feed_max,
        "top_edge_angle": cutter.KAPR,
        "width_said": yes(row.method is not None or row.radial_width is not None or way.fills),
    }
    facts["feed_said"] = yes(row.feed_per_tooth is not None or row.feed_rate is not None)
    facts["levels_said"] = yes(row.axial_depth is not None or row.levels is not None)
    facts["skin_said"] = yes(row.allowance_bottom is not None and row.allowance_bottom > 0)
    if row.coolant is not None:
        facts["planned_coolant"] = row.coolant
    if row.tabs is not None:
        facts["planned_tabs"] = yes(row.tabs)
    if way.drill is not None:
        facts["said_hole_ratio"] = way.drill.DC / cutter.DC
    return facts


def _measured(row: OperationRow, found: Settled, usual: InFeature, item: InFeature, bench: Bench) -> Situation:
    """What is measured of the plan's numbers beside the tables, the machine, and the advisor's own."""
    plan, method = found.plan, found.plan.method
    names = ["width_borne", "wall_level_most"]
    kind = METHODS[method]
    facts: Situation = {
        "feed_borne": found.feed_borne,
        "side_wanted": found.usual.side_allowance,
        "bottom_wanted": usual.bottom,
        "overcut_wanted": usual.overcut,
        "layer_depth_most": _layer_depth_most(found.cut, method),
    }
    # What the tables want there, and how much of it the spindle gives, is no matter of the plan's own numbers.
    facts |= {name: found.usual.facts[name] for name in OF_THE_TABLES}
    if not kind.straight_down:
        most = bench.limits["corner_thinning_most"]
        edge = float(plan.facts["working_edge_angle"])
        facts["top_edge_angle"] = top_edge_angle(plan.axial_depth, item.cutter.RE, edge, most)
        facts["levels_wanted"] = float(found.usual.levels)
        names.append("even_level")
        if (own := found.usual.cut_time + found.usual.travel_time) > 0:  # none where the cutter has no path
            facts["over_own_time"] = (plan.cut_time + plan.travel_time) / own
    if (centre := centre_feed_said(row, plan)) is not None:
        facts["centre_feed_said"] = centre
        borne = found.borne.feed_per_tooth * item.cutter.ZEFP * plan.spindle_speed
        bore, DC = float(plan.facts["bore"]), item.cutter.DC
        facts["centre_feed_borne"] = arc_feed(borne, bore, DC)
        facts["feed_most"] = wall_feed(bench.machine.feed_max, bore, DC)  # the limit is that of the centre
    facts |= to_bore(plan.facts, item, bench)
    facts |= overcut_room(item, method)
    if kind.by_drill and not found.cut.region.floor:
        beneath = float(item.facts.get("clearance_below", 0.0))
        facts["wanted_room"] = difference(beneath, point_of(item.cutter), usual.overcut)
        names.append("free_to_go_through")
    if row.levels is not None and row.axial_depth is not None and "levels_wanted" in facts:
        names += ["level_shortfall", "reached_share"]
        facts["levels_idle"] = float(plan.levels - levels(item.depth_to_cut, plan.axial_depth))
    if "last_over_floor" in plan.facts and last_cap(found.cut) < inf:
        names.append("floor_level_most")
    if "level_over_wall" in plan.facts:
        names.append("level_over_whole_wall")
    if item.facts.get("purpose") == "ream":
        names.append("rest_over_ream")
    if item.facts["feature"] != "round_hole":
        names += ["corner_stock", "side_room"]
    enough = worked_out(("allowance_enough",), plan.facts, limits=bench.limits)
    if enough and reaches(bench.limits["allowance_most"], float(enough["allowance_enough"])):  # more is no allowance
        facts |= enough
    facts |= worked_out(tuple(names), item.facts, plan.facts, facts, limits=bench.limits)
    if "rest_over_ream" in facts:
        facts["rest_over_ream"] = max(0.0, float(facts["rest_over_ream"]))
    if asked := found.cut.region.allowance_side:
        facts["side_asked"] = asked
    if asked := found.cut.region.allowance_bottom:
        facts["bottom_asked"] = asked
    return facts


def _layer_depth_most(cut: Cut, method: str) -> float:
    """The deepest level of the tables for a wide cut [mm], which may be as deep as one at full width."""
    full = full_width_table(cut)
    return full if METHODS[method].full_width else max(full, level_greatest(cut))


def _without_entry(free: WayIn, cleared: Cleared, bench: Bench) -> Candidate:
    """The candidate that comes in where a wider cutter has been, and needs no way in of its own."""
    candidate = of_way_in(cleared, free, None, bench)
    bare = {name: value for name, value in candidate.facts.items() if name not in ("entry", "way_in")}
    return candidate._replace(entry=None, facts=bare, fired=(), grade="workable")


def _with_entry(way: Chosen, cut: Cut, cleared: Cleared, search: RegionSearch, drilled_to: float | None) -> Candidate:
    """The candidate with its way in."""
    plan, region, bench = cleared.plan, search.region, search.bench
    rest = NO_REST if METHODS[plan.method].whole_hole else rest_cut(region, cleared.item, bench)
    drills = Drills(
        tuple(filter(None, [way.drill])), lambda drill: cutter_in_region(drill, search), drilled_to, said=True
    )
    own = next(ways_in(plan, cut, [way.entry], drills), WayIn(way.entry, None))
    facts = cleared.facts
    if own.drill is not None:
        facts = facts | {"hole_beyond_walls": difference(own.drill.DC, region.entry_width)}
    candidate = of_way_in(cleared._replace(facts=facts, rest=rest), own, None, bench)
    time = float(candidate.facts.get("total_time", float("inf")))
    return candidate._replace(grade="workable", time=time)


def _descent(facts: Situation, plan: Plan, way_in: WayIn | None, row: OperationRow) -> Situation:
    """The angle at which the cutter goes down, where it goes down at one."""
    if not METHODS[plan.method].in_turns or row.axial_depth is None:
        angle = None if way_in is None else way_in.ramp_angle
        if angle is not None and METHODS[plan.method].in_turns:
            angle = row.ramp_angle or angle
        return {} if angle is None else {"descent_angle": angle}
    bore, DC = float(facts["bore"]), plan.cutter.DC
    found: Situation = {"descent_angle": helix_angle(plan.axial_depth, bore, DC)}
    if (hole := facts.get("hole_diameter", facts.get("opening"))) is not None:
        found["rim_angle"] = helix_angle(plan.axial_depth, float(hole) + DC, DC)
    if row.ramp_angle is not None:
        turn = helix_angle(row.axial_depth, bore, DC)
        found |= {"ramp_said": row.ramp_angle, "turn_said": row.axial_depth, "turn_angle": turn}
    return found
