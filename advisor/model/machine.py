"""Machines of a shop: as written, and with what was left out filled in."""

from dataclasses import replace
from typing import Annotated, Any, Self

from pydantic import AfterValidator, BeforeValidator, ConfigDict, Field, ValidationInfo, WithJsonSchema, model_validator

from advisor.files.checking import COMMA_BEGINS
from advisor.files.problems import Fault, Misfit, misfit, shown
from advisor.files.unit_scales import WRITTEN, measured, plain
from advisor.files.units import EXPONENT_PATTERN, FIGURES_PATTERN, Units
from advisor.knowledge.assumptions import assumed
from advisor.knowledge.trade_words import case_blind, folded, meanings, meant, words_of
from advisor.mechanics.power import torque as torque_of
from advisor.model.assumed import Assumed
from advisor.model.fields import (
    Coolant,
    CoolantWord,
    Frozen,
    NumberSchema,
    Speed,
    Spelt,
    UnitsField,
    Word,
    number,
    units_said,
)


def _filled(raw: Any) -> Any:
    if isinstance(raw, list | tuple) and not raw:
        raise misfit("at least one entry", found="an empty list")
    return raw


def _coolants(raw: Any) -> Any:
    return _filled([raw] if isinstance(raw, str) else raw)


def _clear(coolants: tuple[Coolant, ...]) -> tuple[Coolant, ...]:
    if "none" in coolants and len(set(coolants)) > 1:
        raise misfit("none alone, or the coolants there are", found=", ".join(coolants))
    return coolants


def _schema(unit: str) -> WithJsonSchema:
    """The schema of a number that may carry its unit."""
    units = "|".join(map(case_blind, WRITTEN[unit]))
    text = rf"^\s*{FIGURES_PATTERN}{EXPONENT_PATTERN}\s*({units})\s*$"
    return WithJsonSchema({"anyOf": [{"type": "number", "minimum": 0}, {"type": "string", "pattern": text}]})


Power = Annotated[float, number("kW", "spindle_power_most", "spindle_power_least"), _schema("kW")]
Feed = Annotated[float, number("mm/min", "feed_most", "feed_least"), _schema("mm/min")]
Acceleration = Annotated[float, number("m/s²", "axis_acceleration_most", "axis_acceleration_least"), _schema("m/s²")]
Coolants = Annotated[
    tuple[CoolantWord, ...],
    BeforeValidator(_coolants),
    Spelt("coolants", Coolant, many=True),
    AfterValidator(_clear),
]
Seconds = Annotated[float, number("s", "tool_change_most", above_zero=False), NumberSchema]
Stiffness = Annotated[float, number("N/µm", "stiffness_most", "stiffness_least"), _schema("N/µm")]


def _with_torque(schema: dict[str, Any]) -> None:
    """Put what a plate may say instead of a list of powers into the schema of a spindle."""
    one = schema["properties"]["power"]["items"]
    speed = schema["properties"]["speed"]
    of_torque: dict[str, Any] = {"type": "number", "exclusiveMinimum": 0}
    torque = {
        "description": "torque, Nm continuous: at each speed instead of power, or one beside one power",
        "anyOf": [of_torque, {"type": "array", "minItems": 1, "items": of_torque}],
    }
    schema["properties"] |= {
        "power": {
            "description": schema["properties"]["power"]["description"],
            "anyOf": [schema["properties"]["power"], one],
        },
        "speed": {"description": speed["description"], "anyOf": [speed, speed["items"]]},
        "torque": torque,
    }
    schema["required"] = ["speed"]
    schema["anyOf"] = [{"required": ["power"]}, {"required": ["torque"]}]


def _as_the_plate_says(raw: Any, info: ValidationInfo) -> Any:
    """A spindle with the words of a machine's plate read as ours, and its torque [Nm] as power and speeds.

    One power, one torque and the greatest speed are a curve of constant torque and then constant power. A torque at
    each of several speeds is a power at each.
    """
    if not isinstance(raw, dict):
        return raw
    if parted := next((str(key) for key in raw if str(key).isdecimal() and raw[key] is None), None):
        raise misfit(COMMA_BEGINS, found=f"{shown(parted)} as a field")
    said = {_field(str(key)): key for key in raw}
    if len(said) < len(raw):
        raise misfit("each of speed, power and torque once", found=", ".join(map(str, raw)))
    given = {name: _in_unit_of(key, raw[key]) for name, key in said.items()}
    if (torque := given.pop("torque", None)) is None:
        return given
    torques, units = _numbers(torque, "Nm", "torque", units_said(info)), units_said(info)
    speeds = _numbers(given.get("speed"), "1/min", "speed", units)
    if "power" not in given:
        if len(speeds) == 1:
            wanted = "the power beside the torque and the greatest speed, or a torque at each of several speeds"
            raise misfit(wanted, found=shown(torque), field="torque")
        if len(torques) != len(speeds):
            raise misfit(f"as many torques as speeds ({len(speeds)})", found=f"{len(torques)} of them", field="torque")
        powers = [value / torque_of(1.0, speed) for value, speed in zip(torques, speeds, strict=True)]
        return given | {"speed": speeds, "power": [f"{power:.6g} kW" for power in powers]}
    powers = _numbers(given["power"], "kW", "power", units)
    if not len(torques) == len(speeds) == len(powers) == 1:
        wanted = "power or torque at each speed, not both; both together with the greatest speed alone"
        raise misfit(wanted, found=shown(torque), field="torque")
    base = round(torque_of(powers[0], 1.0) / torques[0], 1)
    if base >= speeds[0]:
        least = plain(torque_of(powers[0], speeds[0]), "Nm", 1)
        raise misfit(f"more than {least}: with less the power is never reached", found=shown(torque), field="torque")
    return given | {"speed": [base, speeds[0]], "power": [f"{powers[0]:.12g} kW"] * 2}


