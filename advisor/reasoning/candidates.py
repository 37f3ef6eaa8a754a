"""Every method with every cutter and every way in that can be meant, worked out, judged and graded."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterator, Sequence
from typing import NamedTuple

from advisor.inputs.cutter import Cutter
from advisor.reasoning.bench import Bench
from advisor.reasoning.corner import rest_time
from advisor.reasoning.cut import Cut, cut_of
from advisor.reasoning.entries import ways_in
from advisor.reasoning.methods import engagement, facing, holes, layers, plunging, slotting
from advisor.reasoning.plan import Plan, WayIn
from advisor.reasoning.region import Region
from advisor.reasoning.situation import InFeature, Situation, conclude, cutter_in
from advisor.reasoning.ways import Way, meant_for
from advisor.rulebase.schema import Rule

GRADES = ("good", "workable", "poor", "forbidden")
JUDGING = ("clearing", "cutter", "entry")
METHODS: dict[str, Callable[[Cut], Plan | None]] = {
    engagement.METHOD: engagement.plan,
    layers.METHOD: layers.plan,
    slotting.METHOD: slotting.plan,
    plunging.METHOD: plunging.plan,
    facing.METHOD: facing.plan,
    holes.DRILLING: holes.plan_drilling,
    holes.BORING: holes.plan_boring,
}


class Candidate(NamedTuple):
    """One way of roughing the feature, with the rules that fired about it and what they make of it.

    ``time`` is in seconds, infinite where arithmetic or a rule already excludes the candidate; ``plan`` and
    ``way_in`` are then absent where nothing could be worked out.
    """

    method: str
    cutter: Cutter
    entry: str | None
    grade: str
    time: float
    fired: tuple[Rule, ...]
    facts: Situation
    plan: Plan | None = None
    way_in: WayIn | None = None

    @property
    def drill(self) -> Cutter | None:
        """The drill of a pre-drilled hole."""
        return self.way_in.drill if self.way_in else None

    def rank(self) -> tuple[int, float, int, float, str, str, str]:
        """What candidates are sorted by: grade, time, levels, width (wider first), then names."""
        levels = self.plan.levels if self.plan else 0
        return (
            GRADES.index(self.grade),
            self.time,
            levels,
            -self.cutter.DC,
            self.cutter.id,
            self.entry or "",
            self.drill.id if self.drill else "",
        )


def standing(fired: Sequence[Rule]) -> tuple[Rule, ...]:
    """The fired rules that no other fired rule overrides."""
    overridden = {other for rule in fired for other in rule.overrides}
    return tuple(rule for rule in fired if rule.id not in overridden)


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
    inside = {cutter.id: cutter_in(region, cutter, shared, bench) for cutter in crib}
    drills = [item for item in inside.values() if item.cutter.body == "drill"]
    about: dict[str, tuple[Rule, ...]] = {}
    for way, cutter in meant_for(region, crib):
        if only is not None and (way.method, cutter.id) not in only:
            continue
        item = inside[cutter.id]
        if cutter.id not in about:
            about[cutter.id] = bench.inference.every(JUDGING, ("feature", "cutter"), item.facts)
        yield from _of_cutter(way, item, about[cutter.id], region, drills, bench)


def _of_cutter(
    way: Way,
    item: InFeature,
    about_cutter: tuple[Rule, ...],
    region: Region,
    drills: Sequence[InFeature],
    bench: Bench,
) -> Iterator[Candidate]:
    """The candidates of one method with one cutter; what a rule forbids by then is not worked out further."""
    facts = item.facts | {"method": way.method}
    ask = bench.inference.every
    fired = about_cutter
    if grade_of(fired) != "forbidden":
        fired += ask(JUDGING, ("method",), facts, way.method)
    cut = cut_of(item, region, bench) if grade_of(fired) != "forbidden" else None
    plan = METHODS[way.method](cut) if cut is not None else None
    if plan is None or cut is None:
        yield Candidate(way.method, item.cutter, None, "forbidden", float("inf"), fired, facts)
        return
    rest = rest_time(region, item, bench) if way.method not in ("drilling", "helical_boring") else 0.0
    facts |= plan.facts
    fired += ask(("clearing", "cutter"), ("candidate",), facts, way.method)
    ways = list(ways_in(plan, cut, way.entries(region), drills))
    helix = next((found.time for found in ways if found.entry == "helical_ramp"), None)
    for found in ways:
        yield _of_way_in(way, item, plan, found, helix, fired, facts, rest, bench)


def _of_way_in(
    way: Way,
    item: InFeature,
    plan: Plan,
    found: WayIn,
    helix: float | None,
    fired: tuple[Rule, ...],
    facts: Situation,
    rest: float,
    bench: Bench,
) -> Candidate:
    own: Situation = facts | dict(found.facts) | {"entry": found.entry}
    total = float("inf")
    if found.time is not None:
        own |= {"entry_time": found.time, "entry_change": found.change, "corner_rest_time": rest}
        cut_time = plan.cut_time if found.cut_time is None else found.cut_time
        travel = plan.travel_time if found.travel_time is None else found.travel_time
        total = cut_time + travel + found.time + found.change + bench.machine.tool_change + rest
        own["total_time"] = total
        if found.entry == "predrilled_hole" and helix is not None:
            own["helix_beyond_hole"] = helix - found.time - found.change
    about_entry = bench.inference.fired("entry", "candidate", own, way.method)
    conclude(own, about_entry)
    every = fired + about_entry
    grade = grade_of(every)
    if grade == "forbidden":
        total = float("inf")
    return Candidate(way.method, item.cutter, found.entry, grade, total, every, own, plan, found)
