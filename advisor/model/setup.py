"""What a shop says of itself when its first files are written: fields as typed, and the machine and job they give."""

import re
from typing import Annotated, Any, NamedTuple

from pydantic import AfterValidator, BeforeValidator, Field, ValidationInfo

from advisor.files.problems import misfit
from advisor.files.unit_scales import HORSEPOWER
from advisor.files.units import Units, finite_number
from advisor.files.yaml_reader import LONGEST_NUMBER
from advisor.model.fields import Frozen, UnitsField, Word, YesNo, bounded, units_said
from advisor.model.machine import Coolants, MachineRow, Seconds
from advisor.model.plan_fields import Rate, Speed

_POWER = re.compile(r"(.*?)\s*(kw|hp)\.?", re.IGNORECASE | re.DOTALL)
_SECONDS = re.compile(r"(.*?)\s*s(ec)?\.?", re.IGNORECASE | re.DOTALL)
_BETWEEN = re.compile(r"[,;+\s]+(?:and\s+)?")
POWER_PLACES = 3  # of a power in kW


def _power(raw: Any, info: ValidationInfo) -> float:
    """A power [kW]: a number in kW, or in hp where the units are inch, or text with one of these units."""
    match = _matched(_POWER, raw)
    unit = match[2].lower() if match else {"mm": "kw", "inch": "hp"}[units_said(info)]
    value = finite_number(match[1] if match else raw)
    if value is None:
        raise misfit("a power with its unit, such as '15 kW' or '20 hp'")
    found = round(value * HORSEPOWER, POWER_PLACES) if unit == "hp" else value
    return bounded(found, raw, "kW", ("spindle_power_least", "spindle_power_most"), above_zero=True)


def _matched(pattern: re.Pattern[str], raw: Any) -> re.Match[str] | None:
    """The parts of a short text; what is longer is no number, and slow to search."""
    return pattern.fullmatch(raw.strip()) if isinstance(raw, str) and len(raw) <= LONGEST_NUMBER else None


def _seconds(raw: Any) -> Any:
    """A time [s] that may carry its unit."""
    match = _matched(_SECONDS, raw)
    value = finite_number(match[1] if match else raw)
    return raw if value is None else value


def _spelt(raw: Any) -> Any:
    """A word as a table spells it: in small letters, its parts joined by underscores."""
    return raw.strip().casefold().replace(" ", "_").replace("-", "_") if isinstance(raw, str) else raw


def _coolants(raw: Any) -> Any:
    """Coolants in a row, however they are set apart, each once."""
    if not isinstance(raw, str):
        return raw
    return tuple(dict.fromkeys(word for word in _BETWEEN.split(raw.strip().casefold()) if word))


def _yes(raw: Any) -> Any:
    """Yes and no, also by their first letters."""
    word = raw.strip().casefold() if isinstance(raw, str) else raw
    return {"y": "yes", "n": "no"}.get(word, raw) if isinstance(word, str) else raw


def _not_too_slow(feed: float) -> float:
    return bounded(feed, feed, "mm/min", ("feed_least", None), above_zero=True)


Feed = Annotated[Rate, AfterValidator(_not_too_slow)]


class SetupFields(Frozen):
    """The fields as they are typed, in numbers of mm/min, kW, 1/min and s once read. Each may be left out.

    The context of a validation says ``units``: those of plain feeds and powers.
    """

    units: UnitsField | None = Field(default=None, description="mm or inch")
    kind: Annotated[Word, BeforeValidator(_spelt)] | None = Field(default=None, description="a kind of machine")
    machine: Word | None = Field(default=None, description="a short name of the machine")
    speed: Speed | None = Field(default=None, description="a speed in 1/min")
    power: Annotated[float, BeforeValidator(_power)] | None = Field(default=None, description="a power in kW or hp")
    feed: Feed | None = Field(default=None, description="a feed in mm/min or in/min")
    rapid: Feed | None = Field(default=None, description="a feed in mm/min or in/min")
    tool_change: Annotated[Seconds, BeforeValidator(_seconds)] | None = Field(default=None, description="a time in s")
    coolant: Annotated[Coolants, BeforeValidator(_coolants)] | None = Field(
        default=None, description="one or more of flood, mist, air, through, or none alone"
    )
    material: Word | None = Field(default=None, description="the name or number of a material")
    default: Annotated[YesNo, BeforeValidator(_yes)] | None = Field(default=None, description="yes or no")


class MachineKind(NamedTuple):
    """A kind of machine: what it is, and a machine of the kind under the name that it gets until it has its own."""

    title: str
    machine: MachineRow


class Setup(NamedTuple):
    """A shop with one machine, and its first job; ``default`` says whether the shop answers where none is named."""

    units: Units
    machine: MachineRow
    material: str
    default: bool
