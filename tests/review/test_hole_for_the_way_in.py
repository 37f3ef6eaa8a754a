"""The hole for the way in: who drills it, how deep, and that its time counts once."""

from collections.abc import Sequence

import pytest

from advisor.model.assignment import Assignment
from advisor.model.cutter import Cutter, make_cutter
from advisor.readers.plan_line import plan_said
from advisor.review.verdict import Review, review
from advisor.text.findings import not_said_text
from advisor.text.review import table_rows
from tests.jobs.small import drill, job, solid

POCKET = {
    "kind": "closed_pocket", "id": "P", "length": 60, "width": 40, "depth": 10, "corner_radius": 8, "floor": True
}  # fmt: skip
BLIND = {"kind": "round_hole", "id": "P", "diameter": 20, "depth": 15, "floor": True, "flat_floor": True}
THROUGH = {"kind": "round_hole", "id": "P", "diameter": 14, "depth": 24, "floor": False, "purpose": "clearance"}
LAYERED = "P: layered pocketing E10 predrilled hole"
LOOPS = "P: engagement-limited clearing E10 predrilled hole"
ROUND_IT = "P: helical boring E10 predrilled hole"
NOBODY = "nobody-drills-the-hole"


def planned(feature: dict[str, object], *said: str, width: float = 13, more: Sequence[Cutter] = ()) -> Review:
    """Return the review of a plan with a cutter of 10 mm, and a drill; a second cutter may take the rest."""
    crib = [solid(10, 30), solid(6, 20), drill(width), *more]
    return review(plan_said(list(said), [cutter.id for cutter in crib], "mm"), job(feature, crib, "C45"))


def with_another(feature: dict[str, object], other: dict[str, object], crib: Sequence[Cutter]) -> Assignment:
    """Return the assignment of two features."""
    first, second = job(feature, crib, "C45"), job(other, crib, "C45")
    both = first.job.model_copy(update={"features": (*first.job.features, *second.job.features)})
    return first.model_copy(update={"job": both})


def weights(told: Review) -> dict[str, str]:
    """Return the weights of the findings by rule."""
    return {one.rule.id: one.weight for one in told.findings}


def test_a_hole_that_no_operation_drills_is_to_be_drilled_first() -> None:
    told = planned(POCKET, LAYERED)
    (found,) = (one for one in told.findings if one.rule.id == NOBODY)
    assert found.weight == "stop"
    assert "13 mm drill" in found.text.replace("\N{NO-BREAK SPACE}", " ")
    assert [not_said_text(one) for one in told.not_said if one.setting == "drill"] == ["drill: D13 assumed"]


@pytest.mark.parametrize(
    "said",
    [
        ["P: drilling D13", LAYERED],
        [f"{LAYERED} with D13"],
        [f"{LAYERED} with D13 ap 5 levels 1", f"{LAYERED} ap 5 levels 2"],
    ],
    ids=["drilled before", "drill named", "drill named by an operation before"],
)
def test_a_hole_that_the_plan_drills_is_not_missed(said: list[str]) -> None:
    told = planned(POCKET, *said)
    assert NOBODY not in weights(told)
    assert not [one for one in told.not_said if one.setting == "drill"]


@pytest.mark.parametrize("named", ["", " with D13"])
def test_a_hole_drilled_only_afterwards_stops(named: str) -> None:
    """Whether or not the operation names the drill, which then drills when the cutter has gone down."""
    told = weights(planned(POCKET, LAYERED + named, "P: drilling D13"))
    assert (told["hole-drilled-too-late"], told["nothing-left-for-the-drill"]) == ("stop", "change")
    assert NOBODY not in told


def test_another_drill_afterwards_leaves_the_drill_that_the_operation_names() -> None:
    told = planned(POCKET, f"{LAYERED} with D13", "P: drilling D11", more=[drill(11)])
    assert weights(told) == {"nothing-left-for-the-drill": "change"} | weights(planned(POCKET, f"{LAYERED} with D13"))


def test_a_hole_that_the_operation_before_drills_is_drilled_in_time() -> None:
    told = weights(planned(POCKET, f"{LAYERED} with D13 ap 5 levels 1", f"{LAYERED} with D13 ap 5 levels 2"))
    assert "hole-drilled-too-late" not in told


def test_each_feature_of_an_operation_wants_its_own_hole() -> None:
    both = with_another(POCKET, POCKET | {"id": "Q"}, [solid(10, 30), drill(13)])
    said = ["P: drilling D13", "P, Q: layered pocketing E10 predrilled hole"]
    told = review(plan_said(said, ["E10", "D13"], "mm"), both)
    assert [(one.feature, one.weight) for one in told.findings if one.rule.id == NOBODY] == [("Q", "stop")]


