"""Workbooks: which sheet is read, what a cell holds, what is refused with its sheet and cell, and hostile files."""

import datetime
import io
import resource
import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.files import workbook as bounds
from advisor.files.problems import BadInput, Problem
from advisor.paths import data_root
from advisor.readers.crib import CribFile, read_crib
from tests.fuzz.trial import at_most
from tests.readers.workbooks import CRIB, repacked, workbook

SHEET = "xl/worksheets/sheet1.xml"
LOOSE = settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
HEADS, ROW = CRIB


@pytest.fixture
def crib(tmp_path: Path) -> Callable[[bytes], CribFile]:
    """Return a reader of a crib given as the bytes of a workbook."""

    def reader(contents: bytes) -> CribFile:
        path = tmp_path / "crib.xlsx"
        path.write_bytes(contents)
        return read_crib(path)

    return reader


Crib = Callable[[bytes], CribFile]


def refused(crib: Crib, contents: bytes) -> tuple[Problem, ...]:
    """Return what is wrong with a crib."""
    with at_most(10.0), pytest.raises(BadInput) as caught:
        crib(contents)
    return caught.value.problems


def test_a_crib_is_read_from_a_workbook_as_from_a_text(crib: Crib, tmp_path: Path) -> None:
    heads = [None, "Werkzeug-Nr", "Bauart", "Ø [mm]", "Schneidenlänge", "Z", "R", "Zentrumschnitt"]
    first = [None, 12, "Solid end mill", 12, "26,5", 3.0, "R0,2", True]
    second = [None, "E9", "Solid end mill", 9.85, 22, 4, "-", "x"]
    rows: list[list[Any]] = [["Werkzeuge Halle 3"], [], heads, first, [], second]
    found = crib(workbook(("Fräser", rows)))
    assert [(cutter.id, cutter.DC, cutter.APMX, cutter.ZEFP, cutter.RE) for cutter in found.cutters] == [
        ("12", 12, 26.5, 3, 0.2),
        ("E9", 9.85, 22, 4, 0),
    ]
    text = tmp_path / "crib.csv"
    cells = (
        ("" if cell is None else "ja" if cell is True else str(cell).replace("9.85", "9,85") for cell in row)
        for row in rows
    )
    text.write_text("\n".join(map(";".join, cells)), encoding="utf-8")
    assert read_crib(text).cutters == found.cutters


def test_the_first_sheet_with_fitting_heads_is_read_and_named(crib: Crib) -> None:
    spare = ("id", "body", "DC", "APMX", "ZEFP"), ("OLD", "solid_end_mill", 12, 26, 3)
    sheets = ("Notes", [("Call the grinder",)]), ("Hidden", spare), ("Crib", CRIB), ("Spare", spare)
    found = crib(workbook(*sheets, hidden=["Hidden"]))
    assert [cutter.id for cutter in found.cutters] == ["E12"]
    assert [note.partition(": ")[2] for note in found.notes] == ["the sheet 'Crib' was read."]


def test_a_workbook_of_one_sheet_is_read_without_a_note(crib: Crib) -> None:
    assert crib(workbook(("Crib", CRIB))).notes == ()


def test_where_no_sheet_fits_the_nearest_one_is_told(crib: Crib) -> None:
    problems = refused(crib, workbook(("Notes", [("Call",)]), ("Crib", [("id", "body", "DC", "APMX"), ROW[:4]])))
    assert [(problem.line, problem.field, problem.found) for problem in problems] == [
        (1, "sheet 'Crib': ZEFP", "no head ZEFP")
    ]


@pytest.mark.parametrize(
    ("value", "found"),
    [
        (datetime.date(2026, 5, 1), "a date (2026-05-01)"),
        (datetime.time(12, 30), "a date (12:30:00)"),
        ("#DIV/0!", "the error '#DIV/0!'"),
        ("#N/A", "the error '#N/A'"),
        ("=2*6", "a formula without a stored value"),
    ],
)
def test_what_is_neither_number_nor_text_is_refused_with_sheet_and_cell(value: Any, found: str, crib: Crib) -> None:
    rows = [("remark", *HEADS), (value, *ROW), (None, "E10", "solid_end_mill", value, 26, 3)]
    (problem,) = refused(crib, workbook(("Our crib", rows)))
    assert (problem.line, problem.field, problem.found) == (3, "sheet 'Our crib', cell D3: E10.DC", found)
    assert Path(problem.file).name == "crib.xlsx"


def test_a_formula_is_read_by_its_stored_value(crib: Crib) -> None:
    made = workbook(("Crib", [HEADS, ("E12", "solid_end_mill", "=2*6", 26, 3)]))
    stored = repacked(
        made, {SHEET: lambda part: part.replace(b"<v></v>", b"<v>12</v>").replace(b"<v />", b"<v>12</v>")}
    )
    assert crib(stored).cutters[0].DC == 12
    assert b"2*6" in zipfile.ZipFile(io.BytesIO(stored)).read(SHEET)


