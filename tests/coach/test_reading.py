"""Answers are read however they are typed, or refused with what is wanted."""

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.coach.exercise import Choice, Part
from advisor.coach.reading import Unreadable, read

WAY = Part("method", "?", (Choice("a", "layered pocketing"), Choice("b", "engagement-limited clearing")))
CUTTER = Part("cutter", "?", (Choice("E10N3", "solid end mill, DC 10 mm"), Choice("E10", "solid end mill, DC 10 mm")))
MANY = Part("decide", "?", tuple(Choice(letter, f"statement {letter}") for letter in "abcd"), many=True)
WIDTH = Part("radial_width", "?", (), "mm")
LEVELS = Part("levels", "?", ())
ANGLE = Part("ramp_angle", "?", (), "°")


@pytest.mark.parametrize(
    "typed", ["b", " B ", "Engagement-limited clearing", "engagement_limited_clearing", "engagement"]
)
def test_a_choice_is_read_by_letter_or_words(typed: str) -> None:
    assert read(WAY, typed) == "b"


@pytest.mark.parametrize("typed", ["e10n3", "E10N3 "])
def test_a_cutter_is_read_by_its_id(typed: str) -> None:
    assert read(CUTTER, typed) == "E10N3"


METHODS = Part("method", "?", (*WAY.choices, Choice("c", "helical boring"), Choice("d", "drilling")))
ENTRIES = Part("entry", "?", (Choice("a", "side entry"), Choice("b", "helical ramp"), Choice("c", "zigzag ramp")))
TOOL = Part("cutter", "?", (Choice("T02", "drill, DC 5 mm"), Choice("E10", "solid end mill, DC 10 mm")))


@pytest.mark.parametrize(
    ("part", "typed", "label"),
    [
        (METHODS, "trochoidal", "b"),
        (METHODS, "Peeling", "b"),
        (METHODS, "layers", "a"),
        (ENTRIES, "roll in", "a"),
        (ENTRIES, "from outside", "a"),
        (ENTRIES, "helix", "b"),
        (ENTRIES, "zig-zag", "c"),
        (TOOL, "t2", "T02"),
    ],
)
def test_a_choice_is_read_by_any_word_of_the_trade_for_it(part: Part, typed: str, label: str) -> None:
    assert read(part, typed) == label


@pytest.mark.parametrize(
    ("part", "typed", "told"),
    [
        (ENTRIES, "ramping", r"'ramping' may be b \(helical ramp\) or c \(zigzag ramp\); type one of a, b, c"),
        (METHODS, "bore", r"'bore' may be c \(helical boring\) or d \(drilling\); type one of a, b, c, d"),
        (METHODS, "face milling", "'face milling' is none of the choices"),
    ],
)
def test_a_word_that_may_be_several_choices_or_none_is_asked_again(part: Part, typed: str, told: str) -> None:
    with pytest.raises(Unreadable, match=told):
        read(part, typed)


@pytest.mark.parametrize("typed", ["a,c", "a c", "C and a", "ca", " a;c. "])
def test_a_list_of_letters_is_read_however_it_is_set_apart(typed: str) -> None:
    assert read(MANY, typed) == frozenset("ac")


@pytest.mark.parametrize(
    ("typed", "width"), [("0.5", 0.5), ("0,5 mm", 0.5), ("0.02 in", 0.508), ('1/8"', 3.175), ("1.5MM", 1.5), ("0", 0.0)]
)
def test_a_length_is_read_with_its_unit_or_without(typed: str, width: float) -> None:
    assert read(WIDTH, typed) == pytest.approx(width)


@pytest.mark.parametrize("typed", ["3", "3 levels", "3.0", "3 Level"])
def test_a_count_is_read_with_its_noun(typed: str) -> None:
    assert read(LEVELS, typed) == 3


@pytest.mark.parametrize(
    ("part", "typed"),
    [(WAY, ""), (WAY, "z"),
      (MANY, "a, z"), (MANY, " , "),
     (WIDTH, "wide"), (WIDTH, "-1"), (WIDTH, "1,500"), (WIDTH, "nan"),
     (LEVELS, "2.5"), (LEVELS, "inf"), (LEVELS, "1e400"), (WAY, "a" * 10_000)],
)  # fmt: skip
def test_what_cannot_be_read_is_refused_with_what_is_wanted(part: Part, typed: str) -> None:
    with pytest.raises(Unreadable, match="type"):
        read(part, typed)


@pytest.mark.parametrize("typed", ["0", "-3", "0.5", "1e400", "nan", "inf", "٣", "²", "1_0"])
def test_a_count_is_a_whole_number_of_one_or_more(typed: str) -> None:
    with pytest.raises(Unreadable, match="type a whole number of 1 or more, such as 3"):
        read(LEVELS, typed)


@pytest.mark.parametrize("typed", ["nan", "inf", "-inf", "infinity", "٣"])
def test_what_is_no_plain_number_is_not_said_to_be_out_of_range(typed: str) -> None:
    with pytest.raises(Unreadable, match="is no number that can be read; type a number in °, such as 3"):
        read(ANGLE, typed)


@pytest.mark.parametrize(("typed", "angle"), [("3", 3), ("3.5 °", 3.5), ("2,5 deg", 2.5), (".5", 0.5), ("1e1", 10)])
def test_an_angle_is_read_with_its_unit_or_without(typed: str, angle: float) -> None:
    assert read(ANGLE, typed) == angle


@given(st.text(max_size=60), st.sampled_from([WAY, CUTTER, MANY, WIDTH, LEVELS]))
def test_nothing_typed_ends_in_a_traceback(typed: str, part: Part) -> None:
    with suppress(Unreadable):
        read(part, typed)
