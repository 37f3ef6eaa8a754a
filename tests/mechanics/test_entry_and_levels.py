"""Getting down into the material, and sharing the depth into levels."""

from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.mechanics import entry
from advisor.mechanics.levels import level_depth, levels, overcut


def test_the_helix_is_as_wide_as_the_tightest_of_its_three_limits() -> None:
    assert entry.helix_bore(12, 0.5, 100, 0.5, 1.3, 1.8) == pytest.approx(21.6)  # the factor
    assert entry.helix_bore(12, 2, 100, 0.5, 1.3, 1.8) == pytest.approx(20)  # the pip in the middle
    assert entry.helix_bore(12, 0.5, 18, 0.5, 1.3, 1.8) == pytest.approx(17)  # the walls


def test_a_slot_hardly_wider_than_the_cutter_has_no_room_for_a_helix() -> None:
    assert entry.helix_bore(12, 0.5, 14.5, 0.3, 1.3, 1.8) is None


def test_a_region_that_just_holds_the_narrowest_helix_has_room_for_it() -> None:
    assert entry.helix_bore(10, 0.5, 13 + 2 * 0.3, 0.3, 1.3, 1.8) == pytest.approx(13)


def test_a_helix_takes_as_long_as_its_turns() -> None:
    pitch = entry.helix_pitch(18, 10, 3)
    assert pitch == pytest.approx(25.1327 * 0.0524078, rel=1e-5)
    assert entry.helix_time(4 * pitch, 18, 10, 3, 251.327) == pytest.approx(4 * 25.1327 / 251.327 * 60, rel=1e-5)


def test_a_steeper_helix_is_quicker() -> None:
    assert entry.helix_time(20, 18, 10, 3, 800) < entry.helix_time(20, 18, 10, 2, 800)


def test_a_helix_as_wide_as_the_cutter_is_a_plunge_and_is_refused() -> None:
    with pytest.raises(ValueError, match="wider"):
        entry.helix_pitch(10, 10, 3)


@pytest.mark.parametrize("angle", [0, 90, -3])
def test_an_angle_that_does_not_descend_along_the_path_is_refused(angle: float) -> None:
    with pytest.raises(ValueError, match="angle of descent"):
        entry.helix_pitch(18, 10, angle)
    with pytest.raises(ValueError, match="angle of descent"):
        entry.ramp_descent(60, 10, angle)


def test_a_region_no_longer_than_the_cutter_has_no_ramp() -> None:
    with pytest.raises(ValueError, match="length"):
        entry.ramp_descent(10, 10, 3)
    with pytest.raises(ValueError, match="length"):
        entry.ramp_time(3, 10, 10, 500)


def test_a_ramp_limited_by_its_angle_descends_by_it_at_every_stroke() -> None:
    # 50 mm at 2 deg descend 1.746 mm, less than half of 5 mm: 7 strokes for 12 mm, and a level one.
    assert entry.ramp_strokes(12, 60, 10, 2, 5) == 7 + 1


def test_a_ramp_limited_by_the_depth_allowed_takes_half_of_it_at_every_stroke() -> None:
    # 8.8 mm a stroke would be too much: the way back cuts twice the descent, so it is 2.5 mm.
    assert entry.ramp_strokes(12, 60, 10, 10, 5) == 5 + 1


def test_a_depth_that_divides_evenly_takes_no_stroke_more() -> None:
    assert entry.ramp_strokes(4.2, 1000, 10, 10, 1.4) == 6 + 1


def test_a_ramp_without_an_allowed_depth_is_refused() -> None:
    with pytest.raises(ValueError, match="allowed depth"):
        entry.ramp_strokes(12, 60, 10, 2, 0)


def test_ramping_takes_the_time_of_its_strokes() -> None:
    assert entry.ramp_time(8, 60, 10, 600) == pytest.approx(40)


def test_a_flat_drill_has_no_point_and_a_sharper_one_a_longer_one() -> None:
    assert entry.drill_point(10, 180) == pytest.approx(0)
    assert entry.drill_point(10, 90) == pytest.approx(5)
    assert entry.drill_point(10, 118) > entry.drill_point(10, 140)


def test_a_drill_without_a_point_angle_is_refused() -> None:
    with pytest.raises(ValueError, match="point angle"):
        entry.drill_point(10, 0)


def test_a_helix_without_feed_is_refused() -> None:
    with pytest.raises(ValueError, match="feed"):
        entry.helix_time(10, 18, 10, 3, 0)


def test_a_sharp_cutter_goes_past_the_bottom_by_the_least_and_a_round_one_by_its_radius_and_more() -> None:
    assert overcut(0, 1, 0.5) == 1
    assert overcut(4, 1, 0.5) == 4.5


def test_flutes_as_long_as_the_depth_cut_it_in_one_level() -> None:
    assert levels(26, 26) == 1
    assert levels(26.1, 26) == 2
    assert levels(4.2, 0.7) == 6


def test_levels_of_nothing_are_refused() -> None:
    for depth, allowed in ((0, 5), (5, 0)):
        with pytest.raises(ValueError, match="above 0"):
            levels(depth, allowed)


def test_levels_are_equal_and_rounded_up_to_a_handy_step() -> None:
    assert level_depth(27.5, 4, 0.5, 8) == 7
    assert level_depth(12, 4, 0.5, 8) == 3
    assert level_depth(0.9, 3, 0.1, 1) == 0.3


def test_a_handy_step_beyond_the_limit_is_not_taken() -> None:
    assert level_depth(27.5, 4, 0.5, 6.9) == 6.875


def test_a_single_level_is_as_deep_as_there_is_to_cut() -> None:
    assert level_depth(27.3, 1, 0.5, 30) == 27.3


def test_a_handy_step_out_of_all_proportion_rounds_nothing_away() -> None:
    """With a step of 5e11 mm, which a shop had set, levels were 0 mm deep. Found by inputs by chance."""
    assert level_depth(11.63, 2, 5e11, 240) == 5.815


def test_levels_deeper_than_the_limit_are_refused() -> None:
    with pytest.raises(ValueError, match="deeper than the limit"):
        level_depth(27.5, 2, 0.5, 10)
    with pytest.raises(ValueError, match="count"):
        level_depth(27.5, 0, 0.5, 10)


@given(st.floats(0.1, 200), st.floats(0.05, 60), st.sampled_from([0.05, 0.1, 0.25, 0.5]))
def test_levels_reach_the_bottom_within_the_limit_and_none_is_idle(depth: float, limit: float, step: float) -> None:
    count = levels(depth, limit)
    each = level_depth(depth, count, step, limit)
    assert each <= limit * (1 + 1e-6)
    assert count * each >= depth * (1 - 1e-6)
    assert ceil(depth / each - 1e-6) == count
