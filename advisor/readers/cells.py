"""What a cell of a table says: a word, yes or no, or a number with the signs and units that shops write beside it."""

import re
from collections.abc import Iterable, Mapping
from typing import Any, Literal

from advisor.files.decimals import plain_blanks, signs_of, with_point
from advisor.files.problems import misfit
from advisor.files.units import Units, number_or_text
from advisor.files.workbook import Cell, Unreadable
from advisor.model.plan_fields import as_word
from advisor.readers.columns import Head, answer_of, without_unit

Holds = Literal["text", "word", "answer", "length", "diameter", "radius", "angle", "speed", "rate", "count"]
LENGTHS = frozenset({"length", "diameter", "radius"})
# Signs that may stand beside a number, by what its column holds.
_BESIDE: dict[Holds, str] = {
    "diameter": "[øØ⌀∅]|[dD](?![a-z])",
    "radius": "[rR]",
    "count": "[zZ]",
    "angle": "°|[dD][eE][gG](?:rees?)?|[gG][rR][aA][dD]",
}
_AFFIXED = {
    holds: re.compile(
        rf"(?:(?:{signs})\s*(?=[-+\d.,]))?(?P<bare>.*?)\s*(?:(?<=[\d.,\s])(?:{signs})|(?<=mm)\s*(?:{signs}))?"
    )
    for holds, signs in _BESIDE.items()
}
_NOTHING = re.compile(r"[-–—−]+")
_BARE = re.compile(r"[-+]?[\d.]+(?:[eE][-+]?\d+)?|(?:\d+[ -])?\d+/\d+")
_LONGEST_NUMBER = 60
LENGTH_UNITS: dict[str, Units] = {"mm": "mm", "inch": "inch", "mm_per_tooth": "mm", "inch_per_tooth": "inch"}
_RATES = {"mm_per_minute": "mm/min", "m_per_minute": "m/min", "inch_per_minute": "in/min"}

WORDS = frozenset({"text", "word", "answer"})
THOUSANDS = frozenset({"speed", "rate"})  # whose numbers are commonly beyond a thousand, and have no three places


def unfit_unit(head: Head, holds: Holds) -> str | None:
    """What is wanted instead of the unit of a head; nothing where it fits."""
    if head.unit is None or holds in WORDS:
        return None
    fit: Mapping[str, tuple[str, ...]] = {
        "angle": ("degrees",), "speed": ("per_minute",), "rate": tuple(_RATES), "count": ("count",),
    }  # fmt: skip
    if head.unit in fit.get(holds, tuple(LENGTH_UNITS)):
        return None
    wanted = {"angle": "degrees", "speed": "1/min", "rate": "mm/min, m/min or in/min", "count": "no unit"}
    return wanted.get(holds, "mm or in")


def decimal_signs(cells: Iterable[Cell]) -> frozenset[str]:
    """Which decimal signs the numbers among the cells surely have: the comma, the point, both or neither."""
    texts = (plain_blanks(cell) for cell in cells if isinstance(cell, str) and len(cell) <= _LONGEST_NUMBER)
    return signs_of(text.lstrip("øØ⌀∅dDrRzZ ") for text in texts)


def value_of(cell: Cell, head: Head, holds: Holds, signs: frozenset[str]) -> Any:
    """What a cell says, as its column holds it; nothing where it is empty or holds a dash.

    Raises:
        Misfit: a cell that holds no value, or a number that can be read two ways.
    """
    if isinstance(cell, Unreadable):
        raise misfit(cell.wanted, found=cell.found)
    if isinstance(cell, float):
        if holds in ("angle", "speed", "count") or (holds not in WORDS and head.unit is None):
            return cell
        cell = f"{cell:.15g}"
    if cell is None or not cell or _NOTHING.fullmatch(cell):
        return None
    if holds == "text":
        return cell
    if holds == "word":
        return as_word(cell)
    if holds == "answer":
        answer = answer_of(cell)
        if answer is None:
            raise misfit("yes or no (also ja, nein or x)")
        return answer
    if len(cell) > _LONGEST_NUMBER:
        return cell
    text = plain_blanks(cell)
    if (affixed := _AFFIXED.get(holds)) and (match := affixed.fullmatch(text)):
        text = match["bare"]
    if holds == "speed":
        text = without_unit(text, "per_minute")
    text = with_point(text, signs, thousands=holds in THOUSANDS)
    if holds in ("angle", "speed", "count"):
        found = number_or_text(text)
        return cell if isinstance(found, str) else found
    bare = _BARE.fullmatch(text) is not None
    if bare and holds == "rate" and head.unit:
        return f"{text} {_RATES[head.unit]}"
    if bare and holds in LENGTHS and head.unit:
        return f"{text} {'in' if LENGTH_UNITS[head.unit] == 'inch' else 'mm'}"
    return text
