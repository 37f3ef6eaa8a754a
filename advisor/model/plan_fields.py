"""Kinds of field of a plan: ids, words however they are spelt, speeds, angles, feeds and shares of the cutter's
diameter.
"""

import re
from functools import cache
from typing import Annotated, Any, Literal, NamedTuple

from pydantic import BeforeValidator, ValidationInfo, WithJsonSchema

from advisor.files.problems import misfit, shown
from advisor.files.unit_scales import FOOT
from advisor.files.units import FIGURES_PATTERN, finite_number, number_or_text, parse_length
from advisor.files.yaml_reader import LONGEST_NUMBER
from advisor.knowledge.trade_words import unit_spellings, units_pattern
from advisor.mechanics.speed import spindle_speed
from advisor.model.cutter import Cutter
from advisor.model.fields import (
    LENGTH_SCHEMA,
    LONGEST_WORD,
    Spelt,
    Word,
    bounded,
    length,
    number,
    one_of,
    units_said,
)

MOST_FEATURES = 200  # of one operation
PERCENT = 100
_RATE = re.compile(r"(?P<length>.*?)\s*/\s*min\.?", re.IGNORECASE)
_INCHES = re.compile(r"(?P<number>.*?)\s*ip[mrt]\.?", re.IGNORECASE)  # a minute, a turn, a tooth
_NUMBER = r"[-+]?(?:\d+\.?\d*|\.\d+)"

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


def _names(raw: Any) -> Any:
    """The ids of one feature, or of several in a list."""
    found = tuple(raw) if isinstance(raw, list | tuple) else (raw,)
    if not found or len(found) > MOST_FEATURES:
        raise misfit(f"the id of a feature, or a list of 1 to {MOST_FEATURES}")
    if len(set(map(str, found))) < len(found):
        raise misfit("each feature once")
    return found


@cache
def _unit(kind: str) -> re.Pattern[str]:
    """The units of a setting, at the end of a text."""
    return re.compile(rf"\s*({units_pattern(kind)})\.?$", re.IGNORECASE)


def _without_unit(kind: str) -> BeforeValidator:
    """A number that may carry the one unit it can have, that of a setting."""

    def bare(raw: Any) -> Any:
        if not isinstance(raw, str) or len(raw) > LONGEST_NUMBER:  # what is longer is no number, and slow to search
            return raw
        text = _unit(kind).sub("", raw).replace("\u2009", "").replace("\u00a0", "")
        found = number_or_text(text)
        return raw if isinstance(found, str) else found

    return BeforeValidator(bare)


def _rate(raw: Any, info: ValidationInfo) -> float:
    """A feed rate [mm/min]: a number in the units of the file a minute, or text such as ``120 in/min``."""
    if isinstance(raw, str) and len(raw) < 60 and (inches := _INCHES.fullmatch(raw.strip())):
        raw = f"{inches['number']} in/min"
    match = _RATE.fullmatch(raw.strip()) if isinstance(raw, str) and len(raw) < 60 else None
    told = match["length"] if match else raw
    if isinstance(told, str) and (metres := re.fullmatch(r"([0-9.]+)\s*m", told.strip())):
        told = f"{parse_length(metres[1]) * 1000} mm"
    if isinstance(raw, str) and match is None and re.search('[A-Za-z"]', raw):
        raise misfit("a feed rate with its unit, such as '3000 mm/min' or '120 in/min'")
    return bounded(parse_length(told, units_said(info)), raw, "mm/min", (None, "feed_most"), above_zero=True)


def _of_edge(kind: str) -> BeforeValidator:
    """A feed that may say of what it is: ``0.1 mm/tooth`` is a length."""

    def length_of(raw: Any) -> Any:
        found = _unit(kind).search(raw) if isinstance(raw, str) and len(raw) <= LONGEST_NUMBER else None
        if found is None:
            return raw
        unit = "in" if _INCHES.fullmatch(found[1]) else found[1].partition("/")[0]
        return f"{raw[: found.start()]} {unit}"

    return BeforeValidator(length_of)


def _cutter(info: ValidationInfo, wanted: str, raw: Any) -> Cutter:
    """The cutter of the operation, where the crib is known. Raises Misfit."""
    cutter = info.context.get("cutter") if info.context else None
    if not isinstance(cutter, Cutter):
        raise misfit(f"{wanted}: the cutter is not known here", found=shown(raw))
    return cutter


@cache
def _in_diameters() -> re.Pattern[str]:
    of = units_pattern("diameter")
    return re.compile(rf"({_NUMBER})\s*(?:(%)(?:\s*(?:of\s*)?({of}))?|[x×*·]?\s*(?:{of}))", re.IGNORECASE)


def _of_cutter(percent: bool) -> BeforeValidator:
    """A length that may be told in diameters of the cutter, ``0.5xD``; with ``percent`` also as ``50 %`` of it."""

    def in_mm(raw: Any, info: ValidationInfo) -> Any:
        found = _in_diameters().fullmatch(raw.strip()) if isinstance(raw, str) and len(raw) <= LONGEST_NUMBER else None
        if found is None:
            return raw
        if found[2] and not percent and not found[3]:
            raise misfit(
                "a length, or diameters such as '0.5xD', or of what this is a share, such as '50 % of D'",
                found=shown(raw),
            )
        times = float(found[1]) / (PERCENT if found[2] else 1)
        return f"{times * _cutter(info, 'a length in mm or inch', raw).DC:.9f} mm"

    return BeforeValidator(in_mm)


