"""Every method with every cutter and every way in that can be meant, worked out, judged and graded."""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import NamedTuple

from advisor.choosing import ranking
from advisor.choosing.corner import NO_REST, RestCut, foot_time, rest_cut
from advisor.choosing.ranking import standing
from advisor.choosing.time_of_count import whole_time
from advisor.inference.questions import Key, Places, key_of
from advisor.knowledge.conditions import Situation, holds
from advisor.knowledge.evidence import quantised
from advisor.knowledge.measures import JUDGING
from advisor.knowledge.schema import Rule, RuleBase
from advisor.methods.cut import Cut
from advisor.methods.entries import Drills, drills_of, ways_in
from advisor.methods.registry import METHODS
from advisor.methods.skin import planned
from advisor.methods.trial import cut_of
from advisor.model.candidate import GRADES, NO_PREFERENCES, Candidate
from advisor.model.cutter import Cutter
from advisor.model.plan import Plan, WayIn
from advisor.model.region import Region
from advisor.situation.bench import Bench
from advisor.situation.facts import InFeature, conclude, cutter_in
from advisor.situation.pairings import Way, meant_for, ways


def grade_of(fired: Sequence[Rule]) -> str:
    """The grade that the fired rules give together."""
    verdicts = {rule.verdict for rule in standing(fired)}
    if "forbids" in verdicts:
        return "forbidden"
    if "against" in verdicts:
        return "poor"
    return "good" if "for" in verdicts else "workable"


def candidates(
    region: Region,
    shared: Situation,
    crib: Sequence[Cutter],
    bench: Bench,
    only: Container[tuple[str, str]] | None = None,
) -> Iterator[Candidate]:
    """Every candidate for a region; ``shared`` are the facts of the feature.

    ``only`` narrows them to some pairs of method and cutter id.
    """
    search = region_search(region, shared, crib, bench)
    for way, cutter in meant_for(region, crib, bench.limits["opening_clearance_least"]):
        if only is None or (way.method, cutter.id) in only:
            yield from worked_out(judged(way, cutter, search), search)


@dataclass(slots=True)
class RegionSearch:
    """A region with the cutters of a crib: what is found out of them once, for every method that asks.

    ``by_feature`` are the rules of each judging stage that fired on the feature alone; ``inside`` keeps the cutters in
    the region, ``cuts`` their cutting data there. The rules cannot tell two cutters apart whose facts lie alike in
    ``places``: ``alike`` keeps where those of each cutter lie, ``by_cutter`` and ``verdicts`` the rules that fired
    there, with the grade they give.
    """

    region: Region
    shared: Situation
    bench: Bench
    by_feature: tuple[tuple[Rule, ...], ...]
    drills: Drills
    places: Places
    inside: dict[str, InFeature] = field(default_factory=dict)
    cuts: dict[str, Cut | None] = field(default_factory=dict)
    alike: dict[str, Key] = field(default_factory=dict)
    by_cutter: dict[Key, tuple[tuple[Rule, ...], str]] = field(default_factory=dict)
    verdicts: dict[tuple[str, Key], tuple[tuple[Rule, ...], str]] = field(default_factory=dict)


def region_search(region: Region, shared: Situation, crib: Sequence[Cutter], bench: Bench) -> RegionSearch:
    """A region with the cutters of a crib, nothing of them worked out yet."""
    by_feature = tuple(bench.inference.fired(stage, "feature", shared) for stage in JUDGING)
    drills = Drills(drills_of(crib), lambda drill: cutter_in_region(drill, search))
    methods = tuple(way.method for way in ways().values() if way.suits(region))
    places = bench.inference.places(JUDGING, ("cutter", "method"), methods)
    search = RegionSearch(region, shared, bench, by_feature, drills, places)
    return search


def cutter_in_region(cutter: Cutter, search: RegionSearch) -> InFeature:
    """A cutter in the region, worked out once."""
    item = search.inside.get(cutter.id)
    if item is None:
        item = search.inside[cutter.id] = cutter_in(search.region, cutter, search.shared, search.bench)
    return item


def cut_in(item: InFeature, search: RegionSearch) -> Cut | None:
    """The cutting data of a cutter in the region, found once for all methods; nothing where the tables have none."""
    name = item.cutter.id
    if name not in search.cuts:
        search.cuts[name] = cut_of(item, search.region, search.bench)
    return search.cuts[name]


