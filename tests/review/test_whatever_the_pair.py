"""What needs only the plan, the cutter and the machine is judged whatever the method, the cutter and the feature."""

from typing import Any

import pytest

from advisor.model.cutter import Cutter, make_cutter
from advisor.model.operations import OperationRow
from advisor.review.verdict import Review, review
from advisor.situation.pairings import ways
from advisor.text.findings import not_judged_text
from tests.jobs.small import job
from tests.review.planning import plan_of

MARKED = 9000.0
POCKET = {"length": 300, "width": 200, "depth": 12, "corner_radius": 40, "floor": True}
SLOT = {"kind": "slot", "length": 300, "depth": 12, "floor": True, "open_ends": 1}
FEATURES: dict[str, dict[str, Any]] = {
    "planar_face": {"kind": "planar_face", "length": 300, "width": 200, "depth": 2.5},
    "closed_pocket": {"kind": "closed_pocket", **POCKET},
    "open_pocket": {"kind": "open_pocket", "open_sides": 1, **POCKET},
    "slot": SLOT | {"width": 60},
    "narrow_slot": SLOT | {"width": 12},
    "step": {"kind": "step", "length": 300, "width": 60, "depth": 12},
    "outside_profile": {
        "kind": "outside_profile", "length": 300, "width": 200, "depth": 12, "stock_side": 5, "clearance_below": 5,
    },
    "round_hole": {"kind": "round_hole", "diameter": 120, "depth": 12, "floor": True},
}  # fmt: skip


def cutter_of(body: str, DC: float, APMX: float, **more: Any) -> Cutter:
    """Return a cutter of a body, with a marked speed."""
    given: dict[str, Any] = {"LU": max(40, APMX), "LPR": max(60, 1.4 * APMX), "ZEFP": 4, "RPMX": MARKED} | more
    return make_cutter(id=body, body=body, DC=DC, APMX=APMX, **given)


CUTTERS = [
    cutter_of("solid_end_mill", 16, 32),
    cutter_of("inserted_end_mill", 32, 10, RMPX=2),
    cutter_of("inserted_high_feed_mill", 35, 1.5, KAPR=20, RMPX=1.2),
    cutter_of("inserted_stacked_mill", 40, 55),
    cutter_of("inserted_face_mill", 50, 10, ZEFP=5, KAPR=90, RMPX=1.3),
    cutter_of("drill", 16, 80, ZEFP=2),
]


def planned(feature: str, cutter: Cutter, **said: Any) -> Review:
    """Return the review of one operation."""
    return review(plan_of(OperationRow(feature=("F1",), cutter=cutter.id, **said)), job(FEATURES[feature], [cutter]))


def weights(found: Review) -> dict[str, str]:
    """Return the weight of each finding by its rule."""
    return {one.rule.id: one.weight for one in found.findings}


@pytest.mark.parametrize("method", [None, *ways()])
@pytest.mark.parametrize("cutter", CUTTERS, ids=lambda cutter: cutter.body)
@pytest.mark.parametrize("feature", FEATURES)
def test_a_cutter_faster_than_its_marked_speed_stops_whatever_it_cuts(
    feature: str, cutter: Cutter, method: str | None
) -> None:
    told = weights(planned(feature, cutter, method=method, spindle_speed=MARKED + 100, feed_per_tooth=0.1))
    assert told.get("faster-than-marked") == "stop"
    told = weights(planned(feature, cutter, method=method, feed_rate=0.1 * cutter.ZEFP * 9100, feed_per_tooth=0.1))
    assert told.get("faster-than-marked") == "stop"
    assert weights(planned(feature, cutter, method=method, spindle_speed=9100)).get("faster-than-marked") == "stop"
    assert "faster-than-marked" not in weights(planned(feature, cutter, method=method, spindle_speed=MARKED))


@pytest.mark.parametrize("cutter", CUTTERS, ids=lambda cutter: cutter.body)
def test_where_the_tables_have_no_data_a_marked_speed_still_counts(cutter: Cutter) -> None:
    row = OperationRow(feature=("F1",), cutter=cutter.id, method="layered_pocketing", spindle_speed=9100)
    found = review(plan_of(row), job(FEATURES["step"], [cutter], "X153CrMoV12 hardened"))
    assert weights(found)["faster-than-marked"] == "stop"


