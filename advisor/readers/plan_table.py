"""A plan as a table: the fields, the symbols of the trade, or common words as heads, and an operation a line."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

from advisor.files.checking import raise_if_any
from advisor.files.decimals import with_point
from advisor.files.problems import Problem, listed
from advisor.files.units import Units, number_or_text
from advisor.model.operations import MOST_OPERATIONS, OperationRow, Plan
from advisor.readers.cells import THOUSANDS, Holds
from advisor.readers.grids import Kind
from advisor.readers.plan_rows import in_order
from advisor.readers.tables import read_table

SYMBOLS = {
    "ap": "axial_depth", "a_p": "axial_depth", "ae": "radial_width", "a_e": "radial_width", "fz": "feed_per_tooth",
    "f_z": "feed_per_tooth", "vf": "feed_rate", "v_f": "feed_rate", "n": "spindle_speed", "side": "allowance_side",
    "bottom": "allowance_bottom", "ramp": "ramp_angle", "drill": "entry_cutter",
}  # fmt: skip
WORDS = frozenset({"feature", "cutter", "method", "entry", "entry_cutter", "coolant", "programmer"})
HOLDS: Mapping[str, Holds] = {
    "feature": "text", "cutter": "text", "method": "word", "entry": "word", "entry_cutter": "text",
    "axial_depth": "length", "radial_width": "length", "levels": "count", "allowance_side": "length",
    "allowance_bottom": "length", "overcut": "length", "ramp_angle": "angle", "feed_per_tooth": "length",
    "feed_rate": "rate", "spindle_speed": "speed", "order": "count", "coolant": "word", "tabs": "answer",
    "programmer": "text",
}  # fmt: skip
_APART = re.compile(r"\s*[+,;&]\s*")


def _named(_: Mapping[str, Any], line: int) -> str:
    return f"operation of line {line}"


def _kind() -> Kind:
    symbols = {symbol.replace("_", ""): field for symbol, field in SYMBOLS.items()}
    return Kind(
        "plan", "operation", ("feature", "cutter"), HOLDS, MOST_OPERATIONS, _named, strict=True, symbols=symbols
    )


def field_of(head: str) -> str | None:
    """The field that a head or a symbol of the trade names; nothing where it is neither."""
    word = head.strip().casefold().replace(" ", "_").replace("-", "_")
    return word if word in OperationRow.model_fields or word == "programmer" else SYMBOLS.get(word)


def read_plan_table(name: str, data: bytes, units: Units) -> Plan:
    """The plan of a table in CSV or in a workbook; plain lengths are in ``units`` unless it says otherwise.

    Raises:
        BadInput: with everything that is wrong with it.
    """
    problems: list[Problem] = []
    table = read_table(name, data, _kind(), units, problems)
    programmers = {table.said["programmer"]} if "programmer" in table.said else set()
    rows: list[tuple[OperationRow, int | None]] = []
    for entry in table.entries:
        given = dict(entry.given)
        if (who := given.pop("programmer", None)) is not None:
            programmers.add(str(who))
        if "feature" in given:
            given["feature"] = _APART.split(given["feature"])
        try:
            if entry.name:
                row = OperationRow.model_validate(given, context={"units": table.units})
                rows.append((row, entry.line))
        except ValidationError as error:
            problems.extend(table.faults(entry, error, OperationRow))
    if len(programmers) > 1:
        problems.append(Problem(name, None, "programmer", listed(sorted(programmers)), "one programmer a plan"))
    operations = in_order(rows, name, problems)
    raise_if_any(problems)
    return Plan(name, next(iter(programmers), None), operations, table.notes, table.units, "units" in table.said)


def cell_value(head: str, cell: str) -> Any:
    """What a spoken word says for a field: ids and words as they are, numbers with a point.

    Raises:
        Misfit: a number that can be read two ways.
    """
    if head == "feature":
        return _APART.split(cell)
    if head in WORDS:
        return cell
    return number_or_text(with_point(cell, thousands=HOLDS.get(head) in THOUSANDS))