class Judged(NamedTuple):
    """One method with one cutter before any arithmetic: the rules that fired by then and what they make of it."""

    way: Way
    item: InFeature
    fired: tuple[Rule, ...]
    grade: str


def judged(way: Way, cutter: Cutter, search: RegionSearch) -> Judged:
    """What the rules say of a method with a cutter before it is worked out."""
    item = cutter_in_region(cutter, search)
    key = search.alike.get(cutter.id)
    if key is None:
        key = search.alike[cutter.id] = key_of(search.places, item.facts)
    known = search.verdicts.get((way.method, key))
    if known is None:
        known = search.verdicts[way.method, key] = _verdict(way, item, key, search)
    return Judged(way, item, *known)


def _verdict(way: Way, item: InFeature, key: Key, search: RegionSearch) -> tuple[tuple[Rule, ...], str]:
    """The rules that fired on feature, cutter and method, and the grade they give."""
    known = search.by_cutter.get(key)
    if known is None:
        about = _of_cutter(item, search)
        known = search.by_cutter[key] = about, grade_of(about)
    fired, grade = known
    if grade != "forbidden":
        fired += search.bench.inference.every(JUDGING, ("method",), item.facts, way.method)
        grade = grade_of(fired)
    return fired, grade


def _of_cutter(item: InFeature, search: RegionSearch) -> tuple[Rule, ...]:
    """The rules that fired on feature and cutter, stage by stage."""
    inference = search.bench.inference
    if not any(search.by_feature):
        return inference.every(JUDGING, ("cutter",), item.facts)
    return tuple(
        rule
        for stage, by_feature in zip(JUDGING, search.by_feature, strict=True)
        for rule in (*by_feature, *inference.fired(stage, "cutter", item.facts))
    )


def rest_of(pair: Judged, search: RegionSearch) -> RestCut:
    """The cut for what a cutter leaves in the corners; a hole has none."""
    whole_hole = METHODS[pair.way.method].whole_hole
    return NO_REST if whole_hole else rest_cut(search.region, pair.item, search.bench)


def worked_out(
    pair: Judged, search: RegionSearch, most: float = float("inf"), every: bool = True
) -> Iterator[Candidate]:
    """The candidates of one method with one cutter; what a rule forbids by then is not worked out further.

    What would take longer than ``most`` [s] may be left out: every way in, or the holes of some drills. Unless
    ``every`` is asked for, so may be a hole that is slower than one with as good a grade as any can have.
    """
    way, item, fired, grade = pair
    region, bench = search.region, search.bench
    plain, method = cut_in(item, search) if grade != "forbidden" else None, METHODS[way.method]
    cut = method.prepared(plain) if plain is not None else None
    plan = planned(method, cut) if cut is not None else None
    if plan is None or cut is None:
        own = item.facts | {"method": way.method}
        unmet = dict.fromkeys((one.id for one in bench.base.preferences), False)
        yield Candidate(way.method, item.cutter, None, "forbidden", float("inf"), fired, own, meets=unmet)
        return
    rest = rest_of(pair, search)
    spare = most - whole_time(region.copies, plan.cut_time + plan.travel_time, bench.machine.tool_change, rest.time)
    if spare < 0 and not another_cut(plan):
        return
    facts, before = {**item.facts, **plan.facts}, fired
    fired += bench.inference.every(("clearing", "cutter"), ("candidate",), facts, way.method)
    cleared = Cleared(way, item, plan, facts, fired, rest, cut.tip_compliance(0.0), foot_time(region, item, bench))
    entries = list(ways_in(plan, cut, way.entries(region), search.drills, spare))
    helix = next((found.time for found in entries if found.kind.helix), None)
    best = None if every or _entry_betters(bench.base, way.method) else _ill(GRADES.index(grade_of(fired)), fired)
    done, enough = list[Candidate](), float("inf")
    for found in entries if every else sorted(entries, key=_drilling_time):
        if _drilling_time(found) > enough:
            break
        if found.plan is None:
            done.append(of_way_in(cleared, found, helix, bench))
        else:
            own = {**item.facts, **found.plan.facts}
            about = before + bench.inference.every(("clearing", "cutter"), ("candidate",), own, way.method)
            longer = None if helix is None else helix + plan.cut_time - found.plan.cut_time
            done.append(of_way_in(cleared._replace(plan=found.plan, facts=own, fired=about), found, longer, bench))
        if found.drill and best is not None and _ill(GRADES.index(done[-1].grade), done[-1].fired) <= best:
            enough = _drilling_time(found)
    yield from ranking.worth_the_drill(done, bench.limits)


