"""A plan whose levels open deeper at full width than its slender cutter bears is told so; one in thin levels is not
sent back to deep ones. A plan whose cutter takes the allowance of an open pocket is told so too.
"""

from typing import Any

import pytest

from advisor.model.cutter import Cutter
from advisor.readers.plan_line import plan_said
from advisor.review.verdict import review
from tests.jobs.small import ALUMINIUM, STEEL, inserted, job, solid

DEEP: dict[str, Any] = {
    "kind": "closed_pocket", "length": 150, "width": 90, "depth": 60, "floor": True, "corner_radius": 8
}  # fmt: skip
LONG = solid(12, 26, LU=75, LPR=82, DN=11.5)
OPEN: dict[str, Any] = {"kind": "open_pocket", "length": 90, "width": 40, "depth": 20, "floor": True}


def found(feature: dict[str, Any], cutter: Cutter, text: str, material: str, **more: Any) -> set[str]:
    assignment = job(feature, [cutter], material, **more)
    name = assignment.job.features[0].id
    said = plan_said([f"{name}: layered pocketing {cutter.id} {text}"], [cutter.id], "mm")
    return {finding.rule.id for finding in review(said, assignment).findings}


@pytest.mark.parametrize(("axial", "told"), [(8.5, True), (4.7, True), (4.6, False), (3, False)])
def test_levels_of_a_slender_cutter_that_open_too_deep_are_told(axial: float, told: bool) -> None:
    """9 mm, 0.75 DC, times (4/5.37)³ are 3.7 mm; a quarter more is borne with a word."""
    assert ("opening-cut-too-deep" in found(DEEP, LONG, f"ap {axial} ae 5.4", ALUMINIUM)) == told


def test_thin_levels_of_a_slender_cutter_are_not_sent_back_to_deep_ones() -> None:
    assert "level-more-than-needed" not in found(DEEP, LONG, "ap 2 ae 5.4", ALUMINIUM)


def test_a_cutter_as_wide_as_the_open_pocket_takes_its_allowance() -> None:
    forty = inserted(40, ZEFP=5)
    assert "slot-cut-to-size" in found(OPEN, forty, "ap 6 ae 26", STEEL)
    assert "slot-cut-to-size" not in found(OPEN | {"open_at": "long_side"}, forty, "ap 6 ae 26", STEEL)
