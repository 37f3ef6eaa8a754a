"""Kinds of field that the models share. Each says what it wants when a value does not fit."""

from dataclasses import dataclass
from typing import Annotated, Any, Literal, get_args

from pydantic import BaseModel, BeforeValidator, ConfigDict, ValidationInfo, WithJsonSchema

from advisor.files.problems import Misfit, misfit, shown
from advisor.files.unit_scales import measured, plain
from advisor.files.units import LENGTH_PATTERN, Units, not_a_number, parse_length, parse_units
from advisor.knowledge.assumptions import assumed
from advisor.knowledge.trade_words import Section, meant, spellings, trade_words

LONGEST_WORD = 80
LONGEST_PATH = 1000
DRAFT = "https://json-schema.org/draft/2020-12/schema"  # what our JSON Schemas are written in

LENGTH_SCHEMA: dict[str, Any] = {
    "description": "a length: a number in the units of the file, or text with a unit, such as '19 mm' or '0.75 in'",
    "anyOf": [{"type": "number", "minimum": 0}, {"type": "string", "pattern": LENGTH_PATTERN}],
}
_NUMBER_SCHEMA: dict[str, Any] = {"type": "number", "minimum": 0}
_WORD_SCHEMA: dict[str, Any] = {"type": ["string", "number"], "minLength": 1, "maxLength": LONGEST_WORD}
_YES_NO = {"yes": True, "no": False, "true": True, "false": False}
_YES_NO_WORDS = "[Yy][Ee][Ss]|[Nn][Oo]|[Tt][Rr][Uu][Ee]|[Ff][Aa][Ll][Ss][Ee]"  # a schema knows no case-blind pattern
_YES_NO_SCHEMA: dict[str, Any] = {
    "anyOf": [{"type": "boolean"}, {"type": "string", "pattern": rf"^\s*({_YES_NO_WORDS})\s*$"}]
}


