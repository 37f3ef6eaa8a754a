"""What there is to clear in an open pocket, held against shapely's areas of polygons.

Reference: shapely's own intersections and offsets; nothing of the formulas under test is used to draw them.
"""

from typing import Any

import pytest
from shapely import set_precision
from shapely.geometry import Polygon, box

from advisor.model.features import FEATURE_KINDS
from advisor.model.region import regions_of

LENGTH, WIDTH, RADIUS = 90.0, 40.0, 8.0
Walls = tuple[int, int, int, int]  # left, lower, right, upper: 1 with a wall; the length lies from left to right
WALLS: dict[str, tuple[dict[str, Any], Walls]] = {
    "a short side open": ({}, (1, 1, 0, 1)),
    "a long side open": ({"open_at": "long_side"}, (1, 0, 1, 1)),
    "both short sides open": ({"open_sides": 2}, (0, 1, 0, 1)),
    "both long sides open": ({"open_sides": 2, "open_at": "long_side"}, (1, 0, 1, 0)),
    "open at a corner": ({"open_sides": 2, "open_at": "corner"}, (1, 0, 0, 1)),
    "one wall": ({"open_sides": 3}, (0, 0, 0, 1)),
}


def cleared(walls: Walls, side: float) -> Polygon:
    """Return the outline less the allowance: the box reaches far beyond each open side, is rounded, and cut there."""
    far = 1000.0
    left, lower, right, upper = (0.0 if wall else far for wall in walls)
    outline = box(-left, -lower, LENGTH + right, WIDTH + upper)
    rounded = outline.buffer(-RADIUS, join_style="mitre").buffer(RADIUS, quad_segs=500)
    kept = rounded.buffer(-side, quad_segs=500).intersection(box(0, 0, LENGTH, WIDTH))
    return set_precision(kept, 1e-9)


@pytest.mark.parametrize("side", [0.0, 0.5, 2.0])
@pytest.mark.parametrize("name", WALLS)
def test_an_allowance_stays_on_the_walls_and_none_at_an_open_side(name: str, side: float) -> None:
    given: dict[str, Any] = WALLS[name][0]
    pocket = {"kind": "open_pocket", "id": "P1", "depth": 10, "floor": True, "corner_radius": RADIUS}
    read = FEATURE_KINDS["open_pocket"].model_validate(pocket | {"length": LENGTH, "width": WIDTH} | given)
    assert regions_of(read)[0].area(side) == pytest.approx(cleared(WALLS[name][1], side).area, rel=1e-5)
