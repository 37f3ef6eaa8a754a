"""Machines of a shop: as written, and with what was left out filled in."""

from typing import Annotated, Any, Self

from pydantic import AfterValidator, BeforeValidator, Field, model_validator

from advisor.files.problems import Fault, Misfit, misfit
from advisor.knowledge.assumptions import assumed
from advisor.model.fields import Coolant, CoolantWord, Frozen, NumberSchema, Speed, Spelt, Word, number


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


Power = Annotated[float, number("kW", "spindle_power_most", "spindle_power_least"), NumberSchema]
Feed = Annotated[float, number("mm/min", "feed_most", "feed_least"), NumberSchema]
Acceleration = Annotated[float, number("m/s²", "axis_acceleration_most", "axis_acceleration_least"), NumberSchema]
Coolants = Annotated[
    tuple[CoolantWord, ...],
    BeforeValidator(_coolants),
    Spelt("coolants", Coolant, many=True),
    AfterValidator(_clear),
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
            wanted = f"as many powers as speeds ({len(self.speed)})"
            faults.append(Fault(wanted, f"{len(self.power)} of them", "power"))
        if any(later <= earlier for earlier, later in zip(self.speed, self.speed[1:], strict=False)):
            faults.append(Fault("speeds that rise", ", ".join(f"{speed:g}" for speed in self.speed[:8]), "speed"))
        if faults:
            raise Misfit(*faults)
        return self


class MachineRow(Frozen):
    """A machine as a shop file writes it: only `stiffness` may be left out."""

    name: Word = Field(description="a short name of the machine, once in a shop")
    spindle: Spindle = Field(description="speed and power, a list each")
    feed_max: Feed = Field(description="greatest feed, mm/min")
    rapid: Feed = Field(description="rapid traverse, mm/min")
    axis_acceleration: Acceleration = Field(description="acceleration of an axis, m/s²")
    tool_change: Seconds = Field(description="time of a tool change, s")
    coolant: Coolants = Field(description="a list of flood, mist, air, through, none")
    stiffness: Stiffness | None = Field(
        default=None, description="stiffness at the spindle nose, N/µm; assumed if left out"
    )


class Machine(MachineRow):
    """A milling machine, complete. Units as in the shop file; `assumed` tells in words what that left out."""

    stiffness: Stiffness
    assumed: tuple[str, ...] = ()


def complete_machine(row: MachineRow) -> Machine:
    """Return the machine with an assumed stiffness [N/µm] if the row gives none, and then says so."""
    given = {name: getattr(row, name) for name in MachineRow.model_fields}
    if row.stiffness is None:
        given["stiffness"] = assumed("machine", "stiffness")
        given["assumed"] = (f"stiffness = {given['stiffness']:g} N/µm at the spindle nose (not given)",)
    return Machine.model_validate(given)


def make_machine(**given: Any) -> Machine:
    """Return a machine from the fields of a shop file. Raises pydantic's ValidationError."""
    return complete_machine(MachineRow.model_validate(given))