@pytest.mark.parametrize(("drilled", "found"), [(13, "hole-in-another-feature"), (9, NOBODY)])
def test_a_hole_of_another_feature_may_be_the_way_in_if_it_is_wide_enough(drilled: float, found: str) -> None:
    """Where it lies the job does not say."""
    hole = {"kind": "round_hole", "id": "H", "diameter": drilled, "depth": 24, "floor": False, "clearance_below": 10}
    crib = [solid(10, 30), drill(13), drill(9)]
    both = with_another(POCKET, hole | {"purpose": "clearance"}, crib)
    said = [f"H: drilling D{drilled:g}", LAYERED]
    told = weights(review(plan_said(said, [cutter.id for cutter in crib], "mm"), both))
    assert {name for name in told if name in (NOBODY, "hole-in-another-feature")} == {found}
    named = weights(review(plan_said([said[0], f"{LAYERED} with D13"], [one.id for one in crib], "mm"), both))
    assert not {NOBODY, "hole-in-another-feature", "hole-drilled-too-late"} & set(named)


@pytest.mark.parametrize(
    ("diameter", "weight"), [(30, {"bored-round-no-hole": "change"}), (46, {"core-stands-under-the-bore": "stop"})]
)
def test_a_bore_whose_hole_is_drilled_afterwards_breaks_the_cutter_only_on_a_core(
    diameter: float, weight: dict[str, str]
) -> None:
    bore = {"kind": "round_hole", "id": "P", "diameter": diameter, "depth": 20, "floor": False, "clearance_below": 12}
    crib = [solid(20, 40), drill(22)]
    said = ["P: helical boring E20 predrilled hole with D22", "P: drilling D22"]
    told = weights(review(plan_said(said, [one.id for one in crib], "mm"), job(bore, crib, "C45")))
    ours = ("bored-round-no-hole", "core-stands-under-the-bore")
    assert {name: told[name] for name in told if name in ours} == weight
    assert told["nothing-left-for-the-drill"] == "change"


def test_in_a_round_hole_the_last_drill_is_judged_for_what_it_leaves() -> None:
    hole = {"kind": "round_hole", "id": "P", "diameter": 28, "depth": 40, "floor": False, "clearance_below": 15}
    crib = [drill(13), make_cutter(id="D27.4", body="drill", DC=27.4, APMX=125, ZEFP=2, substrate="hss")]
    given = job(hole | {"purpose": "bore"}, crib, "C45")
    small, wide = "P: drilling D13", "P: drilling D27.4"

    def told(*said: str) -> dict[str, str]:
        return weights(review(plan_said(list(said), [one.id for one in crib], "mm"), given))

    right, wrong = told(small, wide), told(wide, small)
    assert not {"drill-leaves-much", "drill-makes-a-pilot-hole", "nothing-left-for-the-drill"} & set(right)
    assert wrong["nothing-left-for-the-drill"] == "change"
    assert not {"drill-leaves-much", "drill-makes-a-pilot-hole"} & set(wrong)
    assert told(small)["drill-makes-a-pilot-hole"] == "change"


def test_a_narrow_drill_that_goes_deeper_than_the_wide_one_has_something_to_cut() -> None:
    hole = {"kind": "round_hole", "id": "P", "diameter": 28, "depth": 40, "floor": False, "clearance_below": 15}
    crib = [drill(13), drill(26.5)]
    said = ["P: drilling D26.5 ap 25", "P: drilling D13 ap 43"]
    told = weights(review(plan_said(said, [one.id for one in crib], "mm"), job(hole, crib, "C45")))
    assert "nothing-left-for-the-drill" not in told


@pytest.mark.parametrize(("tip", "weight"), [(45.5, None), (50, "stop")])
def test_a_pilot_hole_may_end_in_the_cone_of_the_wide_drill(tip: float, weight: str | None) -> None:
    """At 118 degrees the cone of the wide drill is 13 mm wide at 44.1 mm; the pilot hole so to 2.4 mm above its tip."""
    hole = {"kind": "round_hole", "id": "P", "diameter": 28, "depth": 40, "floor": True, "floor_thickness": 20}
    wide = make_cutter(id="D26.5", body="drill", DC=26.5, APMX=125, ZEFP=2, point_angle=118)
    crib = [drill(13), wide]
    said = [f"P: drilling D13 ap {tip}", "P: drilling D26.5"]
    told = review(plan_said(said, [one.id for one in crib], "mm"), job(hole, crib, "C45"))
    first = {one.rule.id: one.weight for one in told.findings if one.operation == 1}
    assert first.get("drilled-too-deep") == weight


