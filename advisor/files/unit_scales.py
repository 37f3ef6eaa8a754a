"""The units that numbers are shown and written in: ours, or those of a shop that works in inches. All arithmetic is
in ours, and nothing is converted anywhere else, but for lengths as they are read.

Who shows an answer says once whose units it is for, with ``showing`` or ``in_units_of``; everything that writes a
number asks here. It holds for the thread that said it, so that two threads may show different units at once.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache, wraps
from typing import NamedTuple, ParamSpec, TypeVar

from advisor.files.problems import misfit
from advisor.files.units import MM_PER_INCH, Units, not_a_number

OURS: Units = "mm"  # those of all arithmetic
Given = ParamSpec("Given")
Made = TypeVar("Made")

FOOT = 0.3048  # m, exact by definition: 12 inches
POUND_FORCE = 4.4482216152605  # N, exact by definition
HORSEPOWER = 550 * FOOT * POUND_FORCE / 1000  # kW, the mechanical one: 550 ft·lbf/s
PER_FOOT_POUND = 1 / (FOOT * POUND_FORCE)  # of a Nm
WHOLE_TO = 1e-9  # of an inch: a number that is so near to one of six figures was meant so


class Scale(NamedTuple):
    """How a number of one of our units is shown: in which unit, and how much of that is one of ours.

    ``decimals`` are those that it is never rounded beyond, if any; ``figures`` what a drawing is labelled with;
    ``places`` what a number that was looked for is told to. With ``rounds_given`` one that was given, and is no round
    number in this unit, is told as one that was worked out. With ``stops_at_decimals`` stock that is left has no more
    decimals than these, since a control takes no more; a feed per tooth has, so that it can be reckoned with.
    """

    unit: str
    factor: float = 1.0
    decimals: int | None = None
    figures: int = 3
    places: int = 2
    rounds_given: bool = False
    stops_at_decimals: bool = False


SCALES: Mapping[Units, Mapping[str, Scale]] = {
    "mm": {
        "mm": Scale("mm", decimals=2),
        "mm/min": Scale("mm/min", decimals=0),
        "1/min": Scale("/min", decimals=0),
    },
    "inch": {
        # Four decimals, as a control in inches takes: what is typed is off by less than 0.0005 in, whichever way.
        "mm": Scale("in", 1 / MM_PER_INCH, decimals=4, figures=4, places=4, rounds_given=True, stops_at_decimals=True),
        "mm/min": Scale("in/min", 1 / MM_PER_INCH, decimals=0, places=1),
        "1/min": Scale("rpm", decimals=0),
        "m/min": Scale("sfm", 1 / FOOT, decimals=0, places=0),
        # Forces and what comes of them: no shop that works in inches has a feel for N, Nm, kW.
        "N": Scale("lbf", 1 / POUND_FORCE),
        "Nm": Scale("ft·lb", PER_FOOT_POUND),
        "kW": Scale("hp", 1 / HORSEPOWER),
        "N/mm": Scale("lbf/in", MM_PER_INCH / POUND_FORCE),
        "N/mm²": Scale("ksi", MM_PER_INCH**2 / POUND_FORCE / 1000),
        "N/µm": Scale("lbf/in", 1000 * MM_PER_INCH / POUND_FORCE, places=0),
        "µm": Scale("µin", 1000 / MM_PER_INCH),
        "µm/N": Scale("µin/lbf", 1000 / MM_PER_INCH * POUND_FORCE),
        "m/s²": Scale("in/s²", 1000 / MM_PER_INCH, places=1),
        "mm²": Scale("in²", 1 / MM_PER_INCH**2),
        "cm³/min": Scale("in³/min", 1000 / MM_PER_INCH**3),
    },
}
# The other words that a number may carry for its unit, each with how many of ours it is.
GRAVITY = 9.80665  # m/s², exact by definition
WRITTEN: Mapping[str, Mapping[str, float]] = {
    "kW": {"kw": 1, "hp": HORSEPOWER},
    "Nm": {
        "nm": 1,
        **dict.fromkeys(("ft·lb", "ft·lbf", "ft-lbf", "ft lbf", "ft-lb", "lbf·ft", "lb-ft"), 1 / PER_FOOT_POUND),
    },
    "mm/min": {"mm/min": 1, "m/min": 1000, "in/min": MM_PER_INCH, "ipm": MM_PER_INCH},
    "m/s²": {
        **dict.fromkeys(("m/s²", "m/s2"), 1),
        **dict.fromkeys(("in/s²", "in/s2"), MM_PER_INCH / 1000),
        **dict.fromkeys(("ft/s²", "ft/s2"), FOOT),
        "g": GRAVITY,
    },
    "N/µm": {"n/µm": 1, "n/um": 1, "lbf/in": POUND_FORCE / MM_PER_INCH / 1000},
}

_SHOWN: ContextVar[Units] = ContextVar("units that numbers are shown in", default=OURS)
_UNITS = "|".join(map(re.escape, SCALES["inch"]))
MARKED = re.compile(rf"\{{(?P<first>\d[\d.]*)(?P<to> to (?P<last>\d[\d.]*))? (?P<unit>{_UNITS})\}}")
_PROSE_FIGURES = 2
_LENGTHS: Mapping[Units, str] = {"mm": "mm", "inch": "inches"}
_MEANT = 6  # decimals: what is whole with so many was meant in these units
_LONGEST = 40
_WITH_UNIT = re.compile(r"(?P<number>(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d{1,3})?)\s*(?P<unit>[^\d\s].*)", re.ASCII)


def shown_units() -> Units:
    """The units that numbers are shown in here and now."""
    return _SHOWN.get()


@contextmanager
def showing(units: Units) -> Iterator[None]:
    """Within it numbers are shown in these units. No generator may be left and taken up again within it."""
    before = _SHOWN.set(units)
    try:
        yield
    finally:
        _SHOWN.reset(before)


def in_units_of(units_of: Callable[Given, Units]) -> Callable[[Callable[Given, Made]], Callable[Given, Made]]:
    """A function that makes something whole in the units that ``units_of`` finds in the same arguments."""

    def decorator(make: Callable[Given, Made]) -> Callable[Given, Made]:
        @wraps(make)
        def made(*args: Given.args, **named: Given.kwargs) -> Made:
            with showing(units_of(*args, **named)):
                return make(*args, **named)

        return made

    return decorator


def parts_in_units_of(
    units_of: Callable[Given, Units],
) -> Callable[[Callable[Given, Iterable[Made]]], Callable[Given, Iterator[Made]]]:
    """A function whose parts are all made in the units that ``units_of`` finds in the same arguments.

    They are made at once: one made later would be in the units of whoever takes it.
    """

    def decorator(make: Callable[Given, Iterable[Made]]) -> Callable[Given, Iterator[Made]]:
        @wraps(make)
        def made(*args: Given.args, **named: Given.kwargs) -> Iterator[Made]:
            with showing(units_of(*args, **named)):
                return iter(tuple(make(*args, **named)))

        return made

    return decorator


def scale_of(unit: str) -> Scale:
    """How a number of one of our units is shown; as it is where nothing else is said of it."""
    return SCALES[_SHOWN.get()].get(unit) or _as_it_is(unit)


@cache
def _as_it_is(unit: str) -> Scale:
    return Scale(unit)


def converted(value: float, unit: str) -> float:
    """A number of one of our units in the unit that it is shown in."""
    return value * scale_of(unit).factor


def measured(raw: object, unit: str, units: Units = "mm") -> float:
    """A number in one of our units, from a number in the unit that stands for it in ``units``, or a text with a unit.

    Raises `Misfit`, a ValueError that says what is wanted, for anything else, for NaN and for infinity.
    """
    scale = SCALES[units].get(unit) or _as_it_is(unit)
    words = WRITTEN.get(unit, {})
    text = raw.strip() if isinstance(raw, str) and len(raw) <= _LONGEST else ""
    match = _WITH_UNIT.fullmatch(text)
    if match is not None and (times := words.get(match["unit"].strip().lower())) is not None:
        return _rounded(float(match["number"]) * times, raw)
    if isinstance(raw, bool) or not isinstance(raw, int | float) or not math.isfinite(raw):
        wanted = scale.unit if scale.factor != 1 else unit
        raise not_a_number(raw, f"a number in {wanted}", wanted)
    return float(raw) if scale.factor == 1 else _rounded(raw / scale.factor, raw)


def _rounded(value: float, raw: object) -> float:
    """A number that was converted, without the noise that comes of it: 20 hp in mm/min or kW to twelve figures."""
    if not math.isfinite(value):
        raise misfit("a number that is not so great", found=str(raw))
    return float(f"{value:.12g}")


def plain(value: float, unit: str, towards: int = 0, figures: int = 6) -> str:
    """A number with its unit as a message about a file tells it, without thousands set apart.

    In other units than ours it is told whole where it was meant in these; else to what a machine takes, rounded up
    with 1 ``towards``, as a lower limit is, and down with -1, as an upper one.
    """
    scale = scale_of(unit)
    if scale.factor == 1:
        return f"{value:.{figures}g} {scale.unit if unit in SCALES['mm'] else unit}".rstrip()
    shown = value * scale.factor
    told = round(shown, _MEANT)
    if abs(shown - told) > WHOLE_TO:
        step = 10.0 ** (scale.decimals or scale.places)
        told = (math.floor, round, math.ceil)[towards + 1](shown * step) / step
    return f"{told:.10g} {scale.unit}"


def length_word() -> str:
    """The unit of lengths that are shown, as a heading says it: mm, or inches."""
    return _LENGTHS[_SHOWN.get()]


def plain_length(value: float) -> str:
    """A length [mm] with its unit as a message about a file tells it."""
    return plain(value, "mm")


def in_prose(text: str, figures: int = _PROSE_FIGURES) -> str:
    """A text with the numbers that are marked in it with their unit, as in ``{0.2 to 0.5 mm}``, in shown units."""

    def put(match: re.Match[str]) -> str:
        scale = scale_of(match["unit"])
        numbers = (match["first"], match["last"]) if match["to"] else (match["first"],)
        told = numbers if scale.factor == 1 else [f"{float(one) * scale.factor:.{figures}g}" for one in numbers]
        return f"{' to '.join(told)} {scale.unit}"

    return MARKED.sub(put, text)
