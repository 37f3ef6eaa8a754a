"""A plan read from YAML, or from a table."""

from __future__ import annotations

from itertools import islice
from pathlib import Path
from typing import Any

from advisor.files.checking import as_list, checked, problem_at, raise_if_any, respelt, value_at
from advisor.files.problems import MOST_PROBLEMS, Fault, Misfit, Problem, shown
from advisor.files.reading import read_data
from advisor.files.thousands import unclear_thousands
from advisor.files.units import Units, units_or
from advisor.files.yaml_reader import Document, YamlPath, parse_yaml, read_yaml
from advisor.knowledge.trade_words import column
from advisor.model.operations import MOST_OPERATIONS, OperationRow, Plan, PlanHead
from advisor.readers.plan_rows import NOTHING, Known, in_order, settled
from advisor.readers.plan_table import LARGE, TEXTS, read_plan_table
from advisor.readers.tables import LARGEST_FILE

TABLES = (".csv", ".tsv", ".txt", ".xlsx", ".xlsm", ".xls")  # endings of tables; what is none of them is YAML


def read_plan(path: Path, units: Units = "mm", known: Known = NOTHING) -> Plan:
    """The plan of a YAML file, a CSV file or a workbook; plain lengths are in ``units`` unless the file says otherwise.
    ``known`` is what it can name: without that, ids are taken as they are spelt, and nothing can be told in diameters
    of a cutter.

    Raises:
        BadInput: with everything that is wrong with the file.
    """
    if path.suffix.casefold() in TABLES:
        return read_plan_table(str(path), read_data(path, LARGEST_FILE), units, known)
    return _plan_of(read_yaml(path), units, known)


def parse_plan(text: str, units: Units = "mm", known: Known = NOTHING) -> Plan:
    """The plan of a YAML text; for the rest as ``read_plan``.

    Raises:
        BadInput: with everything that is wrong with it.
    """
    return _plan_of(parse_yaml(text, "plan"), units, known)


def _plan_of(document: Document, units: Units, known: Known) -> Plan:
    problems: list[Problem] = []
    found = plan_of(document, units, problems, known)
    raise_if_any(problems)
    if found is None:
        raise AssertionError("no plan, yet no problem was found")
    return found


def plan_of(document: Document, units: Units, problems: list[Problem], known: Known = NOTHING) -> Plan | None:
    """The plan of a YAML document; nothing, and what is wrong with it, where it is none."""
    value = document.value
    if not isinstance(value, dict):
        problems.append(problem_at(document, (), Fault("a plan: operations, each with feature and cutter")))
        return None
    said = {key: held for key, held in respelt(document, (), TEXTS).items() if key != "operations"}
    head = checked(PlanHead, document, (), said, problems)
    own = units_or(value.get("units"), units)
    rows: list[tuple[OperationRow, int | None]] = []
    notes: list[str] = []
    large: set[str] = set()  # the keys whose numbers are commonly beyond a thousand
    entries = as_list(document, ("operations",), "a list of operations", problems)
    for index in range(len(entries[: MOST_OPERATIONS + 1])):
        path: YamlPath = ("operations", index)
        if not isinstance(entries[index], dict):
            problems.append(problem_at(document, path, Fault("an operation: a mapping with feature and cutter")))
            continue
        row = _row(document, path, own, problems, known, notes, large)
        if row is not None:
            rows.append((row, document.line(path)))
        if len(problems) > MOST_PROBLEMS:
            break
    problems.extend(islice(unclear_thousands(document, "operations", frozenset(large)), MOST_PROBLEMS + 1))
    if len(entries) > MOST_OPERATIONS:
        wanted = f"at most {MOST_OPERATIONS}"
        problems.append(problem_at(document, ("operations",), Fault(wanted, f"{len(entries)} operations")))
    if problems or head is None:
        return None
    operations = in_order(rows, document.name, problems)
    return Plan(document.name, head.programmer, operations, tuple(notes), own, head.units is not None)


def _row(
    document: Document,
    path: YamlPath,
    units: Units,
    problems: list[Problem],
    known: Known,
    notes: list[str],
    large: set[str],
) -> OperationRow | None:
    """The operation at a path. Problems, notes, and the keys of ``LARGE`` are added."""
    before = len(problems)
    names = _names(document, path, problems)
    large |= {key for key, name in names.items() if name in LARGE}
    renamed = _renamed(document, path, names)
    try:
        found = settled({name: _text(document, (*path, key), name) for key, name in names.items()}, known)
    except Misfit as error:
        problems += [problem_at(renamed, (*path, fault.field or ""), fault) for fault in error.faults]
        return None
    row = checked(OperationRow, renamed, path, found.given, problems, found.context(units))
    notes += [f"{document.name}:{document.line(path)}: {note}." for note in found.notes]
    return row if len(problems) == before else None


def _names(document: Document, path: YamlPath, problems: list[Problem]) -> dict[str, str]:
    """The field that each key of an operation names; a key that nobody knows names itself, and is told of later."""
    names: dict[str, str] = {}
    for key in value_at(document.value, path):
        try:
            field = column("plan", key) or key
        except Misfit as error:
            problems.append(problem_at(document, (*path, key), error.faults[0]))
            continue
        if field in names.values():
            twice = f"{shown(key)}, a second value for {field}"
            problems.append(problem_at(document, (*path, key), Fault("each setting once", twice)))
        else:
            names[key] = field
    return names


def _renamed(document: Document, path: YamlPath, names: dict[str, str]) -> Document:
    """The lines of an operation by its fields, whatever its keys are called."""
    lines = {(*path, name): line for key, name in names.items() if (line := document.line((*path, key))) is not None}
    return Document(document.name, document.value, {path: document.line(path) or 1} | lines)


def _text(document: Document, path: YamlPath, field: str) -> Any:
    """The value at a path; ids and words as they were spelt."""
    held = value_at(document.value, path)
    if field == "feature" and isinstance(held, list):
        return [document.texts.get((*path, place), name) for place, name in enumerate(held)]
    return document.texts.get(path, held) if field in TEXTS else held
