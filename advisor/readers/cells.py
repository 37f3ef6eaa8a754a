"""What a cell of a table says: a word, yes or no, or a number with the signs and units that shops write beside it."""

import re
from collections.abc import Iterable, Mapping
from typing import Any, Literal

from advisor.files.decimals import plain_blanks, signs_of, with_point
from advisor.files.problems import misfit
from advisor.files.units import number_or_text
from advisor.files.workbook import Cell, Unreadable
from advisor.knowledge.trade_words import meanings, words_of_unit
from advisor.readers.columns import Head, without_unit

Holds = Literal[
    "text", "word", "answer", "length", "diameter", "radius", "per_tooth", "per_revolution", "angle", "speed", "rate",
    "cutting_speed", "count",
]  # fmt: skip
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
BARE = re.compile(r"[-+]?[\d.]+(?:[eE][-+]?\d+)?|(?:\d+[ -])?\d+/\d+")
_LONGEST_NUMBER = 60
_LENGTHS = {"mm": "mm", "inch": "in"}
# The units that a head may give its column, by their names, each with what a number under it is then written with.
_UNITS: Mapping[Holds, Mapping[str, str]] = {
    **dict.fromkeys(("length", "diameter", "radius"), _LENGTHS),
    "per_tooth": _LENGTHS | {"mm_per_tooth": "mm", "inch_per_tooth": "in"},
    "per_revolution": _LENGTHS | {"mm_per_revolution": "mm", "inch_per_revolution": "in"},
    "angle": {"degrees": ""},
    "speed": {"per_minute": ""},
    "rate": {"mm_per_minute": "mm/min", "m_per_minute": "m/min", "inch_per_minute": "in/min"},
    "cutting_speed": {"m_per_minute": "m/min", "feet_per_minute": "ft/min"},
    "count": {"count": ""},
}
_WANTED: Mapping[Holds, str] = {
    "per_tooth": "mm or in, or these a tooth", "per_revolution": "mm or in, or these a turn", "angle": "degrees",
    "speed": "1/min", "rate": "mm/min, m/min or in/min", "cutting_speed": "m/min or ft/min", "count": "no unit",
}  # fmt: skip

WORDS = frozenset({"text", "word", "answer"})
# Whose numbers are commonly beyond a thousand, and have no three places.
THOUSANDS = frozenset({"speed", "rate", "cutting_speed"})


def unfit_unit(head: Head, holds: Holds) -> str | None:
    """What is wanted instead of the unit of a head; nothing where it fits."""
    if head.unit is None or holds in WORDS:
        return None
    return None if head.unit in _UNITS[holds] else _WANTED.get(holds, "mm or in")


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
    if holds in ("text", "word"):
        return cell
    if holds == "answer":
        if not (answer := meanings("answers", cell)):
            raise misfit("yes or no (also ja, nein or x)")
        return answer == ("yes",)
    if len(cell) > _LONGEST_NUMBER:
        return cell
    text = plain_blanks(cell)
    if (affixed := _AFFIXED.get(holds)) and (match := affixed.fullmatch(text)):
        text = match["bare"]
    if holds == "speed":
        text = without_unit(text, words_of_unit("per_minute"))
    text = with_point(text, signs, thousands=holds in THOUSANDS)
    if holds in ("angle", "speed", "count"):
        found = number_or_text(text)
        return cell if isinstance(found, str) else found
    unit = _UNITS[holds].get(head.unit or "", "")
    return f"{text} {unit}" if unit and BARE.fullmatch(text) else text
