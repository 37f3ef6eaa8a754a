"""What stays in a corner, and the way of the cutter that takes it. Drawings for comparison: tests/outside."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.mechanics.corners import (
    corner_passes,
    corner_rest_area,
    corner_rest_thickness,
    corner_wall_way,
    corner_way,
)


def test_a_sharp_corner_keeps_a_square_less_a_quarter_of_the_cutter() -> None:
    assert corner_rest_area(10, 0) == pytest.approx(21.46, abs=0.005)  # 100 - 78.54
    assert corner_rest_thickness(10, 0) == pytest.approx(4.142, abs=5e-4)  # 14.142 - 10
    assert corner_wall_way(10, 0) == 20


def test_a_rest_as_thick_as_a_pass_is_taken_in_one() -> None:
    thick = corner_rest_thickness(10, 7.5)
    assert corner_passes(10, 7.5, thick) == 1
    assert corner_passes(10, 7.5, 0.99 * thick) == 2
    assert corner_passes(10, 7.5, 100) == 1


@given(st.floats(1, 50), st.floats(0, 0.95), st.integers(1, 40))
def test_another_pass_is_a_longer_way_but_never_longer_than_the_last(wide: float, share: float, passes: int) -> None:
    more = corner_way(wide, share * wide, passes + 1) - corner_way(wide, share * wide, passes)
    assert 0 < more < corner_wall_way(wide, share * wide)


def test_there_is_no_rest_where_the_corner_is_no_narrower() -> None:
    for function in (corner_rest_area, corner_rest_thickness, corner_wall_way):
        for wide, narrow in ((7.5, 7.5), (7, 7.5), (7, -1)):
            with pytest.raises(ValueError, match="radius"):
                function(wide, narrow)
    with pytest.raises(ValueError, match="radial width"):
        corner_passes(10, 7.5, 0)
    with pytest.raises(ValueError, match="passes"):
        corner_way(10, 7.5, 0)