@pytest.mark.parametrize(("substrate", "weight"), [("carbide", "consider"), ("hss", None)])
def test_a_pilot_hole_before_a_carbide_drill_is_to_be_considered_at_most(substrate: str, weight: str | None) -> None:
    hole = {"kind": "round_hole", "id": "P", "diameter": 18, "depth": 30, "floor": False, "clearance_below": 15}
    wide = make_cutter(id="D17.5", body="drill", DC=17.5, APMX=70, ZEFP=2, substrate=substrate)
    crib = [drill(8.5), wide]
    said = ["P: drilling D8.5", "P: drilling D17.5"]
    told = review(plan_said(said, [one.id for one in crib], "mm"), job(hole | {"purpose": "bore"}, crib, "C45"))
    assert weights(told).get("pilot-before-a-carbide-drill") == weight
    assert not [one for one in told.findings if one.operation == 1]


def test_a_pilot_hole_is_called_by_its_name() -> None:
    hole = {"kind": "round_hole", "id": "P", "diameter": 28, "depth": 40, "floor": False, "clearance_below": 15}
    crib = [drill(13), drill(26.5)]
    given = job(hole, crib, "C45")

    def named(*said: str) -> list[str]:
        found = review(plan_said(list(said), [one.id for one in crib], "mm"), given)
        return [next(table_rows(one))[3] for one in found.operations]

    assert named("P: drilling D13", "P: drilling D26.5") == ["pilot hole", "drill"]
    assert named("P: drilling D26.5", "P: drilling D13") == ["drill", "drill"]
    assert next(table_rows(planned(POCKET, "P: drilling D13", LAYERED).operations[0]))[3] == "entry hole"


@pytest.mark.parametrize(("width", "weight"), [(17.5, None), (19.9, "change"), (22, "stop")])
def test_a_hole_in_a_round_one_is_judged_by_what_it_leaves_to_mill(width: float, weight: str | None) -> None:
    """20 mm less 0.5 mm a side: 17.5 mm are 1.75 times the cutter, and 1.5 mm are left to mill."""
    told = planned(BLIND, f"{LOOPS} with D{width:g}", width=width)
    heavy = {one.weight for one in told.findings if one.weight != "consider"}
    assert heavy == ({weight} if weight else set())
    assert "no-drill-for-the-hole" not in weights(told)


def test_a_way_in_that_the_plan_leaves_open_is_not_faulted_for_its_hole() -> None:
    assert NOBODY not in weights(planned(POCKET, "P: layered pocketing E10"))


def test_a_rest_comes_in_where_the_wide_cutter_has_been() -> None:
    told = planned(POCKET, f"{LAYERED} with D13", "P: engagement-limited clearing E6 predrilled hole")
    assert NOBODY not in weights(told)


@pytest.mark.parametrize("way", [LOOPS, ROUND_IT])
def test_a_hole_drilled_by_an_operation_of_its_own_counts_once(way: str) -> None:
    apart, named = planned(BLIND, "P: drilling D13", way), planned(BLIND, f"{way} with D13")
    assert named.time_plan is not None
    assert apart.time_plan == pytest.approx(named.time_plan)
    assert ("slower-than-advised" in weights(apart)) is ("slower-than-advised" in weights(named))


def test_the_time_of_a_hole_is_that_of_the_operation_that_drills_it() -> None:
    """At half the feed the cut of the drill takes twice as long."""
    times = [planned(BLIND, f"P: drilling D13 n 1500 fz {feed}", LOOPS).time_plan or 0.0 for feed in (0.1, 0.05, 0.025)]
    assert times[2] - times[1] == pytest.approx(2 * (times[1] - times[0]))
    assert times[1] > times[0]


def test_a_hole_gone_down_twice_is_drilled_once() -> None:
    told = planned(POCKET, f"{LAYERED} with D13", LAYERED)
    first, second = (one.candidate for one in told.operations)
    assert told.time_plan == pytest.approx(first.time + second.time - float(second.facts["hole_time"]))


@pytest.mark.parametrize(("clearance", "through"), [(2, False), (10, True)])
def test_a_depth_nobody_says_is_that_of_the_advice_within_the_room_beneath(clearance: float, through: bool) -> None:
    """11.8 mm at 140 degrees have a point of 2.15 mm."""
    told = planned(THROUGH | {"clearance_below": clearance}, "P: drilling D11.8", ROUND_IT, width=11.8)
    tip = float(told.operations[0].candidate.facts["drill_depth"])
    assert "drill-point-hits-what-lies-beneath" not in weights(told)
    assert tip == pytest.approx(float(told.operations[1].candidate.facts["hole_depth"]))
    assert (tip > 24 + 2.15) is through


def test_a_depth_that_is_said_and_hits_what_lies_beneath_stops() -> None:
    told = planned(THROUGH | {"clearance_below": 2}, "P: drilling D11.8 ap 26.35", ROUND_IT, width=11.8)
    assert weights(told)["drill-point-hits-what-lies-beneath"] == "stop"


