"""The stepped beam; its integral is checked in tests/outside."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.mechanics.deflection import cutter_segments, equivalent_projection, tip_deflection


def flat(pieces: list[tuple[float, float]]) -> list[float]:
    return [size for piece in pieces for size in piece]


def test_a_bar_cut_into_pieces_is_still_the_same_bar() -> None:
    whole = tip_deflection(300, [(60, 12)], 6e5, 7)
    assert tip_deflection(300, [(5, 12), (10, 12), (45, 12)], 6e5, 7) == pytest.approx(whole)


def test_twice_the_length_bends_eight_times_as_far() -> None:
    assert tip_deflection(100, [(80, 12)], 6e5, 0) == pytest.approx(8 * tip_deflection(100, [(40, 12)], 6e5, 0))


def test_half_the_diameter_bends_sixteen_times_as_far() -> None:
    assert tip_deflection(100, [(40, 6)], 6e5, 0) == pytest.approx(16 * tip_deflection(100, [(40, 12)], 6e5, 0))


def test_high_speed_steel_bends_more_than_carbide() -> None:
    assert tip_deflection(100, [(40, 12)], 210e3, 0) > 2.8 * tip_deflection(100, [(40, 12)], 600e3, 0)


def test_a_force_nearer_to_the_holder_bends_less_and_one_inside_it_nothing() -> None:
    at = [tip_deflection(100, [(40, 12)], 6e5, place) for place in (0, 10, 39, 40, 60)]
    assert at[0] > at[1] > at[2] > at[3] == at[4] == 0


def test_a_force_inside_the_holder_still_moves_the_holder() -> None:
    assert tip_deflection(100, [(40, 12)], 6e5, 60, 25_000) == pytest.approx(0.004)


@pytest.mark.parametrize(("pieces", "modulus", "place"), [([(40, 0)], 1, 0), ([(0, 9)], 1, 0), ([(40, 9)], 0, 0)])
def test_a_beam_without_substance_is_refused(pieces: list[tuple[float, float]], modulus: float, place: float) -> None:
    with pytest.raises(ValueError, match="above 0"):
        tip_deflection(100, pieces, modulus, place)


def test_a_plain_bar_is_as_slender_as_it_is_long_and_a_thick_shank_adds_little() -> None:
    assert equivalent_projection([(40, 8)], 8) == pytest.approx(40)
    assert 20 < equivalent_projection([(20, 2), (20, 6)], 2) < 21


def test_a_plain_bar_without_a_diameter_is_refused() -> None:
    with pytest.raises(ValueError, match="above 0"):
        equivalent_projection([(40, 8)], 0)


def test_a_load_beyond_the_tip_is_refused() -> None:
    with pytest.raises(ValueError, match="not negative"):
        tip_deflection(100, [(40, 12)], 6e5, -1)


def test_a_necked_cutter_has_flutes_neck_and_shank() -> None:
    assert flat(cutter_segments(32, 16, 15.4, 80, 92, 16, 0.8)) == pytest.approx(
        flat([(32, 12.8), (48, 15.4), (12, 16)])
    )


def test_a_cutter_without_a_neck_goes_from_flutes_to_shank_whatever_its_usable_length() -> None:
    assert flat(cutter_segments(32, 16, None, 80, 92, 16, 0.8)) == pytest.approx(flat([(32, 12.8), (60, 16)]))


def test_flutes_that_reach_into_the_holder_end_there() -> None:
    assert flat(cutter_segments(32, 16, 15.4, 80, 25, 16, 0.8)) == pytest.approx(flat([(25, 12.8)]))


def test_a_neck_that_reaches_into_the_holder_ends_there() -> None:
    assert flat(cutter_segments(32, 16, 15.4, 80, 60, 16, 0.8)) == pytest.approx(flat([(32, 12.8), (28, 15.4)]))


def test_a_cutter_that_does_not_stand_out_is_refused() -> None:
    with pytest.raises(ValueError, match="projection"):
        cutter_segments(32, 16, None, 32, 0, 16, 0.8)


@given(st.floats(1, 100), st.floats(0, 100), st.floats(1, 200), st.sampled_from([None, 11.5]))
def test_the_pieces_always_add_up_to_the_projection(APMX: float, neck: float, LPR: float, DN: float | None) -> None:
    pieces = cutter_segments(APMX, 12, DN, APMX + neck, LPR, 12, 0.8)
    assert sum(length for length, _ in pieces) == pytest.approx(LPR)
    assert all(length > 0 for length, _ in pieces)
