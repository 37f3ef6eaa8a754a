"""How wide the passes are that take what stays beside the opening cut of a level, and what stays in a corner.

Reference: hand calculation, written beside each number, and shapely: the cutter is moved over a drawing of the region
and what it has not swept is measured across. Nothing of the formulas under test is used to draw it.
"""

from dataclasses import replace
from math import ceil, pi, sqrt
from typing import Any

import pytest
from shapely.geometry import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry

from advisor.choosing.corner import rest_cut
from advisor.mechanics.corners import corner_rest_area, corner_rest_thickness, corner_way
from advisor.methods import layers
from advisor.methods.cut import Cut
from advisor.methods.trial import cut_of
from advisor.model.plan import Pinned, Plan
from advisor.model.region import Region, regions_of
from advisor.situation.bench import Bench, bench_of
from advisor.situation.facts import InFeature, cutter_in, feature_facts
from tests.jobs.small import STEEL, job, solid

SIDE = 0.5  # left on each wall [mm]
LENGTH = 100.0
FULL = 0.65  # of DC: as wide as a pass of a level is by common practice
FAR = 1000.0


def put_in(feature: dict[str, Any], DC: float) -> tuple[Region, InFeature, Bench]:
    floor = {} if feature["kind"] == "outside_profile" else {"floor": True}
    assignment = job({"depth": 8, "allowance_side": SIDE} | floor | feature, [solid(DC, 2 * DC, ZEFP=4)], STEEL)
    bench = bench_of(assignment)
    region = regions_of(assignment.job.features[0])[0]
    return region, cutter_in(region, assignment.crib[0], feature_facts(region, bench), bench), bench


def cut(feature: dict[str, Any], DC: float, width: float | None = None) -> Cut:
    region, inside, bench = put_in(feature, DC)
    found = cut_of(inside, region, bench)
    assert found is not None
    return replace(found, pinned=Pinned(radial_width=width))


def layered(feature: dict[str, Any], DC: float, width: float | None = None) -> Plan:
    return layers.plan(cut(feature, DC, width))


def slot(width: float) -> dict[str, Any]:
    return {"kind": "slot", "length": LENGTH, "width": width, "open_ends": 2}


def across(stays: BaseGeometry) -> float:
    """How wide what stays is, measured in the middle of its length [mm]."""
    return float(stays.intersection(LineString([(LENGTH / 2, -FAR), (LENGTH / 2, FAR)])).length)


def swept(y: float, DC: float) -> BaseGeometry:
    """What a cutter sweeps whose centre goes along at a height, from beside one end to beside the other."""
    return LineString([(-DC, y), (LENGTH + DC, y)]).buffer(DC / 2)


@pytest.mark.parametrize(
    ("width", "DC", "planned", "passes"),
    [
        (16.0, 12.0, None, 1),  # 16 - 1 - 12 = 3 mm stay: one pass
        (20.7, 12.0, None, 1),  # 7.7 mm stay, less than 0.65 * 12 = 7.8 mm: one pass
        (13.5, 10.0, None, 1),  # 2.5 mm
        (20.9, 12.0, 12.0, 2),  # planned at full width: 7.9 mm stay, more than 7.8: two passes of 3.95 mm
        (26.0, 12.0, 12.0, 2),  # 13 mm: two of 6.5 mm
        (40.0, 10.0, 10.0, 5),  # 29 mm, 4.46 times 6.5 mm: five of 5.8 mm
    ],
)
def test_what_the_opening_cut_leaves_is_taken_in_even_passes_no_wider_than_a_pass_is(
    width: float, DC: float, planned: float | None, passes: int
) -> None:
    found = float(layered(slot(width), DC, planned).facts["rest_width"])
    stays: BaseGeometry = box(0, SIDE, LENGTH, width - SIDE).difference(swept(SIDE + DC / 2, DC))
    whole = across(stays)
    assert whole == pytest.approx(width - 2 * SIDE - DC)
    for number in range(passes):
        before = across(stays)
        stays = stays.difference(swept(SIDE + DC / 2 + (number + 1) * found, DC))
        assert before - across(stays) == pytest.approx(found), "each pass takes as much as every other"
    assert across(stays) == pytest.approx(0, abs=1e-9), "the last pass leaves nothing but the allowance"
    assert found <= FULL * DC + 1e-9
    assert passes == 1 or whole / (passes - 1) > FULL * DC, "one pass fewer would be too wide"


@pytest.mark.parametrize(("width", "DC"), [(21.0, 12.0), (40.0, 10.0)])
def test_where_a_pass_of_the_tables_finds_room_beside_the_opening_cut_it_is_that_wide(width: float, DC: float) -> None:
    """21 - 1 - 12 = 8 mm stay, which is more than 0.65 * 12 = 7.8 mm."""
    plan = layered(slot(width), DC)
    assert plan.facts["rest_width"] == plan.radial_width == pytest.approx(FULL * DC, abs=0.05)


