"""The table of what people type: nothing means two things unasked, and every word of ours is in it."""

from pathlib import Path
from typing import Any, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.files.ids import id_meant
from advisor.files.problems import Misfit
from advisor.knowledge.shipped import rule_base
from advisor.knowledge.trade_words import (
    Section,
    column,
    folded,
    head_spellings,
    meanings,
    meant,
    nearest_head,
    read_trade_words,
    refused_kind,
    spellings,
    trade_words,
    words_of,
    written_as,
)
from advisor.knowledge.wording import in_words
from advisor.model.body import BODIES
from advisor.model.cutter import Body, Coating, CutterRow, Substrate
from advisor.model.features import FEATURE_KINDS, OpenAt, Purpose
from advisor.model.fields import Coolant
from advisor.model.operations import OperationRow, PlanFile
from advisor.model.plan_fields import Entry, Method
from advisor.paths import shared_dir
from advisor.readers.ways import ways

SECTIONS = get_args(Section)
EVERY: list[tuple[Any, str, str]] = [
    (section, ours, word)
    for section in SECTIONS
    for ours, said in words_of(section).ours.items()
    for word in (ours, *said)
]
every_word = pytest.mark.parametrize(("section", "ours", "word"), EVERY)


@pytest.mark.parametrize(
    ("section", "ours"),
    [
        ("kinds", tuple(FEATURE_KINDS)),
        ("methods", get_args(Method)),
        ("methods", tuple(ways())),
        ("entries", get_args(Entry)),
        ("bodies", get_args(Body)),
        ("bodies", tuple(BODIES)),
        ("substrates", get_args(Substrate)),
        ("coatings", get_args(Coating)),
        ("coolants", get_args(Coolant)),
        ("purposes", get_args(Purpose)),
        ("sides", get_args(OpenAt)),
    ],
)
def test_every_word_of_the_program_is_in_the_table_in_its_order(section: Any, ours: tuple[str, ...]) -> None:
    assert tuple(words_of(section).ours) == ours


def test_every_field_of_an_operation_is_a_setting_and_every_symbol_of_a_cutter_a_column() -> None:
    assert set(words_of("settings").ours) == {*OperationRow.model_fields, "programmer"}
    assert set(words_of("settings").ours) > {*PlanFile.model_fields} - {"units", "operations"}
    assert tuple(trade_words().columns["crib"].ours) >= ("id",)
    assert set(trade_words().columns["crib"].ours) == set(CutterRow.model_fields)


@every_word
def test_a_word_is_understood_and_nothing_else_is_meant(section: Any, ours: str, word: str) -> None:
    assert meanings(section, word) == (ours,)
    assert meant(section, word) == ours


@every_word
def test_the_word_that_is_shown_can_be_typed(section: Any, ours: str, word: str) -> None:
    assert meant(section, in_words(ours)) == ours


@given(st.sampled_from(EVERY), st.data())
def test_letter_case_hyphens_blanks_and_underscores_do_not_matter(one: tuple[Any, str, str], data: Any) -> None:
    section, ours, word = one
    typed = "".join(
        data.draw(st.sampled_from((sign, sign.upper()))) + data.draw(st.sampled_from(("", "", "", "-", " ", "_")))
        for sign in word
    )
    assert meant(section, f" {typed} "[:80]) == ours or len(typed) > 76


@pytest.mark.parametrize(
    ("section", "word"), [(section, word) for section in SECTIONS for word in words_of(section).asked]
)
def test_what_may_mean_several_is_asked_with_all_of_them(section: Any, word: str) -> None:
    choices = meanings(section, word)
    assert len(choices) > 1
    known = {*words_of(section).ours}
    if section == "kinds":  # a choice may be a word that says more than ours, or what is not roughed here
        known |= {choice for choice in choices if written_as(choice) or refused_kind(choice)}
    assert set(choices) <= known
    with pytest.raises(Misfit) as caught:
        meant(section, word)
    (fault,) = caught.value.faults
    assert "several meanings" in str(fault.found)
    assert all(f"{choice} ({words_of(section).asked[word][choice]})" in fault.wanted for choice in choices)


def test_among_fewer_words_one_that_might_have_meant_several_means_one() -> None:
    assert meant("methods", "bore", ("drilling", "face_milling")) == "drilling"
    with pytest.raises(Misfit, match="drilling or face_milling"):
        meant("methods", "trochoidal", ("drilling", "face_milling"))


