"""A feature in two operations of one width: the second goes on where the first stopped, if its numbers say so."""

from typing import Any

import pytest

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
