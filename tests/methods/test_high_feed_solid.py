"""Solid cutters with a high-feed end: their small edge angle thins the chip, and their thin levels bear a thicker one.

Source of each: common practice, no source. Makers' usual feeds from memory: 12 mm, 50 HRC 0.2 to 0.35 mm per tooth at
0.3 to 0.5 mm; steel of 200 HB 0.4 to 0.6 mm per tooth.
"""

from math import radians, sin
from typing import Any

import pytest

from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter
from tests.jobs.judged import HARD, LAYERS
from tests.jobs.small import EVERYDAY, STEEL, asked, solid

POCKET: dict[str, Any] = {"kind": "closed_pocket", "length": 90, "width": 60, "depth": 12, "floor": True}
DEEP_WALL: dict[str, Any] = {"kind": "step", "length": 100, "width": 20, "depth": 55, "allowance_side": 0.5}


def mill(KAPR: float, LPR: float = 30) -> Cutter:
    return solid(12, 0.6, LU=LPR - 5, LPR=LPR, DN=11.4, ZEFP=6, RE=1.2, KAPR=KAPR, RMPX=3, FHA=20)


def layered(cutter: Cutter, material: str) -> Candidate:
    found = asked(POCKET, [cutter], material, EVERYDAY).candidates
    return next(each for each in found if each.method == LAYERS)


@pytest.mark.parametrize(("material", "low", "high"), [(HARD, 0.2, 0.35), (STEEL, 0.4, 0.6)])
def test_a_solid_high_feed_cutter_is_fed_as_such(material: str, low: float, high: float) -> None:
    plan = layered(mill(18), material).plan
    assert plan is not None
    assert low <= plan.feed_per_tooth <= high
    assert plan.axial_depth <= 0.6


@pytest.mark.parametrize(("KAPR", "factor"), [(10, 2), (20, 2), (20.1, 1), (45, 1), (90, 1)])
def test_the_feed_is_the_chip_over_the_sine_of_the_edge_angle(KAPR: float, factor: float) -> None:
    found, plain = layered(mill(KAPR), STEEL), layered(mill(90), STEEL)
    chip = float(plain.facts["table_chip"])
    assert found.facts["table_chip"] == pytest.approx(factor * chip)
    assert found.plan is not None
    if "feed_per_tooth" not in {held.setting for held in found.plan.held}:
        assert found.plan.feed_per_tooth == pytest.approx(factor * chip / sin(radians(KAPR)))


def test_straight_down_the_edge_angle_thickens_no_chip() -> None:
    """The edge that a plunge cuts with lies across the spindle."""
    crib = [mill(KAPR, 75) for KAPR in (18, 90)]
    ways = [asked(DEEP_WALL, [cutter], STEEL, EVERYDAY).candidates for cutter in crib]
    flat, square = (next(each for each in found if each.method == "plunge_roughing") for found in ways)
    assert flat.plan is not None
    assert square.plan is not None
    assert flat.plan.feed_per_tooth == pytest.approx(square.plan.feed_per_tooth)
    assert flat.facts["table_chip"] == pytest.approx(square.facts["table_chip"])
