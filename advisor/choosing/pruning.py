"""The candidates that an answer can rest on, found without working out every cutter of a large crib.

For each method the quickest two cutters of each grade are looked for, and all that are so near to them in time that
stiffness decides: the answer, the alternatives beside it and the cutter that comes next are among them, whichever one
cutter is left away. A cutter is left out when even its bound is worse: no better grade than the rules can still give
it, no fewer and no lighter rules against it than have fired, no shorter time than the least one. Where all of a method
are forbidden, nothing is left out.
"""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from heapq import heapify, heappop, heappush

from advisor.choosing.candidates import Judged, RegionSearch, cut_in, judged, region_search, rest_of, worked_out
from advisor.choosing.incumbents import Best, Bound, Firm, First, Margin
from advisor.choosing.ranking import Objections, foremost_of, objections_of, standing, thin_there
from advisor.choosing.rigidity import corners_left, tip_rounded
from advisor.choosing.time_of_count import whole_time
from advisor.inference.questions import MOST_ANSWERS, Key, Places, key_of, places_of
from advisor.knowledge.conditions import All, Compare, Condition, Facts, Known, Situation, holds, quantise
from advisor.knowledge.measures import JUDGING
from advisor.knowledge.schema import Asked, RuleBase, reads
from advisor.methods.bounds import least_entry, least_time
from advisor.methods.cut import Cut
from advisor.methods.pace import NEVER
from advisor.methods.registry import METHODS
from advisor.model.candidate import FORBIDDEN, GOOD, POOR, WORKABLE, Candidate
from advisor.model.cutter import Cutter
from advisor.model.region import Region
from advisor.situation.bench import Bench
from advisor.situation.pairings import Way, meant_for, ways

ANY = FORBIDDEN, NEVER  # every allowed way is better: as ``least`` it leaves none out
Untimed = tuple[int, Objections]  # a bound without its time
Cuts = dict[tuple[str, str], Cut | None]  # by cutter and method


def narrowed(region: Region, shared: Situation, crib: Sequence[Cutter], bench: Bench) -> Iterator[Candidate]:
    """Of every candidate for a region those that can be the best of a method, or next to it with another cutter.

    The best one is there with all its ways in. ``shared`` are the facts of the feature.
    """
    search, cuts, near = region_search(region, shared, crib, bench), Cuts(), bench.limits["opening_clearance_least"]
    found = [
        candidate
        for way in ways().values()
        if way.suits(region)
        for candidate in _of_method(way, [cutter for cutter in crib if way.takes(region, cutter, near)], search, cuts)
    ]
    best = foremost_of(found, bench.limits)
    for candidate in found:
        if best is None or (candidate.method, candidate.cutter.id) != (best.method, best.cutter.id):
            yield candidate
    if best is not None:
        yield from worked_out(judged(ways()[best.method], best.cutter, search), search)


def _of_method(way: Way, cutters: Sequence[Cutter], search: RegionSearch, cuts: Cuts) -> Iterator[Candidate]:
    """The candidates of one method that the two best of its cutters are among."""
    best, alike = Best(Margin.of(search.bench.limits), thin_there(search.shared)), dict[Untimed, list[Judged]]()
    forbidden = []
    for cutter in cutters:
        pair = judged(way, cutter, search)
        if pair.grade == "forbidden":
            forbidden.append(pair)
        elif _may_be_preferred(pair, search):
            yield from _taken(pair, best, search)
        else:
            alike.setdefault(bound_of(pair, search.bench.base), []).append(pair)
    yield from _by_bound(alike, best, search, cuts)
    if best.open:
        for pair in forbidden:
            yield from worked_out(pair, search)


def foremost(
    region: Region,
    shared: Situation,
    crib: Sequence[Cutter],
    bench: Bench,
    only: Container[tuple[str, str]] | None = None,
    least: tuple[int, float] = ANY,
) -> Candidate | None:
    """The best candidate for a region, found without what stands beside it; nothing where all are forbidden.

    ``only`` as for ``candidates``. Nothing, or another than the best, may be found where the best is neither of a
    better grade than the ``least`` (a place among the grades, and a time [s]), nor of that grade and no slower, nor
    workable and quicker where the least is good.
    """
    search, alike = region_search(region, shared, crib, bench), dict[Untimed, list[Judged]]()
    best, found = First(Margin.of(bench.limits), *least, thin_there(shared)), list[Candidate]()
    for way, cutter in meant_for(region, crib, bench.limits["opening_clearance_least"]):
        if only is not None and (way.method, cutter.id) not in only:
            continue
        pair = judged(way, cutter, search)
        if pair.grade == "forbidden":
            continue
        if _may_be_preferred(pair, search):
            found.extend(_taken(pair, best, search))
        else:
            alike.setdefault(bound_of(pair, bench.base), []).append(pair)
    return foremost_of([*found, *_by_bound(alike, best, search, {})], bench.limits)


def _may_be_preferred(pair: Judged, search: RegionSearch) -> bool:
    """Whether the shop may prefer a method with a cutter, which then is no worse for being slow."""
    base = search.bench.base
    return bool(base.preferences) and _preferable(base, pair.way.method).may_hold(pair.item.facts)


def _taken(pair: Judged, best: Best | First, search: RegionSearch) -> Iterator[Candidate]:
    """Every candidate of a method with a cutter, each looked at."""
    for candidate in worked_out(pair, search):
        best.take(candidate)
        yield candidate


