"""Workbooks (.xlsx): their sheets as rows of cells, read by openpyxl within bounds of size, time and memory."""

from __future__ import annotations

import io
import re
import warnings
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from itertools import zip_longest
from typing import TYPE_CHECKING, Any, NoReturn

from advisor.files.problems import BadInput, Problem, shown

if TYPE_CHECKING:
    from openpyxl import Workbook as OpenWorkbook

ZIP, OLE = b"PK\x03\x04", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"  # how a workbook begins, and how an old one does
MOST_PARTS = 2_000
MOST_BYTES = 32_000_000  # of all parts, unpacked
MOST_TAGS = 1_500_000  # of all parts
MOST_OTHER_TAGS = 100_000  # of parts that are neither a sheet nor the texts of sheets: they are held in memory whole
MOST_SHEETS = 200
MOST_WORK = 5_000_000  # sheets times tags: several sheets may name one part
MOST_FORMULAS = 50_000
MOST_CELLS = 2_000_000
INSTALL = "openpyxl (pip install openpyxl), or the sheet saved as CSV"
_LARGE = re.compile(r"xl/(worksheets/[^/]+|sharedstrings)\.xml", re.IGNORECASE)
_SHEET = re.compile(rb"<(?:\w+:)?sheet[\s/>]")
_FORMULA = re.compile(rb"<(?:\w+:)?f[\s/>]")
# A cell with a formula and nothing stored beside it, as programs write that do not calculate.
_UNSTORED = re.compile(
    rb"<(?:\w+:)?f(?:\s[^<>]*)?(?:/>|>[^<]*</(?:\w+:)?f>)\s*(?:<(?:\w+:)?v(?:\s[^<>]*)?(?:/>|>\s*</(?:\w+:)?v>)\s*)?"
    rb"</(?:\w+:)?c>"
)


@dataclass(frozen=True, slots=True)
class Unreadable:
    """A cell that holds neither a number nor text: what was found in it, and what is wanted instead."""

    found: str
    wanted: str


Cell = str | float | Unreadable | None


@dataclass(frozen=True, slots=True)
class Workbook:
    """An open workbook: the titles of its sheets that are not hidden, in their order."""

    name: str
    titles: tuple[str, ...]
    _stored: OpenWorkbook
    _formulas: OpenWorkbook | None

    def rows(self, title: str, most: int) -> list[tuple[int, list[Cell]]]:
        """The rows of a sheet that hold anything among its first ``most``, each with its number; an empty one with the
        next number if there are more.

        Raises:
            BadInput: a sheet that cannot be read, or of more cells than any table has.
        """
        with _told(self.name):
            return list(self._rows(title, most))

    def _rows(self, title: str, most: int) -> Iterator[tuple[int, list[Cell]]]:
        stored = _cells(self._stored, title)
        formulas = _cells(self._formulas, title) if self._formulas else iter(())
        count = 0
        for number, (row, beside) in enumerate(zip_longest(stored, formulas, fillvalue=()), 1):
            if number > most:
                yield number, []
                return
            count += len(row)
            if count > MOST_CELLS:
                _refuse(self.name, f"more than {MOST_CELLS} cells in the sheet {shown(title)}", "a smaller sheet")
            cells = [_cell(*pair) for pair in zip_longest(row, beside)]
            while cells and cells[-1] is None:
                cells.pop()
            if cells:
                yield number, cells


def is_workbook(data: bytes) -> bool:
    """Whether the bytes are those of a workbook and not of a text."""
    return data.startswith((ZIP, OLE))


def open_workbook(name: str, data: bytes) -> Workbook:
    """The workbook of a file's bytes.

    Raises:
        BadInput: no workbook of this kind, one that is damaged or that would take too much time or memory, or openpyxl
            is not installed.
    """
    if data.startswith(OLE):
        _refuse(
            name, "an old workbook (.xls), or one with a password", "the workbook saved as .xlsx without a password"
        )
    with _told(name):
        unstored = _bounded(name, data)
    try:
        import openpyxl
    except ImportError:
        _refuse(name, "a workbook, and openpyxl, which reads it, is not installed", INSTALL)
    with _told(name):
        stored = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
        formulas = openpyxl.load_workbook(io.BytesIO(data), read_only=True, keep_links=False) if unstored else None
    titles = tuple(sheet.title for sheet in stored.worksheets if sheet.sheet_state == "visible")
    if not titles:
        _refuse(name, "a workbook without a sheet that is shown", "a sheet with the table")
    return Workbook(name, titles, stored, formulas)


