"""What needs only the plan, the cutter and the machine is judged whatever the method, the cutter and the feature."""

from typing import Any

import pytest
from planning import plan_of, read_and_reviewed
from small_jobs import job

from advisor.inputs import Cutter, make_cutter
from advisor.inputs.plan import OperationRow
from advisor.reasoning.ways import ways
from advisor.review.verdict import Review, review

MARKED = 9000.0
HOLE = {"kind": "round_hole", "diameter": 120, "depth": 12, "floor": True}
FEATURES: dict[str, dict[str, Any]] = {
    "planar_face": {"kind": "planar_face", "length": 300, "width": 200, "depth": 2.5},
    "closed_pocket": {"kind": "closed_pocket", "length": 300, "width": 200, "depth": 12, "corner_radius": 40, "floor": True},
    "open_pocket": {"kind": "open_pocket", "length": 300, "width": 200, "depth": 12, "corner_radius": 40, "floor": True, "open_sides": 1},
    "slot": {"kind": "slot", "length": 300, "width": 60, "depth": 12, "floor": True, "open_ends": 1},
    "step": {"kind": "step", "length": 300, "width": 60, "depth": 12},
    "outside_profile": {"kind": "outside_profile", "length": 300, "width": 200, "depth": 12, "stock_side": 5, "clearance_below": 5},
    "round_hole": HOLE,
    "narrow_slot": {"kind": "slot", "length": 300, "width": 12, "depth": 12, "floor": True, "open_ends": 1},
}  # fmt: skip
CUTTERS: list[Cutter] = [
    make_cutter(id="solid_end_mill", body="solid_end_mill", DC=16, APMX=32, LU=32, LPR=42, ZEFP=4, RPMX=MARKED),
    make_cutter(id="inserted_end_mill", body="inserted_end_mill", DC=32, APMX=10, LU=45, LPR=65, ZEFP=4, RPMX=MARKED, RMPX=2),
    make_cutter(id="inserted_high_feed_mill", body="inserted_high_feed_mill", DC=35, APMX=1.5, LU=80, LPR=90, ZEFP=4, KAPR=20, RPMX=MARKED, RMPX=1.2),
    make_cutter(id="inserted_stacked_mill", body="inserted_stacked_mill", DC=40, APMX=55, LU=60, LPR=85, ZEFP=3, RPMX=MARKED),
    make_cutter(id="inserted_face_mill", body="inserted_face_mill", DC=50, APMX=10, LU=40, LPR=60, ZEFP=5, RPMX=MARKED, RMPX=1.3),
    make_cutter(id="drill", body="drill", DC=16, APMX=80, ZEFP=2, RPMX=MARKED),
]  # fmt: skip


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
    assert "faster-than-marked" not in weights(planned(feature, cutter, method=method, spindle_speed=MARKED))
