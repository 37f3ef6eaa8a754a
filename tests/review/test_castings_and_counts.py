"""Plans for castings, and for several features alike."""

from typing import Any

import pytest

from advisor.model.assignment import Assignment
from advisor.readers.plan_rows import known_of
from advisor.readers.said import plan_said
from advisor.review.verdict import Judged, Review, review
from tests.jobs.small import drill, job, solid

IRON = "EN-GJL-250"
CRIB = [solid(8, 24), solid(16, 45), drill(35)]
SLOT: dict[str, Any] = {"kind": "slot", "length": 100, "width": 20, "depth": 15, "floor": False, "open_ends": 2}
HOLE: dict[str, Any] = {"kind": "round_hole", "diameter": 36, "depth": 20, "floor": False, "clearance_below": 20}


def said(assignment: Assignment, *lines: str) -> Review:
    """Return the review of a plan in some lines."""
    known = known_of(assignment)
    return review(plan_said(lines, known.cutters, assignment.job.units, known.features), assignment)


def first(assignment: Assignment, line: str) -> Judged:
    """Return the first operation of a plan in a line, judged."""
    return said(assignment, line).operations[0]


def test_a_plan_for_several_alike_is_timed_for_all_of_them() -> None:
    line = "F1: E16 ap 15 ae 1"
    one, six = (said(job(SLOT | {"count": count}, CRIB), line) for count in (1, 6))
    change = 6.0
    for alone, together in ((one.time_plan_s, six.time_plan_s), (one.time_advised_s, six.time_advised_s)):
        assert alone is not None
        assert together is not None
        assert together == pytest.approx(6 * (alone - change) + change)


@pytest.mark.parametrize(("cutter", "rough"), [("E8", "walls"), ("E16", "whole")])
def test_an_operation_cuts_the_skin_if_its_cutter_goes_into_the_opening(cutter: str, rough: str) -> None:
    found = first(job(SLOT | {"stock_wall": 4}, CRIB, IRON), f"F1: {cutter} ap 7")
    assert found.candidate.facts["rough"] == rough


def test_a_plan_that_ramps_along_the_opening_is_judged_as_from_the_solid() -> None:
    found = first(job(SLOT | {"stock_wall": 4}, CRIB, IRON), "F1: E8 slotting ap 3")
    assert found.candidate.facts["rough"] == "whole"


def test_the_advised_way_of_a_casting_is_well_chosen() -> None:
    assignment = job(SLOT | {"stock_wall": 3}, CRIB, IRON)
    found = said(assignment, "F1: E8 looping side")
    assert not found.stops
    assert found.time_plan_s == pytest.approx(found.time_advised_s)


def test_a_drill_in_the_hole_of_a_casting_is_held_against_a_plan() -> None:
    found = said(job(HOLE | {"stock_wall": 5}, CRIB, IRON), "F1: D35 drill")
    assert "drill-wanders-in-an-opening" in {finding.rule.id for finding in found.findings}
    plain = said(job(HOLE, CRIB, IRON), "F1: D35 drill")
    assert "drill-wanders-in-an-opening" not in {finding.rule.id for finding in plain.findings}


def test_walls_and_floor_of_a_casting_are_operations_of_their_own() -> None:
    blind = {"kind": "closed_pocket", "length": 90, "width": 60, "depth": 20, "floor": True, "corner_radius": 10}
    assignment = job(blind | {"stock_wall": 3, "stock_floor": 3}, CRIB, IRON)
    found = said(assignment, "F1-walls: E16 looping", "F1-floor: E16 layers")
    assert [one.feature_id for one in found.operations] == ["F1-walls", "F1-floor"]
    assert not found.uncovered
