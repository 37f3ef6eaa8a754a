"""Operations that share the work of a feature, and features that share an operation."""

from collections.abc import Sequence

import pytest

from advisor.choosing.advice import advise
from advisor.model.cutter import Cutter
from advisor.readers.plan_line import plan_said
from advisor.review.coverage import changes, fewest_changes
from advisor.review.verdict import Review, review
from advisor.text.findings import not_judged_text, not_said_text
from tests.jobs.small import STEEL, drill, job, solid
from tests.review.planning import assignment, changed, reviewed, row

HATCH = "review-hatch-frame"


def said(text: str, case: str = HATCH) -> Review:
    """Return the review of a spoken plan."""
    found = assignment(case)
    return review(plan_said([text], [cutter.id for cutter in found.crib], "mm"), found)


def rules(found: Review) -> set[str]:
    """Return the rules of all findings."""
    return {finding.rule.id for finding in found.findings}


def test_a_narrow_cutter_after_the_wide_one_takes_the_rest() -> None:
    alone, both = said("P1: E16P5 helical ramp"), said("P1: E16P5 helical ramp; P1: E10P4 ae 1")
    assert "rest-left-in-the-corners" in rules(alone)
    assert "rest-left-in-the-corners" not in rules(both)
    assert [one.role for one in both.operations] == ["main", "rest"]


def test_a_narrow_cutter_that_does_not_reach_the_corners_either_leaves_the_rest() -> None:
    """7 mm less 0.5 mm are 1.08 times the radius of 12 mm, but only 0.81 times that of 16 mm: 1.12 mm stay."""
    found = said("P1: E20P5 helical ramp; P1: E16P5 ae 1")
    assert "rest-left-in-the-corners" not in rules(found)
    told = next(one.text for one in found.findings if one.rule.id == "rest-partly-taken")
    assert "the 16\u00a0mm cutter of operation 2" in told
    assert "leaves 1.12\u00a0mm" in told


def test_a_narrower_cutter_still_takes_what_two_others_left() -> None:
    found = said("P1: E20P5 helical ramp; P1: E16P5 ae 1; P1: E12P4 ae 1")
    assert not {"rest-partly-taken", "rest-left-in-the-corners"} & rules(found)


def test_the_cutter_for_the_corners_is_not_told_that_it_stops_there() -> None:
    """6.5 mm beside the allowance are 1.08 times the radius of the 12 mm cutter, which is there for the corner."""
    found = said("P1: E16P5 helical ramp; P1: E12P4 ae 1")
    assert not any(one.operation == 2 and one.rule.id == "stops-in-the-corners" for one in found.findings)


def test_what_only_takes_a_rest_is_not_judged_as_if_it_cleared_the_whole() -> None:
    found = [one for one in said("P1: E16P5 helical ramp; P1: E10P4 ae 1").findings if one.operation == 2]
    assert {one.weight for one in found} <= {"consider"}


def test_what_takes_a_rest_must_still_reach() -> None:
    found = [one for one in said("P1: E16P5 helical ramp; P1: E6P4 ae 0.5").findings if one.operation == 2]
    assert {"shank-rubs", "holder-hits"} <= {one.rule.id for one in found}


def test_a_hole_drilled_before_is_the_way_in() -> None:
    found = said("P1: drilling D17.5; P1: E16P5 predrilled hole")
    drilled, milled = found.operations
    assert drilled.role == "pilot"
    assert milled.candidate.drill is not None
    assert milled.candidate.drill.id == "D17.5"
    assert not [one for one in found.findings if one.operation == 1]


def test_a_hole_too_narrow_for_the_cutter_is_a_stop() -> None:
    found = said("P1: E16P5 predrilled hole with D13")
    assert {one.rule.id: one.weight for one in found.findings}["hole-narrower-than-the-cutter"] == "stop"


def test_one_operation_may_cut_many_features() -> None:
    found = said("W1, P1: E16P5 predrilled hole with D17.5")
    assert [(one.operation.number, one.feature_id) for one in found.operations] == [(1, "W1"), (1, "P1")]
    assert found.uncovered == ("F1", "S1", "T1")


def test_a_cutter_that_goes_on_is_changed_once() -> None:
    """Two features with one cutter take a change less than the two by themselves."""
    times = [
        said(text).time_plan for text in ("T1: E16P5; P1: E16P5 helical ramp", "T1: E16P5", "P1: E16P5 helical ramp")
    ]
    both, first, second = times
    assert both is not None
    assert first is not None
    assert second is not None
    assert both == pytest.approx(first + second - 6)


def test_the_same_operation_a_second_time_is_found() -> None:
    assert "cut-twice" in rules(said("T1: E20P5; T1: E20P5"))


