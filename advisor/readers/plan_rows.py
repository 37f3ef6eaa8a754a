"""The operations of a plan as rows, whoever wrote them: checked one by one, and put in the order of work."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import islice
from typing import Any

from advisor.files.checking import faults
from advisor.files.problems import MOST_PROBLEMS, BadInput, Problem, shown
from advisor.files.unit_scales import showing
from advisor.files.units import Units
from advisor.model.operations import Operation, OperationRow


def in_order(rows: list[tuple[OperationRow, int | None]], name: str, problems: list[Problem]) -> tuple[Operation, ...]:
    """The operations in the order of work: by ``order`` where that is said, else as they stand.

    Two operations with one place, or a place for some of them only, are a problem.
    """
    seen: set[int] = set()
    for row, line in rows if any(row.order is not None for row, _ in rows) else ():
        if row.order is None:
            problems.append(Problem(name, line, "order", "nothing", "an order for every operation, or for none"))
        elif row.order in seen:
            problems.append(Problem(name, line, "order", f"{row.order} a second time", "each place once"))
        else:
            seen.add(row.order)
    ordered = sorted(rows, key=lambda pair: pair[0].order or 0)
    return tuple(Operation(place + 1, row, name, line) for place, (row, line) in enumerate(ordered))


def row_of(
    given: Mapping[str, Any], units: Units, place: tuple[str, int | None, str], problems: list[Problem]
) -> OperationRow | None:
    """The operation of what a cell or a word said; ``place`` is file, line and name of it. Problems are added."""
    from pydantic import ValidationError

    file, line, name = place
    try:
        with showing(units):
            return OperationRow.model_validate(dict(given), context={"units": units})
    except ValidationError as error:
        for steps, fault in islice(faults(error, OperationRow), MOST_PROBLEMS + 1):
            field = ".".join([name, *map(str, steps)])
            problems.append(Problem(file, line, field, fault.found or "nothing", fault.wanted, fault.nearest))
        return None


def refuse(name: str, line: int | None, field: str, found: object, wanted: str, nearest: str | None = None) -> BadInput:
    """A plan that cannot be read, to be raised."""
    return BadInput([Problem(name, line, field, found if isinstance(found, str) else shown(found), wanted, nearest)])
