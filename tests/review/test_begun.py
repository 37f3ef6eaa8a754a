"""A feature in two operations of one width: the second goes on where the first stopped, if its numbers say so."""

from typing import Any

import pytest

import advisor
from advisor.review.verdict import review
from tests.jobs.small import ALUMINIUM, job, solid
from tests.review.planning import read_and_reviewed

NARROW, LAYERS = "engagement_limited_clearing", "layered_pocketing"
POCKET: dict[str, Any] = {
    "material": "EN AW-6082-T6",
    "machine": "vmc-40-12k",
    "features": [{"id": "P", "kind": "closed_pocket", "length": 100, "width": 80, "depth": 20, "floor": True}],
}
FIRST: dict[str, Any] = {
    "feature": "P", "cutter": "E16N3", "axial_depth": 16, "levels": 1, "radial_width": 2.5,
    "allowance_side": 0.5, "allowance_bottom": 4,
}  # fmt: skip


def facts(**second: Any) -> dict[str, Any]:
    """Return the facts of the second operation, the same as the first but for what is said of it."""
    found = read_and_reviewed(
        POCKET,
        [FIRST | {"method": NARROW}, FIRST | {"method": LAYERS, "radial_width": 8, "allowance_bottom": 0.5} | second],
    )
    return dict(found.operations[1].candidate.facts)


@pytest.mark.parametrize(("axial", "levels"), [(3.5, 1), (1.75, 2), (1.7, 2)])
def test_what_a_second_operation_cuts_is_what_the_first_left(axial: float, levels: int) -> None:
    found = facts(axial_depth=axial, levels=levels)
    assert found["depth_to_cut"] == pytest.approx(3.5)
    assert found["length_needed"] == pytest.approx(19.5)


@pytest.mark.parametrize(("axial", "levels"), [(9.75, 2), (4, 1), (3.25, 6)])
def test_one_that_goes_down_from_the_top_again_cuts_the_whole_depth(axial: float, levels: int) -> None:
    found = facts(axial_depth=axial, levels=levels)
    assert found["depth_to_cut"] == pytest.approx(19.5)


def test_one_that_stops_where_the_first_did_has_nothing_of_its_own() -> None:
    assert facts(axial_depth=3.5, levels=1, allowance_bottom=4)["depth_to_cut"] == pytest.approx(16)


STAGED = {"kind": "closed_pocket", "length": 140, "width": 80, "depth": 60, "corner_radius": 11, "floor": True}
STIFF, LONG_ONE = solid(20, 40, LU=56, LPR=70), solid(16, 40, LU=75, LPR=85, DN=15.5)


@pytest.mark.parametrize(
    ("second", "staged"), [("ap 5.2 levels 4", True), ("ap 5 levels 12", False), ("ap 5", True), ("", True)]
)
def test_a_stiff_cutter_may_go_part_of_the_way_where_the_long_one_takes_what_is_left(second: str, staged: bool) -> None:
    """Its shank was said to rub at the bottom, where it never comes; the long one begins where it stopped."""
    found = job(STAGED, [STIFF, LONG_ONE], ALUMINIUM)
    rows = "ap 13 levels 3 ae 10", f"{second} ae 8"
    lines = [f"F1: {one.id} layers helical {said}" for one, said in zip((STIFF, LONG_ONE), rows, strict=True)]
    made = review(advisor.parse_operations("; ".join(lines), found), found)
    told = {(one.operation, one.rule.id) for one in made.findings}
    assert ((1, "shank-rubs") not in told) is staged
    assert ((1, "levels-do-not-reach") not in told) is staged
    assert (2, "levels-do-not-reach") not in told
    to_cut = float(made.operations[1].candidate.facts["depth_to_cut"])
    assert (to_cut <= 21) is staged