def _in_unit_of(key: Any, raw: Any) -> Any:
    """Plain numbers in the unit that their key names: ``power_kw: 15`` is 15 kW in a shop in inches too."""
    unit = next((one for one in KEY_UNITS if folded(str(key)).endswith(folded(one))), None)
    if unit is None:
        return raw
    if isinstance(raw, list | tuple):
        return [_in_unit_of(key, one) for one in raw]
    return f"{raw} {unit}" if isinstance(raw, int | float) and not isinstance(raw, bool) else raw


def _field(key: str) -> str:
    """The field of a spindle that a key means; the key itself where none is meant. Raises Misfit for a short rating."""
    try:
        return meant("spindle", key)
    except Misfit as error:
        if not meanings("spindle", key) and folded(key) not in words_of("spindle").instead:
            return key
        raise Misfit(*(replace(fault, field=key) for fault in error.faults)) from None


def _numbers(raw: Any, unit: str, field: str, units: Units) -> list[float]:
    """One number or a list of them, more than 0, in one of our units. Raises Misfit."""
    try:
        found = [measured(one, unit, units) for one in (raw if isinstance(raw, list | tuple) else [raw])]
    except Misfit:
        found = []
    if not found or min(found) <= 0:
        raise misfit(f"a number in {unit}, or a list of them", found=shown(raw), field=field)
    return found


KEY_UNITS = ("kW", "Nm", "hp")  # that the key of a spindle's number may name


class Spindle(Frozen):
    """Continuous power [kW] at rising speeds [1/min]: straight lines between, constant torque below the first."""

    model_config = ConfigDict(json_schema_extra=_with_torque)

    speed: Annotated[tuple[Speed, ...], BeforeValidator(_filled)] = Field(description="a list of rising speeds, 1/min")
    power: Annotated[tuple[Power, ...], BeforeValidator(_filled)] = Field(description="a list of powers, kW continuous")

    _plate = model_validator(mode="before")(_as_the_plate_says)

    @model_validator(mode="after")
    def _is_a_curve(self) -> Self:
        faults = []
        if len(self.speed) != len(self.power):
            wanted = (
                f"as many powers as speeds ({len(self.speed)}); a comma begins the next one, so decimals have a point"
            )
            faults.append(Fault(wanted, f"{len(self.power)} of them", "power"))
        if any(later <= earlier for earlier, later in zip(self.speed, self.speed[1:], strict=False)):
            faults.append(Fault("speeds that rise", ", ".join(f"{speed:g}" for speed in self.speed[:8]), "speed"))
        if faults:
            raise Misfit(*faults)
        return self


class MachineRow(Frozen):
    """A machine as a shop file writes it: `axis_acceleration`, `stiffness` and `units` may be left out.

    Numbers are ours once read.
    """

    units: UnitsField | None = Field(
        default=None,
        description="mm or inch, those of the file where left out; with inch, plain numbers are in hp, in/min, in/s² "
        "and lbf/in",
    )
    name: Word = Field(description="a short name of the machine, once in a shop")
    spindle: Spindle = Field(description="speed and power, a list each")
    feed_max: Feed = Field(description="greatest feed, mm/min")
    rapid: Feed = Field(description="rapid traverse, mm/min")
    axis_acceleration: Acceleration | None = Field(
        default=None, description="acceleration of an axis, m/s²; assumed if left out"
    )
    tool_change: Seconds = Field(description="time of a tool change, s")
    coolant: Coolants = Field(description="a list of flood, mist, air, through, none")
    stiffness: Stiffness | None = Field(
        default=None, description="stiffness at the spindle nose, N/µm; assumed if left out"
    )


class Machine(MachineRow):
    """A milling machine, complete; `assumed` tells what the shop file left out."""

    axis_acceleration: Acceleration
    stiffness: Stiffness
    assumed: tuple[Assumed, ...] = ()


# What may be left out: its unit, and where it is meant.
_LEFT_OUT = {"axis_acceleration": ("m/s²", " of the slowest axis"), "stiffness": ("N/µm", " at the spindle nose")}


def complete_machine(row: MachineRow) -> Machine:
    """Return the machine with what the row leaves out as `shared/assumptions.yaml` has it, and then says so."""
    given = {name: getattr(row, name) for name in MachineRow.model_fields if name != "units"}
    told = []
    for name, (unit, where) in _LEFT_OUT.items():
        if given[name] is None:
            given[name] = assumed("machine", name)
            told.append(Assumed(name, given[name], unit, "not given", where))
    return Machine.model_validate(given | {"assumed": tuple(told)})


def make_machine(**given: Any) -> Machine:
    """Return a machine from the fields of a shop file. Raises pydantic's ValidationError."""
    return complete_machine(MachineRow.model_validate(given))