def test_a_fault_of_a_row_names_the_cell(crib: Crib) -> None:
    (problem,) = refused(crib, workbook(("Crib", [HEADS, ("E12", "solid_end_mill", 1200, 26, 3)])))
    assert str(problem).endswith("crib.xlsx:2: sheet 'Crib', cell C2: E12.DC: found 1200; wanted at most 250 mm.")


def test_units_of_a_workbook_stand_above_its_heads_or_in_them(crib: Crib) -> None:
    for rows in (
        [("# units: inch",), *CRIB],
        [("Units", "inch"), *CRIB],
        [("id", "body", "DC [in]", "APMX [in]", "ZEFP"), ROW],
    ):
        cells = [*rows[:-1], ("E", "solid_end_mill", 0.5, 1, 3)]
        assert crib(workbook(("Crib", cells))).cutters[0].DC == 12.7


def test_a_workbook_is_known_by_its_bytes_not_by_its_name(tmp_path: Path) -> None:
    path = tmp_path / "crib.csv"
    path.write_bytes(workbook(("Crib", CRIB)))
    assert [cutter.id for cutter in read_crib(path).cutters] == ["E12"]


def test_without_openpyxl_it_is_told_how_to_install_it(crib: Crib, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "openpyxl", None)
    (problem,) = refused(crib, workbook(("Crib", CRIB)))
    assert problem.found == "a workbook, and openpyxl, which reads it, is not installed"
    assert problem.wanted == "openpyxl (pip install openpyxl), or the sheet saved as CSV"


def test_a_text_is_read_without_openpyxl(tmp_path: Path) -> None:
    path = tmp_path / "crib.csv"
    path.write_text("id,body,DC,APMX,ZEFP\nE,drill,12,26,3\n", encoding="utf-8")
    program = (
        "import sys; from pathlib import Path; from advisor.readers.crib import read_crib;"
        "read_crib(Path(sys.argv[1])); print('openpyxl' in sys.modules)"
    )
    ended = subprocess.run(
        [sys.executable, "-c", program, path], capture_output=True, text=True, check=True, cwd=data_root()
    )
    assert ended.stdout == "False\n"


# Hostile and damaged workbooks


def cells(count: int, reference: str = "") -> bytes:
    """Return a sheet's row of cells."""
    return b"<row>" + b"".join(b"<c" + reference.encode() + b"><v>1</v></c>" for _ in range(count)) + b"</row>"


def with_rows(more: bytes) -> bytes:
    """Return a workbook of a crib with more rows."""
    return repacked(
        workbook(("Crib", CRIB)), {SHEET: lambda part: part.replace(b"</sheetData>", more + b"</sheetData>")}
    )


GOOD = workbook(("Crib", CRIB))


def spoilt(name: str, old: bytes, new: bytes) -> bytes:
    """Return a good workbook with a piece of a part replaced."""
    return repacked(GOOD, {name: lambda part: part.replace(old, new)})