def test_where_the_opening_cut_leaves_nothing_no_pass_is_timed() -> None:
    """11 mm wide with 0.5 mm left on each wall: a 10 mm cutter takes it in one width."""
    plan = layered(slot(11.0), 10.0)
    assert plan.facts["cut_area"] == pytest.approx(10 * LENGTH)
    opening = float(plan.facts["opening_feed"])
    assert plan.cut_time == pytest.approx(plan.levels * 60 * LENGTH / opening)


@pytest.mark.parametrize(("width", "planned", "passes"), [(16.0, None, 1), (26.0, 12.0, 2), (46.0, 12.0, 5)])
def test_the_time_of_a_level_is_the_opening_cut_and_its_passes(
    width: float, planned: float | None, passes: int
) -> None:
    """In a slot open at both ends each goes its length: 100 mm; at 46 mm wide 33 mm stay, 4.2 passes' worth."""
    plan = layered(slot(width), 12.0, planned)
    level = 60 * LENGTH / float(plan.facts["opening_feed"]) + passes * 60 * LENGTH / plan.feed_rate
    assert plan.cut_time == pytest.approx(plan.levels * level)


@pytest.mark.parametrize(("outline", "island", "DC"), [(80.0, 40.0, 12.0), (70.0, 38.0, 10.0)])
def test_round_an_island_what_stays_beside_the_opening_ring_is_as_wide_as_a_pass(
    outline: float, island: float, DC: float
) -> None:
    """80 mm outside, 40 mm inside: a ring of 20 mm, 19 mm between the allowances; 12 mm cut leave 7 mm."""
    pocket = {"kind": "closed_pocket", "length": outline, "width": outline, "island": island, "island_length": island}
    found = float(layered(pocket, DC).facts["rest_width"])

    def square(half: float) -> Polygon:
        return box(LENGTH / 2 - half, -half, LENGTH / 2 + half, half)

    ring = square(outline / 2 - SIDE).difference(square(island / 2 + SIDE))
    opening = square(outline / 2 - SIDE - DC / 2).exterior.buffer(DC / 2, join_style="mitre")
    stays = ring.difference(opening)
    assert across(stays) / 2 == pytest.approx(found), "on either side of the island"
    second = square(outline / 2 - SIDE - DC / 2 - found).exterior.buffer(DC / 2, join_style="mitre")
    assert stays.difference(second).area == pytest.approx(0, abs=1e-6)


def rounded(length: float, width: float, radius: float) -> Polygon:
    """A pocket of this size with rounded corners."""
    inner = box(radius, radius, length - radius, width - radius)
    return inner.buffer(radius, quad_segs=400) if radius > 0 else inner


def left_in_corners(length: float, width: float, radius: float, DC: float) -> BaseGeometry:
    """What a cutter that goes wherever it fits leaves in a pocket with an allowance on its walls."""
    room = rounded(length, width, radius).buffer(-SIDE, quad_segs=400)
    return room.difference(room.buffer(-DC / 2, quad_segs=400).buffer(DC / 2, quad_segs=400))


@pytest.mark.parametrize(("radius", "DC"), [(3.0, 12.0), (3.0, 20.0), (5.0, 16.0), (8.0, 20.0)])
def test_what_stays_in_a_corner_has_the_area_and_the_thickness_that_are_drawn(radius: float, DC: float) -> None:
    stays, inside = left_in_corners(90, 60, radius, DC), radius - SIDE
    assert stays.area == pytest.approx(4 * corner_rest_area(DC / 2, inside), rel=1e-3)
    corner = stays.intersection(box(0, 0, 30, 30))
    thick = LineString([(0, 0), (30, 30)]).intersection(corner).length
    assert thick == pytest.approx(corner_rest_thickness(DC / 2, inside), rel=1e-3), "across the corner"


@pytest.mark.parametrize("passes", [1, 2, 3, 8])
@pytest.mark.parametrize(("radius", "DC"), [(3.0, 12.0), (3.0, 20.0), (5.0, 16.0), (8.0, 20.0), (5.0, 20.0)])
def test_the_passes_along_the_walls_of_a_corner_are_as_long_as_they_are_drawn(
    radius: float, DC: float, passes: int
) -> None:
    """Each pass leaves a wall so far from the finished one; its way is what of that wall lies in the rest."""
    room = rounded(90, 60, radius).buffer(-SIDE, quad_segs=400)
    stays = left_in_corners(90, 60, radius, DC).intersection(box(0, 0, 30, 30))
    corner = stays.buffer(-2e-4).buffer(3e-4)  # without the hair that drawing leaves along the walls
    step = corner_rest_thickness(DC / 2, radius - SIDE) / passes
    walls = [room.buffer(-step * place, quad_segs=400).exterior for place in range(passes)]
    drawn = sum(wall.intersection(corner).length for wall in walls)
    assert corner_way(DC / 2, radius - SIDE, passes) == pytest.approx(drawn, rel=0.09)


