"""The heads of tables: every column has its words, and no word means two columns."""

import pytest
import yaml

from advisor.model.cutter import CutterRow
from advisor.model.operations import OperationRow
from advisor.readers.columns import (
    TableOf,
    answer_of,
    column_of,
    columns_file,
    folded,
    nearest_column,
    read_head,
    unit_of,
    without_unit,
    words_of,
)
from advisor.readers.crib import HOLDS as CRIB_HOLDS
from advisor.readers.crib import NEEDED
from advisor.readers.plan_table import HOLDS as PLAN_HOLDS
from advisor.readers.plan_table import SYMBOLS

FILE = yaml.safe_load(columns_file().read_text(encoding="utf-8"))
FIELDS = {"crib": set(CutterRow.model_fields), "plan": {*OperationRow.model_fields, "programmer"}}


@pytest.mark.parametrize("table", ["crib", "plan"])
def test_every_column_of_a_table_has_words_and_says_what_it_holds(table: TableOf) -> None:
    holds = CRIB_HOLDS if table == "crib" else PLAN_HOLDS
    assert set(FILE[table]) == FIELDS[table] == set(holds)
    assert all(column_of(name, table) == name for name in FIELDS[table])


@pytest.mark.parametrize("section", ["crib", "plan", "answers"])
def test_no_word_means_two_things(section: str) -> None:
    words = [(folded(word), name) for name, listed in FILE[section].items() for word in (name, *listed)]
    meant: dict[str, set[str]] = {}
    for word, name in words:
        meant.setdefault(word, set()).add(name)
    assert not {word: names for word, names in meant.items() if len(names) > 1 or not word}


def test_no_unit_means_two_things() -> None:
    words = [word.casefold() for listed in FILE["units"].values() for word in listed]
    assert len(set(words)) == len(words)


def test_no_word_of_a_plan_is_a_symbol_for_another_field() -> None:
    for symbol, field in SYMBOLS.items():
        assert column_of(symbol, "plan") in (None, field)


@pytest.mark.parametrize(
    "head", ["length", "Länge", "feed", "Vorschub", "speed", "material", "d1", "lead angle", "", "-"]
)
def test_a_word_that_may_mean_two_columns_means_none(head: str) -> None:
    assert column_of(head, "crib") is None
    assert column_of(head, "plan") is None


@pytest.mark.parametrize(
    "head", ["DC", "dc", " Dc ", "d.c.", "Durchmesser", "DURCHMESSER", "Schneiden-Durchmesser", "Ø", "⌀"]
)
def test_letter_case_blanks_and_hyphens_of_a_head_do_not_count(head: str) -> None:
    assert column_of(head, "crib") == "DC"


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
    found = read_head(head, "crib", {})
    assert (found.field, found.unit, found.remark) == (field, unit, remark)


def test_yes_and_no_are_understood_in_both_languages_and_nothing_else_is() -> None:
    assert {answer_of(word) for word in ("ja", "X", "Yes", "j", "WAHR", "true")} == {True}
    assert {answer_of(word) for word in ("nein", "No", "n", "FALSCH", "false")} == {False}
    assert {answer_of(word) for word in ("", "-", "0", "1", "maybe", "xx")} == {None}


def test_a_speed_is_parted_from_its_unit_only_where_that_is_sure() -> None:
    assert without_unit("8000 1/min", "per_minute") == "8000"
    assert without_unit("8000/min", "per_minute") == "8000"
    assert without_unit("8000 rpm", "per_minute") == "8000"
    assert without_unit("80001/min", "per_minute") == "80001"
    assert without_unit("8000 mm", "per_minute") == "8000 mm"


def test_every_needed_column_of_a_crib_has_a_word_in_both_languages() -> None:
    english = [column_of(word, "crib") for word in ("tool", "type", "diameter", "flute length", "teeth")]
    german = [column_of(word, "crib") for word in ("Werkzeug", "Bauart", "Durchmesser", "Schneidenlänge", "Zähne")]
    assert tuple(english) == tuple(german) == NEEDED


def test_units_are_known_however_they_are_spelt() -> None:
    assert (unit_of("MM"), unit_of("Zoll"), unit_of("U/min"), unit_of("cm"), unit_of("furlong")) == (
        "mm", "inch", "per_minute", "other", None,
    )  # fmt: skip
    assert words_of("plan")["drehzahl"] == "spindle_speed"


def test_a_head_with_a_slip_is_met_with_the_column_that_is_meant() -> None:
    assert nearest_column("Schneidenlange", "crib", FIELDS["crib"]) == "APMX"
    assert nearest_column("Durchmeser", "crib", FIELDS["crib"]) == "DC"
    assert nearest_column("Durchmeser", "crib", FIELDS["crib"] - {"DC"}) != "DC"
    assert nearest_column("Lagerort", "crib", FIELDS["crib"]) is None
