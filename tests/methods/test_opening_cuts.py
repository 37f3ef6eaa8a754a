"""Each level between walls opens at full width; a slender cutter bears that in thin levels only."""

from typing import Any

import pytest

from advisor.model.candidate import Candidate
from advisor.situation.derived import worked_out
from advisor.text.causes import cause_text
from tests.jobs.small import ALUMINIUM, STEEL, asked, solid

POCKET: dict[str, Any] = {
    "kind": "closed_pocket", "length": 150, "width": 90, "depth": 60, "floor": True, "corner_radius": 8
}  # fmt: skip
LONG = solid(12, 26, LU=75, LPR=82, DN=11.5)
FULL, MOST = 4.0, 8.0
LIMITS = {"slenderness_full": FULL, "slenderness_most": MOST}


def full_width_factor(slenderness: float) -> float:
    return float(worked_out(("full_width_factor",), {"slenderness": slenderness}, limits=LIMITS)["full_width_factor"])


def layered(cutter: Any, **more: Any) -> Candidate:
    found = asked(POCKET | more, [cutter], ALUMINIUM)
    return next(one for one in found.candidates if one.method == "layered_pocketing" and one.plan is not None)


def test_the_depth_at_full_width_falls_with_the_cube_of_how_slender_a_cutter_is() -> None:
    """A bar twice as long is an eighth as stiff, and a cut chatters at a depth that goes with stiffness."""
    assert full_width_factor(4.0) == 1
    assert full_width_factor(3.0) == 1
    assert full_width_factor(4.01) == pytest.approx((4 / 4.01) ** 3)
    assert full_width_factor(6.0) == pytest.approx(8 / 27)
    assert full_width_factor(9.0) == full_width_factor(8.0)


def test_a_12_mm_cutter_82_mm_out_opens_no_level_deeper_than_a_third_of_its_width() -> None:
    """At 5.4 diameters of plain bar it is 2.4 times as limp as at 4: of 9 mm, 0.75 DC, 3.7 mm are left."""
    found = layered(LONG)
    assert found.plan is not None
    assert float(found.facts["slenderness"]) == pytest.approx(5.37, abs=0.02)
    assert found.plan.axial_depth <= 12 / 3
    assert found.facts["opening_depth_most"] == pytest.approx(9 * (4 / 5.37) ** 3, rel=0.01)
    assert any("at full width" in cause_text(held.cause) for held in found.plan.held)


def test_a_stout_cutter_opens_its_levels_as_deep_as_the_tables_have_it() -> None:
    stout = layered(solid(12, 26, LU=36, LPR=43, DN=11.6), depth=30)
    assert stout.plan is not None
    assert float(stout.facts["slenderness"]) < FULL
    assert stout.plan.axial_depth > 12 / 2
    assert not any("at full width" in cause_text(held.cause) for held in stout.plan.held)


def test_along_a_wall_nothing_opens_at_full_width() -> None:
    step = {"kind": "step", "length": 150, "width": 20, "depth": 60}
    found = asked(step, [LONG], ALUMINIUM)
    way = next(one for one in found.candidates if one.method == "layered_pocketing" and one.plan is not None)
    assert way.plan is not None
    assert "opening_depth_most" not in way.facts
    assert way.plan.axial_depth > 12 / 3


def test_a_slender_cutter_goes_down_a_slot_in_thinner_levels_too() -> None:
    slot = {"kind": "slot", "length": 150, "width": 14.5, "depth": 30, "floor": True, "open_ends": 2}
    plans = []
    for cutter in (solid(12, 26, LU=36, LPR=43, DN=11.6, ZEFP=4), solid(12, 26, LU=75, LPR=82, DN=11.5, ZEFP=4)):
        found = asked(slot, [cutter], STEEL)
        way = next(one for one in found.candidates if one.method == "ramped_slotting" and one.plan is not None)
        assert way.plan is not None
        plans.append(way.plan)
    stout, slender = plans
    assert slender.axial_depth < stout.axial_depth / 2