def test_a_through_hole_drilled_then_bored_is_one_piece_of_work() -> None:
    found = said("H2: drilling D17.5; H2: helical boring E16N3", "winch-side-plate")
    assert [one.role for one in found.operations] == ["pilot", "main"]
    assert "drill-makes-a-pilot-hole" not in rules(found)


def test_fewest_changes_keep_the_order_within_a_feature() -> None:
    assert changes(["A", "B", "A", "A"]) == 3
    assert fewest_changes([("A", "1"), ("B", "2"), ("A", "3")]) == 2
    assert fewest_changes([("A", "1"), ("B", "1"), ("A", "1")]) == 3
    assert fewest_changes([("D", "1"), ("A", "1"), ("D", "2"), ("A", "2")]) == 2


def test_what_the_plan_leaves_open_is_listed_with_what_was_taken() -> None:
    told = {one.setting for one in said("S1: E10P4 ap 3.5 n 5000 vf 1000").not_said}
    assert told == {"method", "entry", "radial_width", "allowance_side", "allowance_bottom"}


def test_in_a_slot_hardly_wider_than_the_cutter_a_bare_line_is_the_whole_cutter_and_says_so() -> None:
    """The slot S1 is 12.1 mm wide."""
    told = [not_said_text(one) for one in said("S1: E10P4 ap 3.5").not_said]
    assert "radial width: 10\u00a0mm assumed, because the whole cutter cuts" in told
    assert "method: ramped slotting assumed, because 12.1\u00a0mm is hardly wider than the cutter" in told


def test_in_a_slot_with_room_beside_the_cutter_a_bare_line_is_not_taken_as_the_whole_cutter() -> None:
    assert not [one for one in said("S1: E6P4 ap 3.5").not_said if one.cause]


def test_what_could_not_be_judged_is_said() -> None:
    found = said("P1: I20 axial plunge")
    assert any("time" in not_judged_text(told, found.bench.base) for told in found.not_judged)
    assert found.time_plan is None


def test_a_cutter_that_does_not_fit_stops_and_is_not_worked_out() -> None:
    found = said("S1: E16P5 ramped slotting")
    assert "cutter-wider-than-the-slot" in rules(found)
    assert found.stops
    assert any("no values" in not_judged_text(told, found.bench.base) for told in found.not_judged)


def test_a_method_that_is_not_meant_for_the_feature_is_said_so() -> None:
    assert "feature-not-meant" in rules(said("P1: face milling E16P5"))
    assert "body-not-meant" in rules(said("T1: layered pocketing D13"))


def test_a_side_entry_into_a_closed_pocket_is_a_stop() -> None:
    found = {one.rule.id: one.weight for one in said("P1: layered pocketing E16P5 side entry").findings}
    assert found["no-side-to-come-in-from"] == "stop"
    assert "way-in-not-meant" not in found


@pytest.mark.parametrize("cutter", ["E6P4", "E8P4", "E10P4", "E12P4", "E16P5", "E20P5", "I20", "I32", "A63", "D13"])
@pytest.mark.parametrize("method", ["", "layered pocketing", "plunge roughing", "face milling", "drilling"])
def test_any_cutter_by_any_method_in_any_feature_is_reviewed_without_a_fault(cutter: str, method: str) -> None:
    found = said(f"F1, W1, P1, S1, T1: {method} {cutter} levels 2")
    assert len(found.operations) == 5


DEEP = {"kind": "round_hole", "id": "F1", "diameter": 12, "depth": 20, "purpose": "clearance"}


def of_a_drill(feature: dict[str, object], text: str, crib: Sequence[Cutter]) -> dict[str, str]:
    """Return the weights of what is found of a spoken plan for one feature in steel, by rule."""
    found = job(feature, crib, "C45")
    told = review(plan_said([text], [cutter.id for cutter in found.crib], "mm"), found)
    return {one.rule.id: one.weight for one in told.findings}


@pytest.mark.parametrize(
    ("clearance", "stops"), [({}, True), ({"clearance_below": 2.38}, True), ({"clearance_below": 2.39}, False)]
)
def test_a_plan_that_drills_through_onto_the_table_is_a_stop(clearance: dict[str, float], stops: bool) -> None:
    """12 mm at 140°: 2.184 mm of point and at least 0.2 mm of full diameter past the bottom."""
    weights = of_a_drill(DEEP | {"floor": False} | clearance, "F1: drilling D12", [drill(12)])
    assert (weights.get("drill-point-hits-what-lies-beneath") == "stop") is stops


