"""Tables of cutters or of operations, as spreadsheets write them: their heads, units and cells."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import islice
from typing import Any

from pydantic import BaseModel, ValidationError

from advisor.files.checking import faults
from advisor.files.problems import MOST_PROBLEMS, BadInput, Misfit, Problem, listed, nearest_word, shown
from advisor.files.units import Units, parse_units
from advisor.files.workbook import Cell, Unreadable
from advisor.knowledge.trade_words import column, folded, nearest_head, trade_words
from advisor.readers.cells import WORDS, decimal_signs, unfit_unit, value_of
from advisor.readers.columns import Head
from advisor.readers.grids import MOST_COLUMNS, SIGNS, Grid, Kind, grid_of, refuse

LARGEST_FILE = 4_000_000

_MEASURES_SAID = re.compile(r"\b(mm|millimet(?:re|er)s?|inch(?:es)?|zoll)\b", re.IGNORECASE)


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
        for steps, fault in islice(faults(error, model), MOST_PROBLEMS + 1):
            if not steps or steps[0] not in entry.unsure:
                yield self.problem(entry, steps, fault.found or "nothing", fault.wanted, fault.nearest)


def read_table(name: str, data: bytes, kind: Kind, units: Units, problems: list[Problem]) -> Table:
    """The table of a file's bytes, text or workbook; plain lengths are in ``units`` unless the file says otherwise.

    What is wrong with single cells is added to the problems.

    Raises:
        BadInput: the table cannot be read at all: not found, ambiguous, too large, or without the heads it needs.
    """
    grid = grid_of(name, data, kind)
    _check_heads(grid, kind)
    said, own = _above(grid, units)
    entries = tuple(_entries(grid, kind, problems))
    places = {head.field: grid.column(at) for at, head in enumerate(grid.heads) if head.field} if grid.sheet else {}
    return Table(name, own, said, entries, tuple(grid.notes), places)


# What the heads say, and what stands above them


def _check_heads(grid: Grid, kind: Kind) -> None:
    """Nothing, if the heads can be used; notes about those that are passed over are added to the grid."""
    name, (line, cells) = grid.name, grid.rows[grid.head]
    if len(cells) > MOST_COLUMNS:
        refuse(name, line, f"more than {MOST_COLUMNS} columns", "a head line of fewer")
    texts = ["" if cell is None else cell.found if isinstance(cell, Unreadable) else str(cell) for cell in cells]
    if not kind.strict:
        _pass_over_doubles(grid, texts)
    fields = [head.field for head in grid.heads]
    sheet = "" if grid.sheet is None else f"sheet {shown(grid.sheet)}: "
    problems: list[Problem] = []
    for repeated in dict.fromkeys(one for one in fields if one is not None and fields.count(one) > 1):
        columns = [shown(text) for text, one in zip(texts, fields, strict=True) if one == repeated]
        found = f"{columns[0]} twice" if len(set(columns)) == 1 else f"{' and '.join(columns)}, each a head for it"
        problems.append(Problem(name, line, sheet + repeated, found, "each head once: one column of a kind"))
    strange = [
        text
        for text, head in zip(texts, grid.heads, strict=True)
        if text and head in (Head(None), Head(None, head.unit))
    ]
    for needed in kind.needed:
        if needed not in fields:
            near = nearest_word(needed, strange)
            found = f"no head {needed}" + (f" (but {shown(near)})" if near else "")
            wanted = f"a head line with {listed(kind.needed)}".replace(" or ", " and ") + ", or common words for them"
            problems.append(Problem(name, line, sheet + needed, found, wanted, needed if near else None))
    for text, head in zip(texts, grid.heads, strict=True):
        if head.asked is not None:
            problems.append(
                Problem(name, line, sheet + shown(text), head.asked.found or shown(text), head.asked.wanted)
            )
        if head.field is not None and (fit := unfit_unit(head, kind.holds[head.field])):
            found = (
                f"the unit {shown(head.remark)} in the head {shown(text)}" if head.remark else f"the head {shown(text)}"
            )
            problems.append(Problem(name, line, sheet + head.field, found, fit))
        elif head.field is not None and head.remark is not None and head.unit is None:
            grid.notes.append(f"{name}:{line}: {shown(head.remark)} in the head {shown(text)} is read as a remark.")
    known = [one for one in kind.holds if one not in fields]
    passed = [text for text in strange if kind.strict and folded(text) in trade_words().remark_columns]
    if passed:
        told = listed([shown(text) for text in passed]).replace(" or ", " and ")
        say = "column {} says" if len(passed) == 1 else "columns {} say"
        over = "was" if len(passed) == 1 else "were"
        grid.notes.append(f"{name}:{line}: the {say.format(told)} nothing that is judged and {over} passed over.")
    for text in strange:
        if text in passed or column("above", text) == "units":
            continue
        near = nearest_word(text, known) or nearest_head(kind.table, text, known)
        if kind.strict:
            wanted = f"one of {listed(kind.holds)}, or a symbol of the trade"
            problems.append(Problem(name, line, sheet + shown(text), "a head that nobody knows", wanted, near))
        else:
            hint = f" Did you mean {near}?" if near else ""
            grid.notes.append(f"{name}:{line}: the column {shown(text)} is not known and was passed over.{hint}")
    if problems:
        raise BadInput(problems)


def _pass_over_doubles(grid: Grid, texts: Sequence[str]) -> None:
    """Where a head spells the name of its column, other words for it are passed over, and noted."""
    own = {head.field for head in grid.heads if head.own}
    for at, (text, head) in enumerate(zip(texts, grid.heads, strict=True)):
        if head.field in own and not head.own:
            grid.heads[at] = Head(None, remark=text)
            told = f"the column {shown(text)} was passed over, since {head.field} has its own."
            grid.notes.append(f"{grid.name}:{grid.head_line}: {told}")


def _above(grid: Grid, units: Units) -> tuple[dict[str, str], Units]:
    """What remarks and rows above the heads say, and the units of the table. Titles are passed over, and noted."""
    name, said = grid.name, dict[str, str]()
    titles: list[str] = []
    above = [(line, f"#{remark}") for line, remark in grid.remarks]
    for line, cells in grid.rows[: grid.head]:
        filled = [str(cell) for cell in cells if isinstance(cell, str | float) and cell != ""]
        parted = len(filled) == 2 and column("above", filled[0]) is not None
        above.append((line, f"{filled[0].rstrip(': ')}: {filled[1]}" if parted else " ".join(filled)))
    for line, text in above:
        word, colon, value = text.lstrip("#").strip().partition(":")
        value, meaning = value.strip(" \t,;"), column("above", word) if colon else None
        if meaning is None:
            titles.append(text)
            if not text.startswith("#"):
                grid.notes.append(f"{name}:{line}: {shown(text)} stands above the heads and was passed over.")
            continue
        if meaning == "units" and _units_of(name, line, value) != _units_of(name, line, said.get("units", value)):
            refuse(name, line, shown(value), f"the units of the whole file once, after {said['units']}", "units")
        said[meaning] = value
    for line, value in _units_column(grid):
        if _units_of(name, line, value) != _units_of(name, line, said.get("units", value)):
            refuse(name, line, shown(value), f"the units of the whole file, after {said['units']}", "units")
        said["units"] = value
    if "units" in said:
        return said, _units_of(name, None, said["units"])
    for text in titles:
        for word in _MEASURES_SAID.findall(text):
            if (own := parse_units(word)) != units:
                wanted = f"a first line '# units: {own}' or '# units: {units}', so that the lengths are sure"
                refuse(name, None, f"{shown(text.lstrip('#'))} above the heads", wanted, "units")
    return said, units


def _units_column(grid: Grid) -> Iterator[tuple[int, str]]:
    """What a column of units says in each row that has an entry there, as the part table of an advice has one."""
    cells = grid.rows[grid.head][1]
    places = [at for at, cell in enumerate(cells) if isinstance(cell, str) and column("above", cell) == "units"]
    for line, row in grid.rows[grid.head + 1 :]:
        yield from ((line, str(row[at])) for at in places if at < len(row) and row[at] not in (None, ""))


def _units_of(name: str, line: int | None, value: str) -> Units:
    try:
        return parse_units(value)
    except Misfit as error:
        refuse(name, line, shown(value), error.faults[0].wanted, "units")


# What the cells say


def _entries(grid: Grid, kind: Kind, problems: list[Problem]) -> Iterator[Entry]:
    """The rows under the heads. Problems of cells are added; how numbers are written is noted."""
    rows = grid.rows[grid.head + 1 :]
    if not rows:
        refuse(grid.name, None, f"no {kind.noun}", f"at least one {kind.noun} under the head line")
    if len(rows) > kind.most_rows:
        refuse(
            grid.name, rows[kind.most_rows][0], f"more than {kind.most_rows} {kind.noun}s", f"a smaller {kind.table}"
        )
    numbers = [at for at, head in enumerate(grid.heads) if head.field and kind.holds[head.field] not in WORDS]
    signs = decimal_signs(cells[at] for _, cells in rows for at in numbers if at < len(cells))
    grid.notes[:0] = _how_written(grid, signs)
    headless: set[int] = set()
    for line, cells in rows:
        yield _entry(grid, kind, signs, line, cells, headless, problems)
    for at in sorted(headless):
        grid.notes.append(f"{grid.name}: column {at + 1} has no head and was passed over.")


def _how_written(grid: Grid, signs: frozenset[str]) -> Iterator[str]:
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
    grid: Grid, kind: Kind, signs: frozenset[str], line: int, cells: Sequence[Cell], headless: set[int],
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