@pytest.mark.parametrize("word", ["", "  ", "---", "spline", "poc\u00adket", "x" * 10_000])
def test_a_word_that_nobody_knows_is_refused_with_the_words_there_are(word: str) -> None:
    assert meanings("kinds", word) == ()
    with pytest.raises(Misfit, match="one of planar_face, closed_pocket"):
        meant("kinds", word)


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        (("  slot: [keyway", "  slot: [hole, keyway"), "'hole' of kinds has two meanings"),
        (("  slot: [keyway", "  slot: [pocket, keyway"), "'pocket' of kinds has two meanings"),
        (("    LU: [usable length", "    LU: [teeth, usable length"), "of columns.crib has two meanings"),
        (("    inch: [in,", "    inch: [mm, in,"), "'mm' of units has two meanings"),
    ],
)
def test_a_table_with_a_word_twice_is_not_read(wrong: tuple[str, str], message: str, tmp_path: Path) -> None:
    text = (shared_dir() / "words.yaml").read_text(encoding="utf-8")
    assert wrong[0] in text
    (tmp_path / "words.yaml").write_text(text.replace(*wrong), encoding="utf-8")
    with pytest.raises(ValueError, match=message):
        read_trade_words(tmp_path / "words.yaml")


def test_a_head_gives_its_column_in_either_table() -> None:
    assert [column("plan", head) for head in ("AP", "Stepover", "T", "Feature ID")] == [
        "axial_depth",
        "radial_width",
        "cutter",
        "feature",
    ]
    assert [column("crib", head) for head in ("T", "Ø", "Z", "dconms")] == ["id", "DC", "ZEFP", "DCONMS"]
    assert column("crib", "price") is None
    with pytest.raises(Misfit, match="spindle_speed"):
        column("plan", "speed")


def test_a_head_much_like_one_is_suggested_only_for_a_column_that_is_missing() -> None:
    assert nearest_head("crib", "flute lenght", ["APMX"]) == "APMX"
    assert nearest_head("crib", "flute lenght", ["id"]) is None


def test_a_pattern_for_schemas_matches_what_is_understood() -> None:
    import re

    pattern = re.compile(spellings("methods"))
    assert all(pattern.search(word) for section, _, word in EVERY if section == "methods")
    assert pattern.search(" Trochoidal-Milling ")
    assert not pattern.search("bore")
    assert not pattern.search("knitting")


@pytest.mark.parametrize(
    ("word", "field"),
    [
        ("größte Drehzahl", "RPMX"), ("GRÖSSTE DREHZAHL", "RPMX"), ("Groesste-Drehzahl", "RPMX"), ("WZ-Nr.", "id"),
        ("Tool no.", "id"), ("schneiden_⌀", "DC"), ("Zähne", "ZEFP"), ("ZAEHNE", "ZEFP"),
    ],
)  # fmt: skip
def test_a_head_with_an_umlaut_is_read_and_matched_however_it_is_spelt(word: str, field: str) -> None:
    import re

    assert column("crib", word) == field
    assert re.search(head_spellings("crib", [field]), word)
    assert not re.search(head_spellings("crib", ["COATING"]), word)


@pytest.mark.parametrize("ours", rule_base().measures["body"].words)
def test_ours_are_shown_without_underscores(ours: str) -> None:
    assert "_" not in in_words(ours)
    assert folded(in_words(ours)) == folded(ours)


@pytest.mark.parametrize(
    ("typed", "known", "wanted"),
    [
        ("S1", ["S1", "s1"], "S1"),
        ("s1", ["S1", "P1"], "S1"),
        ("T2", ["T02", "T20"], "T02"),
        ("t002", ["T02"], "T02"),
        ("T2", ["T02", "T2"], "T2"),
        ("1.1", ["1.01"], None),
        ("E12", ["E12N3"], None),
        ("T", ["T0"], None),
    ],
)
def test_an_id_is_meant_whatever_its_case_and_the_noughts_before_its_number(
    typed: str, known: list[str], wanted: str | None
) -> None:
    assert id_meant(typed, known) == wanted


@pytest.mark.parametrize(
    ("typed", "known"),
    [("vmc", ["VMC", "Vmc"]), ("t2", ["T02", "T002"]), ("T2", ["t02", "T02"]), ("s1", ["S01", "s01"])],
)
def test_ids_that_differ_by_case_or_noughts_alone_are_asked(typed: str, known: list[str]) -> None:
    with pytest.raises(Misfit, match="spelled exactly"):
        id_meant(typed, known)
