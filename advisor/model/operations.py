"""A plan: what somebody chose for the features of a job, operation by operation. Anything but feature and cutter may be
left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Annotated, Any, NamedTuple

from pydantic import Field

from advisor.files.checking import as_list, checked, faults, problem_at, raise_if_any, respelt
from advisor.files.problems import MOST_PROBLEMS, BadInput, Fault, Problem, shown
from advisor.files.reading import read_text
from advisor.files.units import Units, parse_units
from advisor.files.yaml_reader import Document, YamlPath, parse_yaml, read_yaml
from advisor.model.fields import Frozen, LengthSchema, Word, YesNo, length, whole
from advisor.model.job import UnitsField
from advisor.model.plan_fields import Angle, CoolantWord, EntryWord, MethodWord, Names, Rate, Speed

MOST_OPERATIONS = 500
_TEXTS = frozenset({"feature", "cutter", "method", "entry", "entry_cutter", "coolant", "programmer"})


class OperationRow(Frozen):
    """One operation as it is written. Lengths [mm] and feed [mm/min] once read, speed [1/min], angle [degrees]."""

    feature: Names = Field(description="the id of a feature of the job, or a list of ids")
    cutter: Word = Field(description="the id of a cutter of the crib")
    method: MethodWord | None = Field(default=None, description="a method")
    entry: EntryWord | None = Field(default=None, description="a way in")
    entry_cutter: Word | None = Field(default=None, description="the id of the drill of a pre-drilled hole")
    axial_depth: Annotated[float, length("feature_depth_most"), LengthSchema] | None = Field(
        default=None, description="of a level"
    )
    radial_width: Annotated[float, length("cutting_diameter_most"), LengthSchema] | None = Field(
        default=None, description="radial width"
    )
    levels: Annotated[int, whole("levels_most")] | None = Field(default=None, description="a whole number of levels")
    allowance_side: Annotated[float, length("allowance_most", above_zero=False), LengthSchema] | None = Field(
        default=None, description="stock left on the walls"
    )
    allowance_bottom: Annotated[float, length("allowance_most", above_zero=False), LengthSchema] | None = Field(
        default=None, description="stock left on the floor"
    )
    overcut: Annotated[float, length("feature_depth_most", above_zero=False), LengthSchema] | None = Field(
        default=None, description="how far the cutter goes past the bottom"
    )
    ramp_angle: Angle | None = Field(default=None, description="of the way in, degrees")
    feed_per_tooth: Annotated[float, length("feed_per_tooth_most"), LengthSchema] | None = Field(
        default=None, description="feed per tooth"
    )
    feed_rate: Rate | None = Field(default=None, description="feed rate")
    spindle_speed: Speed | None = Field(default=None, description="spindle speed, 1/min")
    order: Annotated[int, whole("levels_most")] | None = Field(default=None, description="its place among the others")
    coolant: CoolantWord | None = Field(default=None, description="what cools the cut")
    tabs: YesNo | None = Field(default=None, description="whether tabs, a skin or clamps hold what would come loose")


class PlanFile(Frozen):
    """A plan as it is written."""

    programmer: Word | None = Field(default=None, description="who chose; initials suffice")
    units: UnitsField | None = Field(default=None, description="mm or inch; those of the job where left out")
    operations: tuple[OperationRow, ...] = Field(description="a list of operations", min_length=1)


class Operation(NamedTuple):
    """One operation of a plan, with its number in the order of work and the place it stands at."""

    number: int
    row: OperationRow
    file: str
    line: int | None

    @property
    def features(self) -> tuple[str, ...]:
        """The ids of the features it cuts."""
        return self.row.feature


class Plan(NamedTuple):
    """What somebody chose, in the order of work. ``notes`` tell what was assumed in reading.

    Numbers without a unit of their own were read in ``units``: those that the plan names (``units_said``), else those
    of the job.
    """

    name: str
    programmer: str | None
    operations: tuple[Operation, ...]
    notes: tuple[str, ...] = ()
    units: Units = "mm"
    units_said: bool = False


def read_plan(path: Path, units: Units = "mm") -> Plan:
    """The plan of a YAML or CSV file; plain lengths are in ``units`` unless the file says otherwise.

    Raises:
        BadInput: with everything that is wrong with the file.
    """
    if path.suffix.casefold() in (".csv", ".tsv", ".txt"):
        from advisor.readers.plan_csv import read_plan_csv

        return read_plan_csv(str(path), read_text(path, limit_bytes=4_000_000), units)
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
        return OperationRow.model_validate(dict(given), context={"units": units})
    except ValidationError as error:
        for steps, fault in _firsts(faults(error, OperationRow)):
            field = ".".join([name, *map(str, steps)])
            problems.append(Problem(file, line, field, fault.found or "nothing", fault.wanted, fault.nearest))
        return None


def _firsts(found: Iterator[tuple[YamlPath, Fault]]) -> Iterator[tuple[YamlPath, Fault]]:
    for place, pair in enumerate(found):
        if place > MOST_PROBLEMS:
            return
        yield pair


def refuse(name: str, line: int | None, field: str, found: object, wanted: str, nearest: str | None = None) -> BadInput:
    """A plan that cannot be read, to be raised."""
    return BadInput([Problem(name, line, field, found if isinstance(found, str) else shown(found), wanted, nearest)])
