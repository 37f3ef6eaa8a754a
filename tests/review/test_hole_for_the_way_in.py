"""The hole for the way in: who drills it, how deep, and that its time counts once."""

import pytest
from small_jobs import drill, job, solid

from advisor.inputs.said import plan_said
from advisor.review.verdict import Review, review

POCKET = {
    "kind": "closed_pocket", "id": "P", "length": 60, "width": 40, "depth": 10, "corner_radius": 8, "floor": True
}  # fmt: skip
BLIND = {"kind": "round_hole", "id": "P", "diameter": 20, "depth": 15, "floor": True, "flat_floor": True}
THROUGH = {"kind": "round_hole", "id": "P", "diameter": 14, "depth": 24, "floor": False, "purpose": "clearance"}
LAYERED = "P: layered pocketing E10 predrilled hole"
LOOPS = "P: engagement-limited clearing E10 predrilled hole"
ROUND_IT = "P: helical boring E10 predrilled hole"
NOBODY = "nobody-drills-the-hole"


def planned(feature: dict[str, object], *said: str, width: float = 13) -> Review:
    """Return the review of a plan with a cutter of 10 mm, and a drill; a second cutter may take the rest."""
    crib = [solid(10, 30), solid(6, 20), drill(width)]
    return review(plan_said(list(said), [cutter.id for cutter in crib], "mm"), job(feature, crib, "C45"))


def weights(told: Review) -> dict[str, str]:
    """Return the weights of the findings by rule."""
    return {one.rule.id: one.weight for one in told.findings}


def test_a_hole_that_no_operation_drills_is_to_be_drilled_first() -> None:
    told = planned(POCKET, LAYERED)
    (found,) = (one for one in told.findings if one.rule.id == NOBODY)
    assert found.weight == "change"
    assert "13 mm drill" in found.text.replace("\N{NO-BREAK SPACE}", " ")
    assert [one.what for one in told.not_said if one.setting == "drill"] == ["drill: D13 taken"]


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


def test_a_hole_drilled_only_afterwards_is_missed() -> None:
    assert weights(planned(POCKET, LAYERED, "P: drilling D13"))[NOBODY] == "change"


def test_a_way_in_that_the_plan_leaves_open_is_not_faulted_for_its_hole() -> None:
    assert NOBODY not in weights(planned(POCKET, "P: layered pocketing E10"))


def test_a_rest_comes_in_where_the_wide_cutter_has_been() -> None:
    told = planned(POCKET, f"{LAYERED} with D13", "P: engagement-limited clearing E6 predrilled hole")
    assert NOBODY not in weights(told)


@pytest.mark.parametrize("way", [LOOPS, ROUND_IT])
def test_a_hole_drilled_by_an_operation_of_its_own_counts_once(way: str) -> None:
    apart, named = planned(BLIND, "P: drilling D13", way), planned(BLIND, f"{way} with D13")
    assert named.time_plan_s is not None
    assert apart.time_plan_s == pytest.approx(named.time_plan_s)
    assert ("slower-than-advised" in weights(apart)) is ("slower-than-advised" in weights(named))


def test_the_time_of_a_hole_is_that_of_the_operation_that_drills_it() -> None:
    """At half the feed the cut of the drill takes twice as long."""
    times = [
        planned(BLIND, f"P: drilling D13 n 1500 fz {feed}", LOOPS).time_plan_s or 0.0 for feed in (0.1, 0.05, 0.025)
    ]
    assert times[2] - times[1] == pytest.approx(2 * (times[1] - times[0]))
    assert times[1] > times[0]


def test_a_hole_gone_down_twice_is_drilled_once() -> None:
    told = planned(POCKET, f"{LAYERED} with D13", LAYERED)
    first, second = (one.candidate for one in told.operations)
    assert told.time_plan_s == pytest.approx(first.time + second.time - float(second.facts["hole_time"]))


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
