"""Lengths are held against each other by one tolerance: a computer's last bits count for nothing, a micrometre does."""

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from advisor.files.units import parse_length
from advisor.mechanics.entry import helix_bore
from advisor.mechanics.lengths import HAIR, difference, exceeds, pieces, reaches, steps
from advisor.mechanics.levels import level_depth, levels

MICROMETRES = st.integers(1, 500_000)


@given(MICROMETRES, MICROMETRES, MICROMETRES)
def test_a_difference_is_that_of_exact_arithmetic(one: int, other: int, third: int) -> None:
    exact = Fraction(one - other - third, 1000)
    found = difference(one / 1000, other / 1000, third / 1000)
    assert abs(found - float(exact)) < 1e-9
    assert (found == 0) == (exact == 0)
    assert (found > 0) == (exact > 0)


@given(MICROMETRES, MICROMETRES)
def test_what_is_a_micrometre_more_is_more(one: int, other: int) -> None:
    assert exceeds(one / 1000, other / 1000) == (one > other)
    assert reaches(one / 1000, other / 1000) == (one >= other)


@given(MICROMETRES, st.integers(10, 50_000))
def test_pieces_and_steps_are_those_of_whole_numbers(whole: int, piece: int) -> None:
    assert pieces(whole / 1000, piece / 1000) == -(-whole // piece)
    assert steps(whole / 1000, piece / 1000) == whole // piece


@given(MICROMETRES, st.integers(10, 50_000), st.sampled_from([0.0, 1e-12, -1e-12, 1e-9, -1e-9]))
def test_a_hair_is_no_further_level(deep: int, allowed: int, bits: float) -> None:
    depth = deep / 1000 * (1 + bits)
    count = levels(depth, allowed / 1000)
    assert count == max(1, -(-deep // allowed))
    assert level_depth(depth, count, 0.5, allowed / 1000) <= allowed / 1000 + HAIR


def test_a_helix_fits_a_bore_that_is_just_wide_enough() -> None:
    widest = 1.1 * 3 + 2 * 0.1
    assert helix_bore(3, 0, widest, 0.1, 1.1, 1.8) is not None
    assert helix_bore(3, 0, widest - 0.001, 0.1, 1.1, 1.8) is None


def test_a_length_worked_out_by_a_sheet_is_the_length_it_was_meant_to_be() -> None:
    assert parse_length(12.000000000001) == parse_length("11.999999999999") == 12
    assert parse_length("0.75 in") == parse_length(19.05)
    assert parse_length(12.001) == 12.001