RAPID, ACCELERATION = 500.0, 4000.0  # mm/s, mm/s²: of the machine of these jobs


def hop(distance: float) -> float:
    """How long a move in rapid takes [s]: it speeds up over 31.25 mm at most, and slows down over as much."""
    if distance < RAPID**2 / ACCELERATION:
        return float(2 * sqrt(distance / ACCELERATION))
    return distance / RAPID + RAPID / ACCELERATION


@pytest.mark.parametrize(
    ("pocket", "depth", "corners", "between"),
    [
        ({"kind": "closed_pocket"}, 8.0, 4, (60, 90, 60)),
        ({"kind": "closed_pocket"}, 8.05, 4, (60, 90, 60)),  # 7.55 mm to cut: two levels
        ({"kind": "closed_pocket", "top": 20}, 8.0, 4, (60, 90, 60)),
        ({"kind": "open_pocket", "open_sides": 1, "open_at": "short_side"}, 8.0, 2, (60,)),
        ({"kind": "open_pocket", "open_sides": 1, "open_at": "long_side"}, 8.0, 2, (90,)),
        ({"kind": "open_pocket", "open_sides": 1}, 8.0, 2, (60,)),
        ({"kind": "open_pocket", "open_sides": 2, "open_at": "corner"}, 8.0, 1, ()),
        ({"kind": "outside_profile", "stock_side": 20, "clearance_below": 0}, 7.0, 1, ()),
    ],
)
def test_the_rest_is_timed_corner_by_corner_with_the_moves_between(
    pocket: dict[str, Any], depth: float, corners: int, between: tuple[float, ...]
) -> None:
    """Corners of 5 mm in C45, 0.5 mm left: a cutter of 2 * 4.5 / 1.2 = 7.5 mm with three teeth, a tenth of it wide and
    as deep as it is wide. (10 - 4.5) * 0.414 = 2.28 mm out of the corner are four passes. 2 mm before and behind each
    go at feed, and 2 mm of the way down; in the corner the chip is as thick as the feed of a tooth.
    """
    feature = {"length": 90, "width": 60, "depth": depth, "corner_radius": 5} | pocket
    region, inside, bench = put_in(feature, 20.0)
    DC, teeth, passes = 7.5, 3, 4
    levels = ceil(inside.depth_to_cut / DC - 1e-9)
    assert levels == (2 if depth > 8 else 1)
    feed = 1000 * bench.material.v_c_solid / (pi * DC) * teeth * bench.material.h_share * DC
    way = 11 / 2 + pi / 4 * 4.5 + passes * (1 - pi / 4) * (10**2 - 4.5**2) / ((sqrt(2) - 1) * 5.5)
    cutting = 60 * corners * levels * (way + passes * 2 * 2 + 2) / feed
    mean = pocket.get("top", 0) + inside.depth_to_cut * (1 if levels == 1 else 0.75)
    moves = corners * levels * (hop(mean) + hop(mean + 2) + (passes - 1) * hop(11 + pi / 2 * 4.5)) + sum(
        map(hop, between)
    )
    found = rest_cut(region, inside, bench)
    assert found.moves == pytest.approx(moves, rel=1e-6)
    assert found.time == pytest.approx(bench.machine.tool_change + cutting + moves, rel=0.01)


@pytest.mark.parametrize("open_to", [{"open_sides": 2}, {"open_sides": 2, "open_at": "long_side"}, {"open_sides": 3}])
def test_a_pocket_without_corners_keeps_no_rest_in_them(open_to: dict[str, Any]) -> None:
    pocket = {"kind": "open_pocket", "length": 90, "width": 60, "corner_radius": 3} | open_to
    region, inside, bench = put_in(pocket, 20.0)
    assert rest_cut(region, inside, bench).time == 0
    assert region.corners == 0


def test_a_cutter_as_round_as_the_corner_leaves_no_rest_there() -> None:
    """3 mm of corner less 0.5 mm left on the walls: a cutter of 5 mm gets in."""
    region, inside, bench = put_in({"kind": "closed_pocket", "length": 90, "width": 60, "corner_radius": 3}, 5.0)
    assert rest_cut(region, inside, bench).time == 0
    assert left_in_corners(90, 60, 3.0, 5.0).area == pytest.approx(0, abs=0.01)


@pytest.mark.parametrize("radius", [3.0, 10.0])
def test_rounded_corners_are_no_stock_to_clear(radius: float) -> None:
    found = layered({"kind": "closed_pocket", "length": 90, "width": 60, "corner_radius": radius}, 12.0)
    room = rounded(90, 60, radius).buffer(-SIDE, quad_segs=400)
    assert found.facts["cut_area"] == pytest.approx(room.area, rel=1e-5)
