"""Kinds of field of a plan: ids, words however they are spelt, speeds, angles and feeds with their units."""

import re
from typing import Annotated, Any, Literal, get_args

from pydantic import BeforeValidator, ValidationInfo, WithJsonSchema

from advisor.files.problems import misfit
from advisor.files.units import number_or_text, parse_length
from advisor.files.yaml_reader import LONGEST_NUMBER
from advisor.model.fields import LONGEST_WORD, Coolant, Word, bounded, number, units_said

MOST_FEATURES = 200  # of one operation
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
    match = _RATE.fullmatch(raw.strip()) if isinstance(raw, str) and len(raw) < 60 else None
    told = match["length"] if match else raw
    if isinstance(told, str) and (metres := re.fullmatch(r"([0-9.]+)\s*m", told.strip())):
        told = f"{parse_length(metres[1]) * 1000} mm"
    if isinstance(raw, str) and match is None and re.search('[A-Za-z"]', raw):
        raise misfit("a feed rate with its unit, such as '3000 mm/min' or '120 in/min'")
    return bounded(parse_length(told, units_said(info)), raw, "mm/min", (None, "feed_most"), above_zero=True)


def _spelt(kind: Any) -> WithJsonSchema:
    """The schema of one of our words however it is spelt."""

    def either(letter: str) -> str:
        return "[-_ ]" if letter == "_" else f"[{letter}{letter.upper()}]"

    spellings = "|".join("".join(map(either, word)) for word in get_args(kind))
    pattern = rf"^\s*({spellings})\s*$"
    return WithJsonSchema({"anyOf": [{"enum": list(get_args(kind))}, {"type": "string", "pattern": pattern}]})


def _with_unit(units: str) -> WithJsonSchema:
    """The schema of a number that may carry the one unit it can have; ``units`` is a pattern."""
    text = rf"^\s*([0-9]+\.?[0-9]*|\.[0-9]+)\s*({units})?\.?\s*$"
    return WithJsonSchema({"anyOf": [{"type": "number", "minimum": 0}, {"type": "string", "pattern": text}]})


_WORD = {"type": ["string", "number"], "minLength": 1, "maxLength": LONGEST_WORD}
_NAMES = {"anyOf": [_WORD, {"type": "array", "items": _WORD, "minItems": 1, "maxItems": MOST_FEATURES}]}
Names = Annotated[tuple[Word, ...], BeforeValidator(_names), WithJsonSchema(_NAMES)]
Speed = Annotated[
    float,
    number("1/min", "spindle_speed_most", "spindle_speed_least"),
    _without_unit(_SPEED_UNIT),
    _with_unit("1?/min|[rR][pP][mM]"),
]
Angle = Annotated[
    float, number("degrees", "descent_angle_most"), _without_unit(_ANGLE_UNIT), _with_unit("°|[dD][eE][gG](rees?)?")
]
_RATE_SCHEMA = WithJsonSchema(
    {
        "description": "a feed rate: a number in the units of the file a minute, or text such as '120 in/min'",
        "anyOf": [{"type": "number", "exclusiveMinimum": 0}, {"type": "string"}],
    }
)
MethodWord = Annotated[Method, _one_of(Method), _spelt(Method)]
EntryWord = Annotated[Entry, _one_of(Entry), _spelt(Entry)]
CoolantWord = Annotated[Coolant, _one_of(Coolant), _spelt(Coolant)]
Rate = Annotated[float, BeforeValidator(_rate), _RATE_SCHEMA]
