"""How far round the cutter lies in the material."""

from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.mechanics.engagement import (
    engagement_angle,
    engagement_angle_corner,
    engagement_angle_inside_arc,
    radial_width_for_angle,
    radial_width_for_angle_inside_arc,
)

shares = st.floats(0.0, 1.0)
sizes = st.floats(0.5, 200.0)


def test_a_full_slot_engages_half_the_cutter() -> None:
    assert engagement_angle(12, 12) == 180


def test_a_width_that_equals_the_cutter_but_for_the_last_bits_is_a_full_slot() -> None:
    assert engagement_angle(12 * (1 + 1e-12), 12) == 180


def test_a_cutter_that_cuts_nothing_is_not_engaged() -> None:
    assert engagement_angle(0, 12) == 0
    assert engagement_angle_inside_arc(0, 12, 4) == 0


@pytest.mark.parametrize("width", [-0.1, 12.1, float("nan")])
def test_a_width_outside_the_cutter_is_refused(width: float) -> None:
    with pytest.raises(ValueError, match="radial width"):
        engagement_angle(width, 12)


@pytest.mark.parametrize(("width", "DC", "path"), [(-1, 12, 4), (1, 0, 4), (1, 12, -4)])
def test_an_inside_arc_of_impossible_sizes_is_refused(width: float, DC: float, path: float) -> None:
    with pytest.raises(ValueError, match="must not be negative"):
        engagement_angle_inside_arc(width, DC, path)


@pytest.mark.parametrize("path", [0.0, 1.0, 2.0])
def test_a_width_beyond_twice_the_path_radius_buries_the_cutter(path: float) -> None:
    assert engagement_angle_inside_arc(4, 12, path) == 180


def test_a_loop_engages_twice_a_straight_wall_where_path_and_cutter_are_equal() -> None:
    # A triangle with two equal sides: the old wall is seen from the middle under half the angle.
    assert engagement_angle_inside_arc(6, 12, 6) == pytest.approx(120)
    assert engagement_angle_inside_arc(12 - 6 * 2**0.5, 12, 6) == pytest.approx(90)


@given(shares, sizes)
def test_a_very_wide_arc_is_a_straight_wall(share: float, DC: float) -> None:
    straight = engagement_angle(share * DC, DC)
    for path in (1e6 * DC, inf):
        assert engagement_angle_inside_arc(share * DC, DC, path) == pytest.approx(straight, abs=0.1)


@given(st.floats(0.02, 0.98), sizes, st.floats(0.5, 30))
def test_a_tighter_loop_engages_more(share: float, DC: float, ratio: float) -> None:
    width = share * DC
    tight = engagement_angle_inside_arc(width, DC, ratio * DC)
    assert tight > engagement_angle_inside_arc(width, DC, 1.5 * ratio * DC) > engagement_angle(width, DC)


@given(shares, shares, sizes, st.floats(0.5, 30))
def test_a_wider_cut_engages_more(one: float, other: float, DC: float, ratio: float) -> None:
    narrow, wide = sorted((one * DC, other * DC))
    assert engagement_angle(narrow, DC) <= engagement_angle(wide, DC)
    assert engagement_angle_corner(narrow, DC) <= engagement_angle_corner(wide, DC)
    inside = [engagement_angle_inside_arc(width, DC, ratio * DC) for width in (narrow, wide)]
    assert inside[0] <= inside[1] + 1e-5


def test_a_square_corner_adds_a_quarter_turn_but_no_more_than_half_the_cutter() -> None:
    assert engagement_angle_corner(3, 12) == pytest.approx(150)
    assert engagement_angle_corner(6, 12) == pytest.approx(180)
    assert engagement_angle_corner(9, 12) == 180


@given(st.floats(0, 180), sizes)
def test_the_width_for_an_angle_engages_by_that_angle(angle: float, DC: float) -> None:
    assert engagement_angle(radial_width_for_angle(angle, DC), DC) == pytest.approx(angle, abs=1e-5)


@given(st.floats(0, 175), sizes, st.floats(0.05, 50))
def test_the_width_for_an_angle_in_a_loop_engages_by_that_angle(angle: float, DC: float, ratio: float) -> None:
    width = radial_width_for_angle_inside_arc(angle, DC, ratio * DC)
    assert width <= min(DC, 2 * ratio * DC)
    assert engagement_angle_inside_arc(width, DC, ratio * DC) == pytest.approx(angle, abs=1e-4)


def test_the_closed_form_for_a_loop_is_the_one_of_the_law_of_cosines() -> None:
    # rho + r - a_e = sqrt(rho^2 + r^2 + 2 rho r cos phi) with 3, 4 and a right angle: 7 - 5.
    assert radial_width_for_angle_inside_arc(90, 8, 3) == pytest.approx(2)


def test_no_loop_needs_no_width_and_an_endless_one_the_straight_wall_s() -> None:
    assert radial_width_for_angle_inside_arc(70, 12, 0) == 0
    assert radial_width_for_angle_inside_arc(70, 12, inf) == pytest.approx(radial_width_for_angle(70, 12))


def test_an_angle_beyond_half_the_cutter_is_refused() -> None:
    with pytest.raises(ValueError, match="engagement angle"):
        radial_width_for_angle(181, 12)
    with pytest.raises(ValueError, match="engagement angle"):
        radial_width_for_angle_inside_arc(-1, 12, 4)
    with pytest.raises(ValueError, match="path radius"):
        radial_width_for_angle_inside_arc(60, 12, -4)
