"""A plan read from YAML, or from a table."""

from __future__ import annotations

from itertools import islice
from pathlib import Path
from typing import Any

from advisor.files.checking import as_list, checked, problem_at, raise_if_any, respelt
from advisor.files.problems import MOST_PROBLEMS, Fault, Problem
from advisor.files.reading import read_data
from advisor.files.thousands import unclear_thousands
from advisor.files.units import Units, parse_units
from advisor.files.yaml_reader import Document, YamlPath, parse_yaml, read_yaml
from advisor.model.fields import Frozen, Word
from advisor.model.job import UnitsField
from advisor.model.operations import MOST_OPERATIONS, OperationRow, Plan
from advisor.readers.plan_rows import in_order

TABLES = (".csv", ".tsv", ".txt", ".xlsx", ".xlsm", ".xls")  # endings of tables; what is none of them is YAML
_TEXTS = frozenset({"feature", "cutter", "method", "entry", "entry_cutter", "coolant", "programmer"})

_THOUSANDS = frozenset({"spindle_speed", "feed_rate"})


def read_plan(path: Path, units: Units = "mm") -> Plan:
    """The plan of a YAML file, a CSV file or a workbook; plain lengths are in ``units`` unless the file says otherwise.

    Raises:
        BadInput: with everything that is wrong with the file.
    """
    if path.suffix.casefold() in TABLES:
        from advisor.readers.plan_table import read_plan_table
        from advisor.readers.tables import LARGEST_FILE

        return read_plan_table(str(path), read_data(path, LARGEST_FILE), units)
    return _plan_of(read_yaml(path), units)


def parse_plan(text: str, units: Units = "mm") -> Plan:
    """The plan of a YAML text; plain lengths are in ``units`` unless the text says otherwise.

    Raises:
        BadInput: with everything that is wrong with it.
    """
    return _plan_of(parse_yaml(text, "plan"), units)


def _plan_of(document: Document, units: Units) -> Plan:
    problems: list[Problem] = []
    found = plan_of(document, units, problems)
    raise_if_any(problems)
    if found is None:
        raise AssertionError("no plan, yet no problem was found")
    return found


def plan_of(document: Document, units: Units, problems: list[Problem]) -> Plan | None:
    """The plan of a YAML document; nothing, and what is wrong with it, where it is none."""
    value = document.value
    if not isinstance(value, dict):
        problems.append(problem_at(document, (), Fault("a plan: operations, each with feature and cutter")))
        return None
    head = respelt(document, (), _TEXTS)
    programmer = checked(_Head, document, (), {k: v for k, v in head.items() if k != "operations"}, problems)
    own = _own_units(value.get("units"), units)
    rows: list[tuple[OperationRow, int | None]] = []
    entries = as_list(document, ("operations",), "a list of operations", problems)
    for index in range(len(entries[: MOST_OPERATIONS + 1])):
        path: YamlPath = ("operations", index)
        entry = respelt(document, path, _TEXTS)
        if not isinstance(entry, dict):
            problems.append(problem_at(document, path, Fault("an operation: a mapping with feature and cutter")))
            continue
        row = checked(OperationRow, document, path, _spelt(document, path, entry), problems, {"units": own})
        if row is not None:
            rows.append((row, document.line(path)))
        if len(problems) > MOST_PROBLEMS:
            break
    problems.extend(islice(unclear_thousands(document, "operations", _THOUSANDS), MOST_PROBLEMS + 1))
    if len(entries) > MOST_OPERATIONS:
        wanted = f"at most {MOST_OPERATIONS}"
        problems.append(problem_at(document, ("operations",), Fault(wanted, f"{len(entries)} operations")))
    if problems or programmer is None:
        return None
    operations, said = in_order(rows, document.name, problems), programmer.units is not None
    return Plan(document.name, programmer.programmer, operations, (), own, said)


class _Head(Frozen):
    programmer: Word | None = None
    units: UnitsField | None = None


def _spelt(document: Document, path: YamlPath, entry: dict[str, Any]) -> dict[str, Any]:
    """The ids of a list of features as they were spelt."""
    names = entry.get("feature")
    if not isinstance(names, list):
        return entry
    spelt = [document.texts.get((*path, "feature", place), name) for place, name in enumerate(names)]
    return entry | {"feature": spelt}


def _own_units(word: Any, units: Units) -> Units:
    try:
        return units if word is None else parse_units(word)
    except ValueError:  # told by the check of the head
        return units
