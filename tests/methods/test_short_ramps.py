"""A ramp to and fro that is shorter than the middle of the cutter, which does not cut, leaves a core under it.

Source: geometry. The middle of the way is free of the dead centre only where the cutter goes further than half of it to
either side.
"""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.readers.plan_line import plan_said
from advisor.review.verdict import review
from tests.jobs.small import STEEL, STRONG, asked, inserted, job, solid

DEAD = 12.0
BODY = inserted(25, ZEFP=3, dead_centre=DEAD, RMPX=3)
CORE = "ramp-leaves-a-core"


def slot(length: float) -> dict[str, Any]:
    return {"kind": "slot", "width": 26, "length": length, "depth": 10, "floor": True, "open_ends": 0}


@given(st.floats(26.2, 60))
def test_no_ramp_shorter_than_the_dead_centre_is_advised(length: float) -> None:
    ways = [one for one in asked(slot(length), [BODY], STEEL, STRONG).candidates if "ramp_short" in one.facts]
    assert ways
    for one in ways:
        assert (float(one.facts["ramp_short"]) > 0) == (CORE in {rule.id for rule in one.fired})
        assert float(one.facts["ramp_short"]) <= 0 or one.grade == "forbidden"


@pytest.mark.parametrize(("length", "grade"), [(27, None), (36, None), (40, "good")])
def test_the_stroke_less_the_allowance_decides(length: float, grade: str | None) -> None:
    found = asked(slot(length), [BODY], STEEL, STRONG).best
    assert (None if found is None else found.grade) == grade


def test_a_cutter_that_cuts_in_the_middle_may_ramp_however_short() -> None:
    found = asked(slot(27), [solid(20, 40)], STEEL, STRONG).best
    assert found is not None
    assert found.entry == "zigzag_ramp"


@pytest.mark.parametrize(("length", "weights"), [(27, {"stop"}), (40, set())])
def test_a_plan_that_ramps_so_is_stopped(length: float, weights: set[str]) -> None:
    plan = plan_said(["F1: ramped slotting I25 entry zigzag ap 5"], [BODY.id], "mm")
    found = review(plan, job(slot(length), [BODY], STEEL, STRONG)).findings
    assert {one.weight for one in found if one.rule.id == CORE} == weights
