"""A plan as a table: the fields, the symbols of the trade, or common words as heads, and an operation a line."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

from advisor.files.checking import raise_if_any
from advisor.files.decimals import with_point
from advisor.files.problems import Misfit, Problem, listed
from advisor.files.units import Units, number_or_text
from advisor.model.operations import MOST_OPERATIONS, OperationRow, Plan
from advisor.readers.cells import THOUSANDS, Holds
from advisor.readers.grids import Kind
from advisor.readers.plan_rows import NOTHING, Known, in_order, noted_row
from advisor.readers.tables import read_table

HOLDS: Mapping[str, Holds] = {
    "feature": "text", "cutter": "text", "method": "word", "entry": "word", "entry_cutter": "text",
    "axial_depth": "length", "radial_width": "length", "levels": "count", "allowance_side": "length",
    "allowance_bottom": "length", "overcut": "length", "ramp_angle": "angle", "feed_per_tooth": "per_tooth",
    "feed_per_revolution": "per_revolution", "feed_rate": "rate", "cutting_speed": "cutting_speed",
    "spindle_speed": "speed", "order": "count", "coolant": "word", "tabs": "answer",
    "programmer": "text",
}  # fmt: skip
TEXTS = frozenset(name for name, holds in HOLDS.items() if holds in ("text", "word"))  # ids and words, as spelt
LARGE = frozenset(name for name, holds in HOLDS.items() if holds in THOUSANDS)  # commonly beyond a thousand
_APART = re.compile(r"\s*[+,;&]\s*")


def _named(_: Mapping[str, Any], line: int) -> str:
    return f"operation of line {line}"


KIND = Kind("plan", "operation", ("feature", "cutter"), HOLDS, MOST_OPERATIONS, _named, strict=True)


def read_plan_table(name: str, data: bytes, units: Units, known: Known = NOTHING) -> Plan:
    """The plan of a table in CSV or in a workbook; plain lengths are in ``units`` unless it says otherwise. ``known``
    is what it can name.

    Raises:
        BadInput: with everything that is wrong with it.
    """
    problems: list[Problem] = []
    table = read_table(name, data, KIND, units, problems)
    programmers = {table.said["programmer"]} if "programmer" in table.said else set()
    rows: list[tuple[OperationRow, int | None]] = []
    notes = list(table.notes)
    for entry in table.entries:
        given = dict(entry.given)
        if (who := given.pop("programmer", None)) is not None:
            programmers.add(str(who))
        if "feature" in given:
            given["feature"] = _APART.split(given["feature"])
        try:
            if entry.name:
                rows.append((noted_row(given, table.units, f"{name}: {entry.name}", known, notes), entry.line))
        except (ValidationError, Misfit) as error:
            problems.extend(table.faults(entry, error, OperationRow))
    if len(programmers) > 1:
        problems.append(Problem(name, None, "programmer", listed(sorted(programmers)), "one programmer a plan"))
    operations = in_order(rows, name, problems)
    raise_if_any(problems)
    return Plan(name, next(iter(programmers), None), operations, tuple(notes), table.units, "units" in table.said)


def cell_value(head: str, cell: str, signs: frozenset[str] = frozenset()) -> Any:
    """What a spoken word says for a field: ids and words as they are, numbers with a point. ``signs`` are the decimal
    signs that the numbers beside it surely have.

    Raises:
        Misfit: a number that can be read two ways.
    """
    if head == "feature":
        return _APART.split(cell)
    if head in TEXTS:
        return cell
    return number_or_text(with_point(cell, signs, thousands=head in LARGE))
