"""Cribs and plans as spreadsheets write them: signs, units, words, encodings, and what is asked where it is unclear."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.files.problems import BadInput, Problem
from advisor.model.cutter import Cutter, make_cutter
from advisor.model.operations import OperationRow, Plan
from advisor.readers.crib import CribFile, read_crib
from advisor.readers.plan import read_plan
from advisor.readers.plan_rows import Known
from advisor.readers.plan_table import read_plan_table
from tests.fuzz.trial import at_most
from tests.readers.workbooks import CRIB, workbook

HEAD = "id;body;DC;APMX;ZEFP"
GERMAN = Path(__file__).parent / "tables" / "german.csv"


@pytest.fixture
def crib(tmp_path: Path) -> Callable[[str | bytes], CribFile]:
    """Return a reader of a crib given as text or bytes."""

    def reader(contents: str | bytes) -> CribFile:
        path = tmp_path / "crib.csv"
        path.write_bytes(contents if isinstance(contents, bytes) else contents.encode())
        return read_crib(path)

    return reader


Crib = Callable[[str | bytes], CribFile]


def refused(crib: Crib, contents: str | bytes) -> tuple[Problem, ...]:
    """Return what is wrong with a crib."""
    with pytest.raises(BadInput) as caught:
        crib(contents)
    return caught.value.problems


def one(crib: Crib, heads: str, cells: str) -> Cutter:
    """Return the cutter of a crib of one row with further columns."""
    (cutter,) = crib(f"{HEAD};{heads}\nE12;solid_end_mill;12;26;3;{cells}\n").cutters
    return cutter


def plan(text: str, units: Any = "mm") -> Plan:
    """Return the plan of a table."""
    return read_plan_table("plan.csv", text.encode(), units)


def operation(text: str) -> OperationRow:
    """Return the only operation of a table."""
    (only,) = plan(text).operations
    return only.row


def test_a_crib_as_a_german_spreadsheet_writes_it_is_read() -> None:
    crib = read_crib(GERMAN)
    assert [(one.id, one.body, one.DC, one.APMX, one.RE, one.ZEFP) for one in crib.cutters] == [
        ("E12", "solid_end_mill", 12, 26, 0.2, 3),
        ("E16", "solid_end_mill", 16, 32, 0, 4),
        ("E9", "solid_end_mill", 9.85, 22.5, 0.1, 4),
        ("I25", "inserted_end_mill", 25, 10, 0.8, 3),
        ("D13", "drill", 13, 60, 0, 2),
    ]
    first, second, third, inserted, drill = crib.cutters
    assert (first.LPR, first.DCONMS, first.FHA, first.RPMX, first.end_cutting) == (36.5, 12, 42, None, True)
    assert (first.TMC1ISO, first.COATING) == ("N", "dlc")
    assert (second.RPMX, second.TMC1ISO, third.COATING) == (28000, "P M", None)
    assert (inserted.RPMX, inserted.DCONMS, inserted.end_cutting, drill.FHA) == (32000, 25, False, 30)


def test_how_a_table_is_read_is_said_aloud() -> None:
    how, *others = read_crib(GERMAN).notes
    assert how.endswith(
        "german.csv: it is read as cp1252, cells are read as set apart by a semicolon, "
        "and decimal commas are read as points."
    )
    assert others[0].endswith("german.csv:3: the column 'Lagerort' is not known and was passed over.")
    assert others[1].endswith("german.csv:1: 'Werkzeugliste Halle 3' stands above the heads and was passed over.")


@pytest.mark.parametrize(
    ("codec", "said"), [("utf-8", ""), ("utf-8-sig", ""), ("utf-16", "UTF-16"), ("utf-16-le", "UTF-16"),
                        ("utf-16-be", "UTF-16"), ("cp1252", "cp1252")]
)  # fmt: skip
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_a_table_is_read_in_every_encoding_that_spreadsheets_write(codec: str, said: str, end: str, crib: Crib) -> None:
    text = end.join(["id,body,Ø,APMX,ZEFP,Beschichtung", "Fräser 1,solid_end_mill,Ø12,26,3,DLC", ""])
    found = crib(text.encode(codec))
    assert [(cutter.id, cutter.DC) for cutter in found.cutters] == [("Fräser 1", 12)]
    assert [f"read as {said}" in note for note in found.notes] == ([True] if said else [])


def test_utf_8_with_a_broken_byte_is_not_garbled_but_refused_with_its_line(crib: Crib) -> None:
    (problem,) = refused(crib, f"{HEAD}\nFräser;drill;12;26;3\n".encode() + b"\xd8;drill;12;26;3\n")
    assert (problem.line, problem.found) == (3, "a byte 0xd8 that is no UTF-8, in a file that else looks like it")


@pytest.mark.parametrize("data", [b"\xff\xfe\x00", b"\xfe\xff\xd8\x00", b"id;\0body", "id;body\n".encode("utf-32")])
def test_bytes_that_are_no_text_are_refused(data: bytes, crib: Crib) -> None:
    assert refused(crib, data)[0].wanted == "a table saved as CSV in UTF-8"


# Signs between cells


@pytest.mark.parametrize("sign", [",", ";", "\t"])
def test_the_sign_between_cells_is_found_though_titles_and_cells_hold_others(sign: str, crib: Crib) -> None:
    rows = [["Tools; hall 3, bay\t2"], CRIB[0], ["E1,2;34", "solid_end_mill", "12", "26", "3"]]
    text = "\n".join(sign.join(f'"{cell}"' for cell in row) for row in rows)
    (cutter,) = crib(text).cutters
    assert (cutter.id, cutter.DC) == ("E1,2;34", 12)


def test_a_table_whose_heads_are_parted_in_two_ways_is_asked_about(crib: Crib) -> None:
    (problem,) = refused(crib, "id,DC;body\n1,2;3\n")
    assert (problem.line, problem.found) == (1, "as many of comma or semicolon")
    assert problem.wanted == "one separator between the heads"


# Heads


@pytest.mark.parametrize(
    "heads",
    ["ID;Body;dc;apmx;zefp", "Tool No.;type;Cutting diameter;flute_length;number-of-teeth",
     "Werkzeug-Nr.;Art;Schneiden-Ø;Schneidenlänge;Zähnezahl", "Nr;Bauart;⌀;SCHNEIDENLAENGE;Z",
     "id;body;DC [mm];APMX (mm);ZEFP [-]", "id;body;DC in mm;APMX, mm;Schneiden (Anzahl)",
     'id;body;"DC\n[mm]";APMX/mm;"ZEFP "', "id;body;Durchmesser (DC);APMX (Schneidenlänge);Z"],
)  # fmt: skip
def test_heads_are_symbols_or_words_with_or_without_units(heads: str, crib: Crib) -> None:
    (cutter,) = crib(f"{heads}\nE12;solid_end_mill;12;26;3\n").cutters
    assert (cutter.id, cutter.DC, cutter.APMX, cutter.ZEFP) == ("E12", 12, 26, 3)


def test_a_unit_in_a_head_counts_for_the_numbers_under_it_and_a_cell_may_have_its_own(crib: Crib) -> None:
    text = (
        f"# units: inch\n{HEAD};LPR [mm];DCONMS\nE;solid_end_mill;0,5;1;3;50;12 mm\nF;solid_end_mill;0,5;1;3;2 in;0,5\n"
    )
    first, second = crib(text).cutters
    assert (first.DC, first.LPR, first.DCONMS) == (12.7, 50, 12)
    assert (second.LPR, second.DCONMS) == (50.8, 12.7)


@pytest.mark.parametrize(
    ("head", "found", "wanted"),
    [
        ("LPR [cm]", "the unit 'cm' in the head 'LPR [cm]'", "mm or in"),
        ("LPR [°]", "the unit '°' in the head 'LPR [°]'", "mm or in"),
        ("LPR [gauge]", "the unit 'gauge' in the head 'LPR [gauge]'", "mm or in"),
        ("LPR cm", "the head 'LPR cm'", "mm or in"),
        ("KAPR [rad]", "the unit 'rad' in the head 'KAPR [rad]'", "degrees"),
        ("RPMX (1/s)", "the unit '1/s' in the head 'RPMX (1/s)'", "1/min"),
        ("LU (LPR)", "the unit 'LPR' in the head 'LU (LPR)'", "mm or in"),
    ],
)
def test_a_unit_that_a_column_cannot_have_is_refused(head: str, found: str, wanted: str, crib: Crib) -> None:
    (problem,) = refused(crib, f"{HEAD};{head}\nE;solid_end_mill;12;26;3;40\n")
    assert (problem.line, problem.found, problem.wanted) == (1, found, wanted)


def test_a_word_in_brackets_that_is_no_unit_is_told_as_a_remark(crib: Crib) -> None:
    found = crib(f"{HEAD};LPR (from the holder)\nE;solid_end_mill;12;26;3;40\n")
    assert found.cutters[0].LPR == 40
    assert any(
        "'from the holder' in the head 'LPR (from the holder)' is read as a remark" in note for note in found.notes
    )


def test_two_columns_of_one_kind_are_refused_by_both_heads(crib: Crib) -> None:
    (problem,) = refused(crib, f"{HEAD};dc [mm]\nE;solid_end_mill;12;26;3;12\n")
    assert (problem.field, problem.found) == ("DC", "'DC' and 'dc [mm]', each a head for it")
    (problem,) = refused(crib, "id;body;diameter;APMX;ZEFP;Durchmesser\nE;solid_end_mill;12;26;3;12\n")
    assert (problem.field, problem.found) == ("DC", "'diameter' and 'Durchmesser', each a head for it")


def test_a_plan_has_no_two_columns_of_one_kind_even_if_one_spells_it() -> None:
    with pytest.raises(BadInput, match="'cutter' and 'Tool', each a head for it"):
        plan("feature;cutter;Tool\nS1;E12;E12\n")


def test_cells_without_a_head_are_passed_over_aloud_and_empty_columns_in_silence(crib: Crib) -> None:
    found = crib(f";{HEAD};;\n;E;solid_end_mill;12;26;3;;\n\n;;;;;;;\n;F;solid_end_mill;12;26;3;;blue\n")
    assert [cutter.id for cutter in found.cutters] == ["E", "F"]
    assert [note for note in found.notes if "no head" in note] == [found.notes[-1]]
    assert found.notes[-1].endswith("column 8 has no head and was passed over.")


@pytest.mark.parametrize("above", ["All sizes in inches", "Maße in Zoll;;", "# inch sizes"])
def test_a_title_that_speaks_of_inches_is_asked_about(above: str, crib: Crib) -> None:
    (problem,) = refused(crib, f"{above}\n{HEAD}\nE;solid_end_mill;0,5;1;3\n")
    assert problem.wanted == "a first line '# units: inch' or '# units: mm', so that the lengths are sure"
    assert crib(f"# units: inch\n{above}\n{HEAD}\nE;solid_end_mill;0,5;1;3\n").cutters[0].DC == 12.7


@pytest.mark.parametrize("line", ["# units: inch", "units: inch;;", "Einheit;Zoll;", "#Units: in;;;"])
def test_the_units_of_a_crib_are_said_in_any_row_above_the_heads(line: str, crib: Crib) -> None:
    assert crib(f"Our tools;;;;\n{line}\n{HEAD}\nE;solid_end_mill;0,5;1;3\n").cutters[0].DC == 12.7


# Cells


@pytest.mark.parametrize(
    ("head", "cell", "value"),
    [
        ("RE", "R0,5", 0.5), ("RE", "r 0.5 mm", 0.5), ("RE", "0,5 R", 0.5), ("RE", " 0,5 ", 0.5), ("RE", "-", None),
        ("DCONMS", "Ø12", 12), ("DCONMS", "D12", 12), ("DCONMS", "⌀ 12,5 mm", 12.5), ("DCONMS", "12 mm", 12),
        ("DCONMS", "12 Ø", 12), ("DCONMS", "1/2 in", 12.7), ("DCONMS", "12\u00a0mm", 12), ("DCONMS", "–", None),
        ("KAPR", "89,5°", 89.5), ("KAPR", "90 Grad", 90), ("FHA", "42 deg", 42),
        ("RPMX", "28000 1/min", 28000), ("RPMX", "28'000", 28000), ("RPMX", "28 000 U/min", 28000),
        ("RPMX", "28\u202f000", 28000), ("RPMX", "1.200,5", 1200.5), ("RPMX", "1,200.5", 1200.5),
        ("RPMX", "1.200.000", "at most 200000"), ("RPMX", "+28000", 28000), ("LPR", "36,25", 36.25),
        ("LPR", "1e2", 100),
        ("end_cutting", "ja", True), ("end_cutting", "Nein", "dead_centre"), ("end_cutting", "x", True),
        ("end_cutting", "YES", True), ("end_cutting", "WAHR", True), ("end_cutting", "-", None),
        ("COATING", "TiAlN", "tialn"), ("substrate", "HSS", "hss"),
    ],
)  # fmt: skip
def test_signs_and_units_beside_a_number_are_understood(head: str, cell: str, value: Any, crib: Crib) -> None:
    if isinstance(value, str) and value not in ("tialn", "hss"):
        (problem,) = refused(crib, f"{HEAD};{head}\nE12;solid_end_mill;12;26;3;{cell}\n")
        assert value in str(problem)
        return
    cutter = one(crib, head, cell)
    if value is None:
        assert head in {told.name for told in cutter.assumed}
    else:
        assert getattr(cutter, head) == value


@pytest.mark.parametrize(
    ("head", "cell", "wanted"),
    [
        ("RE", "Ø0,5", "a length in mm"), ("DCONMS", "R6", "a length in mm"), ("LPR", "Ø40", "a length in mm"),
        ("LPR", "3D", "the unit mm or in"), ("RMPX", "5 mm", "a number in degrees"),
        ("RPMX", "28000 m/min", "a number in 1/min"),
        ("end_cutting", "perhaps", "yes or no (also ja, nein or x)"), ("LPR", "40,", "a length in mm"),
        ("LPR", "1.2.3", "a length in mm"), ("LPR", "12,3456,7", "a length in mm"),
        ("RPMX", "28.000", "a number that can be read one way only: 28.0 or 28000"),
        ("RPMX", "28,500", "a number that can be read one way only: 28.5 or 28500"),
        ("LPR", "1,250", "a number that can be read one way only: 1.25 or 1250"),
        ("DCONMS", "Ø1,250 mm", "a number that can be read one way only: 1.25 mm or 1250 mm"),
    ],
)  # fmt: skip
def test_a_cell_that_is_not_clear_is_refused_as_it_is_written(head: str, cell: str, wanted: str, crib: Crib) -> None:
    (problem,) = refused(crib, f"{HEAD};{head}\nE12;solid_end_mill;12;26;3;{cell}\n")
    assert (problem.line, problem.field) == (2, f"E12.{head}")
    assert wanted in problem.wanted
    assert problem.found.strip("'").lstrip("Ø") in cell or problem.found == "the unit 'd' in '3D'"


def test_three_places_behind_a_comma_are_clear_where_others_have_decimal_commas(crib: Crib) -> None:
    text = f"{HEAD};LPR\nE;solid_end_mill;12,000;26,000;3;40,5\n"
    assert (crib(text).cutters[0].DC, crib(text).cutters[0].APMX) == (12, 26)
    asked = refused(crib, text.replace("40,5", "40,500"))
    assert [problem.field for problem in asked] == ["E.DC", "E.APMX", "E.LPR"]


def test_a_point_before_three_places_is_asked_about_among_decimal_commas_only(crib: Crib) -> None:
    (problem,) = refused(crib, f"{HEAD};LPR\nE;solid_end_mill;11,5;26;3;40.500\n")
    assert problem.wanted == "a number that can be read one way only: 40.5 or 40500"
    assert one(crib, "LPR", "40.500").LPR == 40.5


def test_what_was_asked_about_reads_once_it_is_written_as_told(crib: Crib) -> None:
    (problem,) = refused(crib, f"{HEAD};RPMX\nE;solid_end_mill;11,5;26;3;8.000\n")
    for cell in problem.wanted.rpartition(": ")[2].split(" or "):
        assert float(cell) == crib(f"{HEAD};RPMX\nE;solid_end_mill;11,5;26;3;{cell}\n").cutters[0].RPMX


def test_every_fault_of_a_row_is_told_not_only_those_of_signs(crib: Crib) -> None:
    problems = refused(crib, f"{HEAD};RPMX;KAPR\nE;solid_end_mill;wide;26;3,5;8.000;120\n")
    assert [problem.field for problem in problems] == ["E.RPMX", "E.DC", "E.ZEFP", "E.KAPR"]


def test_teeth_may_have_a_decimal_sign_but_no_places(crib: Crib) -> None:
    assert crib(f"{HEAD}\nE;solid_end_mill;12;26;4,0\nF;solid_end_mill;12;26;Z4\n").cutters[0].ZEFP == 4
    assert "whole number" in refused(crib, f"{HEAD}\nE;solid_end_mill;12;26;4,5\n")[0].wanted


@given(
    size=st.integers(1, 24_999).map(lambda hundredths: hundredths / 100),
    written=st.sampled_from(["{}", "Ø{}", "D {}", "{} mm", " {}mm ", "ø {} mm", "{} Ø"]),
    comma=st.booleans(),
    workbook_of=st.booleans(),
)
def test_a_diameter_is_the_same_however_it_is_written(
    size: float, written: str, comma: bool, workbook_of: bool, tmp_path_factory: pytest.TempPathFactory
) -> None:
    cell = written.format(f"{size:.2f}".replace(".", ",") if comma else f"{size:.2f}")
    path = tmp_path_factory.getbasetemp() / "crib-of-diameters.csv"
    rows = [*CRIB[:1], ("E", "inserted_face_mill", "10", "0,5", "3"), ("F", "drill", cell, "0,5", "3")]
    path.write_bytes(workbook(("Crib", rows)) if workbook_of else "\n".join(map(";".join, rows)).encode())
    if size < 0.1:
        with pytest.raises(BadInput, match=r"F\.DC.*at least 0\.1 mm"):
            read_crib(path)
    else:
        assert size == read_crib(path).cutters[1].DC


# Plans


def test_a_plan_is_read_by_common_words_with_units_in_its_heads() -> None:
    text = (
        "Programm Seitenplatte;;;;;;\nProgrammierer;AB;;;;;\n"
        "Merkmal;Werkzeug;Verfahren;ap [mm];Drehzahl (1/min);vf [m/min];Stege\n"
        "S1 + P1;E12;Layered pocketing;1,5;8'000;2,4;nein\n"
    )
    row = operation(text)
    assert (row.feature, row.cutter, row.method) == (("S1", "P1"), "E12", "layered_pocketing")
    assert (row.axial_depth, row.spindle_speed, row.feed_rate, row.tabs) == (1.5, 8000, 2400, False)
    assert plan(text).programmer == "AB"


@pytest.mark.parametrize(
    ("heads", "cells", "wanted"),
    [
        ("vf", "2.400", "2.4 or 2400"), ("vf [mm/min]", "1,200", "1.2 or 1200"), ("n", "8.000", "8.0 or 8000"),
        ("fz [mm/U]", "0,1", "mm or in"), ("n [m/min]", "100", "1/min"), ("vf [mm]", "100", "mm/min, m/min or in/min"),
        ("Vorschub", "100", "wanted feed_rate"),
    ],
)  # fmt: skip
def test_a_number_of_a_plan_that_may_mean_two_things_is_asked_about(heads: str, cells: str, wanted: str) -> None:
    with pytest.raises(BadInput) as caught:
        plan(f"feature;cutter;{heads}\nS1;E12;{cells}\n")
    assert wanted in str(caught.value)


def test_a_plan_may_stand_in_a_workbook(tmp_path: Path) -> None:
    path = tmp_path / "plan.xlsx"
    path.write_bytes(workbook(("Plan", [("feature", "cutter", "ap"), ("S1", "E12", 1.5)])))
    (only,) = read_plan(path).operations
    assert (only.row.feature, only.row.axial_depth) == (("S1",), 1.5)


def test_ids_and_diameters_of_a_plan_in_a_workbook_are_those_of_the_crib(tmp_path: Path) -> None:
    path = tmp_path / "plan.xlsx"
    rows = [("feature", "tool", "ap", "ae"), ("s1", "e12", "1xD", "50 %"), ("S1", "E12", "1xD", "50 % of Ø")]
    path.write_bytes(workbook(("Plan", rows)))
    known = Known({"S1": "slot"}, {"E12": make_cutter(id="E12", body="solid_end_mill", DC=12, APMX=26, ZEFP=3)})
    for operation in read_plan(path, "mm", known).operations:
        row = operation.row
        assert (row.feature, row.cutter, row.axial_depth, row.radial_width) == (("S1",), "E12", 12, 6)


def test_a_word_of_a_plan_that_is_asked_about_is_told_by_its_cell(tmp_path: Path) -> None:
    path = tmp_path / "plan.xlsx"
    path.write_bytes(workbook(("Plan", [("feature", "cutter", "method"), ("S1", "E12", "boring")])))
    with pytest.raises(BadInput, match=r"cell C2: operation of line 2\.method: found 'boring', which has several"):
        read_plan(path)
    known = Known({"S1": "slot"}, {"e12": None, "E12": None})
    path.write_bytes(workbook(("Plan", [("feature", "cutter"), ("S1", "E012")])))
    with pytest.raises(BadInput, match=r"cell B2: operation of line 2\.cutter: found 'E012'; wanted e12 or E12"):
        read_plan(path, "mm", known)


# Hostile texts

HUGE = {
    "a million columns": (";" * 1_000_000 + "\nid;body;DC;APMX;ZEFP\nE;drill;12;26;3\n", None),
    "a head of a million columns": (HEAD + ";a" * 1_000_000 + "\nE;drill;12;26;3\n", "more than 200 columns"),
    "a row of a million cells": (f"{HEAD}\nE;drill;12;26;3" + ";a" * 1_000_000 + "\n", "1000005 cells"),
    "quotes alone": ('"' * 3_999_999, "an error in the CSV"),
    "titles without end": ("title\n" * 99_000, "'title'"),
    "brackets without end": (("[(" * 9_000 + ";") * 190 + "\n", "no head id"),
    "a number without end": (f"{HEAD}\nE;drill;{'1.' * 1_900_000};26;3\n", "an error in the CSV"),
    "blanks in a number": (f"{HEAD}\nE;drill;{'1' + ' ' * 100_000 + 'x'};26;3\n", "'1  "),
}


@pytest.mark.parametrize("name", HUGE)
def test_a_hostile_text_is_answered_soon(name: str, crib: Crib) -> None:
    text, found = HUGE[name]
    assert len(text) < 4_000_000
    with at_most(4.0):
        if found is None:
            assert len(crib(text).cutters) == 1
        else:
            problems = refused(crib, text)
            assert any(problem.found.startswith(found) for problem in problems), [str(one) for one in problems][:3]


def test_the_crib_that_the_readme_shows_is_read(crib: Crib) -> None:
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    shown = readme.partition("## Tables as spreadsheets write them")[2].split("```\n")[1]
    assert [(cutter.id, cutter.DC, cutter.RE) for cutter in crib(shown).cutters] == [("E12", 12, 0.2), ("E9", 9.85, 0)]
