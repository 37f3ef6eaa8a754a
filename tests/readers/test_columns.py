"""The heads of tables: every column has its words, and no word means two columns."""

from typing import Literal

import pytest

from advisor.files.problems import Misfit
from advisor.knowledge.trade_words import column, meanings, nearest_head, trade_words, unit_of, words_of_unit
from advisor.model.cutter import CutterRow
from advisor.model.operations import OperationRow
from advisor.readers.columns import read_head, without_unit
from advisor.readers.crib import HOLDS as CRIB_HOLDS
from advisor.readers.crib import NEEDED
from advisor.readers.plan_table import HOLDS as PLAN_HOLDS

FIELDS = {"crib": set(CutterRow.model_fields), "plan": {*OperationRow.model_fields, "programmer"}}


@pytest.mark.parametrize("table", ["crib", "plan"])
def test_every_column_of_a_table_has_words_and_says_what_it_holds(table: Literal["crib", "plan"]) -> None:
    holds = CRIB_HOLDS if table == "crib" else PLAN_HOLDS
    assert set(trade_words().columns[table].ours) == FIELDS[table] == set(holds)
    assert all(column(table, name) == name for name in FIELDS[table])


@pytest.mark.parametrize("head", ["length", "Länge", "lead angle", "", "-"])
def test_a_word_that_may_mean_two_columns_means_none(head: str) -> None:
    assert column("crib", head) is None
    assert column("plan", head) is None


@pytest.mark.parametrize("head", ["feed", "Vorschub", "Speed", "depth [mm]", "step (mm)", "feed [mm]"])
def test_a_head_of_a_plan_that_may_name_two_columns_is_asked_about(head: str) -> None:
    found = read_head(head, "plan")
    assert found.field is None
    assert found.asked is not None
    assert "several meanings" in str(found.asked.found)


@pytest.mark.parametrize(
    ("head", "field", "unit"),
    [
        ("feed [mm/min]", "feed_rate", "mm_per_minute"), ("Feed mm/tooth", "feed_per_tooth", "mm_per_tooth"),
        ("feed (mm/rev)", "feed_per_revolution", "mm_per_revolution"), ("speed, rpm", "spindle_speed", "per_minute"),
        ("Speed [m/min]", "cutting_speed", "m_per_minute"),
    ],
)  # fmt: skip
def test_its_unit_tells_which_of_several_columns_a_head_names(head: str, field: str, unit: str) -> None:
    found = read_head(head, "plan")
    assert (found.field, found.unit, found.asked) == (field, unit, None)


@pytest.mark.parametrize(
    "head", ["DC", "dc", " Dc ", "d.c.", "Durchmesser", "DURCHMESSER", "Schneiden-Durchmesser", "Ø", "⌀"]
)
def test_letter_case_blanks_and_hyphens_of_a_head_do_not_count(head: str) -> None:
    assert column("crib", head) == "DC"


@pytest.mark.parametrize(
    ("head", "field", "unit", "remark"),
    [
        ("DC [mm]", "DC", "mm", "mm"), ("DC mm", "DC", "mm", None), ("n (1/min)", None, None, None),
        ("RPMX (min⁻¹)", "RPMX", "per_minute", "min⁻¹"), ("RPMX 1/min", "RPMX", "per_minute", None),
        ("LPR ab Halter", None, None, None), ("LPR (ab Halter)", "LPR", None, "ab Halter"),
        ("LPR [ab Halter]", "LPR", "unknown", "ab Halter"), ("[mm] DC", "DC", "mm", "mm"),
        ("x" * 500, None, None, None),
        ("((DC))", None, None, None), ("Ø in Zoll", "DC", "inch", None),
    ],
)  # fmt: skip
def test_a_head_says_its_column_its_unit_and_a_remark(
    head: str, field: str | None, unit: str | None, remark: str | None
) -> None:
    found = read_head(head, "crib")
    assert (found.field, found.unit, found.remark) == (field, unit, remark)


@pytest.mark.parametrize(("head", "own"), [("DC", True), ("d.c. [mm]", True), ("diameter", False), ("Ø (DC)", False)])
def test_a_head_that_spells_its_column_is_told_from_another_word_for_it(head: str, own: bool) -> None:
    assert (read_head(head, "crib").field, read_head(head, "crib").own) == ("DC", own)


def test_yes_and_no_are_understood_in_both_languages_and_nothing_else_is() -> None:
    assert {meanings("answers", word) for word in ("ja", "X", "Yes", "j", "WAHR", "true", "✓")} == {("yes",)}
    assert {meanings("answers", word) for word in ("nein", "No", "n", "FALSCH", "false")} == {("no",)}
    assert {meanings("answers", word) for word in ("", "-", "0", "1", "maybe", "xx")} == {()}


def test_a_speed_is_parted_from_its_unit_only_where_that_is_sure() -> None:
    words = words_of_unit("per_minute")
    assert without_unit("8000 1/min", words) == "8000"
    assert without_unit("8000/min", words) == "8000"
    assert without_unit("8000 rpm", words) == "8000"
    assert without_unit("80001/min", words) == "80001"
    assert without_unit("8000 mm", words) == "8000 mm"


def test_every_needed_column_of_a_crib_has_a_word_in_both_languages() -> None:
    english = [column("crib", word) for word in ("tool", "type", "diameter", "flute length", "teeth")]
    german = [column("crib", word) for word in ("Werkzeug", "Bauart", "Durchmesser", "Schneidenlänge", "Zähne")]
    assert tuple(english) == tuple(german) == NEEDED


def test_units_are_known_however_they_are_spelt() -> None:
    assert (unit_of("MM"), unit_of("Zoll"), unit_of("U/min"), unit_of("cm"), unit_of("furlong")) == (
        "mm", "inch", "per_minute", "other", None,
    )  # fmt: skip
    assert column("plan", "Drehzahl") == "spindle_speed"


def test_a_word_for_a_diameter_is_no_unit() -> None:
    assert read_head("Tool D", "crib").field is None


def test_a_head_with_a_slip_is_met_with_the_column_that_is_meant() -> None:
    assert nearest_head("crib", "Schneidenlange", FIELDS["crib"]) == "APMX"
    assert nearest_head("crib", "Durchmeser", FIELDS["crib"]) == "DC"
    assert nearest_head("crib", "Durchmeser", FIELDS["crib"] - {"DC"}) != "DC"
    assert nearest_head("crib", "Lagerort", FIELDS["crib"]) is None


def test_what_may_stand_above_the_heads_has_words_in_both_languages() -> None:
    assert [column("above", word) for word in ("Units", "Maßeinheit", "Programmierer", "part")] == [
        "units", "units", "programmer", None,
    ]  # fmt: skip


def test_a_column_of_a_plan_that_may_be_two_raises_what_is_wanted() -> None:
    with pytest.raises(Misfit, match="feed_rate"):
        column("plan", "feed")