def another_cut(plan: Plan) -> bool:
    """Whether a way in may make another cut of a plan: a ramp along a slot, a hole drilled first in a bore."""
    return "ramp_time" in plan.facts or METHODS[plan.method].round_a_hole


def _ill(grade: int, fired: Sequence[Rule]) -> tuple[int, ranking.Objections]:
    """The place of a grade with what speaks against a way, the least of which is best."""
    return grade, ranking.objections_of(rule for rule in standing(fired) if rule.verdict == "against")


def _drilling_time(found: WayIn) -> float:
    """How long a hole takes, its drill in hand [s]; less than any for a way in without a drill."""
    return found.time if found.drill and found.time is not None else -1.0


@lru_cache(maxsize=64)
def _entry_betters(base: RuleBase, method: str) -> bool:
    """Whether a rule about the way in may better the grade of a method, and not only make it worse."""
    earlier = {rule.id for rule in base.rules if rule.stage in ("clearing", "cutter")}
    asked = (rule for rule in base.of("entry") if not rule.methods or method in rule.methods)
    return any(rule.verdict == "for" or earlier.intersection(rule.overrides) for rule in asked)


class Cleared(NamedTuple):
    """A method with one cutter worked out before its way in: the plan with its facts, the rules that fired by then, the
    cut for what stays in the corners, how far the tip gives way for each newton [mm/N], and the time of a second cutter
    for what stays along the floor [s].
    """

    way: Way
    item: InFeature
    plan: Plan
    facts: Situation
    fired: tuple[Rule, ...] = ()
    rest: RestCut = NO_REST
    compliance: float = 0.0
    foot: float = 0.0


def of_way_in(cleared: Cleared, found: WayIn, helix: float | None, bench: Bench) -> Candidate:
    """The candidate of a plan with one way in; ``helix`` is the time of the way in on a helix [s], if there is one."""
    way, item, plan, facts, fired, rest, compliance, foot = cleared
    own: Situation = facts | dict(found.facts) | {"entry": found.entry}
    total = float("inf")
    if found.time is not None:
        own |= {"entry_time": found.time, "entry_change": found.change, "corner_rest_time": rest.time}
        if rest.path > 0:
            own |= {"corner_rest_path": rest.path, "corner_rest_feed": rest.feed, "corner_rest_moves": rest.moves}
        cut_time = plan.cut_time if found.cut_time is None else found.cut_time
        travel = plan.travel_time if found.travel_time is None else found.travel_time
        count, change = float(item.facts["count"]), bench.machine.tool_change
        total = whole_time(count, cut_time + travel + found.time, change, rest.time) + found.change
        own |= {"total_time": total, "entry_time_share": count * found.time / total if total > 0 else 0.0}
        if found.kind.needs_drill and helix is not None:
            own["helix_beyond_hole"] = count * (helix - found.time) - found.change
    about_entry = bench.inference.fired("entry", "candidate", own, way.method)
    conclude(own, about_entry)
    every = fired + about_entry
    grade = grade_of(every) if found.time is not None else "forbidden"  # thresholds of a house may outdo the rules
    if grade == "forbidden":
        total = float("inf")
    overtakes = ranking.may_overtake(own, bench.limits)
    factor = ranking.time_factor(own, METHODS[way.method].pushed_aside, bench.limits)
    return Candidate(
        method=way.method,
        cutter=item.cutter,
        entry=found.entry,
        grade=grade,
        time=total,
        fired=every,
        facts=own,
        plan=plan,
        way_in=found,
        compliance=compliance,
        overtakes=overtakes,
        time_factor=factor,
        foot_time=foot,
        meets=_met(own, bench.base),
    )


def _met(facts: Situation, base: RuleBase) -> Mapping[str, bool]:
    """Of each preference of the shop whether a way with these facts meets it."""
    if not base.preferences:
        return NO_PREFERENCES
    seen = quantised(facts)
    return {one.id: holds(one.condition, seen) for one in base.preferences}
