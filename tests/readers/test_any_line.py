"""Whatever is said in a line, the answer is a plan or a refusal that can be read; no number gets lost or changed."""

import re
from itertools import permutations
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.files.problems import BadInput
from advisor.knowledge.trade_words import trade_words, words_of
from advisor.model.operations import Plan
from advisor.readers.plan_line import LONGEST, plan_said
from tests.fuzz.trial import at_most
from tests.readers.test_what_people_type import CRIB, KNOWN

WORDS = [
    *(word for section in ("methods", "entries", "settings", "coolants", "kinds") for word in words_of(section).known),  # type: ignore[arg-type]
    *(word for section in ("methods", "entries", "settings") for word in words_of(section).asked),  # type: ignore[arg-type]
    *(unit for units in trade_words().units.values() for unit in units),
    *CRIB, *KNOWN.features, "t2", "p1", "17", "0,5", "1,500", "½", "nan", "-3", "1e9", "1/4", "ap17", "S5500", "1xD",
    "50%", ":", "=", ",", ";", "+", "&", "\n", "\t", "\0", "\u2028", "Ø", "''", "x" * 90, "9" * 90, "yes", "no",
]  # fmt: skip


def said(text: str, units: Any = "mm") -> Plan | str:
    """The plan, or the refusal; any other exception fails the test."""
    try:
        return plan_said([text], CRIB, units, KNOWN.features)
    except BadInput as error:
        told = str(error)
    assert told.replace("\n", "").isprintable()
    return told


@given(st.text(max_size=120), st.sampled_from(["mm", "inch"]))
def test_any_text_is_answered(text: str, units: str) -> None:
    said(text, units)


@given(st.text(max_size=80))
def test_any_text_behind_feature_and_cutter_is_answered(text: str) -> None:
    said(f"P1: E10 {text}")


@settings(max_examples=300)
@given(st.lists(st.sampled_from(WORDS), max_size=14), st.booleans())
def test_any_jumble_of_the_words_of_a_line_is_answered(words: list[str], colon: bool) -> None:
    said(f"P1{':' if colon else ''} E10 {' '.join(words)}")


FIGURES = st.integers(1, 90).map(lambda tenths: tenths / 10)


@settings(max_examples=200)
@given(words=st.lists(st.sampled_from(WORDS), max_size=6), depth=FIGURES, at=st.integers(0, 6))
def test_whatever_stands_beside_it_a_depth_is_read_as_it_was_typed_or_all_is_refused(
    words: list[str], depth: float, at: int
) -> None:
    beside = [word for word in words if word not in (";", "\n")]
    place = min(at, len(beside))
    text = " ".join(["P1: E10", *beside[:place], f"ap {depth} mm", *beside[place:]])
    found = said(text)
    if isinstance(found, Plan):
        assert found.operations[0].row.axial_depth == pytest.approx(depth), text


SETTINGS = ("ap 4", "stepover 2,5", "S5500", "vf 2000 mm/min", "trochoidal", "helix", "2 levels", "flood", "E10")


def test_the_order_of_what_is_said_does_not_matter() -> None:
    first = said(f"P1: {' '.join(SETTINGS)}")
    assert isinstance(first, Plan)
    for count, words in enumerate(permutations(SETTINGS)):
        if count % 997 == 0:
            found = said(f"P1: {' '.join(words)}")
            assert isinstance(found, Plan), found
            assert found.operations[0].row == first.operations[0].row


@given(st.lists(st.sampled_from(SETTINGS[:-1]), unique=True, max_size=5))
def test_the_colon_behind_the_feature_may_be_missing(words: list[str]) -> None:
    with_colon, without = (said(f"P1{colon} E10 {' '.join(words)}") for colon in (":", ""))
    assert isinstance(with_colon, Plan)
    assert isinstance(without, Plan)
    assert without.operations[0].row == with_colon.operations[0].row


@given(st.integers(1, 20_000), st.sampled_from(["", " ", "=", " = ", ": "]), st.sampled_from(["S", "n", "RPM", "s"]))
def test_a_symbol_and_its_number_may_be_glued_or_apart(speed: int, between: str, symbol: str) -> None:
    if symbol == "RPM" and not between:
        return
    found = said(f"P1: E10 {symbol}{between}{speed}")
    assert isinstance(found, Plan)
    assert found.operations[0].row.spindle_speed == speed


