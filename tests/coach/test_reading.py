"""Answers are read however they are typed, or refused with what is wanted."""

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.coach.exercise import Choice, Part
from advisor.coach.reading import Unreadable, read

WAY = Part(
    "method",
    "?",
    (
        Choice("a", "layered pocketing", ("layered_pocketing", "layers")),
        Choice("b", "engagement-limited clearing", ("engagement_limited_clearing", "looping")),
    ),
)
CUTTER = Part(
    "cutter",
    "?",
    (
        Choice("a", "E10N3, solid end mill, DC 10 mm", ("E10N3",)),
        Choice("b", "E10, solid end mill, DC 10 mm", ("E10",)),
        Choice("c", "E16P5L, solid end mill, DC 16 mm", ("E16P5L",)),
    ),
)
WIDTH = Part("radial_width", "?", (), "mm")
LEVELS = Part("levels", "?", ())
ANGLE = Part("ramp_angle", "?", (), "°")


@pytest.mark.parametrize(
    "typed",
    ["b", " B ", "b)", "b.", "(b)", "2", "Engagement-limited clearing", "engagement_limited_clearing", "LOOPING"],
)
def test_a_choice_is_read_by_letter_number_or_words(typed: str) -> None:
    assert read(WAY, typed) == "b"


@pytest.mark.parametrize(
    ("typed", "label"),
    [("e10n3", "a"), ("E10N3 ", "a"), ("E10", "b"), ("E16P", "c"), ("a", "a"), ("3", "c")],
)
def test_a_cutter_is_read_by_its_letter_its_place_or_its_id(typed: str, label: str) -> None:
    assert read(CUTTER, typed) == label


METHODS = Part("method", "?", (*WAY.choices, Choice("c", "helical boring"), Choice("d", "drilling")))
ENTRIES = Part("entry", "?", (Choice("a", "side entry"), Choice("b", "helical ramp"), Choice("c", "zigzag ramp")))
TOOL = Part("cutter", "?", (Choice("a", "T02, drill, DC 5 mm", ("T02",)), Choice("b", "T20, drill, DC 6 mm", ("T20",))))
WITH_BODIES = Part(
    "way",
    "?",
    (
        Choice("a", "engagement-limited clearing, solid end mill"),
        Choice("b", "layered pocketing, solid end mill"),
        Choice("c", "layered pocketing, inserted end mill"),
    ),
)


@pytest.mark.parametrize(
    ("part", "typed", "label"),
    [
        (METHODS, "trochoidal", "b"),
        (METHODS, "Peeling", "b"),
        (METHODS, "(peeling).", "b"),
        (METHODS, "layers", "a"),
        (ENTRIES, "roll in", "a"),
        (ENTRIES, "from outside", "a"),
        (ENTRIES, "helix", "b"),
        (ENTRIES, "zig-zag", "c"),
        (TOOL, "t2", "a"),
        (TOOL, "T020", "b"),
        (WITH_BODIES, "looping", "a"),
    ],
)
def test_a_choice_is_read_by_any_word_of_the_trade_for_it(part: Part, typed: str, label: str) -> None:
    assert read(part, typed) == label


@pytest.mark.parametrize(
    ("part", "typed", "told"),
    [
        (
            ENTRIES,
            "ramping",
            r"'ramping' may be b \(helical ramp\) or c \(zigzag ramp\);"
            r" type one of a, b, c",
        ),
        (METHODS, "bore", r"'bore' may be c \(helical boring\) or d \(drilling\); type one of a, b, c, d"),
        (METHODS, "face milling", "'face milling' is none of the choices"),
        (WITH_BODIES, "layers", r"'layers' may be b \(layered pocketing, solid end mill\) or c \("),
    ],
)
def test_a_word_that_may_be_several_choices_or_none_is_asked_again(part: Part, typed: str, told: str) -> None:
    with pytest.raises(Unreadable, match=told):
        read(part, typed)


@pytest.mark.parametrize("typed", ["E1", "E16", "E16P5", "solid", "E", "4", "0", "d"])
def test_what_could_be_several_cutters_or_none_is_refused(typed: str) -> None:
    with pytest.raises(Unreadable, match="type one of a, b, c"):
        read(CUTTER, typed)


def test_a_number_that_is_the_name_of_a_choice_is_that_choice_and_not_its_place() -> None:
    part = Part("cutter", "?", (Choice("a", "2, drill", ("2",)), Choice("b", "3, drill", ("3",))))
    assert read(part, "2") == "a"
    assert read(part, "1") == "a"


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


@given(st.text(max_size=60), st.sampled_from([WAY, CUTTER, WIDTH, LEVELS]))
def test_nothing_typed_ends_in_a_traceback(typed: str, part: Part) -> None:
    with suppress(Unreadable):
        read(part, typed)
