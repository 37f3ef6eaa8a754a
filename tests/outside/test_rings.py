"""The way round an island, held against shapely: the middle line of the ring, and its area less the allowances.

Reference: shapely's own offsets and areas of polygons; nothing of the formulas under test is used to draw them.
"""

import pytest
from shapely import maximum_inscribed_circle
from shapely.geometry import LineString, Point, Polygon, box

from advisor.model.features import FEATURE_KINDS
from advisor.model.region import Region, regions_of


def region(kind: str = "closed_pocket", **more: float) -> Region:
    given = {"kind": kind, "id": "P1", "depth": 10, "floor": True} | more
    return regions_of(FEATURE_KINDS[kind].model_validate(given))[0]


def ring(length: float, width: float, island: float, side: float = 0.0) -> Polygon:
    """Return the ring between a box and a square island in its middle, with an allowance left on both."""
    outline = box(-length / 2 + side, -width / 2 + side, length / 2 - side, width / 2 - side)
    return outline.difference(box(-island / 2 - side, -island / 2 - side, island / 2 + side, island / 2 + side))


@pytest.mark.parametrize(("outline", "island"), [(80, 40), (80, 60), (100, 70), (60, 20)])
def test_round_a_square_island_the_cutter_goes_the_middle_line_of_the_ring(outline: float, island: float) -> None:
    middle = box(*[sign * (outline + island) / 4 for sign in (-1, -1, 1, 1)]).exterior.length
    assert region(length=outline, width=outline, island=island).centre_way(0.0, 10) == pytest.approx(middle)
    assert region(length=outline, width=outline, island=island).walls_way == pytest.approx(middle)


@pytest.mark.parametrize("side", [0.0, 0.5, 2.0])
@pytest.mark.parametrize(("length", "width", "island"), [(80, 80, 40), (120, 60, 30), (100, 90, 70)])
def test_the_area_of_a_ring_is_the_outline_less_the_island(
    length: float, width: float, island: float, side: float
) -> None:
    found = region(length=length, width=width, island=island).area(side)
    assert found == pytest.approx(ring(length, width, island, side).area)


@pytest.mark.parametrize("side", [0.0, 0.5])
@pytest.mark.parametrize(("outline", "island"), [(80, 40), (60, 30), (90, 70)])
def test_a_cut_as_wide_as_the_ring_that_goes_its_way_sweeps_all_of_it(
    outline: float, island: float, side: float
) -> None:
    """A straight band as long as the way and as wide as the ring between its allowances covers the area, no more."""
    way = region(length=outline, width=outline, island=island).centre_way(side, 10)
    band = LineString([(0, 0), (way, 0)]).buffer(((outline - island) / 2 - 2 * side) / 2, cap_style="flat")
    assert band.area == pytest.approx(ring(outline, outline, island, side).area)


@pytest.mark.parametrize("side", [0.0, 0.5])
@pytest.mark.parametrize(("length", "width", "island"), [(80, 60, 20), (80, 60, 40), (150, 60, 20), (100, 90, 70)])
def test_where_the_ends_are_wider_the_middle_line_still_lies_half_way_between_both_walls(
    length: float, width: float, island: float, side: float
) -> None:
    """The middle line is as long as the mean of the outline and of the island, which stand off from it alike."""
    found = region(length=length, width=width, island=island).centre_way(side, 10)
    walls = ring(length, width, island, side)
    assert found == pytest.approx((walls.exterior.length + walls.interiors[0].length) / 2)


@pytest.mark.parametrize("side", [0.0, 0.5])
def test_an_outline_of_arcs_takes_its_corners_off_the_area_and_the_way(side: float) -> None:
    """A pocket with corners of half its width is a circle; its ring is the circle less the island."""
    found = region(length=80, width=80, corner_radius=40, island=30)
    circle = Point(0, 0).buffer(40 - side, quad_segs=2000)
    area = circle.difference(box(-15 - side, -15 - side, 15 + side, 15 + side)).area
    assert found.area(side) == pytest.approx(area, rel=1e-5)
    assert found.centre_way(side, 10) == pytest.approx(area / (25 - 2 * side), rel=1e-5)


def test_the_way_round_an_island_is_longer_than_the_pocket_and_shrinks_to_it_in_no_ring() -> None:
    round_it, without = region(length=100, width=60, island=20, island_length=70), region(length=100, width=60)
    assert round_it.centre_way(0.5, 12) > 2 * without.centre_way(0.5, 12)
    assert without.centre_way(0.5, 12) == pytest.approx(100 - 1 - 12)


def outline(length: float, width: float, radius: float) -> Polygon:
    """Return a box with rounded corners."""
    box_ = box(radius, radius, length - radius, width - radius)
    return box_.buffer(radius, quad_segs=400) if radius else box_


def island_in(length: float, width: float, sides: tuple[float, ...]) -> Polygon:
    """Return an island in the middle: round of one size, square of two (along, across)."""
    x, y = length / 2, width / 2
    if len(sides) == 1:
        return Point(x, y).buffer(sides[0] / 2, quad_segs=400)
    return box(x - sides[0] / 2, y - sides[1] / 2, x + sides[0] / 2, y + sides[1] / 2)


def widest(walls: Polygon) -> float:
    """Return the diameter of the widest circle between the walls."""
    return 2 * maximum_inscribed_circle(walls, tolerance=0.001).length


POCKETS = [(80, 60, 8), (80, 60, 0), (60, 60, 8), (60, 60, 16), (150, 60, 8), (80, 80, 40), (99, 99, 14), (90, 80, 20)]


@pytest.mark.parametrize("island", [20, 40])
@pytest.mark.parametrize(("length", "width", "radius"), POCKETS)
def test_the_cutter_gets_in_where_the_widest_circle_fits_past_a_square_island(
    length: float, width: float, radius: float, island: float
) -> None:
    found = region(length=length, width=width, corner_radius=radius, island=island, island_length=island)
    walls = outline(length, width, radius).difference(island_in(length, width, (island, island)))
    assert found.entry_width == pytest.approx(widest(walls), rel=1e-3)
    past = found.past_island
    assert past is not None
    middle = Point(past.middle(found.entry_place or ""))
    assert walls.contains(middle)
    assert 2 * walls.boundary.distance(middle) == pytest.approx(found.entry_width, rel=1e-3)


@pytest.mark.parametrize("island", [20, 40])
@pytest.mark.parametrize(("length", "width", "radius"), POCKETS)
def test_past_an_island_that_may_be_round_the_way_is_as_wide_as_the_widest_circle(
    length: float, width: float, radius: float, island: float
) -> None:
    found = region(length=length, width=width, corner_radius=radius, island=island)
    walls = outline(length, width, radius).difference(island_in(length, width, (island,)))
    assert found.narrowest == pytest.approx(widest(walls), rel=1e-3)
    assert found.entry_width <= widest(walls) + 0.01, "the island may be square"


@pytest.mark.parametrize(("island", "radius"), [((30, 30), 40), ((60, 10), 35), ((20, 40), 40), ((30, 30), 8)])
def test_the_corner_of_a_square_island_may_come_nearer_to_an_arc_than_its_sides_to_the_walls(
    island: tuple[float, float], radius: float
) -> None:
    found = region(length=80, width=80, corner_radius=radius, island=island[1], island_length=island[0])
    between = outline(80, 80, radius).boundary.distance(island_in(80, 80, island))
    assert found.fit_width == pytest.approx(between, rel=1e-3)