class Frozen(BaseModel):
    """Base of all models of the inputs: frozen, and closed to unknown fields. Built on first use, to start quickly."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)


def bounded(value: float, raw: object, unit: str, bounds: tuple[str | None, str | None], above_zero: bool) -> float:
    """The value, if it lies within its bounds; they are named as in ``shared/assumptions.yaml``. Raises Misfit."""
    least, most = bounds
    if value < 0 or (above_zero and value == 0):
        raise misfit("more than 0" if above_zero else "0 or more", found=shown(raw))
    if least is not None and value < (limit := assumed("bounds", least)):
        raise misfit(f"at least {plain(limit, unit, 1)}", found=shown(raw))
    if most is not None and value > (limit := assumed("bounds", most)):
        raise misfit(f"at most {plain(limit, unit, -1)}", found=shown(raw))
    return value


def units_said(info: ValidationInfo) -> Units:
    """The units that plain numbers are in: those that the context of a validation says, else mm."""
    units: Units = info.context.get("units", "mm") if info.context else "mm"
    return units


def length(most: str, least: str | None = None, *, above_zero: bool = True) -> BeforeValidator:
    """Return the check of a length [mm], with the names of its bounds in `shared/assumptions.yaml`.

    The context of a validation may say `units`; a plain number is then in these.
    """

    def check(raw: Any, info: ValidationInfo) -> float:
        units = units_said(info)
        typed = f"{raw} in" if units == "inch" and isinstance(raw, int | float) else raw  # else 0.6 seems below 10 mm
        return bounded(parse_length(raw, units), typed, "mm", (least, most), above_zero)

    return BeforeValidator(check)


def number(unit: str, most: str, least: str | None = None, *, above_zero: bool = True) -> BeforeValidator:
    """Return the check of a number in one of our units, with the names of its bounds in `shared/assumptions.yaml`.

    The context of a validation may say `units`; a plain number is then in what stands for the unit in these.
    """

    def check(raw: Any, info: ValidationInfo) -> float:
        return bounded(measured(raw, unit, units_said(info)), raw, unit, (least, most), above_zero)

    return BeforeValidator(check)


def _text(longest: int) -> BeforeValidator:
    def check(raw: Any) -> str:
        if not isinstance(raw, str) or not raw.strip():
            raise misfit("text")
        text = raw.strip()
        if len(text) > longest:
            raise misfit(f"text of at most {longest} characters")
        if not text.isprintable():
            raise misfit("text without line breaks and control characters")
        return text

    return BeforeValidator(check)


def yes_no(raw: Any) -> bool:
    """Return a truth value written as true, false, yes or no. Raises `Misfit` for anything else."""
    if isinstance(raw, bool):
        return raw
    if isinstance(raw, str) and raw.strip().lower() in _YES_NO:
        return _YES_NO[raw.strip().lower()]
    raise misfit("true or false")


def yes_no_or_same(raw: Any) -> Any:
    """Return a truth value as it is meant, and anything else as it stands."""
    try:
        return yes_no(raw)
    except Misfit:
        return raw


def _whole(raw: Any) -> int:
    if isinstance(raw, bool) or not isinstance(raw, int | float) or raw != raw // 1:
        raise not_a_number(raw, "a whole number")
    return int(raw)


def one_of(section: Section, kind: Any) -> BeforeValidator:
    """One of some words of ours, out of whatever the trade says for it; what may mean several is asked back."""

    def word(raw: Any) -> Any:
        return meant(section, raw, get_args(kind)) if isinstance(raw, str) and raw.strip() else raw

    return BeforeValidator(word)


def hole_schema() -> WithJsonSchema:
    """The schema of the diameter of a hole: a length, with its sign and the class of its tolerance or not, or a metric
    thread.
    """
    number = r"[0-9]+([.,][0-9]+)?"
    size = rf"^\s*[Øø⌀∅]?\s*{LENGTH_PATTERN[4:-4]}\s*([A-Z]{{1,2}}[0-9]{{1,2}})?\s*$"
    thread = (
        rf"^\s*[Mm][Ff]?\s*{number}(\s*[xX×*]\s*{number})?(\s*[-–]?\s*([0-9][GHgh]){{1,2}})?(\s*[-–]?\s*[Ll][Hh])?\s*$"
    )
    whole = r"#?\s*([0-9]+[ -][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+|[0-9]*\.[0-9]+)"
    series = r"(\s*-?\s*[Uu][Nn][CcFf])?(\s*-?\s*[123][Bb])?(\s*[-–]?\s*[Ll][Hh])?"
    unified = rf"^\s*{whole}\s*-\s*[0-9]+(\.[0-9]+)?{series}\s*$"
    drill = r"^\s*((#|[Nn][Oo]\.?)\s*[0-9]{1,2}|([Ll][Ee][Tt][Tt][Ee][Rr]\s*)?[A-Z])(\s*[Dd][Rr][Ii][Ll][Ll])?\s*$"
    texts = [{"type": "string", "pattern": pattern} for pattern in (size, thread, unified, drill)]
    said = (
        "a length, which may carry ⌀ and the class of its tolerance (⌀12 H7), a thread (M10, 1/4-20 UNC), or a number "
        "or letter drill (#7)"
    )
    return WithJsonSchema({"description": said, "anyOf": [LENGTH_SCHEMA["anyOf"][0], *texts]})


def toleranced_schema() -> WithJsonSchema:
    """The schema of a width between walls: a length, with the class of its tolerance or not."""
    size = rf"^\s*{LENGTH_PATTERN[4:-4]}\s*([A-Z]{{1,2}}[0-9]{{1,2}})?\s*$"
    said = "a length, which may carry the class of its tolerance (10 P9)"
    text = {"type": "string", "pattern": size}
    return WithJsonSchema({"description": said, "anyOf": [LENGTH_SCHEMA["anyOf"][0], text]})


@dataclass(frozen=True)
class Spelt:
    """The schema of such a word, or with ``many`` of a list of them too; made when a schema is asked for, since a start
    needs none.
    """

    section: Section
    kind: Any
    many: bool = False

    def __get_pydantic_json_schema__(self, core: Any, handler: Any) -> dict[str, Any]:
        """What pydantic asks for."""
        pattern = {"type": "string", "pattern": spellings(self.section, get_args(self.kind))}
        word = {"anyOf": [{"enum": list(get_args(self.kind))}, pattern]}
        return {"anyOf": [word, {"type": "array", "minItems": 1, "items": word}]} if self.many else word


def _without(raw: Any, signs: tuple[str, ...]) -> Any:
    return raw.strip()[1:] if isinstance(raw, str) and raw.strip()[:1] in signs and raw.strip() else raw


def signed(signs: str) -> WithJsonSchema:
    """The schema of a length before which one of these signs may stand."""
    signed_text = {"type": "string", "pattern": LENGTH_PATTERN.replace(r"^\s*", rf"^\s*[{signs}]?\s*", 1)}
    return WithJsonSchema(LENGTH_SCHEMA | {"anyOf": [LENGTH_SCHEMA["anyOf"][0], signed_text]})


def whole(most: str) -> BeforeValidator:
    """Return the check of a count of 1 or more, with the name of its upper bound in `shared/assumptions.yaml`."""
    return BeforeValidator(lambda raw: int(bounded(_whole(raw), raw, "", (None, most), above_zero=True)))


@dataclass(frozen=True)
class UpTo:
    """The schema of a whole number from 1 to a bound of `shared/assumptions.yaml`; made when a schema is asked for."""

    most: str

    def __get_pydantic_json_schema__(self, core: Any, handler: Any) -> dict[str, Any]:
        """What pydantic asks for."""
        return {"type": "integer", "minimum": 1, "maximum": int(assumed("bounds", self.most))}


Word = Annotated[str, _text(LONGEST_WORD), WithJsonSchema(_WORD_SCHEMA)]
PathText = Annotated[str, _text(LONGEST_PATH), WithJsonSchema({"type": "string", "minLength": 1})]
YesNo = Annotated[bool, BeforeValidator(yes_no), WithJsonSchema(_YES_NO_SCHEMA)]
WholeNumber = BeforeValidator(_whole)
UnitsField = Annotated[Units, BeforeValidator(parse_units), WithJsonSchema({"enum": ["mm", "inch", "in"]})]
LengthSchema = WithJsonSchema(LENGTH_SCHEMA)
SignLeftOut = BeforeValidator(lambda raw: _without(raw, trade_words().diameter_signs))  # a diameter may be written ⌀20
RadiusSignLeftOut = BeforeValidator(lambda raw: _without(raw, trade_words().radius_signs))  # and a radius R8
NumberSchema = WithJsonSchema(_NUMBER_SCHEMA)
Speed = Annotated[float, number("1/min", "spindle_speed_most", "spindle_speed_least"), NumberSchema]
Coolant = Literal["flood", "mist", "air", "through", "none"]
CoolantWord = Annotated[Coolant, one_of("coolants", Coolant), Spelt("coolants", Coolant)]
