"""Machines of a shop: as written, and with what was left out filled in."""

from typing import Annotated, Any, Self, get_args

from pydantic import BeforeValidator, Field, WithJsonSchema, model_validator

from advisor.files.problems import Fault, Misfit, misfit
from advisor.knowledge.assumptions import assumed
from advisor.model.fields import Coolant, Frozen, NumberSchema, Speed, Word, number

_COOLANT_SCHEMA = {"enum": list(get_args(Coolant))}


def _filled(raw: Any) -> Any:
    if isinstance(raw, list | tuple) and not raw:
        raise misfit("at least one entry", found="an empty list")
    return raw


def _coolants(raw: Any) -> Any:
    return _filled([raw] if isinstance(raw, str) else raw)


Power = Annotated[float, number("kW", "spindle_power_most", "spindle_power_least"), NumberSchema]
Feed = Annotated[float, number("mm/min", "feed_most", "feed_least"), NumberSchema]
Acceleration = Annotated[float, number("m/s²", "axis_acceleration_most", "axis_acceleration_least"), NumberSchema]
Coolants = Annotated[
    tuple[Coolant, ...],
    BeforeValidator(_coolants),
    WithJsonSchema({"anyOf": [_COOLANT_SCHEMA, {"type": "array", "minItems": 1, "items": _COOLANT_SCHEMA}]}),
]
Seconds = Annotated[float, number("s", "tool_change_most", above_zero=False), NumberSchema]
Stiffness = Annotated[float, number("N/µm", "stiffness_most", "stiffness_least"), NumberSchema]


class Spindle(Frozen):
    """Continuous power [kW] at rising speeds [1/min]: straight lines between, constant torque below the first."""

    speed: Annotated[tuple[Speed, ...], BeforeValidator(_filled)] = Field(description="a list of rising speeds, 1/min")
    power: Annotated[tuple[Power, ...], BeforeValidator(_filled)] = Field(description="a list of powers, kW continuous")

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
    """A machine as a shop file writes it: `axis_acceleration` and `stiffness` may be left out."""

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

    @model_validator(mode="after")
    def _coolant_is_clear(self) -> Self:
        if "none" in self.coolant and len(set(self.coolant)) > 1:
            raise misfit("none alone, or the coolants there are", found=", ".join(self.coolant), field="coolant")
        return self


class Machine(MachineRow):
    """A milling machine, complete. Units as in the shop file; `assumed` tells in words what that left out."""

    axis_acceleration: Acceleration
    stiffness: Stiffness
    assumed: tuple[str, ...] = ()


# What may be left out: its unit, and where it is meant.
_LEFT_OUT = {"axis_acceleration": "m/s² of the slowest axis", "stiffness": "N/µm at the spindle nose"}


def complete_machine(row: MachineRow) -> Machine:
    """Return the machine with what the row leaves out as `shared/assumptions.yaml` has it, and then says so."""
    given = {name: getattr(row, name) for name in MachineRow.model_fields}
    told = []
    for name, unit in _LEFT_OUT.items():
        if given[name] is None:
            given[name] = assumed("machine", name)
            told.append(f"{name} = {given[name]:g} {unit} (not given)")
    return Machine.model_validate(given | {"assumed": tuple(told)})


def make_machine(**given: Any) -> Machine:
    """Return a machine from the fields of a shop file. Raises pydantic's ValidationError."""
    return complete_machine(MachineRow.model_validate(given))