@pytest.mark.parametrize(
    ("tip", "found"),
    [
        (22.18, set()),
        (20, {"drilled-too-shallow"}),
        (22.3, set()),
        (22.5, {"drilled-too-deep"}),
        (24, {"drilled-too-deep", "drill-point-comes-through-the-floor"}),
    ],
)
def test_the_depth_that_a_plan_gives_a_drill_is_that_of_its_tip(tip: float, found: set[str]) -> None:
    """20 mm at full diameter are 22.18 mm at the tip; of 6 mm beneath at least a fifth of 12 mm must stay."""
    blind = DEEP | {"floor": True, "floor_thickness": 6}
    weights = of_a_drill(blind, f"F1: drilling D12 ap {tip}", [drill(12)])
    watched = {"drilled-too-shallow", "drilled-too-deep", "drill-point-comes-through-the-floor"}
    assert set(weights) & watched == found


@pytest.mark.parametrize(("tip", "found"), [(29.5, False), (30, False), (30.1, True)])
def test_a_hole_for_the_way_in_that_goes_into_the_floor_is_a_stop(tip: float, found: bool) -> None:
    pocket = {"kind": "closed_pocket", "id": "F1", "length": 90, "width": 60, "depth": 30, "floor": True}
    text = f"F1: drilling D13 ap {tip}; F1: E12 predrilled hole"
    weights = of_a_drill(pocket, text, [drill(13), solid(12, 36, id="E12", ZEFP=4)])
    assert (weights.get("drills-into-the-floor") == "stop") is found


@pytest.mark.parametrize(
    ("text", "tip", "full"), [("F1: drilling D12", "19.5", "17.31"), ("F1: drilling D12 ap 18", "18", "15.81")]
)
def test_the_review_says_to_which_depth_the_drill_was_taken_to_go(text: str, tip: str, full: str) -> None:
    """12 mm at 140°: a point of 2.18 mm. Above a floor that is to be flat the tip leaves the allowance of 0.5 mm."""
    found = job(DEEP | {"floor": True, "flat_floor": True, "purpose": "mill"}, [drill(12)], "C45")
    told = review(plan_said([text], ["D12"], "mm"), found)
    wanted = f"drilled to: {tip}\u00a0mm at the tip, {full}\u00a0mm at full diameter, assumed"
    assert wanted in [not_said_text(one) for one in told.not_said]


def test_of_a_hole_for_the_way_in_without_a_depth_is_said_that_it_is_not_judged() -> None:
    pocket = {"kind": "closed_pocket", "id": "F1", "length": 90, "width": 60, "depth": 30, "floor": True}
    crib = [drill(13), solid(12, 36, id="E12", ZEFP=4)]
    text = "F1: drilling D13{}; F1: E12 predrilled hole"

    def depth_not_judged(said: str) -> bool:
        found = review(plan_said([text.format(said)], ["D13", "E12"], "mm"), job(pocket, crib, "C45"))
        return any("the depth of the drill" in not_judged_text(one, found.bench.base) for one in found.not_judged)

    assert depth_not_judged("")
    assert not depth_not_judged(" ap 29")


def test_a_drill_for_the_way_in_is_judged_like_one_for_a_hole_of_its_size() -> None:
    """The same drill at the same speed and feed, once as wide as its hole and once for the way into a pocket."""
    pocket = {"kind": "closed_pocket", "id": "F1", "length": 90, "width": 60, "depth": 20, "floor": True}
    hole = {"kind": "round_hole", "id": "F1", "diameter": 13, "depth": 20, "floor": True, "purpose": "clearance"}
    mill = solid(12, 36, id="E12", ZEFP=4)
    rates = {
        "n 2400 fz 0.12": set(),
        "n 900 fz 0.12": {"speed-far-below-the-table"},
        "n 4200 fz 0.1": {"speed-burns-the-edge"},
        "n 2400 fz 0.25": {"chip-too-thick", "drill-short-of-power"},
        "n 2400 fz 0.02": {"feed-far-below-the-table"},
    }
    watched = set().union(*rates.values())
    for rate, found in rates.items():
        alone = of_a_drill(hole, f"F1: drilling D13 ap 22.36 {rate}", [drill(13)])
        ahead = of_a_drill(pocket, f"F1: drilling D13 ap 19.5 {rate}; F1: E12 predrilled hole", [drill(13), mill])
        assert {rule: weight for rule, weight in alone.items() if rule in watched} == {
            rule: weight for rule, weight in ahead.items() if rule in watched
        }
        assert bool(watched & set(alone)) is bool(found & set(alone)) is bool(found)


def test_a_level_deeper_than_a_feature_with_a_floor_cuts_into_it() -> None:
    step = {"kind": "step", "length": 200, "width": 80, "depth": 15}
    found = advise(job(step, [solid(20, 38, ZEFP=4)], STEEL))
    best = found.features[0].best
    assert best is not None
    advised = row("F1", best)
    assert "cuts-into-the-floor" not in rules(reviewed(found, advised))
    told = reviewed(found, changed(advised, axial_depth=20.0, levels=1))
    assert "cuts-into-the-floor" in {one.rule.id for one in told.findings if one.weight == "stop"}
