"""The shop file: machines, the crib's file and, if there are any, the shop's own rules."""

from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from pydantic import Field

from advisor.files.checking import as_list, checked, problem_at, repeated, respelt
from advisor.files.problems import MOST_PROBLEMS, BadInput, Fault, Problem
from advisor.files.thousands import unclear_thousands
from advisor.files.units import Units, units_or
from advisor.files.yaml_reader import Document, YamlPath, read_yaml
from advisor.model.fields import Frozen, PathText, UnitsField
from advisor.model.machine import Machine, MachineRow, complete_machine

_TEXTS = frozenset({"name", "crib", "house"})
_THOUSANDS = frozenset({"speed", "feed_max", "rapid"})


class ShopHead(Frozen):
    """What a shop file says besides its machines."""

    units: UnitsField = Field(
        default="mm",
        description="mm or inch: with inch, plain numbers of machines are in hp, in/min, in/s² and lbf/in; the crib "
        "says its own",
    )
    crib: PathText = Field(description="the path of the crib's CSV file or workbook, from the folder of the shop file")
    house: PathText | None = Field(default=None, description="the folder of the shop's own rules")


class ShopFile(ShopHead):
    """A shop file as written."""

    machines: tuple[MachineRow, ...] = Field(description="a list of machines", min_length=1)


@dataclass(frozen=True, slots=True)
class Shop:
    """A shop: its machines, and the paths of its crib and of its house rules.

    `crib` is None if the file is wrong there. `names` holds those of wrong machines too, `units` those of the file.
    """

    document: Document
    machines: tuple[Machine, ...]
    names: tuple[str, ...]
    crib: Path | None
    house: Path | None
    units: Units = "mm"


def read_shop(path: Path, problems: list[Problem]) -> Shop | None:
    """Return the shop of a file as far as it can be read, or None. Adds what is wrong to the problems."""
    try:
        document = read_yaml(path)
    except BadInput as error:
        problems.extend(error.problems)
        return None
    if not isinstance(document.value, dict):
        problems.append(problem_at(document, (), Fault("a shop: machines and crib")))
        return None
    whole = {key: value for key, value in respelt(document, (), _TEXTS).items() if key != "machines"}
    head = checked(ShopHead, document, (), whole, problems)
    units = units_or(whole.get("units"), "mm")
    machines = _read_machines(document, units, problems)
    house = path.parent / head.house if head and head.house else None
    if house is not None and not _is_folder(house):
        problems.append(problem_at(document, ("house",), Fault("a folder of rules that exists")))
    crib = path.parent / head.crib if head else None
    return Shop(document, machines, _names(document), crib, house, units)


def _read_machines(document: Document, units: Units, problems: list[Problem]) -> tuple[Machine, ...]:
    entries = as_list(document, ("machines",), "a list of machines", problems)
    names: dict[YamlPath, str] = {}
    machines = []
    for index in range(len(entries)):
        if len(problems) > MOST_PROBLEMS:
            break
        path: YamlPath = ("machines", index)
        value = respelt(document, path, _TEXTS)
        own = units_or(value.get("units") if isinstance(value, dict) else None, units)
        row = checked(MachineRow, document, path, value, problems, {"units": own})
        if row is not None:
            names[(*path, "name")] = row.name
            machines.append(complete_machine(row))
    repeated(document, names, problems)
    problems.extend(islice(unclear_thousands(document, "machines", _THOUSANDS), MOST_PROBLEMS + 1))
    return tuple(machines)


def _names(document: Document) -> tuple[str, ...]:
    entries = document.value.get("machines")
    rows = [
        respelt(document, ("machines", index), _TEXTS)
        for index in range(len(entries) if isinstance(entries, list) else 0)
    ]
    return tuple(str(row["name"]) for row in rows if isinstance(row, dict) and "name" in row)


def _is_folder(path: Path) -> bool:
    try:
        return path.is_dir()
    except (OSError, ValueError):
        return False