def _cutting_speed(raw: Any, info: ValidationInfo) -> float:
    """A cutting speed [m/min]: a number, or text such as ``600 ft/min``. In a file in inches it needs its unit."""
    found = _unit("cutting_speed").search(raw) if isinstance(raw, str) and len(raw) <= LONGEST_NUMBER else None
    value = finite_number(raw[: found.start()] if found else raw)
    if value is None:
        raise misfit("a cutting speed in m/min, or with its unit such as '600 ft/min'")
    if found is None and info.context and info.context.get("units") == "inch":
        raise misfit("its unit, m/min or ft/min, since lengths are in inches", found=shown(raw))
    metric = found is None or found[1].casefold() == "m/min"
    return bounded(value * (1 if metric else FOOT), raw, "m/min", (None, "cutting_speed_most"), above_zero=True)


def _one_of_both(raw: Any, info: ValidationInfo, name: str, other: str) -> float | None:
    """The ``other`` setting that ``name`` is worked out from, where it is given; one of both may be, not the two."""
    given: float | None = info.data.get(other)
    if given is not None and raw is not None:
        raise misfit(f"{name} or {other}, not both", found=shown(raw))
    return given


def _by_cutting_speed(raw: Any, info: ValidationInfo) -> Any:
    """The spindle speed [1/min], from the cutting speed where that is given."""
    given = _one_of_both(raw, info, "spindle_speed", "cutting_speed")
    if given is None:
        return raw
    return spindle_speed(given, _cutter(info, "a spindle speed in 1/min", f"a cutting speed of {given:g} m/min").DC)


def _by_revolution(raw: Any, info: ValidationInfo) -> Any:
    """The feed per tooth [mm], from that per revolution where that is given."""
    given = _one_of_both(raw, info, "feed_per_tooth", "feed_per_revolution")
    if given is None:
        return raw
    teeth = _cutter(info, "a feed per tooth", f"a feed of {given:g} mm per revolution").ZEFP
    return f"{given / teeth:.9f} mm"


class _WithUnit(NamedTuple):
    """The schema of a number that may carry the one unit it can have, that of a setting."""

    kind: str

    def __get_pydantic_json_schema__(self, core: Any, handler: Any) -> dict[str, Any]:
        """What pydantic asks for."""
        text = rf"^\s*{FIGURES_PATTERN}\s*({unit_spellings(self.kind)})?\.?\s*$"
        return {"anyOf": [{"type": "number", "minimum": 0}, {"type": "string", "pattern": text}]}


class _OfEdge(NamedTuple):
    """The schema of a feed that may say of what it is."""

    kind: str

    def __get_pydantic_json_schema__(self, core: Any, handler: Any) -> dict[str, Any]:
        """What pydantic asks for."""
        text = rf"^\s*{FIGURES_PATTERN}\s*({unit_spellings(self.kind)})\s*$"
        return {
            "description": LENGTH_SCHEMA["description"],
            "anyOf": [*LENGTH_SCHEMA["anyOf"], {"type": "string", "pattern": text}],
        }


class _InDiameters(NamedTuple):
    """The schema of a length that may be told in diameters of the cutter."""

    percent: bool

    def __get_pydantic_json_schema__(self, core: Any, handler: Any) -> dict[str, Any]:
        """What pydantic asks for."""
        of = unit_spellings("diameter")
        share = rf"%(\s*([oO][fF]\s*)?({of})){'?' if self.percent else ''}"
        text = rf"^\s*{FIGURES_PATTERN}\s*({share}|[xX×*·]?\s*({of}))\s*$"
        what = (
            "a length: a number in the units of the file, text with a unit, or diameters of the cutter such as '0.5xD'"
        )
        return {"description": what, "anyOf": [*LENGTH_SCHEMA["anyOf"], {"type": "string", "pattern": text}]}


_WORD = {"type": ["string", "number"], "minLength": 1, "maxLength": LONGEST_WORD}
_NAMES = {"anyOf": [_WORD, {"type": "array", "items": _WORD, "minItems": 1, "maxItems": MOST_FEATURES}]}
Names = Annotated[tuple[Word, ...], BeforeValidator(_names), WithJsonSchema(_NAMES)]
Speed = Annotated[
    float,
    number("1/min", "spindle_speed_most", "spindle_speed_least"),
    _without_unit("spindle_speed"),
    _WithUnit("spindle_speed"),
]
Angle = Annotated[float, number("degrees", "descent_angle_most"), _without_unit("ramp_angle"), _WithUnit("ramp_angle")]
CuttingSpeed = Annotated[float, BeforeValidator(_cutting_speed), _WithUnit("cutting_speed")]
AxialDepth = Annotated[float, length("feature_depth_most"), _of_cutter(False), _InDiameters(False)]
RadialWidth = Annotated[float, length("cutting_diameter_most"), _of_cutter(True), _InDiameters(True)]
FeedPerTooth = Annotated[float, length("feed_per_tooth_most"), _of_edge("feed_per_tooth"), _OfEdge("feed_per_tooth")]
FeedPerRevolution = Annotated[
    float, length("feed_per_revolution_most"), _of_edge("feed_per_revolution"), _OfEdge("feed_per_revolution")
]
_RATE_SCHEMA = WithJsonSchema(
    {
        "description": "a feed rate: a number in the units of the file a minute, or text such as '120 in/min'",
        "anyOf": [{"type": "number", "exclusiveMinimum": 0}, {"type": "string"}],
    }
)
MethodWord = Annotated[Method, one_of("methods", Method), Spelt("methods", Method)]
EntryWord = Annotated[Entry, one_of("entries", Entry), Spelt("entries", Entry)]
Rate = Annotated[float, BeforeValidator(_rate), _RATE_SCHEMA]
ByCuttingSpeed = BeforeValidator(_by_cutting_speed)
ByRevolution = BeforeValidator(_by_revolution)