def _by_bound(
    alike: Mapping[Untimed, Sequence[Judged]], best: Best | First, search: RegionSearch, cuts: Cuts
) -> Iterator[Candidate]:
    """The candidates that the best are among, of pairs none of which is forbidden as yet, by their bounds but for time.

    The least times are looked at first, made less coarse only when it is their turn.
    """
    for bound, pairs in sorted(alike.items(), key=lambda item: item[0]):
        if best.spare(Bound(*bound, 0.0)) < 0.0:  # whatever time they take
            continue
        waiting = [(_least(pair, search, cuts, bound[0], False), place, False) for place, pair in enumerate(pairs)]
        heapify(waiting)
        while waiting:
            time, place, refined = heappop(waiting)
            spare = best.spare(Bound(*bound, time))
            if time > spare:
                break
            if not refined:
                heappush(waiting, (_least(pairs[place], search, cuts, bound[0], True), place, True))
                continue
            if best.beaten(Bound(*bound, time), _firm(pairs[place], cuts)):
                continue
            for candidate in worked_out(pairs[place], search, spare, every=False):
                best.take(candidate)
                yield candidate


def _firm(pair: Judged, cuts: Cuts) -> Firm:
    """How firm a cutter is in a method, before it is worked out."""
    cut = cuts[pair.item.cutter.id, pair.way.method]
    compliance = tip_rounded(cut.tip_compliance(0.0)) if cut is not None else 0.0
    return METHODS[pair.way.method].pushed_aside, corners_left(pair.item.facts), compliance


def _least(pair: Judged, search: RegionSearch, cuts: Cuts, grade: int, by_power: bool) -> float:
    """A time that no candidate of a method with a cutter stays below by a way in that may have such a grade [s]."""
    method, change = METHODS[pair.way.method], search.bench.machine.tool_change
    name = pair.item.cutter.id, method.name
    if name not in cuts:
        plain = cut_in(pair.item, search)
        cuts[name] = method.prepared(plain) if plain is not None else None
    cut = cuts[name]
    if cut is None:
        return NEVER
    if not by_power:
        return whole_time(search.region.copies, least_time(method, cut, by_power), change)
    worse = _worse(search.bench.base, pair.way) if grade < POOR else frozenset()
    entries = [entry for entry in pair.way.entries(search.region) if entry not in worse]
    each = least_time(method, cut, by_power)
    whole = whole_time(search.region.copies, each, change, rest_of(pair, search).time)
    return whole + least_entry(method, cut, entries, search.drills.cutters)


def bound_of(pair: Judged, base: RuleBase) -> Untimed:
    """The best grade that rules can still give, and what speaks against it whatever they say."""
    awaited = _awaited(base, pair.way.method)
    against = [rule for rule in standing(pair.fired) if rule.verdict == "against" and rule.id not in awaited.overridden]
    objections = objections_of(against, -NEVER if METHODS[pair.way.method].by_drill else 0.0)
    if against:
        return POOR, objections
    good = any(rule.verdict == "for" for rule in pair.fired) or awaited.may_hold(pair.item.facts)
    return GOOD if good else WORKABLE, objections


@lru_cache(maxsize=64)
def _worse(base: RuleBase, way: Way) -> frozenset[str]:
    """The ways in that some rule is against whatever the other facts are: none of them is ever better than poor."""
    overridden = {other for rule in base.rules for other in rule.overrides}
    conditions = [
        rule.condition
        for rule in base.of("entry")
        if rule.verdict in ("against", "forbids") and rule.id not in overridden
        if reads(rule) <= {"method", "entry"}
    ]
    return frozenset(
        entry
        for entry in {*way.strip, *way.open, *way.closed}
        if any(holds(condition, {"method": way.method, "entry": entry}) for condition in conditions)
    )


@dataclass(slots=True)
class Awaited:
    """The rules that may yet speak for a method, the facts that come only with its arithmetic, and the ids of all
    rules that some rule overrides. Answers are kept by the places of the facts, as those of the engine.
    """

    conditions: tuple[Condition, ...]
    later: frozenset[str]
    overridden: frozenset[str]
    places: Places
    kept: dict[Key, bool] = field(default_factory=dict)

    def may_hold(self, facts: Facts) -> bool:
        """Whether one of the rules may come true."""
        key = key_of(self.places, facts)
        if key not in self.kept:
            if len(self.kept) >= MOST_ANSWERS:
                self.kept.clear()
            self.kept[key] = any(_may_hold(condition, facts, self.later) for condition in self.conditions)
        return self.kept[key]


@lru_cache(maxsize=64)
def _awaited(base: RuleBase, method: str) -> Awaited:
    rules = [
        rule
        for rule in base.rules
        if rule.stage in JUDGING and rule.level == "candidate" and rule.verdict == "for"
        if not rule.methods or method in rule.methods
    ]
    return _of_rules(rules, base)


@lru_cache(maxsize=64)
def _preferable(base: RuleBase, method: str) -> Awaited:
    return _of_rules([one for one in base.preferences if not one.methods or method in one.methods], base)


def _of_rules(rules: Sequence[Asked], base: RuleBase) -> Awaited:
    later = frozenset(name for name, measure in base.measures.items() if measure.level in ("method", "candidate"))
    overridden = frozenset(other for rule in base.rules for other in rule.overrides)
    places = [place for place in places_of(rules) if place[0] not in later]
    return Awaited(tuple(rule.condition for rule in rules), later, overridden, places)


def _may_hold(condition: Condition, facts: Facts, later: frozenset[str]) -> bool:
    """Whether a condition may come true once the facts it waits for are there."""
    if isinstance(condition, Compare | Known):
        value = facts.get(condition.fact)
        seen = {} if value is None else {condition.fact: value if isinstance(value, str) else quantise(value)}
        return condition.fact in later or holds(condition, seen)
    return (all if isinstance(condition, All) else any)(_may_hold(part, facts, later) for part in condition.parts)
