"""A plan: what somebody chose for the features of a job, operation by operation. Anything but feature and cutter may be
left out.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Annotated, Any, Literal, NamedTuple, get_args

from pydantic import BeforeValidator, Field, ValidationInfo, WithJsonSchema

from advisor.inputs.checking import as_list, checked, faults, problem_at, raise_if_any, respelt
from advisor.inputs.fields import Frozen, LengthSchema, NumberSchema, Word, YesNo, bounded, length, number, whole
from advisor.inputs.files import read_text
from advisor.inputs.job import UnitsField
from advisor.inputs.problems import MOST_PROBLEMS, BadInput, Fault, Problem, misfit, shown
from advisor.inputs.units import Units, number_or_text, parse_length, parse_units
from advisor.inputs.yaml_reader import LONGEST_NUMBER, Document, YamlPath, read_yaml

MOST_OPERATIONS = 500
MOST_FEATURES = 200  # of one operation
_TEXTS = frozenset({"feature", "cutter", "method", "entry", "entry_cutter", "coolant", "programmer"})
_RATE = re.compile(r"(?P<length>.*?)\s*/\s*min\.?", re.IGNORECASE)
_SPEED_UNIT = re.compile(r"\s*(1?/min|rpm)\.?$", re.IGNORECASE)
_ANGLE_UNIT = re.compile(r"\s*(°|deg(rees?)?)\.?$", re.IGNORECASE)

Method = Literal[
    "engagement_limited_clearing",
    "layered_pocketing",
    "ramped_slotting",
    "plunge_roughing",
    "face_milling",
    "helical_boring",
    "drilling",
]
Entry = Literal["side_entry", "helical_ramp", "zigzag_ramp", "predrilled_hole", "axial_plunge"]
Coolant = Literal["flood", "mist", "air", "through", "none"]


def as_word(raw: Any) -> Any:
    """A word of ours however it is spelt: ``Layered pocketing`` is ``layered_pocketing``."""
    return raw.strip().casefold().replace(" ", "_").replace("-", "_") if isinstance(raw, str) else raw


def _one_of(kind: Any) -> BeforeValidator:
    """One of our words however it is spelt; what is none of them stays as it was typed."""

    def known(raw: Any) -> Any:
        word = as_word(raw)
        return word if word in get_args(kind) else raw

    return BeforeValidator(known)


def _names(raw: Any) -> Any:
    """The ids of one feature, or of several in a list."""
    found = tuple(raw) if isinstance(raw, list | tuple) else (raw,)
    if not found or len(found) > MOST_FEATURES:
        raise misfit(f"the id of a feature, or a list of 1 to {MOST_FEATURES}")
    if len(set(map(str, found))) < len(found):
        raise misfit("each feature once")
    return found


def _without_unit(unit: re.Pattern[str]) -> BeforeValidator:
    """A number that may carry the one unit it can have."""

    def bare(raw: Any) -> Any:
        if not isinstance(raw, str) or len(raw) > LONGEST_NUMBER:  # what is longer is no number, and slow to search
            return raw
        text = unit.sub("", raw).replace("\u2009", "").replace("\u00a0", "")
        found = number_or_text(text)
        return raw if isinstance(found, str) else found

    return BeforeValidator(bare)


def _rate(raw: Any, info: ValidationInfo) -> float:
    """A feed rate [mm/min]: a number in the units of the file a minute, or text such as ``120 in/min``."""
    units: Units = info.context.get("units", "mm") if info.context else "mm"
    match = _RATE.fullmatch(raw.strip()) if isinstance(raw, str) and len(raw) < 60 else None
    told = match["length"] if match else raw
    if isinstance(told, str) and (metres := re.fullmatch(r"([0-9.]+)\s*m", told.strip())):
        told = f"{parse_length(metres[1]) * 1000} mm"
    if isinstance(raw, str) and match is None and re.search('[A-Za-z"]', raw):
        raise misfit("a feed rate with its unit, such as '3000 mm/min' or '120 in/min'")
    return bounded(parse_length(told, units), raw, "mm/min", (None, "feed_most"), above_zero=True)


_Names = Annotated[tuple[Word, ...], BeforeValidator(_names)]
_RATE_SCHEMA = WithJsonSchema(
    {
        "description": "a feed rate: a number in the units of the file a minute, or text such as '120 in/min'",
        "anyOf": [{"type": "number", "exclusiveMinimum": 0}, {"type": "string"}],
    }
)


class OperationRow(Frozen):
    """One operation as it is written. Lengths [mm] and feed [mm/min] once read, speed [1/min], angle [degrees]."""

    feature: _Names = Field(description="the id of a feature of the job, or a list of ids")
    cutter: Word = Field(description="the id of a cutter of the crib")
    method: Annotated[Method, _one_of(Method)] | None = Field(default=None, description="a method")
    entry: Annotated[Entry, _one_of(Entry)] | None = Field(default=None, description="a way in")
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
    ramp_angle: (
        Annotated[float, number("degrees", "descent_angle_most"), _without_unit(_ANGLE_UNIT), NumberSchema] | None
    ) = Field(default=None, description="of the way in, degrees")
    feed_per_tooth: Annotated[float, length("feed_per_tooth_most"), LengthSchema] | None = Field(
        default=None, description="feed per tooth"
    )
    feed_rate: Annotated[float, BeforeValidator(_rate), _RATE_SCHEMA] | None = Field(
        default=None, description="feed rate"
    )
    spindle_speed: (
        Annotated[float, number("1/min", "spindle_speed_most"), _without_unit(_SPEED_UNIT), NumberSchema] | None
    ) = Field(default=None, description="spindle speed, 1/min")
    order: Annotated[int, whole("levels_most")] | None = Field(default=None, description="its place among the others")
    coolant: Annotated[Coolant, _one_of(Coolant)] | None = Field(default=None, description="what cools the cut")
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
    """What somebody chose, in the order of work. ``notes`` tell what was assumed in reading."""

    name: str
    programmer: str | None
    operations: tuple[Operation, ...]
    notes: tuple[str, ...] = ()


def read_plan(path: Path, units: Units = "mm") -> Plan:
    """The plan of a YAML or CSV file; plain lengths are in ``units`` unless the file says otherwise.

    Raises:
        BadInput: with everything that is wrong with the file.
    """
    if path.suffix.casefold() in (".csv", ".tsv", ".txt"):
        from advisor.inputs.plan_csv import read_plan_csv

        return read_plan_csv(str(path), read_text(path, limit_bytes=4_000_000), units)
    problems: list[Problem] = []
    found = plan_of(read_yaml(path), units, problems)
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
    return Plan(document.name, programmer.programmer, in_order(rows, document.name, problems))


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
