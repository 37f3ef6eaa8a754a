"""Setting up: what is typed about a shop, checked; and what is taken for what is not said, by the kind of machine."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any, NamedTuple

from pydantic import ValidationError

from advisor.files.checking import faults, raise_if_any
from advisor.files.decimals import with_point
from advisor.files.problems import Fault, Misfit, Problem, listed, nearest_word, shown
from advisor.files.units import Units, units_or
from advisor.files.yaml_reader import read_yaml
from advisor.knowledge.assumptions import assumed
from advisor.mechanics.power import spindle_power
from advisor.model.machine import MachineRow, Spindle
from advisor.model.setup import POWER_PLACES, MachineKind, Setup, SetupFields
from advisor.paths import setup_dir
from advisor.readers.assignment import demo_shop
from advisor.readers.material_meant import meant
from advisor.readers.materials import load_materials

IN_THOUSANDS = ("speed", "feed", "rapid")  # 8.000 may be eight thousand there


class Question(NamedTuple):
    """What is asked, without the value that is offered, and the unit of a plain number by the units of the shop."""

    ask: str
    mm: str = ""
    inch: str = ""


@cache
def _table() -> dict[str, Any]:
    found: dict[str, Any] = read_yaml(setup_dir() / "kinds.yaml").value
    return found


@cache
def machine_kinds() -> dict[str, MachineKind]:
    """Every kind of machine by its word. Raises BadInput if a table of ours is damaged."""
    demo = {machine.name: machine for machine in demo_shop().machines}
    return {
        word: MachineKind(entry["title"], demo[entry["like"]].model_copy(update={"name": entry["name"]}))
        for word, entry in _table()["kinds"].items()
    }


def questions() -> dict[str, Question]:
    """The questions by the names of their fields, in the order in which they are asked."""
    return {name: Question(**entry) for name, entry in _table()["questions"].items()}


def read_fields(typed: Mapping[str, str | bool], field: Mapping[str, str] | None = None) -> SetupFields:
    """The fields that were typed, by their names; feeds and powers in the units that are typed with them, else in mm.

    ``field`` says how each is called where a fault is told of; all faults are told at once.

    Raises:
        BadInput: a value is not as it must be, or there is no such kind of machine or material.
    """
    problems: list[Problem] = []

    def add(name: str, fault: Fault) -> None:
        found = fault.found if fault.found is not None else shown(typed[name])
        problems.append(
            Problem("command line", None, (field or {}).get(name, name), found, fault.wanted, fault.nearest)
        )

    units = units_or(typed.get("units"), "mm")
    read: SetupFields | None = None
    wrong: set[str] = set()
    for name in IN_THOUSANDS:
        try:
            with_point(str(typed.get(name, "")).strip(), thousands=True)
        except Misfit as error:
            wrong.add(name)
            add(name, error.faults[0])
    try:
        read = SetupFields.model_validate(
            {name: value for name, value in typed.items() if name not in wrong}, context={"units": units}
        )
    except ValidationError as error:
        for place, fault in faults(error, SetupFields):
            wrong.add(str(place[0]))
            add(str(place[0]), fault)
    if "kind" in typed and "kind" not in wrong and (unknown := _kind_fault(str(typed["kind"]))):
        add("kind", unknown)
    if "material" in typed and "material" not in wrong:
        unmeant = meant(str(typed["material"]).strip(), load_materials()).fault
        if unmeant is not None:
            add("material", unmeant)
    raise_if_any(sorted(problems, key=lambda problem: problem.field))
    if read is None:
        raise AssertionError("no fields, yet no problem was found")
    return read


def _kind_fault(typed: str) -> Fault | None:
    kind = SetupFields.model_validate({"kind": typed}).kind
    if kind is None or kind in machine_kinds():
        return None
    return Fault(f"one of {listed(machine_kinds())}", None, None, nearest_word(kind, machine_kinds()))


def completed(read: SetupFields) -> SetupFields:
    """The fields with what is taken for those left out: the usual ones, and those of the kind of machine.

    The power is that of the kind at the speed given; the rapid traverse is no slower than the feed.
    """
    taken = _table()["taken"]
    units: Units = read.units or taken["units"]
    kind = read.kind or taken["kind"]
    machine = machine_kinds()[kind].machine
    curve = machine.spindle
    speed = curve.speed[-1] if read.speed is None else read.speed
    feed = machine.feed_max if read.feed is None else read.feed
    offered = {
        "units": units,
        "kind": kind,
        "machine": machine.name,
        "speed": speed,
        "power": _power_until(curve, speed),
        "feed": feed,
        "rapid": max(machine.rapid, feed),
        "tool_change": machine.tool_change,
        "coolant": machine.coolant,
        "material": taken["material"][units],
        "default": False,
    }
    left_out = {name: value for name, value in offered.items() if getattr(read, name) is None}
    return read.model_copy(update=left_out)


def setup_of(read: SetupFields) -> Setup:
    """The shop and the first job of what was typed, with what is taken for the rest.

    A spindle of another speed or power has the curve of its kind, cut off at its own speed and as high as its own
    power; what is not asked about is as with the kind.
    """
    whole = completed(read)
    if whole.units is None or whole.kind is None or whole.material is None:
        raise AssertionError("a field is left out, yet all were completed")
    like = machine_kinds()[whole.kind].machine
    given = like.model_dump(include=set(MachineRow.model_fields)) | {
        "name": whole.machine,
        "spindle": _spindle(like.spindle, whole.speed or 0.0, whole.power or 0.0),
        "feed_max": whole.feed,
        "rapid": whole.rapid,
        "tool_change": whole.tool_change,
        "coolant": whole.coolant,
    }
    machine = MachineRow.model_validate(given)
    return Setup(whole.units, machine, whole.material, bool(whole.default))


def _power_until(curve: Spindle, speed: float) -> float:
    """The greatest power [kW] of a curve up to a speed [1/min], which may lie beyond its last one."""
    at = spindle_power(curve.speed, curve.power, min(speed, curve.speed[-1]))
    below = (power for point, power in zip(curve.speed, curve.power, strict=True) if point < speed)
    return round(max(at, *below, at), POWER_PLACES)


def _spindle(curve: Spindle, speed: float, power: float) -> Spindle:
    """A curve that ends at a speed [1/min], and is as high as a power [kW] up to there."""
    share = power / _power_until(curve, speed)
    kept = [(point, least) for point, least in zip(curve.speed, curve.power, strict=True) if point < speed]
    least = assumed("bounds", "spindle_power_least")
    return Spindle(
        speed=(*(point for point, _ in kept), speed),
        power=(*(min(power, max(round(at * share, POWER_PLACES), least)) for _, at in kept), power),
    )
