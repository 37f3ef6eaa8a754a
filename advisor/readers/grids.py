"""Where a table stands in a file: the sheet of a workbook, the sign between cells of a text, the row of its heads."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import islice
from typing import Any, NoReturn

from advisor.files.csv_lines import csv_lines, csv_rows
from advisor.files.encodings import decoded
from advisor.files.problems import BadInput, Problem, listed, shown
from advisor.files.workbook import Cell, is_workbook, open_workbook
from advisor.knowledge.trade_words import Table
from advisor.readers.cells import Holds
from advisor.readers.columns import Head, read_head

MOST_COLUMNS = 200
MOST_LINES = 100_000  # empty ones and remarks, too
MOST_ABOVE = 30  # rows among which the heads are looked for
SIGNS = {"comma": ",", "semicolon": ";", "tab": "\t"}

Row = tuple[int, Sequence[Cell]]


@dataclass(frozen=True, slots=True)
class Kind:
    """What a table is of: the noun of a row, what a column holds by its field, which fields it must have, and more.

    ``named`` gives the name of a row in problems, from what its cells say and its number; ``strict`` refuses a column
    that is not known, or that has another beside it which spells its name, instead of passing it over.
    """

    table: Table
    noun: str
    needed: tuple[str, ...]
    holds: Mapping[str, Holds]
    most_rows: int
    named: Callable[[Mapping[str, Any], int], str]
    strict: bool = False


@dataclass(slots=True)
class Grid:
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


def grid_of(name: str, data: bytes, kind: Kind) -> Grid:
    """The table of a file's bytes, text or workbook.

    Raises:
        BadInput: there is none, it is too large, or it is parted in two ways.
    """
    return _in_workbook(name, data, kind) if is_workbook(data) else _in_text(name, data, kind)


def refuse(name: str, line: int | None, found: str, wanted: str, where: str = "") -> NoReturn:
    """Raises BadInput with the one thing that is wrong with a file as a whole."""
    raise BadInput([Problem(name, line, where, found, wanted)])


def _empty(name: str, kind: Kind, found: str = "an empty file") -> NoReturn:
    wanted = f"a head line ({', '.join(kind.needed)} and more) and {_a(kind.noun)} a line"
    refuse(name, None, found, wanted)


def _a(noun: str) -> str:
    return f"{'an' if noun[0] in 'aeiou' else 'a'} {noun}"


def _in_workbook(name: str, data: bytes, kind: Kind) -> Grid:
    """The first sheet whose heads fit; where none does, the one that comes nearest."""
    workbook = open_workbook(name, data)
    best: Grid | None = None
    for title in workbook.titles:
        rows: list[Row] = [row for row in workbook.rows(title, MOST_ABOVE * 2) if row[1]]
        found = _with_heads(Grid(name, title, rows, 0, [], []), kind)
        if found and (best is None or (found.fits, _known(found.heads)) > (best.fits, _known(best.heads))):
            best = found
        if best and best.fits:
            break
    if best is None or best.sheet is None:
        _empty(name, kind)
    best.rows = list(workbook.rows(best.sheet, MOST_LINES))
    if best.rows and best.rows[-1][0] > MOST_LINES:
        refuse(name, MOST_LINES + 1, f"more than {MOST_LINES} lines", f"a smaller {kind.table}")
    if len(workbook.titles) > 1:
        best.notes.append(f"{name}: the sheet {shown(best.sheet)} was read.")
    return best


def _in_text(name: str, data: bytes, kind: Kind) -> Grid:
    """The table of a CSV text, with the sign between cells that gives it the heads it needs."""
    text, encoding = decoded(name, data)
    lines = csv_lines(text)
    if len(lines) > MOST_LINES:
        refuse(name, MOST_LINES + 1, f"more than {MOST_LINES} lines", f"a smaller {kind.table}")
    remarks: list[tuple[int, str]] = []
    start = 0
    while start < len(lines) and (lines[start].startswith("#") or not lines[start].strip(" \t\n,;")):
        if remark := lines[start].lstrip("#").strip(" \t\n,;"):
            remarks.append((start + 1, remark))
        start += 1
    if start == len(lines):
        _empty(name, kind, "an empty file" if not remarks else "remarks alone")
    found: dict[str, Grid] = {}
    slip: BadInput | None = None
    for word, sign in SIGNS.items():
        rows: list[Row] = []
        try:
            for row in islice(csv_rows(name, lines[start:], sign, start), MOST_ABOVE):
                rows.append(row)
        except BadInput as error:  # told where the rows are read to their end, should this be the sign
            slip = slip or error
        if grid := _with_heads(Grid(name, None, rows, 0, [], list(remarks), sign, encoding), kind):
            found[word] = grid
    if not found:
        if slip is None:
            _empty(name, kind)
        raise slip
    grid = found[_sign_between(name, found, lines[start])]
    grid.rows = list(csv_rows(name, lines[start:], grid.delimiter or ",", start))
    return grid


def _sign_between(name: str, found: Mapping[str, Grid], first: str) -> str:
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
        refuse(name, line, shown(first.rstrip("\n")), "heads with a comma, a semicolon or a tab between them")
    if len(best) > 1:
        refuse(name, line, f"as many of {listed(best)}", "one separator between the heads")
    return best[0]


def _with_heads(grid: Grid, kind: Kind) -> Grid | None:
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
    return read_head(cell, kind.table) if isinstance(cell, str) else Head(None)


def _known(heads: Sequence[Head]) -> int:
    return len({head.field for head in heads} - {None})


def _letters(index: int) -> str:
    """The letters of a column of a sheet, from 0: A, B … Z, AA."""
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters
