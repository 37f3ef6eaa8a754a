"""A plan as a table: the fields, or the symbols of the trade, as heads, and an operation a line."""

from __future__ import annotations

import re
from typing import Any

from advisor.files.csv_lines import Row, csv_lines, csv_rows
from advisor.files.decimals import has_comma, with_point
from advisor.files.problems import Misfit, Problem, listed, shown
from advisor.files.units import Units, number_or_text, parse_units
from advisor.knowledge.trade_words import column, nearest_head
from advisor.model.operations import MOST_OPERATIONS, OperationRow, Plan
from advisor.readers.plan_rows import NOTHING, Known, in_order, refuse, row_of

WORDS = frozenset({"feature", "cutter", "method", "entry", "entry_cutter", "coolant", "programmer"})
NAMES = {"comma": ",", "semicolon": ";", "tab": "\t"}
MOST_COLUMNS = 60
_APART = re.compile(r"\s*[+,;&]\s*")


def read_plan_csv(name: str, text: str, units: Units, known: Known = NOTHING) -> Plan:
    """The plan of a CSV text. ``known`` is what it can name.

    Raises:
        BadInput: with everything that is wrong with it.
    """
    from advisor.files.checking import raise_if_any

    said, lines, before = _preface(name, text)
    own = _units(name, said, units)
    sign, notes = _delimiter(name, lines)
    table = list(csv_rows(name, lines, sign, before))
    heads = _heads(name, table[0]) if table else ()
    if len(table) < 2:
        raise refuse(name, None, "", "no operation", "a head line and an operation a line")
    if len(table) - 1 > MOST_OPERATIONS:
        raise refuse(name, None, "", f"{len(table) - 1} operations", f"at most {MOST_OPERATIONS}")
    problems: list[Problem] = []
    commas = has_comma(
        cell for _, cells in table[1:] for head, cell in zip(heads, cells, strict=False) if head not in WORDS
    )
    if commas:
        notes.append(f"{name}: decimal commas are read as points.")
    programmers = {said["programmer"]} if "programmer" in said else set()
    rows: list[tuple[OperationRow, int | None]] = []
    for line, cells in table[1:]:
        given = _given(name, line, heads, cells, commas, problems)
        if (who := given.pop("programmer", None)) is not None:
            programmers.add(str(who))
        row = row_of(given, own, (name, line, f"operation of line {line}"), problems, known, notes) if given else None
        if row is not None:
            rows.append((row, line))
    if len(programmers) > 1:
        problems.append(Problem(name, None, "programmer", listed(sorted(programmers)), "one programmer a plan"))
    operations = in_order(rows, name, problems)
    raise_if_any(problems)
    return Plan(name, next(iter(programmers), None), operations, tuple(notes), own, "units" in said)


def _preface(name: str, text: str) -> tuple[dict[str, str], list[str], int]:
    """What lines before the table say (``# units: inch``), the lines of the table, and how many come before it."""
    lines, said, start = csv_lines(text), {}, 0
    while start < len(lines) and (lines[start].startswith("#") or not lines[start].strip(" \t\n,;")):
        word, _, value = lines[start].lstrip("#").strip(" \t\n,;").partition(":")
        said[word.strip().casefold()] = value.strip()
        start += 1
    if not (lines := lines[start:]):
        raise refuse(name, None, "", "an empty file", "a head line with feature and cutter, and an operation a line")
    return said, lines, start


def _units(name: str, said: dict[str, str], units: Units) -> Units:
    try:
        return parse_units(said["units"]) if "units" in said else units
    except Misfit as error:
        raise refuse(name, None, "units", shown(said["units"]), error.faults[0].wanted) from None


def _delimiter(name: str, lines: list[str]) -> tuple[str, list[str]]:
    """The sign between cells, and a note where it is not the comma."""
    counts = {word: lines[0].count(sign) for word, sign in NAMES.items()}
    best = max(counts, key=lambda word: counts[word])
    if counts[best] == 0:
        raise refuse(
            name, None, "", shown(lines[0].rstrip("\n")), "heads with a comma, a semicolon or a tab between them"
        )
    if list(counts.values()).count(counts[best]) > 1:
        raise refuse(
            name,
            None,
            "",
            f"as many of {listed(w for w in counts if counts[w] == counts[best])}",
            "one separator between the heads",
        )
    return NAMES[best], [] if best == "comma" else [f"{name}: cells are read as separated by a {best}."]


def _heads(name: str, row: Row) -> tuple[str | None, ...]:
    line, cells = row
    if len(cells) > MOST_COLUMNS:
        raise refuse(name, line, "", f"{len(cells)} columns", f"at most {MOST_COLUMNS}")
    problems: list[Problem] = []
    heads = tuple(_head(name, line, cell, problems) for cell in cells)
    for cell, head in zip(cells, heads, strict=True):
        if head is not None and heads.count(head) > 1:
            problems.append(Problem(name, line, head, f"{shown(cell)}, a second column for it", "each field once"))
    missing = [field for field in ("feature", "cutter") if field not in heads]
    problems += [Problem(name, line, field, "no column for it", "heads with feature and cutter") for field in missing]
    if problems:
        from advisor.files.problems import BadInput

        raise BadInput(problems)
    return heads


def _head(name: str, line: int, cell: str, problems: list[Problem]) -> str | None:
    """The field of a column; nothing for one without a head, or where nobody knows it, which is then a problem."""
    try:
        head = column("plan", cell) if cell else None
        if head is None and cell:
            near = nearest_head("plan", cell, OperationRow.model_fields)
            wanted = f"one of {listed(OperationRow.model_fields)}, or a symbol of the trade"
            problems.append(Problem(name, line, shown(cell), "an unknown head", wanted, near))
    except Misfit as error:
        problems += [Problem(name, line, shown(cell), one.found or "", one.wanted) for one in error.faults]
        return None
    return head


def _given(
    name: str, line: int, heads: tuple[str | None, ...], cells: list[str], commas: bool, problems: list[Problem]
) -> dict[str, Any]:
    """The filled cells of a line by field; what is wrong with one is added to the problems, and nothing is given."""
    if len(cells) > len(heads):
        wanted = f"{len(heads)}, as many as heads; a decimal comma begins a new cell unless it is quoted"
        problems.append(Problem(name, line, "", f"{len(cells)} cells", wanted))
        return {}
    given: dict[str, Any] = {}
    before = len(problems)
    for head, cell in zip(heads, cells, strict=False):
        if head is None or not cell:
            continue
        try:
            given[head] = cell_value(head, cell, commas)
        except Misfit as error:
            problems.append(Problem(name, line, head, error.faults[0].found or shown(cell), error.faults[0].wanted))
    return given if len(problems) == before else {}


def cell_value(head: str, cell: str, commas: bool = False) -> Any:
    """What a cell or a spoken word says for a field: ids and words as they are, numbers with a point.

    Raises:
        Misfit: a number that can be read two ways.
    """
    if head == "feature":
        return _APART.split(cell)
    if head in WORDS:
        return cell
    return number_or_text(with_point(cell, commas))