@pytest.mark.parametrize(
    "text",
    [
        "P1: E10 " + "1" * (LONGEST - 10),
        "P1: E10 " + "ap " * (LONGEST // 4),
        "P1: E10 " + "1 x " * (LONGEST // 5),
        "P1: E10 " + "deep helical " * (LONGEST // 14),
        "P1: E10 " + "1,1." * (LONGEST // 5),
        "P1: E10 ap 1" + " " * (LONGEST - 20) + "x",
        "P1, " * (LONGEST // 5) + "P1: E10",
        "P1: " + "E9 " * (LONGEST // 4),
        ":" * LONGEST,
    ],
)
def test_a_line_of_one_thing_over_and_over_does_not_keep_the_reader_busy(text: str) -> None:
    large = {f"T{number:05}": None for number in range(5000)} | CRIB
    with at_most(2.0), pytest.raises(BadInput) as caught:
        plan_said([text], large, "mm", KNOWN.features)
    assert len(str(caught.value)) < 20_000


@pytest.mark.parametrize(("text", "inches"), [("P1: E10 ap 1/4 in", 0.25), ('P1: E10 ap 1-1/2"', 1.5)])
def test_the_unit_behind_a_fraction_is_never_lost_and_is_asked_for_where_it_is_missing(
    text: str, inches: float
) -> None:
    found = said(text)
    assert isinstance(found, Plan), found
    assert found.operations[0].row.axial_depth == pytest.approx(25.4 * inches)
    bare = re.sub(r'\s*(in|")$', "", text)
    assert "the unit of the fraction" in str(said(bare))  # nobody writes mm as a fraction
    plain = said(bare, "inch")
    assert isinstance(plain, Plan), plain
    assert plain.operations[0].row == found.operations[0].row


@pytest.mark.parametrize("text", ["P1: E10 ap 4 in", "P1: E10 ap 1e1 in"])
def test_the_unit_behind_a_number_is_never_lost(text: str) -> None:
    found, plain = said(text), said(re.sub(r'\s*(in|")$', "", text))
    assert isinstance(found, Plan), found
    assert isinstance(plain, Plan), plain
    depth, bare = (plan.operations[0].row.axial_depth for plan in (found, plain))
    assert depth is not None
    assert bare is not None
    assert depth == pytest.approx(25.4 * bare)


@pytest.mark.parametrize(
    ("text", "note"),
    [
        ("H1: E10 bore", "'bore' is taken as helical_boring: cutter and feature allow nothing else."),
        ("S1: E10 slotting ramp", "'ramp' is taken as zigzag_ramp: the method allows nothing else."),
        ("P1: E10 ap 0,5", "decimal commas are read as points."),
    ],
)
def test_what_was_taken_is_said(text: str, note: str) -> None:
    found = said(text)
    assert isinstance(found, Plan)
    assert any(note in one for one in found.notes), found.notes
    assert not said(text.partition(" bore")[0].partition(" slot")[0].replace(",", ".")).notes  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("crib", "text", "wanted"),
    [
        (["t02", "T02"], "P1: T02 ap 3", "T02"),
        (["F63"], "P1: F63 ap 3", "F63"),
        (["F63", "E10"], "P1: cutter F63 ap 3", "F63"),
        (["End mill 12", "E10"], "P1: End mill 12 ap 3", "End mill 12"),
        (["End mill 12", "E10"], "P1: ap 3 tool End mill 12", "End mill 12"),
        (["1.10"], "P1: 1.10 ap 3", "1.10"),
    ],
)
def test_a_cutter_is_found_by_its_very_id_first(crib: list[str], text: str, wanted: str) -> None:
    assert plan_said([text], crib, "mm").operations[0].row.cutter == wanted


def test_cutters_and_features_that_differ_by_case_alone_are_asked() -> None:
    with pytest.raises(BadInput, match="t02 or T02, spelled exactly"):
        plan_said(["P1: t2 ap 3"], ["t02", "T02"], "mm")
    with pytest.raises(BadInput, match=r"operation 1\.feature: found 'p01'; wanted P1 or p1, spelled exactly"):
        plan_said(["p01: E10 ap 3"], ["E10"], "mm", {"P1": "slot", "p1": "slot"})


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("P1: E10 ap 1xD", "the cutter is not known here"),
        ("P1: E10 vc 200", "the cutter is not known here"),
        ("P1: E10 fn 0.2", "the cutter is not known here"),
        ("P1: E10 ap 3 vc 200 n 5000", "spindle_speed or cutting_speed, not both"),
        ("P1: E10 fn 0.3 fz 0.1", "feed_per_tooth or feed_per_revolution, not both"),
        ("P1: E10 vc fast", "a cutting speed in m/min"),
        ("P1: E10 vc 30000", "at most 20000 m/min"),
        ("P1: E10 fn 200", "at most 100 mm"),
    ],
)
def test_what_rests_on_the_cutter_is_refused_where_that_is_not_known_or_says_otherwise(text: str, told: str) -> None:
    with pytest.raises(BadInput, match=told):
        plan_said([text], ["E10"], "mm")


def test_a_cutting_speed_in_a_plan_in_inches_wants_its_unit() -> None:
    assert "its unit, m/min or ft/min" in str(said("P1: E10 vc 200", "inch"))
    found = said("P1: E10 vc 600 sfm", "inch")
    assert isinstance(found, Plan)
    assert found.operations[0].row.cutting_speed == pytest.approx(182.88)


NUMBERS = {
    "axial_depth": ("mm", 0.5), "radial_width": ("mm", 0.5), "feed_per_tooth": ("mm/tooth", 0.01),
    "overcut": ("mm", 0.5), "feed_rate": ("mm/min", 100), "spindle_speed": ("rpm", 1000), "ramp_angle": ("°", 0.5),
    "allowance_side": ("mm", 0.1), "allowance_bottom": ("mm", 0.1), "levels": ("", 1),
}  # fmt: skip
WAYS = {"method": "methods", "entry": "entries"}


def unambiguous(section: Any, other: Any) -> list[tuple[str, str]]:
    """The words of a section that mean nothing in the other one, each with what it means."""
    return [
        (word, ours)
        for ours, said_for_it in words_of(section).ours.items()
        for word in (ours, *said_for_it)
        if not words_of(other).meanings(word)
    ]


@st.composite
def lines(draw: Any) -> tuple[str, dict[str, Any]]:
    """A line in any words of the trade and any order, and what it says."""
    wanted: dict[str, Any] = {}
    pieces = ["E10"]
    for name in draw(st.lists(st.sampled_from(sorted(NUMBERS)), unique=True, max_size=5)):
        unit, step = NUMBERS[name]
        value = round(draw(st.integers(1, 9)) * step, 3)
        word = draw(st.sampled_from((name, *words_of("settings").ours[name])))
        figures = f"{value:g}".replace(".", draw(st.sampled_from(".,")))
        shown = f"{figures} {unit}" if unit and draw(st.booleans()) else figures
        pieces.append(f"{word}{draw(st.sampled_from((' ', '=', ' = ', ': ')))}{shown}")
        wanted[name] = value
    for name, section in WAYS.items():
        if draw(st.booleans()):
            other = "entries" if section == "methods" else "methods"
            word, wanted[name] = draw(st.sampled_from(unambiguous(section, other)))
            pieces.append(word)
    between = draw(st.sampled_from((" ", ", ")))
    return between.join(draw(st.permutations(pieces))), wanted


@settings(max_examples=400)
@given(lines())
def test_any_words_of_the_trade_in_any_order_are_read_as_they_are_meant(line: tuple[str, dict[str, Any]]) -> None:
    text, wanted = line
    found = said(f"P1: {text}")
    assert isinstance(found, Plan), f"{text}: {found}"
    row = {name: value for name, value in found.operations[0].row.model_dump().items() if value is not None}
    assert row == {"feature": ("P1",), "cutter": "E10"} | {
        name: pytest.approx(value) if isinstance(value, float) else value for name, value in wanted.items()
    }, text