STYLES = b"<cellXfs>" + b'<xf numFmtId="14"/>' * 120_000 + b"</cellXfs><cellXfs"
SHEETS = b'<sheet name="a" sheetId="1" r:id="rId1"/>' * 300 + b"</sheets>"
ENTITY = b'<!DOCTYPE x [<!ENTITY a "' + b"a" * 90 + b'">]><x>&a;</x>'
TOO_MUCH = "a workbook with more in it than any table has"
HOSTILE = {
    "an old workbook": (bounds.OLE + b"\0" * 600, "an old workbook (.xls), or one with a password"),
    "half a workbook": (GOOD[:900], "a damaged workbook (not packed as it must be)"),
    "a packed file": (repacked(GOOD, {"[Content_Types].xml": None}), "a packed file that is no workbook"),
    "a part that is missing": (repacked(GOOD, {"xl/workbook.xml": None}), "a damaged workbook"),
    "no sheet": (repacked(GOOD, {SHEET: None}), "a workbook without a sheet that is shown"),
    "a sheet of rubbish": (repacked(GOOD, {SHEET: b"<worksheet><sheetData><row"}), "a damaged workbook"),
    "a zip bomb": (
        repacked(GOOD, {"xl/media/bomb.bin": b"\0" * 40_000_000}),
        "a workbook of more than 2000 parts or 32",
    ),
    "many parts": (repacked(GOOD, {f"x{at}.xml": b"" for at in range(2001)}), "a workbook of more than 2000 parts"),
    "entities": (repacked(GOOD, {SHEET: ENTITY}), "a document type in the part"),
    "entities in UTF-16": (repacked(GOOD, {SHEET: "<!DOCTYPE x><x/>".encode("utf-16")}), "a document type in the part"),
    "a million columns": (with_rows(cells(300_000)), "300000 cells"),
    "a row far below": (with_rows(b'<row r="99999999"><c r="A99999999"><v>1</v></c></row>'), "more than 100000 lines"),
    "many rows": (with_rows(b"<row><c><v>1</v></c></row>" * 100_000), "more than 100000 lines"),
    "many wide rows": (with_rows(b'<row><c r="XFD3"/></row>' * 9000), "more than 2000000 cells"),
    "many styles": (spoilt("xl/styles.xml", b"<cellXfs", STYLES), TOO_MUCH),
    "many sheets": (spoilt("xl/workbook.xml", b"</sheets>", SHEETS), TOO_MUCH),
    "many formulas": (with_rows(b"<row>" + b"<c><f>1</f></c>" * 60_000 + b"</row>"), TOO_MUCH),
    "a column that cannot be": (with_rows(b'<row r="3"><c r="ZZZZZ3"><v>1</v></c></row>'), "a damaged workbook"),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_workbook_is_refused_soon(name: str, crib: Crib) -> None:
    contents, found = HOSTILE[name]
    assert len(contents) < 4_000_000
    problems = refused(crib, contents)
    assert any(problem.found.startswith(found) for problem in problems), [str(problem) for problem in problems]


def test_a_hostile_workbook_takes_no_more_memory_than_a_large_text(tmp_path: Path) -> None:
    program = (
        "import sys; from pathlib import Path; from advisor.readers.crib import read_crib;"
        "from advisor.files.problems import BadInput\n"
        "for path in sys.argv[1:]:\n"
        "    try: read_crib(Path(path))\n"
        "    except BadInput as error: print('damaged' in str(error))"
    )
    named = ("a zip bomb", "a million columns", "many wide rows", "many rows")
    paths = [tmp_path / f"{name}.xlsx" for name in named]
    for name, path in zip(named, paths, strict=True):
        path.write_bytes(HOSTILE[name][0])
    ended = subprocess.run(
        [sys.executable, "-c", program, *paths], capture_output=True, text=True, check=False, cwd=data_root(),
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_AS, (900_000_000, 900_000_000)),
    )  # fmt: skip
    assert ended.stdout.split() == ["False"] * len(named), ended.stderr[-500:]


def test_a_large_crib_of_a_workbook_is_read_in_time(crib: Crib) -> None:
    rows = [HEADS, *((f"E{number}", "solid_end_mill", 12.0, 26, 3) for number in range(5000))]
    made = workbook(("Crib", rows))
    with at_most(5.0):
        assert len(crib(made).cutters) == 5000


PARTS = (
    SHEET,
    "xl/workbook.xml",
    "xl/styles.xml",
    "xl/_rels/workbook.xml.rels",
    "[Content_Types].xml",
    "docProps/core.xml",
)
PIECES = (
    b"<c", b"</c>", b"<v>", b"1e999", b"nan", b'r="', b't="s"', b't="d"', b't="e"', b't="b"', b"<f>", b"\0", b"&#0;",
    b"&lt;", b"99999999999", b"-1", b"<row", b"/>", b'"', b"\xff", b"<is><t>x</t></is>", b't="inlineStr"',
)  # fmt: skip


def answered(crib: Crib, contents: bytes) -> None:
    """Read a workbook: a result or a refusal that can be read; any other exception fails the test."""
    try:
        crib(contents)
        told: tuple[Problem, ...] = ()
    except BadInput as error:
        told = error.problems
    assert all(str(problem).isprintable() for problem in told)


@given(data=st.data())
@LOOSE
def test_a_workbook_with_a_piece_of_a_part_replaced_is_answered(data: Any, crib: Crib) -> None:
    name = data.draw(st.sampled_from(PARTS))

    def changed(part: bytes) -> bytes:
        start = data.draw(st.integers(0, len(part)))
        end = data.draw(st.integers(start, min(start + 12, len(part))))
        return part[:start] + data.draw(st.sampled_from(PIECES) | st.binary(max_size=4)) + part[end:]

    answered(crib, repacked(GOOD, {name: changed}))


@given(data=st.data())
@LOOSE
def test_a_workbook_with_any_bytes_replaced_is_answered(data: Any, crib: Crib) -> None:
    start = data.draw(st.integers(0, len(GOOD)))
    answered(crib, GOOD[:start] + data.draw(st.binary(max_size=8)) + GOOD[start + data.draw(st.integers(0, 8)) :])


VALUES = st.one_of(
    st.none(), st.booleans(), st.integers(), st.floats(allow_nan=False, allow_infinity=False),
    st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=8), st.dates(min_value=datetime.date(1900, 3, 1)),
    st.sampled_from(["Ø12", "1.200", "1,5", "R0,5", "x", "-", "#N/A", "=1", "12 mm", "ja", "°"]),
)  # fmt: skip


@given(rows=st.lists(st.lists(VALUES, min_size=5, max_size=6), min_size=1, max_size=4))
@LOOSE
def test_a_workbook_with_any_values_in_its_cells_is_answered(rows: list[list[Any]], crib: Crib) -> None:
    answered(crib, workbook(("Crib", [HEADS, *rows])))
