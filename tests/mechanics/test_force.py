"""Cutting forces, against the tooth-by-tooth sum of vectors."""

from math import cos, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.mechanics.force import mean_normal_force, slow_speed_factor, specific_cutting_force


def turned(angle: float, KAPR: float, radial_share: float, samples: int = 4000) -> float:
    """Turn one tooth with k_c a_p f_z = 1 N through a revolution; return its mean push off the wall.

    The wall lies towards -y, the feed goes to +x. In climb milling the tooth comes down the front and leaves at the
    wall, so the material pushes the cutter against the tooth's way and towards the cutter's centre.
    """
    push = 0.0
    for step in range(samples):
        theta = radians(angle * (step + 0.5) / samples)  # from the wall forward
        outward = (sin(theta), -cos(theta))
        way = (-cos(theta), -sin(theta))  # of the tooth, towards the wall
        b, h = 1 / sin(radians(KAPR)), sin(radians(KAPR)) * sin(theta)  # chip width and thickness
        against, inward = b * h, radial_share * b * h * sin(radians(KAPR))
        push += -against * way[1] - inward * outward[1]
    return push * angle / 360 / samples


@pytest.mark.parametrize("KAPR", [18.0, 45.0, 90.0])
@pytest.mark.parametrize("angle", [20.0, 70.0, 110.0, 180.0])
def test_the_push_off_the_wall_is_that_of_a_tooth_turned_step_by_step(KAPR: float, angle: float) -> None:
    assert mean_normal_force(1, 1, 1, KAPR, angle, 1, 0.4) == pytest.approx(turned(angle, KAPR, 0.4), rel=1e-4)


def test_in_a_full_slot_the_radial_parts_of_the_two_halves_cancel() -> None:
    assert mean_normal_force(1000, 5, 0.1, 90, 180, 2, 0.4) == pytest.approx(2 * 1000 * 5 * 0.1 / 4)


def test_a_slanting_edge_pushes_less_to_the_side() -> None:
    assert mean_normal_force(1000, 1, 0.1, 18, 90, 3, 0.4) < mean_normal_force(1000, 1, 0.1, 90, 90, 3, 0.4)


@given(st.floats(1, 179), st.floats(0.01, 1), st.integers(1, 8))
def test_force_is_in_proportion_to_depth_and_teeth(angle: float, depth: float, teeth: int) -> None:
    one = mean_normal_force(1000, 1, 0.1, 90, angle, 1, 0.4)
    assert mean_normal_force(1000, depth, 0.1, 90, angle, teeth, 0.4) == pytest.approx(depth * teeth * one)


def test_a_thinner_chip_takes_more_force_for_each_square_millimetre() -> None:
    assert specific_cutting_force(2220, 0.14, 0.05) > specific_cutting_force(2220, 0.14, 0.1) > 2220
    # A tenth of the chip: 10 to the 0.14.
    ratio = specific_cutting_force(2220, 0.14, 0.01) / specific_cutting_force(2220, 0.14, 0.1)
    assert ratio == pytest.approx(1.3804, rel=1e-4)


def test_a_worn_edge_takes_its_factor_more() -> None:
    assert specific_cutting_force(2000, 0.25, 0.0625, factor=1.3) == pytest.approx(5200)


def test_below_the_tables_the_force_rises_slower_and_without_a_step() -> None:
    at = [specific_cutting_force(2500, 0.26, chip, thin=0.05, thin_rise=0.19) for chip in (0.025, 0.05, 0.0501, 0.1)]
    assert at[0] / at[1] == pytest.approx(2**0.19)
    assert at[1] / at[3] == pytest.approx(2**0.26)
    assert at[1] == pytest.approx(at[2], rel=1e-3)


def test_a_material_whose_force_rises_slowly_keeps_its_own_rise_below_the_tables() -> None:
    plain = specific_cutting_force(2220, 0.14, 0.01)
    assert specific_cutting_force(2220, 0.14, 0.01, thin=0.05, thin_rise=0.19) == pytest.approx(plain)


def test_a_slow_cut_takes_more_force_and_a_fast_one_no_less() -> None:
    assert slow_speed_factor(25, 100, 0.1) == pytest.approx(4**0.1)
    assert slow_speed_factor(100, 100, 0.1) == slow_speed_factor(800, 100, 0.1) == 1
    assert slow_speed_factor(99, 100, 0.1) > 1


def test_without_a_cutting_speed_there_is_no_factor() -> None:
    with pytest.raises(ValueError, match="speed"):
        slow_speed_factor(0, 100, 0.1)


def test_without_a_chip_there_is_no_specific_force() -> None:
    with pytest.raises(ValueError, match="chip"):
        specific_cutting_force(2000, 0.25, 0)


@pytest.mark.parametrize("angle", [-1, 190])
def test_an_engagement_below_nothing_or_beyond_half_the_cutter_is_refused(angle: float) -> None:
    with pytest.raises(ValueError, match="engagement"):
        mean_normal_force(1000, 1, 0.1, 90, angle, 1, 0.4)