@pytest.mark.parametrize(
    ("tip", "weight"),
    [(9.5, {}), (8.0, {"hole-too-shallow-for-the-cutter": "change"}), (4.0, {"cutter-goes-down-into-solid": "stop"})],
)
def test_a_hole_that_the_plan_drills_too_shallow_leaves_the_cutter_in_the_material(
    tip: float, weight: dict[str, str]
) -> None:
    """10 mm deep less 0.3 mm on the floor: under the tip 0.2, 1.7 and 5.7 mm stay for a cutter of 10 mm."""
    ours = ("hole-too-shallow-for-the-cutter", "cutter-goes-down-into-solid")
    told = weights(planned(POCKET, f"P: drilling D13 ap {tip}", LAYERED))
    assert {name: told[name] for name in told if name in ours} == weight


def test_of_two_holes_the_wide_one_is_the_way_in_whichever_comes_first() -> None:
    for said in (["P: drilling D6.5", "P: drilling D13"], ["P: drilling D13", "P: drilling D6.5"]):
        told = planned(POCKET, *said, LAYERED, more=[drill(6.5)])
        assert "hole-narrower-than-the-cutter" not in weights(told)


@pytest.mark.parametrize(("drilled", "straight_down"), [(13, False), (9, True)])
def test_straight_down_a_hole_that_lets_the_cutter_in_is_no_plunge(drilled: float, straight_down: bool) -> None:
    told = weights(planned(POCKET, f"P: drilling D{drilled}", "P: layered pocketing E10 axial plunge", width=drilled))
    assert ("plunge-is-last" in told) is straight_down


def test_a_hole_that_nobody_drills_beside_an_open_side_is_told_without_a_false_word_of_the_crib() -> None:
    open_pocket = {"kind": "open_pocket", "id": "P", "length": 60, "width": 40, "depth": 10, "open_sides": 1}
    told = weights(planned(open_pocket | {"floor": True}, LAYERED))
    assert told["no-hole-beside-an-open-side"] == "stop"
    assert not {"no-drill-for-the-hole", "no-hole-and-no-drill", "way-in-not-meant"} & set(told)
    outside = {"kind": "outside_profile", "id": "P", "length": 60, "width": 40, "depth": 10, "stock_side": 5}
    told = weights(planned(outside | {"clearance_below": 5}, LAYERED))
    assert told["way-in-not-meant"] == "change"
    assert not {"no-drill-for-the-hole", "no-hole-and-no-drill", NOBODY} & set(told)


def test_a_drill_alone_clears_no_pocket() -> None:
    assert weights(planned(POCKET, "P: drilling D13")) == {"only-drilled": "consider"}
    assert "only-drilled" not in weights(planned(POCKET, "P: drilling D13", LAYERED))


@pytest.mark.parametrize(
    ("second", "found"),
    [
        ("P: engagement-limited clearing E10 helical ramp", {"cleared-before": "change"}),
        ("P: layered pocketing E10L helical ramp", {"cleared-before": "change"}),
        ("P: layered pocketing E10L helical ramp side 0.2", {}),
        ("P: layered pocketing E10L helical ramp bottom 0.1", {}),
    ],
)
def test_what_is_cleared_is_not_cleared_again_unless_less_is_left(second: str, found: dict[str, str]) -> None:
    long = solid(10, 40).model_copy(update={"id": "E10L"})
    told = weights(planned(POCKET, "P: layered pocketing E10 helical ramp", second, more=[long]))
    assert {name: told[name] for name in told if name == "cleared-before"} == found


def test_an_operation_that_goes_on_below_another_is_not_cleared_before() -> None:
    long = solid(10, 40).model_copy(update={"id": "E10L"})
    said = ["P: layered pocketing E10 helical ramp bottom 6", "P: layered pocketing E10L helical ramp"]
    assert "cleared-before" not in weights(planned(POCKET, *said, more=[long]))


def test_a_hole_drilled_to_size_leaves_nothing_to_mill() -> None:
    """The bore of 14 mm is drilled to size."""
    through = THROUGH | {"clearance_below": 10}
    told = weights(planned(through, "P: drilling D14", "P: helical boring E10", width=14))
    assert told["cleared-before"] == "change"
    assert "no-drill-for-the-bore" not in told
    assert "cleared-before" not in weights(planned(through, "P: drilling D13", "P: helical boring E10"))


def test_corners_that_an_operation_before_has_cut_are_not_asked_for() -> None:
    pocket = POCKET | {"corner_radius": 4}
    narrow, wide = "P: engagement-limited clearing E6 helical ramp", "P: engagement-limited clearing E10 helical ramp"
    assert "rest-left-in-the-corners" in weights(planned(pocket, wide))
    assert "rest-left-in-the-corners" not in weights(planned(pocket, narrow, wide))