def test_what_lies_beneath_is_judged_whatever_the_method() -> None:
    window = POCKET | {"kind": "closed_pocket", "floor": False, "clearance_below": 2}
    row = OperationRow(feature=("F1",), cutter="inserted_face_mill", method="face_milling", overcut=2.5)
    assert weights(review(plan_of(row), job(window, [CUTTERS[4]])))["cuts-into-what-lies-beneath"] == "stop"


def test_what_needs_no_method_is_judged_of_a_face_mill_in_a_pocket() -> None:
    found = planned(
        "closed_pocket", CUTTERS[4], method="face_milling", spindle_speed=13000, feed_per_tooth=0.5, overcut=1.0,
        coolant="mist",
    )  # fmt: skip
    told = weights(found)
    assert told["faster-than-marked"] == "stop"
    assert told["speed-beyond-the-spindle"] == "change"
    assert told["feed-beyond-the-machine"] == "change"
    assert told["coolant-not-on-the-machine"] == "change"
    assert told["cuts-into-the-floor"] == "stop"
    thick = planned("closed_pocket", CUTTERS[4], method="face_milling", spindle_speed=3000, feed_per_tooth=0.9)
    assert weights(thick)["chip-breaks-the-edge"] == "stop"
    deep = planned("closed_pocket", CUTTERS[4], method="face_milling", axial_depth=11.0, spindle_speed=3000)
    assert weights(deep)["level-beyond-the-flutes"] == "stop"


@pytest.mark.parametrize(
    ("feature", "body", "method"),
    [("step", 3, "layered_pocketing"), ("step", 4, "layered_pocketing"), ("planar_face", 1, "layered_pocketing")],
)
def test_a_method_by_another_name_is_worked_out_and_does_not_stop(feature: str, body: int, method: str) -> None:
    found = planned(
        feature,
        CUTTERS[body],
        method=method,
        axial_depth=2.0,
        radial_width=20.0,
        spindle_speed=3000,
        feed_per_tooth=0.1,
    )
    assert not found.stops
    assert not any("no numbers" in not_judged_text(told, found.bench.base) for told in found.not_judged)


@pytest.mark.parametrize(
    ("feature", "body", "said"),
    [
        ("step", 5, {"method": "layered_pocketing"}),
        ("step", 2, {"method": "engagement_limited_clearing"}),
        ("step", 2, {"method": "engagement_limited_clearing", "axial_depth": 11.0}),
        ("closed_pocket", 4, {"method": "layered_pocketing"}),
        ("closed_pocket", 4, {"method": "layered_pocketing", "entry": "axial_plunge", "ramp_angle": 1.0}),
        ("step", 4, {"method": "plunge_roughing"}),
    ],
)
def test_what_a_body_really_cannot_cut_stops(feature: str, body: int, said: dict[str, Any]) -> None:
    assert planned(feature, CUTTERS[body], **said).stops


def test_a_face_mill_that_ramps_into_a_wide_pocket_is_judged_by_its_numbers() -> None:
    found = planned(
        "closed_pocket", CUTTERS[4], method="layered_pocketing", entry="helical_ramp", ramp_angle=1.0, axial_depth=3.0,
        spindle_speed=3000, feed_per_tooth=0.1,
    )  # fmt: skip
    assert weights(found)["body-seldom-taken"] == "consider"
    assert found.operations[0].candidate.plan is not None
    steep = planned("closed_pocket", CUTTERS[4], method="layered_pocketing", entry="helical_ramp", ramp_angle=2.0)
    assert weights(steep)["steeper-than-the-cutter"] == "stop"


def test_of_a_cutter_that_does_not_go_in_nothing_is_told_of_how_it_would_do_there() -> None:
    ring = {"kind": "closed_pocket", "length": 140, "width": 140, "depth": 12, "corner_radius": 10, "island": 50}
    found = review(
        plan_of(OperationRow(feature=("F1",), cutter="inserted_face_mill", method="layered_pocketing")),
        job(ring | {"floor": True}, [CUTTERS[4]]),
    )
    assert set(weights(found)) == {"cutter-does-not-fit", "body-not-meant"}
    assert not any("\u2212" in one.text for one in found.findings)
