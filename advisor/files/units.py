"""Lengths as people write them: numbers in the file's units, or text with a unit of its own."""

import math
import re
from typing import Literal

from advisor.files.decimals import with_point
from advisor.files.problems import Misfit, misfit, shown

Units = Literal["mm", "inch"]

MM_PER_INCH = 25.4  # exact by definition
_PLACES = 7  # a tenth of the hair that lengths are compared to: 0.75 in and 19.05 mm are one number, and so are
# 12 and what a sheet works out as 12.000000000001
_LONGEST = 40
_UNIT_WORDS: dict[str, Units] = {
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), "mm"),
    **dict.fromkeys(("in", "in.", "inch", "inches", "zoll", '"', "″"), "inch"),
}
_NUMBER = r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d{1,3})?"
_FRACTION = r"(?:(?P<whole>\d+)[ -])?(?P<over>\d+)/(?P<under>\d+)"
_TEXT = re.compile(rf"(?:{_FRACTION}|(?P<number>{_NUMBER}))\s*(?P<unit>[a-z.]*|\"|″)", re.ASCII | re.IGNORECASE)
_SOME = re.compile(r"[-+.0\s]*[1-9]")  # a figure that is not 0, before any exponent
_POINTED = re.compile(r"[-+]?\d*(\.\d+)?[^\d.,]*", re.ASCII)
_WITH_UNIT = re.compile(r"([-+]?[\d.]*\d)\s*([^\d.,\s].*)", re.ASCII)

# In patterns of JSON Schema: a number without a sign, and its exponent.
FIGURES_PATTERN = r"([0-9]+\.?[0-9]*|\.[0-9]+)"
EXPONENT_PATTERN = "([eE][-+]?[0-9]{1,3})?"
LENGTH_PATTERN = rf'^\s*(\+?{FIGURES_PATTERN}{EXPONENT_PATTERN}|([0-9]+[ -])?[0-9]+/[0-9]+)\s*([A-Za-z.]*|"|″)\s*$'


def to_mm(number: float, units: Units) -> float:
    """Return a length [mm], given as a number of millimetres or inches."""
    return round(number * (MM_PER_INCH if units == "inch" else 1.0), _PLACES)


def parse_length(value: object, units: Units = "mm") -> float:
    """Return a length [mm].

    `value` is a number in `units`, or text such as "19 mm", "0.75 in", '3/4"' or "1-1/2 in"; text without a unit is in
    `units`, but a fraction without one is never taken for mm. Raises `Misfit`, a ValueError that says what is wanted,
    for anything else, for NaN and for infinity.
    """
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise not_a_number(value, _wanted(units))
    if isinstance(value, str):
        number, units = _split(value, units)
    else:
        number = _as_float(value)
    if not math.isfinite(number):
        raise misfit(_wanted(units))
    return to_mm(number, units)


def decimal_comma(raw: object) -> Misfit | None:
    """Return the complaint about a number with a decimal comma, or with signs between its thousands, else None."""
    if not isinstance(raw, str) or len(raw) > _LONGEST:
        return None
    text = raw.strip()
    try:
        pointed = with_point(text)
    except Misfit as asked:  # 1,200 may be twelve hundred
        return asked
    if pointed == text or not _POINTED.fullmatch(pointed):
        return None
    comma = "," in text and "." not in text
    return misfit(
        "a decimal point, not a comma" if comma else "a number without signs between its thousands", nearest=pointed
    )


def not_a_number(raw: object, wanted: str, unit: str = "") -> Misfit:
    """Return the complaint about a value that should be one number: what is wanted, and the number if one is meant.

    `unit` is the one that the field has, and that is not written.
    """
    if isinstance(raw, list | tuple):
        single = raw[0] if len(raw) == 1 and isinstance(raw[0], int | float | str) else None
        return misfit(
            f"one number without brackets: {wanted}", nearest=None if single is None else str(single)[:_LONGEST]
        )
    if (comma := decimal_comma(raw)) is not None:
        return comma
    meant = _WITH_UNIT.fullmatch(raw.strip()) if isinstance(raw, str) and len(raw) <= _LONGEST else None
    if meant and unit and meant[2] == unit:
        return misfit(f"{wanted}, without the unit", nearest=meant[1])
    return misfit(wanted)


def _as_float(value: int | float) -> float:
    try:
        return float(value)
    except OverflowError:
        return math.inf


def underflows(number: str) -> bool:
    """Whether a number as written is so small that it would be held as 0, which it is not."""
    return float(number) == 0 and bool(_SOME.match(number))


def number_or_text(text: str) -> float | str:
    """The number that a cell holds, or the very text where it holds none that can be."""
    if len(text) >= _LONGEST or "_" in text:
        return text
    try:
        found = float(text)
    except ValueError:
        return text
    return text if underflows(text) else found


def finite_number(raw: object) -> float | None:
    """The number that a value is or a text holds; nothing where it is none, NaN or infinite."""
    found = number_or_text(raw.strip()) if isinstance(raw, str) else raw
    if isinstance(found, bool) or not isinstance(found, int | float):
        return None
    number = _as_float(found)
    return number if math.isfinite(number) else None


def _split(text: str, units: Units) -> tuple[float, Units]:
    stripped = text.strip()
    match = _TEXT.fullmatch(stripped) if len(stripped) <= _LONGEST else None
    if match is None:
        if stripped.casefold() in ("through", "thru", "durch", "durchgehend"):
            raise misfit(f"{_wanted(units)}; that a feature goes through is floor: false")
        raise decimal_comma(stripped) or misfit(_wanted(units))
    unit = match["unit"].lower()
    if unit and unit not in _UNIT_WORDS:
        raise misfit("the unit mm or in", found=f"the unit {shown(unit)} in {shown(text)}")
    if match["number"]:
        if underflows(match["number"]):
            raise misfit("a length that is not so small")
        return float(match["number"]), _UNIT_WORDS.get(unit, units)
    if int(match["under"]) == 0:
        raise misfit("a fraction that does not divide by zero")
    if not unit and units == "mm":  # nobody writes mm so: it may be meant in inches, and is asked about
        raise misfit(f"the unit of the fraction, such as '{stripped} in', or mm as a decimal number")
    return int(match["whole"] or 0) + int(match["over"]) / int(match["under"]), _UNIT_WORDS.get(unit, units)


def parse_units(value: object) -> Units:
    """Return the units that a file names: mm, inch or another word for these. Raises `Misfit`, a ValueError."""
    units = _UNIT_WORDS.get(value.strip().lower()) if isinstance(value, str) else None
    if units is None:
        raise misfit("mm or inch")
    return units


def units_or(word: object, otherwise: Units) -> Units:
    """The units that a file names, or others where it names none, or none that there are, which its check tells."""
    try:
        return otherwise if word is None else parse_units(word)
    except Misfit:
        return otherwise


def _wanted(units: Units) -> str:
    return f"a length in {units}, or with its own unit such as '19 mm' or '0.75 in'"
