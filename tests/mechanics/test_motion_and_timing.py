"""Loops, arcs, what the axes can follow, and how long it takes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.mechanics.motion import (
    arc_feed,
    axis_limited_feed,
    hop_time,
    loops,
)
from advisor.mechanics.timing import clearing_path, path_time, share_time


def test_loops_are_counted_by_the_step() -> None:
    assert loops(4.2, 0.7) == 6
    assert loops(4.25, 0.7) == 7
    assert loops(0, 0.1) == 0


def test_loops_without_a_step_are_refused() -> None:
    with pytest.raises(ValueError, match="step"):
        loops(12, 0)


def test_axes_follow_a_wide_arc_faster_than_a_tight_one() -> None:
    # 1 m/s² on 10 mm: 100 mm/s. A quarter of the radius, half the feed.
    assert axis_limited_feed(1, 10) == pytest.approx(6000)
    assert axis_limited_feed(1, 2.5) == pytest.approx(3000)
    assert axis_limited_feed(1, 0) == 0


@given(st.floats(0.1, 20), st.floats(0.1, 100))
def test_at_the_limit_the_arc_takes_the_whole_acceleration(acceleration: float, radius: float) -> None:
    metres_a_second = axis_limited_feed(acceleration, radius) / 60_000
    assert metres_a_second**2 / (radius / 1000) == pytest.approx(acceleration)


def test_an_arc_of_negative_radius_is_refused() -> None:
    with pytest.raises(ValueError, match="negative"):
        axis_limited_feed(4, -1)


def test_in_a_bore_one_and_a_half_times_the_cutter_the_centre_goes_at_a_third() -> None:
    assert arc_feed(2400, 18, 12) == pytest.approx(800)


def test_in_a_bore_as_wide_as_the_cutter_the_centre_stands_still() -> None:
    assert arc_feed(2400, 12, 12) == 0
    with pytest.raises(ValueError, match="arc"):
        arc_feed(2400, 11.9, 12)


@given(st.floats(12, 500))
def test_on_an_inside_arc_the_centre_never_outruns_the_wall(D: float) -> None:
    assert 0 <= arc_feed(2400, D, 12) < 2400


def test_a_path_takes_its_length_over_the_feed() -> None:
    assert path_time(2400, 1200) == 120
    with pytest.raises(ValueError, match="feed"):
        path_time(2400, 0)


def test_half_the_width_needs_twice_the_path() -> None:
    assert clearing_path(3600, 0.6) == pytest.approx(2 * clearing_path(3600, 1.2))
    with pytest.raises(ValueError, match="radial width"):
        clearing_path(3600, 0)


def test_a_path_that_cuts_three_quarters_of_its_time_takes_a_third_more() -> None:
    assert share_time(30, 0.75) == pytest.approx(40)
    for share in (0, 1.01):
        with pytest.raises(ValueError, match="share"):
            share_time(30, share)


@given(st.floats(0.1, 500), st.floats(1000, 60000), st.floats(0.5, 20))
def test_a_move_in_rapid_takes_as_long_as_its_speeds_added_up(
    distance: float, rapid: float, acceleration: float
) -> None:
    """The way in small pieces, each at the speed that the axis has reached there: up, along, and down again."""
    most, gain, pieces = rapid / 60, 1000 * acceleration, 20000
    took = 0.0
    for place in range(pieces):
        gone = (place + 0.5) / pieces * distance
        took += distance / pieces / min(most, (2 * gain * min(gone, distance - gone)) ** 0.5)
    assert hop_time(distance, rapid, acceleration) == pytest.approx(took, rel=0.01)


def test_a_move_in_rapid_of_no_length_takes_no_time() -> None:
    assert hop_time(0, 30000, 4) == 0
    for distance, rapid, acceleration in ((-1, 30000, 4), (1, 0, 4), (1, 30000, 0)):
        with pytest.raises(ValueError, match="distance"):
            hop_time(distance, rapid, acceleration)
