"""Engagement, chips, ramps and areas against a simulation that cuts polygons.

Source: engagement_simulation.py beside this file, which imports nothing of the formulas it checks.
"""

from math import pi

import pytest
from shapely import LineString, Point, box

from advisor.mechanics.chip import chip_thickness, mean_chip_thickness
from advisor.mechanics.engagement import (
    engagement_angle,
    engagement_angle_corner,
    engagement_angle_inside_arc,
)
from advisor.mechanics.entry import helix_bore, ramp_descent, ramp_strokes
from advisor.mechanics.motion import arc_feed, loop_length, loops
from advisor.mechanics.timing import clearing_path
from advisor.situation.derived import worked_out
from tests.outside import engagement_simulation as simulation

CLOSE = 0.5  # deg: the simulation's lag, see BACK there
DC = 10.0


def test_the_simulation_knows_nothing_of_the_formulas() -> None:
    """Source: the simulation's own text; a check that borrows the formula would prove nothing."""
    assert simulation.__file__ is not None
    with open(simulation.__file__, encoding="utf-8") as text:
        assert "advisor" not in text.read()


@pytest.mark.parametrize("share", [0.05, 0.1, 0.3, 0.5, 0.8, 1.0])
def test_a_straight_wall_engages_as_simulated(share: float) -> None:
    """Source: simulation."""
    assert engagement_angle(share * DC, DC) == pytest.approx(simulation.straight_cut(share * DC, DC), abs=CLOSE)


@pytest.mark.parametrize("path_radius", [2.0, 5.0, 12.0, 80.0])
@pytest.mark.parametrize("share", [0.05, 0.15, 0.35])
def test_an_inside_arc_engages_as_simulated(share: float, path_radius: float) -> None:
    """Source: simulation, with the wall before concentric with the path."""
    simulated = simulation.inside_arc_cut(share * DC, DC, path_radius)
    assert engagement_angle_inside_arc(share * DC, DC, path_radius) == pytest.approx(simulated, abs=CLOSE)


def test_a_cut_wider_than_the_loops_buries_the_cutter_no_further_than_half_way_round() -> None:
    """Source: simulation; 180 deg is what the formula says beyond its range, and it must be on the safe side."""
    simulated = simulation.inside_arc_cut(5, DC, 2)
    assert engagement_angle(5, DC) < simulated <= engagement_angle_inside_arc(5, DC, 2) == 180


@pytest.mark.parametrize("share", [0.1, 0.3, 0.7])
def test_a_sharp_turn_in_a_square_corner_adds_up_to_ninety_degrees(share: float) -> None:
    """Source: simulation of the same cutter following its own pass of before."""
    greatest = max(simulation.corner_cut(share * DC, DC, path_corner=0, samples=40))
    assert engagement_angle_corner(share * DC, DC) == pytest.approx(greatest, abs=CLOSE)


@pytest.mark.parametrize("path_corner", [1.0, 5.0])
def test_a_rounded_path_in_a_square_corner_engages_less_than_a_sharp_one(path_corner: float) -> None:
    """Source: simulation; the corner formula is an upper bound for every way round the corner."""
    greatest = max(simulation.corner_cut(1, DC, path_corner, samples=40))
    assert engagement_angle(1, DC) + 5 < greatest < engagement_angle_corner(1, DC) - 5


@pytest.mark.parametrize("turn", [30.0, 60.0])
def test_a_blunt_corner_adds_the_angle_of_its_turn(turn: float) -> None:
    """Source: simulation; the corner formula is an upper bound for blunter corners."""
    greatest = max(simulation.corner_cut(1, DC, path_corner=0, turn=turn, samples=40))
    assert greatest == pytest.approx(engagement_angle(1, DC) + turn, abs=CLOSE)
    assert greatest < engagement_angle_corner(1, DC)


@pytest.mark.parametrize(("step", "path_radius"), [(1.2, 4.0), (0.6, 2.0), (2.0, 9.0)])
def test_looping_in_a_slot_engages_as_an_inside_arc_with_the_step_as_width(step: float, path_radius: float) -> None:
    """Source: simulation of a whole loop in a slot that the loops before it cleared."""
    greatest = max(simulation.loop_cut(step, 12, path_radius))
    assert greatest == pytest.approx(engagement_angle_inside_arc(step, 12, path_radius), abs=1.0)


@pytest.mark.parametrize("width", [14.5, 19.0])
def test_loops_leave_the_allowance_on_both_walls_and_reach_the_end(width: float) -> None:
    """Source: simulation; the slot that the loops sweep, laid in the slot that is wanted."""
    slot = {"fit_width": width, "side_allowance": 0.3, "DC": 12}
    radius, length, step = float(worked_out(("loop_radius",), slot, limits={})["loop_radius"]), 60, 0.9
    travel = length - 2 * (radius + 6)
    count = loops(travel, step)
    centres = [radius + 6 + min(k * step, travel) for k in range(count + 1)]
    _, low, right, high = simulation.swept(
        LineString([(x + p, q) for x in (centres[0], centres[-1]) for p, q in simulation.arc(radius, 0, 360)]), 6
    ).bounds
    assert high == pytest.approx(width / 2 - 0.3, abs=1e-3)
    assert low == pytest.approx(-width / 2 + 0.3, abs=1e-3)
    assert right == pytest.approx(length, abs=1e-3)