def _bounded(name: str, data: bytes) -> bool:
    """Whether a formula of the workbook has no stored value, once its parts are known to be of a bearable size."""
    tags = other_tags = sheets = formulas = 0
    unstored = False
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        parts = archive.infolist()
        names = {part.filename for part in parts}
        if len(parts) > MOST_PARTS or sum(part.file_size for part in parts) > MOST_BYTES:
            found = f"a workbook of more than {MOST_PARTS} parts or {MOST_BYTES / 1e6:g} MB unpacked"
            _refuse(name, found, "the sheet alone, in a workbook of its own or as CSV")
        if "[Content_Types].xml" not in names:
            _refuse(name, "a packed file that is no workbook (.xlsx)", "a workbook saved as .xlsx, or the sheet as CSV")
        if len(names) < len(parts):
            _refuse(name, "a workbook with two parts of one name", "a workbook as a spreadsheet saves it")
        for part in parts:
            if not part.filename.casefold().endswith((".xml", ".rels")):
                continue
            content = archive.read(part)  # no more of it than it says to hold
            if b"<!DOCTYPE" in (bare := content.replace(b"\0", b"")) or b"<!ENTITY" in bare:
                _refuse(name, f"a document type in the part {shown(part.filename)}", "a workbook without")
            count = bare.count(b"<")
            tags += count
            formulas += len(_FORMULA.findall(bare))
            if not _LARGE.fullmatch(part.filename):
                other_tags += count
                sheets += len(_SHEET.findall(bare))
            elif not unstored and formulas <= MOST_FORMULAS:
                unstored = _UNSTORED.search(bare) is not None
    limits = (
        (tags, MOST_TAGS), (other_tags, MOST_OTHER_TAGS), (sheets, MOST_SHEETS), (sheets * tags, MOST_WORK),
        (formulas, MOST_FORMULAS),
    )  # fmt: skip
    if any(found > most for found, most in limits):
        _refuse(
            name, "a workbook with more in it than any table has", "the sheet alone, in a workbook of its own or as CSV"
        )
    return unstored


def _cells(workbook: OpenWorkbook, title: str) -> Iterator[Any]:
    sheet: Any = workbook[title]
    sheet.reset_dimensions()  # what a file says of its size need not be so
    return iter(sheet.iter_rows())


def _cell(stored: Any, beside: Any) -> Cell:
    """What a cell holds; ``beside`` is the same cell with its formula, where that is looked at."""
    value = None if stored is None else stored.value
    if value is None:
        if beside is not None and beside.data_type == "f":
            return Unreadable("a formula without a stored value", "the workbook calculated and saved once more")
        return None
    if stored.data_type == "e":
        return Unreadable(f"the error {shown(str(value))}", "a number or text")
    if isinstance(value, date | datetime | time | timedelta):
        wanted = (
            "a number or text: some programs make a date of 1.5 or 3/4, so format the cell as text and type it again"
        )
        day = value.date() if isinstance(value, datetime) and value.time() == time() else value
        return Unreadable(f"a date ({day})", wanted)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return float(value) if abs(value) < 1e300 else str(value)
    text = str(value).strip()
    return text or None


@contextmanager
def _told(name: str) -> Iterator[None]:
    """Whatever a damaged workbook brings up inside becomes BadInput; warnings about its looks are kept quiet."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            yield
        except BadInput:
            raise
        # Whatever it is: zipfile, zlib, the XML parser and openpyxl each have their own kinds of error for bad bytes.
        except Exception as error:
            found = f"a damaged workbook ({_reason(error)})"
            _refuse(name, found, "a workbook that a spreadsheet opens, or the sheet saved as CSV")


def _reason(error: Exception) -> str:
    known = {zipfile.BadZipFile: "not packed as it must be", zlib.error: "not packed as it must be"}
    return next((said for kind, said in known.items() if isinstance(error, kind)), "a part of it cannot be read")


def _refuse(name: str, found: str, wanted: str) -> NoReturn:
    raise BadInput([Problem(name, None, "", found, wanted)])
