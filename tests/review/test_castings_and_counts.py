"""Plans for castings, and for several features alike."""

import json
from typing import Any

import pytest
from typer.testing import CliRunner

from advisor import service
from advisor.cli.main import app
from advisor.face import as_text
from advisor.files.problems import BadInput
from advisor.model.assignment import Assignment
from advisor.model.cutter import make_cutter
from advisor.paths import cases_dir
from advisor.readers.assignment import read_assignment
from advisor.readers.plan import parse_plan
from advisor.readers.plan_check import check_plan
from advisor.readers.plan_line import plan_said
from advisor.readers.plan_rows import known_of
from advisor.review.verdict import Judged, Review, review
from tests.jobs.small import drill, job, solid

IRON = "EN-GJL-250"
CRIB = [solid(8, 24, TMC1ISO="K"), solid(16, 45, TMC1ISO="K"), drill(35)]
SLOT: dict[str, Any] = {"kind": "slot", "length": 100, "width": 20, "depth": 15, "floor": False, "open_ends": 2}
HOLE: dict[str, Any] = {"kind": "round_hole", "diameter": 36, "depth": 20, "floor": False, "clearance_below": 20}


def said(assignment: Assignment, *lines: str) -> Review:
    """Return the review of a plan in some lines."""
    known = known_of(assignment)
    return review(plan_said(lines, known.cutters, assignment.job.units, known.features, known.parts), assignment)


def first(assignment: Assignment, line: str) -> Judged:
    """Return the first operation of a plan in a line, judged."""
    return said(assignment, line).operations[0]


def test_a_plan_for_several_alike_is_timed_for_all_of_them() -> None:
    line = "F1: E16 ap 15 ae 1"
    one, six = (said(job(SLOT | {"count": count}, CRIB), line) for count in (1, 6))
    change = 6.0
    for alone, together in ((one.time_plan, six.time_plan), (one.time_advised, six.time_advised)):
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
    assignment = job(SLOT | {"width": 24, "stock_wall": 3}, CRIB, IRON)
    found = said(assignment, "F1: E16 looping side")
    assert found.operations[0].candidate.facts["rough"] == "walls"
    assert found.findings == ()
    assert found.well_chosen
    assert found.time_plan == pytest.approx(found.time_advised)


def test_a_plan_whose_passes_stay_inside_the_skin_is_to_be_changed() -> None:
    found = said(job(SLOT | {"stock_wall": 3}, CRIB, IRON), "F1: E8 looping side ae 0.75")
    assert {one.rule.id: one.weight for one in found.findings} == {"pass-inside-the-skin": "change"}


def test_a_drill_in_the_hole_of_a_casting_is_held_against_a_plan() -> None:
    carbide = "carbide-drill-breaks-in-an-opening"
    found = said(job(HOLE | {"stock_wall": 5}, CRIB, IRON), "F1: D35 drill")
    assert (carbide, "stop") in {(finding.rule.id, finding.weight) for finding in found.findings}
    steel = [drill(35).model_copy(update={"substrate": "hss"})]
    found = said(job(HOLE | {"stock_wall": 5}, steel, IRON), "F1: D35 drill")
    weights = {finding.rule.id: finding.weight for finding in found.findings}
    assert weights["drill-wanders-in-an-opening"] == "change"
    assert carbide not in weights
    plain = said(job(HOLE, CRIB, IRON), "F1: D35 drill")
    assert not {"drill-wanders-in-an-opening", carbide} & {finding.rule.id for finding in plain.findings}


def test_walls_and_floor_of_a_casting_are_operations_of_their_own() -> None:
    blind = {"kind": "closed_pocket", "length": 90, "width": 60, "depth": 20, "floor": True, "corner_radius": 10}
    assignment = job(blind | {"stock_wall": 3, "stock_floor": 3}, CRIB, IRON)
    found = said(assignment, "F1-walls: E16 looping", "F1-floor: E16 layers")
    assert [one.feature_id for one in found.operations] == ["F1-walls", "F1-floor"]
    assert not found.uncovered


