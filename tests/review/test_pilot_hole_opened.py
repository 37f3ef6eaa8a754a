"""A drill that opens a pilot hole takes the ring beside it: less torque, power and thrust than in the solid.

Source: geometry of the section, M = k_c f (D² - d²) / 8; that wide drills of high-speed steel go into a pilot hole
where the spindle is weak is common practice, no source.
"""

from typing import Any

import pytest

from advisor.choosing.advice import advise
from advisor.model.cutter import Cutter, make_cutter
from advisor.readers.plan_line import plan_said
from advisor.review.verdict import Review, review
from tests.jobs.small import EVERYDAY, job

WEAK: dict[str, Any] = EVERYDAY | {"name": "weak", "spindle": {"speed": [600, 4000, 6000], "power": [5.5, 5.5, 5.5]}}
HOLE: dict[str, Any] = {
    "kind": "round_hole",
    "diameter": 30,
    "depth": 60,
    "floor": False,
    "clearance_below": 20,
    "purpose": "clearance",
}
SHORT, PILOT = "drill-short-of-torque", "pilot-hole-reduces-the-load"


def high_speed_steel(DC: float) -> Cutter:
    return make_cutter(id=f"H{DC:g}", body="drill", DC=DC, APMX=120, ZEFP=2, substrate="hss", point_angle=118)


CRIB = [high_speed_steel(14), high_speed_steel(30)]


def planned(*lines: str) -> Review:
    return review(plan_said(list(lines), [one.id for one in CRIB], "mm"), job(HOLE, CRIB, "S235JR", WEAK))


def of_the_wide(found: Review, fact: str) -> float:
    return float(found.operations[-1].candidate.facts[fact])


WIDE = "F1: drilling H30 ap 70 fz 0.1 n 330"


def test_torque_is_that_of_the_ring() -> None:
    solid, ring = planned(WIDE), planned("F1: drilling H14 ap 70", WIDE)
    assert of_the_wide(ring, "torque") / of_the_wide(solid, "torque") == pytest.approx(1 - (14 / 30) ** 2)
    assert of_the_wide(ring, "thrust") / of_the_wide(solid, "thrust") == pytest.approx(1 - 14 / 30)


def test_a_pilot_hole_that_ends_above_the_bottom_leaves_the_whole_section_there() -> None:
    solid, shallow = planned(WIDE), planned("F1: drilling H14 ap 40", WIDE)
    assert of_the_wide(shallow, "torque") == of_the_wide(solid, "torque")


def test_the_plan_in_two_steps_is_not_told_to_be_short_of_torque() -> None:
    def found(plan: Review) -> set[str]:
        return {one.rule.id for one in plan.findings}

    assert SHORT in found(planned(WIDE))
    assert SHORT in found(planned("F1: drilling H14 ap 40", WIDE))
    assert SHORT not in found(planned("F1: drilling H14 ap 70", WIDE))


def test_a_wide_drill_short_of_power_is_advised_a_pilot_hole() -> None:
    (answer,) = advise(job(HOLE, CRIB, "S235JR", WEAK)).features
    assert answer.best is not None
    assert answer.best.cutter.id == "H30"
    assert answer.best.facts["pilot_width"] == pytest.approx(12)
    assert PILOT in {rule.id for rule in answer.cautions}
