"""Numbers with decimal commas and signs between thousands: read where they are certain, asked about elsewhere."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.files.decimals import readings, signs_of, with_point
from advisor.files.problems import Misfit

COMMAS, POINTS = frozenset(","), frozenset(".")


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("1,5", "1.5"), (",5", ".5"), ("0,500", "0.500"), ("1,5 mm", "1.5 mm"), ("-1,5", "-1.5"), ("12", "12"),
        ("1.200,5", "1200.5"), ("1,200.5", "1200.5"), ("1.200.300", "1200300"), ("1,200,300", "1200300"),
        ("1'200", "1200"), ("1’200,5", "1200.5"), ("12 000", "12000"), ("12 000,5 mm", "12000.5 mm"), ("1.5", "1.5"),
        ("1 1/2 in", "1 1/2 in"), ("1 125/128", "1 125/128"), ("1.2.3", "1.2.3"), ("1,2,3", "1,2,3"), ("12,", "12,"),
        ("0'500", "0'500"), ("1'20", "1'20"), ("1.200", "1.200"), ("E12", "E12"), ("", ""),
    ],
)  # fmt: skip
def test_a_number_that_is_certain_is_read(text: str, read: str) -> None:
    assert with_point(text) == read


@pytest.mark.parametrize(
    ("text", "signs", "thousands"),
    [
        ("1,200", frozenset(), False), ("1,200", POINTS, False), ("1,200", COMMAS | POINTS, False),
        ("1,200", COMMAS, True), ("1.200", COMMAS, False), ("1.200", COMMAS | POINTS, False), ("1.200", POINTS, True),
    ],
)  # fmt: skip
def test_a_number_that_may_be_a_thousand_is_asked_about(text: str, signs: frozenset[str], thousands: bool) -> None:
    with pytest.raises(Misfit, match=r"one way only: 1\.2 or 1200"):
        with_point(text, signs, thousands=thousands)


def test_among_decimal_commas_alone_three_places_are_places() -> None:
    assert with_point("1,200", COMMAS) == "1.200"
    assert with_point("1.200", POINTS) == "1.200"


@pytest.mark.parametrize(
    ("texts", "signs"),
    [(["1,5"], ","), (["1.5"], "."), (["1,500", "2.500", "12"], ""), (["0,500"], ","), (["1.200,5"], ","),
     (["1,200.5"], "."), (["1,5", "1.5"], ",."), (["1'200", "x", ""], "")],
)  # fmt: skip
def test_only_numbers_that_are_certain_tell_the_decimal_sign(texts: list[str], signs: str) -> None:
    assert signs_of(texts) == frozenset(signs)


@given(number=st.integers(1000, 999_999_999), places=st.integers(0, 99), group=st.sampled_from([".", ",", "'", " "]))
def test_a_number_with_its_thousands_parted_is_the_number_or_is_asked_about(
    number: int, places: int, group: str
) -> None:
    decimal = "." if group == "," else ","
    written = f"{number:,}".replace(",", group)
    assert float(with_point(f"{written}{decimal}{places:02}")) == pytest.approx(number + places / 100)
    if group in "' " or number >= 1_000_000:
        assert float(with_point(written)) == number
    else:
        with pytest.raises(Misfit):
            with_point(written, COMMAS if group == "." else frozenset())


@given(whole=st.integers(1, 999), places=st.integers(0, 999), sign=st.sampled_from(",."))
def test_both_readings_of_a_number_can_be_read_one_way_only(whole: int, places: int, sign: str) -> None:
    small, large = readings(f"{whole}{sign}{places:03}")
    for signs in (frozenset[str](), COMMAS, POINTS, COMMAS | POINTS):
        for thousands in (False, True):
            assert float(with_point(small, signs, thousands=thousands)) == pytest.approx(whole + places / 1000)
            assert float(with_point(large, signs, thousands=thousands)) == whole * 1000 + places