BLIND: dict[str, Any] = {
    "kind": "closed_pocket", "length": 90, "width": 60, "depth": 20, "floor": True, "corner_radius": 10,
    "stock_wall": 3, "stock_floor": 3,
}  # fmt: skip
STEP: dict[str, Any] = {"kind": "step", "length": 100, "width": 30, "depth": 20, "stock_wall": 3, "stock_floor": 3}
PARTS = ["F1-walls", "F1-floor"]


@pytest.mark.parametrize("line", ["F1: E16 looping", "f1: E16 layers", "F1: E16", "F1 E16 ap 3"])
def test_the_id_of_the_file_stands_for_walls_and_floor(line: str) -> None:
    found = said(job(BLIND, CRIB, IRON), line)
    assert [(one.operation.number, one.feature_id) for one in found.operations] == [(1, name) for name in PARTS]
    assert not found.uncovered
    assert not found.plan.notes


def test_a_method_that_can_be_meant_for_the_floor_alone_is_taken_for_that_and_a_note_says_so() -> None:
    assignment = job(STEP, [*CRIB, solid(25, 30)], IRON)
    found = said(assignment, "F1: E25 face milling")
    assert [one.feature_id for one in found.operations] == ["F1-floor"]
    assert found.uncovered == ("F1-walls",)
    assert found.plan.notes == (
        "--say: operation 1: 'F1' is taken as F1-floor: 'face milling' cannot be meant for F1-walls.",
    )


@pytest.mark.parametrize(("level", "asked"), [(3, False), (3.1, True), (17, True)])
def test_a_level_that_is_deeper_than_the_stock_on_the_floor_is_asked_back(level: float, asked: bool) -> None:
    """Else the cut would go into the finished floor, which nobody meant who wrote of the whole pocket."""
    assignment = job(BLIND, CRIB, IRON)
    known = known_of(assignment)
    plan = plan_said([f"F1: E16 layers ap {level}"], known.cutters, "mm", known.features, known.parts)
    if not asked:
        check_plan(plan, assignment)
        return
    with pytest.raises(BadInput, match="F1-walls or F1-floor alone as the feature: F1-floor is 3 mm deep"):
        check_plan(plan, assignment)
    check_plan(plan_said([f"F1-walls: E16 layers ap {level}"], known.cutters, "mm", known.features), assignment)


def test_a_plan_that_is_a_file_names_it_so_as_well() -> None:
    assignment = job(BLIND, CRIB, IRON)
    plan = parse_plan("operations:\n- {feature: [F1], cutter: E16}\n", "mm", known_of(assignment))
    assert plan.operations[0].features == tuple(PARTS)


def test_a_plan_made_otherwise_that_names_the_id_of_the_file_is_told_which_two_there_are() -> None:
    assignment = job(BLIND, CRIB, IRON)
    plan = plan_said(["F1: E16"], {"E16": None}, "mm")
    for ask in (review, service.review_plan):
        with pytest.raises(BadInput, match="F1-walls or F1-floor: stock on the walls and stock on the floor are two"):
            ask(plan, assignment)


@pytest.mark.parametrize(("line", "wanted"), [("X9: E16", "a feature of the job"), ("F1: E99", "a cutter of the crib")])
def test_a_review_asked_directly_tells_of_unknown_names_as_bad_input(line: str, wanted: str) -> None:
    cutter = line.split()[-1]
    with pytest.raises(BadInput, match=wanted):
        review(plan_said([line], {cutter: None}, "mm"), job(BLIND, CRIB, IRON))


