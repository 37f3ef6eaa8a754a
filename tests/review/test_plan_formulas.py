"""Every formula of the review's measures, worked out again from the numbers of the shipped plans."""

import math
import re
from collections.abc import Iterator
from typing import Any

from advisor.knowledge.formulas import circumstances
from advisor.knowledge.shipped import rule_base
from advisor.methods.registry import METHODS
from advisor.model.answer import FeatureAdvice
from advisor.model.candidate import Candidate
from advisor.paths import cases_dir
from advisor.review.verdict import Review
from tests.review.planning import advice, changed, reviewed, row, shipped
from tests.review.test_shipped_plans import PLANS

BASE = rule_base()
KNOWN: dict[str, Any] = {
    "sin": lambda angle: math.sin(math.radians(angle)),
    "cos": lambda angle: math.cos(math.radians(angle)),
    "min": min,
    "max": max,
}
OURS = {name: measure for name, measure in BASE.measures.items() if measure.since == "review"}


# Worked out only where no plan here is: the feed of a centre in place of that at the wall, a hole
# for the entry that leaves a core, a profile's side without room, a cut wider than the stock.
NOT_SEEN = {"centre_feed_borne", "centre_feed_said", "hole_solid_ratio", "side_room_share", "width_beyond_stock"}


def ways_of_cases() -> Iterator[tuple[str, FeatureAdvice, Candidate]]:
    """Yield one way of each method, body, entry and purpose of every case, with its case and the answer it is from."""
    for case in sorted(folder.name for folder in cases_dir().iterdir() if (folder / "job.yaml").exists()):
        done = set()
        for answer in advice(case).features:
            for way in answer.candidates:
                kind = way.method, way.cutter.body, way.entry, answer.region.purpose
                if way.plan is None or way.way_in is None or kind in done:
                    continue
                done.add(kind)
                yield case, answer, way


def planned(case: str, answer: FeatureAdvice, way: Candidate, feed: float | None = None) -> Review:
    """Return the review of a way as it was advised, or with another feed per tooth [mm]."""
    as_advised = row(answer.region.id, way)
    other = as_advised if feed is None else changed(as_advised, feed_per_tooth=feed, feed_rate=None)
    return reviewed(advice(case), other)


def plans_of_ways() -> Iterator[tuple[str, Review]]:
    """Yield the reviews of ways as they were advised, and with a feed that is half as much again."""
    for case, answer, way in ways_of_cases():
        assert way.plan is not None
        yield case, planned(case, answer, way)
        yield case, planned(case, answer, way, 1.5 * way.plan.feed_per_tooth)


def test_every_formula_of_a_review_gives_the_number_that_is_shown() -> None:
    seen, wrong = set(), []
    for name, found in (*((name, shipped(case, name)) for case, name in PLANS), *plans_of_ways()):
        for judged in found.operations:
            facts = judged.candidate.facts
            for measure in OURS.values():
                formula = measure.formula(*circumstances(facts))
                parts = set(re.findall(r"[A-Za-z_]\w*", formula)) - set(KNOWN)
                if not formula or measure.name not in facts or not parts <= {*facts, *BASE.limits}:
                    continue
                values = {part: facts.get(part, BASE.limits.get(part)) for part in parts}
                again = eval(formula, {"__builtins__": {}}, KNOWN | values)
                seen.add(measure.name)
                if not math.isclose(again, float(facts[measure.name]), rel_tol=1e-6, abs_tol=1e-9):
                    wrong.append((name, judged.candidate.method, measure.name, again, facts[measure.name]))
    assert not wrong
    assert {name for name, measure in OURS.items() if any(measure.formulas)} - seen == NOT_SEEN


def test_the_feed_told_for_a_chip_too_thick_cuts_the_chip_of_the_tables_by_every_method() -> None:
    """Round a drilled hole it was told with the share of the arc in it twice, and was found too much again."""
    seen, wrong = set(), []
    for case, answer, way in ways_of_cases():
        assert way.plan is not None
        first = planned(case, answer, way, 4 * way.plan.feed_per_tooth).operations[0].candidate.facts
        if "feed_of_table" not in first:
            continue
        told = planned(case, answer, way, float(first["feed_of_table"])).operations[0].candidate.facts
        if float(told["feed_rate"]) > float(told["feed_most"]):  # the axes do not follow, and cut less
            continue
        seen.add((way.method, "arc_feed_share" in told))
        if not math.isclose(float(told["chip_over_table"]), 1, rel_tol=1e-4):
            wrong.append((case, way.method, way.cutter.id, way.entry, told["chip_over_table"]))
    assert not wrong
    assert {method for method, _ in seen} >= {name for name, method in METHODS.items() if not method.by_drill}
    assert ("helical_boring", True) in seen


def test_every_number_of_a_review_lies_in_its_registered_range() -> None:
    outside = []
    for case, name in PLANS:
        for judged in shipped(case, name).operations:
            for measure in OURS.values():
                value = judged.candidate.facts.get(measure.name)
                if value is not None and measure.range is not None:
                    least, most = measure.range
                    if not least <= float(value) <= most:
                        outside.append((name, measure.name, value))
    assert not outside
