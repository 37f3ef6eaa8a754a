"""The crib: a CSV file of cutters with the symbols of ISO 13399 as heads."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NoReturn

from pydantic import ValidationError

from advisor.files.checking import faults, raise_if_any
from advisor.files.csv_lines import Row, csv_lines, csv_rows
from advisor.files.problems import MOST_PROBLEMS, BadInput, Fault, Misfit, Problem, listed, nearest_word, shown
from advisor.files.reading import read_text
from advisor.files.unit_scales import showing
from advisor.files.units import Units, number_or_text, parse_units
from advisor.knowledge.trade_words import column, columns, nearest_head
from advisor.model.cutter import Cutter, CutterRow, complete_cutter

LARGEST_FILE = 4_000_000
MOST_CUTTERS = 5_000
MOST_COLUMNS = 200
MOST_LINES = 100_000  # empty ones and remarks, too
NEEDED = ("id", "body", "DC", "APMX", "ZEFP")

_LISTED_HEADS = ", ".join(CutterRow.model_fields)
_WORDS = frozenset({"body", "substrate", "COATING"})
_NUMBERS = frozenset({"ZEFP", "KAPR", "FHA", "RMPX", "RPMX", "point_angle"})


@dataclass(frozen=True, slots=True)
class CribFile:
    """The cutters of a crib in the order of its lines, what was passed over, and the units that it is written in."""

    cutters: tuple[Cutter, ...]
    notes: tuple[str, ...]
    units: Units = "mm"


@dataclass(frozen=True, slots=True)
class _Sheet:
    """Where a file is read from: its name, the units of its lengths, the sign between cells."""

    name: str
    units: Units
    delimiter: str


def read_crib(path: Path) -> CribFile:
    """Return the cutters of a CSV file. Raises BadInput with everything that is wrong with it."""
    text = read_text(path, limit_bytes=LARGEST_FILE)
    sheet, rows = _sheet(str(path), text)
    first = next(rows, None)
    if first is None:
        _stop(sheet.name, None, "an empty file", f"a head line ({_LISTED_HEADS}) and a cutter a line")
    heads, notes = _read_heads(sheet, first)
    problems: list[Problem] = []
    cutters: dict[str, tuple[int, Cutter]] = {}
    count = 0
    for line, cells in rows:
        count += 1
        if count > MOST_CUTTERS:
            _stop(sheet.name, line, f"more than {MOST_CUTTERS} cutters", "a smaller crib")
        cutter = _read_row(sheet, line, heads, cells, problems)
        if cutter is not None and cutter.id in cutters:
            wanted = f"another id (line {cutters[cutter.id][0]} has it already)"
            problems.append(Problem(sheet.name, line, "id", f"{shown(cutter.id)} twice", wanted))
        elif cutter is not None:
            cutters[cutter.id] = (line, cutter)
        if len(problems) > MOST_PROBLEMS:
            break
    if count == 0:
        _stop(sheet.name, None, "no cutter", "at least one cutter under the head line")
    raise_if_any(problems)
    return CribFile(tuple(cutter for _, cutter in cutters.values()), notes, sheet.units)


def _stop(name: str, line: int | None, found: str, wanted: str, field: str = "") -> NoReturn:
    raise BadInput([Problem(name, line, field, found, wanted)])


def _sheet(name: str, text: str) -> tuple[_Sheet, Iterator[Row]]:
    """Return how a file is written, and its rows from the head line on."""
    lines = csv_lines(text)
    if len(lines) > MOST_LINES:
        _stop(name, MOST_LINES + 1, f"more than {MOST_LINES} lines", "a smaller crib")
    units: Units = "mm"
    said: Units | None = None
    start = 0
    while start < len(lines) and (lines[start].startswith("#") or not lines[start].strip(" \t\n,;")):
        word, _, value = lines[start].lstrip("#").strip(" \t\n,;").partition(":")
        if word.strip().lower() == "units":
            try:
                units = parse_units(value)
            except Misfit as error:
                _stop(name, start + 1, shown(value.strip()), error.faults[0].wanted, "units")
            if said and said != units:
                _stop(name, start + 1, shown(value.strip()), f"the units of the whole file once, after {said}", "units")
            said = units
        start += 1
    head = lines[start] if start < len(lines) else ""
    delimiter = max(",;\t", key=head.count)
    sheet = _Sheet(name, units, delimiter)
    return sheet, csv_rows(name, lines[start:], delimiter, start)


def _read_heads(sheet: _Sheet, row: Row) -> tuple[list[str | None], tuple[str, ...]]:
    """Return the field of each column (None where it is passed over), and notes on those passed over."""
    line, cells = row
    if len(cells) > MOST_COLUMNS:
        _stop(sheet.name, line, f"more than {MOST_COLUMNS} columns", "a head line of fewer")
    heads = columns("crib", cells)
    strange = [cell for cell, head in zip(cells, heads, strict=True) if head is None and cell]
    problems = [
        Problem(sheet.name, line, head, f"{shown(head)} twice", "each head once")
        for head in dict.fromkeys(head for head in heads if head is not None)
        if heads.count(head) > 1
    ]
    for needed in NEEDED:
        if needed not in heads:
            near = nearest_word(needed, strange)
            found = f"no head {needed}" + (f" (but {shown(near)})" if near else "")
            wanted = f"a head line with {listed(NEEDED)}"
            problems.append(
                Problem(sheet.name, line, needed, found, wanted.replace(" or ", " and "), needed if near else None)
            )
    raise_if_any(problems)
    notes = []
    for cell in strange:
        if (other := column("crib", cell)) is not None:
            notes.append(f"{sheet.name}:{line}: the column {shown(cell)} was passed over, since {other} has its own.")
            continue
        near = nearest_head("crib", cell, [head for head in CutterRow.model_fields if head not in heads])
        hint = f" Did you mean {near}?" if near else ""
        notes.append(f"{sheet.name}:{line}: the column {shown(cell)} is not known and was passed over.{hint}")
    return heads, tuple(notes)


def _read_row(
    sheet: _Sheet, line: int, heads: list[str | None], cells: list[str], problems: list[Problem]
) -> Cutter | None:
    if len(cells) > len(heads):  # even if the last are empty: a comma in a number has moved them all
        hint = "; a decimal comma begins a new cell, so write a point" if sheet.delimiter == "," else ""
        wanted = f"{len(heads)}, as many as heads{hint}"
        problems.append(Problem(sheet.name, line, cells[0], f"{len(cells)} cells", wanted))
        return None
    given = {
        head: _cell(head, cell) for head, cell in zip(heads, cells, strict=False) if head is not None and cell != ""
    }
    name = str(given.get("id", f"row of line {line}"))
    try:
        with showing(sheet.units):
            return complete_cutter(CutterRow.model_validate(given, context={"units": sheet.units}))
    except ValidationError as error:
        problems.extend(_problem(sheet, line, name, place, fault) for place, fault in faults(error, CutterRow))
    except Misfit as error:
        problems.extend(_problem(sheet, line, name, (), fault) for fault in error.faults)
    return None


def _problem(sheet: _Sheet, line: int, name: str, place: tuple[Any, ...], fault: Fault) -> Problem:
    steps = [name, *map(str, place), *([fault.field] if fault.field else [])]
    return Problem(sheet.name, line, ".".join(steps), fault.found or "nothing", fault.wanted, fault.nearest)


def _cell(head: str, cell: str) -> Any:
    if head in _WORDS:
        return cell.lower()
    return number_or_text(cell) if head in _NUMBERS else cell