def test_the_evidence_of_the_id_of_the_file_is_that_of_both() -> None:
    for ask in (service.explain, service.compare):
        with pytest.raises(BadInput, match="found 'F1'; wanted F1-walls or F1-floor"):
            ask(job(BLIND, CRIB, IRON), "F1")
    path = cases_dir() / "pump-casing-as-cast" / "job.yaml"
    parts = read_assignment(path).job.parts
    assert parts
    name, two = next(iter(parts.items()))
    told = CliRunner().invoke(app, ["why", str(path), name])
    assert told.exit_code == 0
    assert all(part in told.stdout for part in two)
    both = json.loads(CliRunner().invoke(app, ["why", str(path), name, "--format", "json"]).stdout)
    assert [one["feature"]["id"] for one in both] == [*two]
    one = json.loads(CliRunner().invoke(app, ["why", str(path), two[0], "--format", "json"]).stdout)
    assert one == both[0]


WALLS = "F1-walls: E16 looping side ae 1"
FLOOR = "F1-floor: E16 layers helical"
ONTO_THE_FLOOR = "walls-run-onto-the-cast-floor"


@pytest.mark.parametrize(
    ("lines", "found"),
    [
        ((f"{WALLS} ap 17", FLOOR), True),
        ((f"{WALLS} ap 16.5", FLOOR), True),
        ((f"{WALLS} ap 8.5 levels 2", FLOOR), True),
        ((f"{WALLS} allowance_bottom 0", FLOOR), True),
        ((f"{WALLS} ap 16", FLOOR), False),
        ((f"{WALLS} ap 8 levels 2", FLOOR), False),
        ((WALLS, FLOOR), False),
        ((FLOOR, f"{WALLS} ap 19.5"), False),
        ((FLOOR, WALLS), False),
    ],
)
def test_walls_that_go_down_to_a_floor_as_it_was_cast_are_to_be_changed(lines: tuple[str, ...], found: bool) -> None:
    told = said(job(BLIND, CRIB, IRON), *lines)
    weights = {one.rule.id: one.weight for one in told.findings}
    assert (weights.get(ONTO_THE_FLOOR) == "change") is found
    if not found:
        assert not {"stop", "change"} & {one.weight for one in told.findings}


def test_where_only_the_walls_have_stock_they_keep_clear_of_the_cast_floor() -> None:
    assignment = job(BLIND | {"stock_floor": 0}, CRIB, IRON)
    for level, found in ((20, True), (19.5, True), (19, False)):
        told = {one.rule.id for one in said(assignment, f"F1: E16 looping side ae 1 ap {level}").findings}
        assert (ONTO_THE_FLOOR in told) is found


@pytest.mark.parametrize(
    ("KAPR", "stock", "found"),
    [(90, 5, "body-seldom-taken"), (90, None, "shell-mill-written-as-a-face-mill"), (45, 5, "body-not-meant")],
)
def test_a_face_mill_with_square_edges_can_bore_round_an_opening(KAPR: float, stock: float | None, found: str) -> None:
    given = {"DC": 80, "APMX": 14, "LU": 50, "LPR": 50, "ZEFP": 7, "KAPR": KAPR, "RMPX": 1, "dead_centre": 62}
    shell = make_cutter(id="A80", body="inserted_face_mill", **given)
    hole = {"kind": "round_hole", "diameter": 120, "depth": 40, "floor": False, "clearance_below": 40}
    told = said(job(hole | {"stock_wall": stock}, [*CRIB, shell], IRON), "F1: A80 helical bore ap 6 n 880 vf 300")
    weights = {one.rule.id: one.weight for one in told.findings}
    assert found in weights
    assert ("stop" in weights.values()) is (found != "body-seldom-taken")


def test_why_tells_how_a_shell_mill_is_written_in_the_crib() -> None:
    given = {"DC": 80, "APMX": 14, "LU": 50, "LPR": 50, "ZEFP": 7, "KAPR": 90, "RMPX": 1, "dead_centre": 62}
    shell = make_cutter(id="A80", body="inserted_face_mill", **given)
    told = service.compare(job(HOLE | {"stock_wall": 5}, [*CRIB, shell], IRON), "F1", cutter="A80")
    assert "is written as inserted_end_mill in the crib" in " ".join(as_text(told).split())
