"""Chip thickness and chip thinning."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.mechanics.chip import (
    chip_thickness,
    feed_per_tooth_for_chip,
    mean_chip_thickness,
    working_edge_angle,
)
from advisor.mechanics.engagement import engagement_angle

angles = st.floats(1, 180)
edges = st.floats(10, 90)


def test_beyond_a_quarter_turn_the_chip_grows_no_thicker() -> None:
    assert chip_thickness(0.1, 90, 90) == chip_thickness(0.1, 90, 150) == pytest.approx(0.1)


def test_a_slanting_edge_of_a_high_feed_mill_cuts_a_chip_a_third_as_thick() -> None:
    assert chip_thickness(0.9, 19.47, 180) == pytest.approx(0.3, rel=1e-3)


@given(st.floats(0.005, 0.5), edges, angles)
def test_the_feed_for_a_chip_gives_that_chip(chip: float, KAPR: float, angle: float) -> None:
    assert chip_thickness(feed_per_tooth_for_chip(chip, KAPR, angle), KAPR, angle) == pytest.approx(chip)


@given(st.floats(0.01, 0.5), edges, angles)
def test_the_mean_chip_is_thinner_than_the_thickest(f_z: float, KAPR: float, angle: float) -> None:
    mean, thickest = mean_chip_thickness(f_z, KAPR, angle), chip_thickness(f_z, KAPR, angle)
    assert 0.49 * thickest < mean < thickest


def test_with_half_the_cutter_in_the_cut_the_mean_is_two_over_pi_of_the_feed() -> None:
    assert mean_chip_thickness(0.1, 90, 90) == pytest.approx(0.0636620)


@given(st.floats(0.01, 0.99), st.floats(1, 100))
def test_a_narrower_cut_thins_the_chip_more(share: float, DC: float) -> None:
    narrow, wide = (feed_per_tooth_for_chip(1, 90, engagement_angle(part * DC, DC)) for part in (0.9 * share, share))
    assert narrow >= wide >= 1


def test_from_half_the_cutter_on_nothing_is_thinned() -> None:
    assert [feed_per_tooth_for_chip(1, 90, engagement_angle(width, 12)) for width in (8, 12)] == [1, 1]


@pytest.mark.parametrize(("KAPR", "angle"), [(0, 90), (180, 90), (90, 0), (90, 181)])
def test_angles_without_a_chip_are_refused(KAPR: float, angle: float) -> None:
    for function in (chip_thickness, mean_chip_thickness, feed_per_tooth_for_chip):
        with pytest.raises(ValueError, match="KAPR"):
            function(0.1, KAPR, angle)


@pytest.mark.parametrize(("wide", "angle"), [(10.0, 17.0), (3.6, 17.0), (1.09, 45.0), (0.7, 57.3), (0.25, 77.1)])
def test_a_strip_narrower_than_the_slanting_edge_is_cut_by_a_steeper_one(wide: float, angle: float) -> None:
    """1.09 mm deep at 17 degrees the edge is 3.57 mm wide seen from above; below, by the arc tangent."""
    assert working_edge_angle(1.09, wide, 17) == pytest.approx(angle, abs=0.05)


@given(st.floats(0.01, 50), st.floats(0.01, 100), st.floats(5, 95))
def test_the_edge_in_the_cut_is_never_flatter_than_the_cutters_and_square_ones_stay(
    deep: float, wide: float, KAPR: float
) -> None:
    found = working_edge_angle(deep, wide, KAPR)
    assert KAPR <= found <= max(KAPR, 90)
    assert found == KAPR or KAPR < 90
    # The chip's area over the length of edge in the cut: f_z a_p over the hypotenuse of depth and width.
    if found > KAPR:
        assert chip_thickness(1, found, 90) == pytest.approx(deep / (deep**2 + wide**2) ** 0.5)


@pytest.mark.parametrize(("deep", "wide", "KAPR"), [(0, 1, 17), (1, 0, 17), (1, 1, 0), (1, 1, 180)])
def test_no_cut_has_no_edge_angle(deep: float, wide: float, KAPR: float) -> None:
    with pytest.raises(ValueError, match="must lie above 0"):
        working_edge_angle(deep, wide, KAPR)