def test_a_loop_is_as_long_as_its_circle_and_the_step_to_the_next() -> None:
    """Source: simulation; the length of three loops drawn one after the other."""
    path = [(k * 1.2 + x, y) for k in range(3) for x, y in simulation.arc(4, 0, 360)]
    drawn = LineString([*path, (4 + 3 * 1.2, 0)]).length
    assert 3 * loop_length(4, 1.2) == pytest.approx(drawn, rel=1e-3)


@pytest.mark.parametrize("angle", [25.0, 60.0, 90.0, 140.0])
def test_the_chip_is_as_thick_as_the_gap_between_two_teeth(angle: float) -> None:
    """Source: simulation; circles of two teeth one feed apart, exact but for the true path's slight curl."""
    chips = simulation.chips_between_teeth(10, 0.08, angle)
    assert chip_thickness(0.08, 90, angle) == pytest.approx(max(chips), rel=0.02)
    assert mean_chip_thickness(0.08, 90, angle) == pytest.approx(sum(chips) / len(chips), rel=0.02)


def test_on_the_way_back_a_ramp_cuts_twice_its_descent() -> None:
    """Source: simulation of the slot's long section."""
    descent = ramp_descent(60, DC, 2)
    cut, _ = simulation.ramp_section([descent, 2 * descent, 3 * descent], 60, DC)
    assert cut == pytest.approx([descent, 2 * descent, 2 * descent], abs=1e-4)


@pytest.mark.parametrize(("depth", "allowed", "angle"), [(12, 5, 10), (12, 5, 2), (7, 3, 5), (4, 30, 8)])
def test_ramping_reaches_a_flat_bottom_within_the_allowed_depth(depth: float, allowed: float, angle: float) -> None:
    """Source: simulation of the slot's long section: as many strokes as the formula says, and not one fewer."""
    strokes = ramp_strokes(depth, 60, DC, angle, allowed)

    def cut_with(ramps: int) -> tuple[float, float]:
        depths = [depth * (k + 1) / ramps for k in range(ramps)]
        cuts, stock = simulation.ramp_section([*depths, depth], 60, DC)
        return max(cuts), stock.area - 60 * depth  # the section holds 2 x depth

    greatest, left = cut_with(strokes - 1)
    assert greatest <= allowed + 1e-4
    assert left == pytest.approx(0, abs=1e-3)
    if strokes > 2:
        steeper = depth / (strokes - 2)
        assert cut_with(strokes - 2)[0] > allowed or steeper > ramp_descent(60, DC, angle)
    slanted = simulation.ramp_section([depth * (k + 1) / (strokes - 1) for k in range(strokes - 1)], 60, DC)[1]
    assert slanted.area - 60 * depth > 1  # without the level stroke a wedge stands


def test_the_widest_helix_leaves_no_pip_in_the_middle() -> None:
    """Source: simulation; the flat of the cutter's end swept round, at the bore allowed and a shade wider."""
    bore = helix_bore(DC, 1, 100, 0.5, 1.3, 3)
    assert bore is not None
    flat = DC / 2 - 1
    # The drawn circle has chords; a shade less than its radius stands for the true one.
    path = LineString(simulation.arc((bore - DC) / 2 - 1e-3, 0, 360))
    wider = LineString(simulation.arc((bore - DC) / 2 + 0.05, 0, 360))
    assert simulation.swept(path, flat).contains(Point(0, 0))
    assert not simulation.swept(wider, flat).contains(Point(0, 0))


@pytest.mark.parametrize("bore", [15.0, 20.0, 40.0])
def test_on_an_inside_arc_the_centre_goes_slower_by_the_ratio_of_the_two_circles(bore: float) -> None:
    """Source: simulation; lengths of the drawn circles of centre and wall, run in the same time."""
    centre = LineString(simulation.arc((bore - DC) / 2, 0, 360)).length
    wall = LineString(simulation.arc(bore / 2, 0, 360)).length
    assert arc_feed(3000, bore, DC) == pytest.approx(3000 * centre / wall)


def test_a_straight_pass_removes_its_width_along_its_whole_length() -> None:
    """Source: simulation; the area that one pass takes off a block."""
    block = box(0, 0, 100, 50)
    left = block.difference(simulation.swept(LineString([(-20, 50 + DC / 2 - 2), (120, 50 + DC / 2 - 2)]), DC / 2))
    assert clearing_path(block.area - left.area, 2) == pytest.approx(100, rel=1e-6)


@pytest.mark.parametrize("corner_radius", [6.0, 12.0])
@pytest.mark.parametrize("share", [0.1, 0.4])
def test_clearing_a_pocket_in_parallel_passes_takes_about_its_area_over_the_width(
    corner_radius: float, share: float
) -> None:
    """Source: simulation; passes drawn parallel to the wall, which miss the opening cut and gain on the outer ring."""
    outline = simulation.pocket(90, 55, corner_radius)
    assert outline.area == pytest.approx(90 * 55 - (4 - pi) * corner_radius**2, rel=1e-4)
    drawn = sum(ring.length for ring in simulation.offset_passes(outline, DC, share * DC))
    estimate = clearing_path(outline.area, share * DC)
    assert 0.65 * estimate < drawn < estimate
