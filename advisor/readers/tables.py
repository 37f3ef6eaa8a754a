"""Tables as spreadsheets write them, of cutters or of operations: found, and read cell by cell."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import islice
from typing import Any, NoReturn

from pydantic import BaseModel, ValidationError

from advisor.files.checking import faults
from advisor.files.csv_lines import csv_lines, csv_rows
from advisor.files.encodings import decoded
from advisor.files.problems import MOST_PROBLEMS, BadInput, Fault, Misfit, Problem, listed, nearest_word, shown
from advisor.files.units import Units, parse_units
from advisor.files.workbook import Cell, Unreadable, is_workbook, open_workbook
from advisor.readers.cells import LENGTH_UNITS, WORDS, Holds, decimal_signs, unfit_unit, value_of
from advisor.readers.columns import Head, TableOf, folded, nearest_column, read_head, unit_of

LARGEST_FILE = 4_000_000
MOST_COLUMNS = 200
MOST_LINES = 100_000  # empty ones and remarks, too
MOST_ABOVE = 30  # rows among which the heads are looked for
SIGNS = {"comma": ",", "semicolon": ";", "tab": "\t"}

_MEASURES_SAID = re.compile(r"\b(mm|millimet(?:re|er)s?|inch(?:es)?|zoll)\b", re.IGNORECASE)
_SAID = {"units": "units", "unit": "units", "einheit": "units", "einheiten": "units", "masseinheit": "units",
         "programmer": "programmer", "programmierer": "programmer"}  # fmt: skip

Row = tuple[int, Sequence[Cell]]


@dataclass(frozen=True, slots=True)
class Kind:
    """What a table is of: the noun of a row, what a column holds by its field, which fields it must have, and more.

    ``named`` gives the name of a row in problems, from what its cells say and its number; ``strict`` refuses a column
    that is not known instead of passing it over; ``symbols`` are further words for heads.
    """

    table: TableOf
    noun: str
    needed: tuple[str, ...]
    holds: Mapping[str, Holds]
    most_rows: int
    named: Callable[[Mapping[str, Any], int], str]
    strict: bool = False
    symbols: Mapping[str, str] = field(default_factory=dict)

    @property
    def nouns(self) -> str:
        """The noun for several."""
        return f"{self.noun}s"


@dataclass(frozen=True, slots=True)
class Entry:
    """A row of a table: its line, its name in problems, what its cells say by field, the same as it was written, and
    the fields that say nothing sure, whose problems are told already.
    """

    line: int
    name: str
    given: Mapping[str, Any]
    written: Mapping[str, Cell] = field(default_factory=dict)
    unsure: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Table:
    """A table as it was read: its units, what stands above its heads (``programmer``), its rows, and what was taken
    for granted in reading. ``places`` gives the sheet and column of a field of a workbook.
    """

    name: str
    units: Units
    said: Mapping[str, str]
    entries: tuple[Entry, ...]
    notes: tuple[str, ...]
    places: Mapping[str, str]

    def problem(self, entry: Entry, steps: Sequence[object], found: str, wanted: str, nearest: str | None) -> Problem:
        """What is wrong with a field of a row; a value out of a cell is shown as it is written there."""
        first = str(steps[0]) if steps else ""
        if first in entry.given and found == shown(entry.given[first]) and found != entry.written[first]:
            found = shown(entry.written[first])
        cell = f"{place}{entry.line}: " if (place := self.places.get(first)) else ""
        return Problem(self.name, entry.line, cell + ".".join([entry.name, *map(str, steps)]), found, wanted, nearest)

    def faults(self, entry: Entry, error: ValidationError | Misfit, model: type[BaseModel]) -> Iterator[Problem]:
        """What is wrong with a row as the check of its model says, but for cells whose problem is told already."""
        told: Iterable[tuple[tuple[object, ...], Fault]] = (
            [((fault.field,) if fault.field else (), fault) for fault in error.faults]
            if isinstance(error, Misfit)
            else islice(faults(error, model), MOST_PROBLEMS + 1)
        )
        for steps, fault in told:
            if not steps or steps[0] not in entry.unsure:
                yield self.problem(entry, steps, fault.found or "nothing", fault.wanted, fault.nearest)


@dataclass(slots=True)
class _Grid:
    """The rows of a sheet or a text: which row has the heads, what stands above it, and how it is written."""

    name: str
    sheet: str | None
    rows: list[Row]
    head: int
    heads: list[Head]
    remarks: list[tuple[int, str]]
    delimiter: str | None = None
    encoding: str = "utf-8"
    fits: bool = False
    notes: list[str] = field(default_factory=list)

    @property
    def head_line(self) -> int:
        return self.rows[self.head][0]

    def column(self, index: int) -> str:
        """What a column is called in problems of a workbook: ``sheet 'Crib', cell C``, to be followed by the row."""
        return "" if self.sheet is None else f"sheet {shown(self.sheet)}, cell {_letters(index)}"


def read_table(name: str, data: bytes, kind: Kind, units: Units, problems: list[Problem]) -> Table:
    """The table of a file's bytes, text or workbook; plain lengths are in ``units`` unless the file says otherwise.

    What is wrong with single cells is added to the problems.

    Raises:
        BadInput: the table cannot be read at all: not found, ambiguous, too large, or without the heads it needs.
    """
    grid = _in_workbook(name, data, kind) if is_workbook(data) else _in_text(name, data, kind)
    _check_heads(grid, kind)
    said, own = _above(grid, units)
    entries = tuple(_entries(grid, kind, problems))
    places = {head.field: grid.column(at) for at, head in enumerate(grid.heads) if head.field} if grid.sheet else {}
    return Table(name, own, said, entries, tuple(grid.notes), places)


def _refuse(name: str, line: int | None, found: str, wanted: str, where: str = "") -> NoReturn:
    raise BadInput([Problem(name, line, where, found, wanted)])


# Where the table stands


def _empty(name: str, kind: Kind, found: str = "an empty file") -> NoReturn:
    wanted = f"a head line ({', '.join(kind.needed)} and more) and {_a(kind.noun)} a line"
    _refuse(name, None, found, wanted)


def _a(noun: str) -> str:
    return f"{'an' if noun[0] in 'aeiou' else 'a'} {noun}"


def _in_workbook(name: str, data: bytes, kind: Kind) -> _Grid:
    """The first sheet whose heads fit; where none does, the one that comes nearest."""
    workbook = open_workbook(name, data)
    best: _Grid | None = None
    for title in workbook.titles:
        rows: list[Row] = [row for row in workbook.rows(title, MOST_ABOVE * 2) if row[1]]
        found = _with_heads(_Grid(name, title, rows, 0, [], []), kind)
        if found and (best is None or (found.fits, _known(found.heads)) > (best.fits, _known(best.heads))):
            best = found
        if best and best.fits:
            break
    if best is None or best.sheet is None:
        _empty(name, kind)
    best.rows = list(workbook.rows(best.sheet, MOST_LINES))
    if best.rows and best.rows[-1][0] > MOST_LINES:
        _refuse(name, MOST_LINES + 1, f"more than {MOST_LINES} lines", f"a smaller {kind.table}")
    if len(workbook.titles) > 1:
        best.notes.append(f"{name}: the sheet {shown(best.sheet)} was read.")
    return best


def _in_text(name: str, data: bytes, kind: Kind) -> _Grid:
    """The table of a CSV text, with the sign between cells that gives it the heads it needs."""
    text, encoding = decoded(name, data)
    lines = csv_lines(text)
    if len(lines) > MOST_LINES:
        _refuse(name, MOST_LINES + 1, f"more than {MOST_LINES} lines", f"a smaller {kind.table}")
    remarks: list[tuple[int, str]] = []
    start = 0
    while start < len(lines) and (lines[start].startswith("#") or not lines[start].strip(" \t\n,;")):
        if remark := lines[start].lstrip("#").strip(" \t\n,;"):
            remarks.append((start + 1, remark))
        start += 1
    if start == len(lines):
        _empty(name, kind, "an empty file" if not remarks else "remarks alone")
    found: dict[str, _Grid] = {}
    slip: BadInput | None = None
    for word, sign in SIGNS.items():
        rows: list[Row] = []
        try:
            for row in islice(csv_rows(name, lines[start:], sign, start), MOST_ABOVE):
                rows.append(row)
        except BadInput as error:  # told where the rows are read to their end, should this be the sign
            slip = slip or error
        if grid := _with_heads(_Grid(name, None, rows, 0, [], list(remarks), sign, encoding), kind):
            found[word] = grid
    if not found:
        if slip is None:
            _empty(name, kind)
        raise slip
    grid = found[_sign_between(name, found, lines[start])]
    grid.rows = list(csv_rows(name, lines[start:], grid.delimiter or ",", start))
    return grid


def _sign_between(name: str, found: Mapping[str, _Grid], first: str) -> str:
    """The sign that parts the cells: the one that gives the heads, else the commonest of the first line."""
    fitting = [word for word, grid in found.items() if grid.fits]
    if len(fitting) == 1:
        return fitting[0]
    if not fitting:
        most = max(_known(grid.heads) for grid in found.values())
        fitting = [word for word, grid in found.items() if most and _known(grid.heads) == most]
        if len(fitting) == 1 and most > 1:
            return fitting[0]
    among = fitting or list(found)
    counts = {word: first.count(SIGNS[word]) for word in among}
    best = [word for word in among if counts[word] == max(counts.values())]
    line = found[best[0]].head_line
    if counts[best[0]] == 0:
        _refuse(name, line, shown(first.rstrip("\n")), "heads with a comma, a semicolon or a tab between them")
    if len(best) > 1:
        _refuse(name, line, f"as many of {listed(best)}", "one sign between the heads")
    return best[0]


def _with_heads(grid: _Grid, kind: Kind) -> _Grid | None:
    """The grid with its heads: the first row that has all that are needed, else the row with the most known ones."""
    best: tuple[bool, int] | None = None
    for index, (_, cells) in enumerate(grid.rows[:MOST_ABOVE]):
        heads = [_head(cell, kind) for cell in cells[: MOST_COLUMNS + 1]]
        named = {head.field for head in heads}
        rank = named.issuperset(kind.needed), _known(heads)
        if best is None or rank > best:
            best = rank
            grid.head, grid.heads, grid.fits = index, heads, rank[0]
        if rank[0]:
            break
    return grid if best is not None else None


def _head(cell: Cell, kind: Kind) -> Head:
    return read_head(cell, kind.table, kind.symbols) if isinstance(cell, str) else Head(None)


def _known(heads: Sequence[Head]) -> int:
    return len({head.field for head in heads} - {None})


# What the heads say, and what stands above them


def _check_heads(grid: _Grid, kind: Kind) -> None:
    """Nothing, if the heads can be used; notes about those that are passed over are added to the grid."""
    name, (line, cells) = grid.name, grid.rows[grid.head]
    if len(cells) > MOST_COLUMNS:
        _refuse(name, line, f"more than {MOST_COLUMNS} columns", "a head line of fewer")
    texts = ["" if cell is None else cell.found if isinstance(cell, Unreadable) else str(cell) for cell in cells]
    fields = [head.field for head in grid.heads]
    sheet = "" if grid.sheet is None else f"sheet {shown(grid.sheet)}: "
    problems: list[Problem] = []
    for repeated in dict.fromkeys(one for one in fields if one is not None and fields.count(one) > 1):
        columns = [shown(text) for text, one in zip(texts, fields, strict=True) if one == repeated]
        found = f"{columns[0]} twice" if len(set(columns)) == 1 else f"{' and '.join(columns)}, each a head for it"
        problems.append(Problem(name, line, sheet + repeated, found, "each head once: one column of a kind"))
    strange = [text for text, one in zip(texts, fields, strict=True) if text and one is None]
    for needed in kind.needed:
        if needed not in fields:
            near = nearest_word(needed, strange)
            found = f"no head {needed}" + (f" (but {shown(near)})" if near else "")
            wanted = f"a head line with {listed(kind.needed)}".replace(" or ", " and ") + ", or common words for them"
            problems.append(Problem(name, line, sheet + needed, found, wanted, needed if near else None))
    for text, head in zip(texts, grid.heads, strict=True):
        if head.field is not None and (fit := unfit_unit(head, kind.holds[head.field])):
            found = (
                f"the unit {shown(head.remark)} in the head {shown(text)}" if head.remark else f"the head {shown(text)}"
            )
            problems.append(Problem(name, line, sheet + head.field, found, fit))
        elif head.field is not None and head.remark is not None and head.unit is None:
            grid.notes.append(f"{name}:{line}: {shown(head.remark)} in the head {shown(text)} is read as a remark.")
    known = [one for one in kind.holds if one not in fields]
    for text in strange:
        near = nearest_word(text, [*known, *kind.symbols] if kind.strict else known) or nearest_column(
            text, kind.table, known
        )
        if kind.strict:
            wanted = f"one of {listed(kind.holds)}, or a symbol of the trade"
            problems.append(Problem(name, line, sheet + shown(text), "a head that nobody knows", wanted, near))
        else:
            hint = f" Did you mean {near}?" if near else ""
            grid.notes.append(f"{name}:{line}: the column {shown(text)} is not known and was passed over.{hint}")
    if problems:
        raise BadInput(problems)


def _above(grid: _Grid, units: Units) -> tuple[dict[str, str], Units]:
    """What remarks and rows above the heads say, and the units of the table. Titles are passed over, and noted."""
    name, said = grid.name, dict[str, str]()
    titles: list[str] = []
    above = [(line, f"#{remark}") for line, remark in grid.remarks]
    for line, cells in grid.rows[: grid.head]:
        filled = [str(cell) for cell in cells if isinstance(cell, str | float) and cell != ""]
        parted = len(filled) == 2 and folded(filled[0]) in _SAID
        above.append((line, f"{filled[0].rstrip(': ')}: {filled[1]}" if parted else " ".join(filled)))
    for line, text in above:
        word, colon, value = text.lstrip("#").strip().partition(":")
        value, meaning = value.strip(" \t,;"), _SAID.get(folded(word)) if colon else None
        if meaning is None:
            titles.append(text)
            if not text.startswith("#"):
                grid.notes.append(f"{name}:{line}: {shown(text)} stands above the heads and was passed over.")
            continue
        if meaning == "units" and _units_of(name, line, value) != _units_of(name, line, said.get("units", value)):
            _refuse(name, line, shown(value), f"the units of the whole file once, after {said['units']}", "units")
        said[meaning] = value
    if "units" in said:
        return said, _units_of(name, None, said["units"])
    for text in titles:
        for word in _MEASURES_SAID.findall(text):
            if LENGTH_UNITS[unit_of(word) or "mm"] != units:
                wanted = f"a first line '# units: {unit_of(word)}' or '# units: {units}', so that the lengths are sure"
                _refuse(name, None, f"{shown(text.lstrip('#'))} above the heads", wanted, "units")
    return said, units


def _units_of(name: str, line: int | None, value: str) -> Units:
    try:
        return parse_units(value)
    except Misfit as error:
        _refuse(name, line, shown(value), error.faults[0].wanted, "units")


# What the cells say


def _entries(grid: _Grid, kind: Kind, problems: list[Problem]) -> Iterator[Entry]:
    """The rows under the heads. Problems of cells are added; how numbers are written is noted."""
    rows = grid.rows[grid.head + 1 :]
    if not rows:
        _refuse(grid.name, None, f"no {kind.noun}", f"at least one {kind.noun} under the head line")
    if len(rows) > kind.most_rows:
        _refuse(
            grid.name, rows[kind.most_rows][0], f"more than {kind.most_rows} {kind.nouns}", f"a smaller {kind.table}"
        )
    numbers = [at for at, head in enumerate(grid.heads) if head.field and kind.holds[head.field] not in WORDS]
    signs = decimal_signs(cells[at] for _, cells in rows for at in numbers if at < len(cells))
    grid.notes[:0] = _how_written(grid, signs)
    headless: set[int] = set()
    for line, cells in rows:
        yield _entry(grid, kind, signs, line, cells, headless, problems)
    for at in sorted(headless):
        grid.notes.append(f"{grid.name}: column {at + 1} has no head and was passed over.")


def _how_written(grid: _Grid, signs: frozenset[str]) -> Iterator[str]:
    """A note on how a text is written, where it is not plain UTF-8 with commas between cells and decimal points."""
    parts = []
    if grid.encoding != "utf-8":
        parts.append(f"it is read as {'UTF-16' if grid.encoding == 'utf-16' else grid.encoding}")
    if grid.delimiter in (";", "\t"):
        word = next(word for word, sign in SIGNS.items() if sign == grid.delimiter)
        parts.append(f"cells are read as set apart by a {word}")
    if "," in signs:
        parts.append("decimal commas are read as points")
    if parts:
        yield f"{grid.name}: {', and '.join([', '.join(parts[:-1]), parts[-1]] if len(parts) > 1 else parts)}."


def _entry(
    grid: _Grid, kind: Kind, signs: frozenset[str], line: int, cells: Sequence[Cell], headless: set[int],
    problems: list[Problem],
) -> Entry:  # fmt: skip
    heads = grid.heads
    # After a comma even empty cells count: a comma in a number has moved them all.
    extra = [at for at in range(len(heads), len(cells)) if grid.delimiter == "," or cells[at] not in ("", None)]
    if extra:
        first = cells[0] if isinstance(cells[0], str) and cells[0] else kind.named({}, line)
        hint = "; a decimal comma begins a new cell unless it is quoted" if grid.delimiter == "," else ""
        where = first if grid.sheet is None else f"{grid.column(extra[0])}{line}: {first}"
        found = f"{len(cells)} cells"
        problems.append(Problem(grid.name, line, where, found, f"{len(heads)}, as many as heads{hint}"))
        return Entry(line, "", {})
    given: dict[str, Any] = {}
    written: dict[str, Cell] = {}
    unsure: list[tuple[int, str, str, str, str | None]] = []
    for at, (head, cell) in enumerate(zip(heads, cells, strict=False)):
        if head.field is None:
            if cell not in ("", None) and not grid.rows[grid.head][1][at]:
                headless.add(at)
            continue
        try:
            value = value_of(cell, head, kind.holds[head.field], signs)
        except Misfit as error:
            fault = error.faults[0]
            unsure.append((at, head.field, fault.found or shown(cell), fault.wanted, fault.nearest))
            continue
        if value is not None:
            given[head.field], written[head.field] = value, cell
    name = kind.named(given, line)
    for at, missed, found, wanted, nearest in unsure:
        place = f"{grid.column(at)}{line}: " if grid.sheet else ""
        problems.append(Problem(grid.name, line, f"{place}{name}.{missed}", found, wanted, nearest))
    return Entry(line, name, given, written, frozenset(fault[1] for fault in unsure))


def _letters(index: int) -> str:
    """The letters of a column of a sheet, from 0: A, B … Z, AA."""
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters
