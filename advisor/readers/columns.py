"""What the head of a column says: which field it names, in which unit, with which remark."""

import re
from dataclasses import dataclass

from advisor.files.problems import Fault, Misfit
from advisor.knowledge.trade_words import Table, column, folded, trade_words, unit_of

_LONGEST = 120
_BY_UNIT = ("feed_rate", "feed_per_tooth", "feed_per_revolution", "cutting_speed")
_BRACKETS = re.compile(r"(?P<before>[^\[\]()]*)(?P<open>[\[(])(?P<inside>[^\[\]()]*)[\])](?P<after>[^\[\]()]*)")
_BEHIND = re.compile(r"(?P<before>.*?\S)(?:\s+in\s+|\s+|\s*[,/]\s*)(?P<inside>\S+)")


@dataclass(frozen=True, slots=True)
class Head:
    """What a head says: its column, its unit, and what stands in brackets that is neither.

    ``own`` says that it spells the very name of the column; ``asked`` is the complaint about a word that may name
    several, which has no column then.
    """

    field: str | None
    unit: str | None = None
    remark: str | None = None
    own: bool = False
    asked: Fault | None = None


def read_head(text: str, table: Table) -> Head:
    """What a head says, with a unit in brackets or behind it: ``DC [mm]``, ``n (1/min)``, ``ap mm``."""
    text = " ".join(text.split())
    try:
        return _read(text, table) if len(text) <= _LONGEST else Head(None)
    except Misfit as error:
        return Head(None, asked=error.faults[0])


def _read(text: str, table: Table) -> Head:
    if field := column(table, text):
        return _head(field, text)
    if match := _BRACKETS.fullmatch(text):
        outside, inside = f"{match['before']} {match['after']}".strip(), match["inside"].strip()
        field, within = _named(outside, inside, table), column(table, inside)
        if field is None or within == field:
            return _head(field or within, outside)
        if unit := unit_of(inside):
            return _head(field, outside, unit, inside)
        return _head(field, outside, "unknown" if match["open"] == "[" or within else None, inside)
    if (match := _BEHIND.fullmatch(text)) and (unit := unit_of(match["inside"])):
        return _head(_named(match["before"], match["inside"], table), match["before"], unit)
    if (unit := unit_of(text)) and len(found := _of_feed_or_speed(text, table)) == 1:
        return _head(found[0], text, unit)
    return Head(None)


def _of_feed_or_speed(unit: str, table: Table) -> list[str]:
    """The columns of a feed or a cutting speed that a unit alone stands for, as a head in inches does: ``IPT``."""
    units, fields = trade_words().units, trade_words().columns[table].ours
    return [name for name in fields if name in _BY_UNIT and unit.casefold() in map(str.casefold, units[name])]


def _head(field: str | None, word: str, unit: str | None = None, remark: str | None = None) -> Head:
    return Head(field, unit, remark, field is not None and folded(word) == folded(field))


def _named(word: str, unit: str, table: Table) -> str | None:
    """The column that a word names, with a unit beside it that may tell which of several: ``feed [mm/min]``.

    Raises:
        Misfit: it may name several all the same.
    """
    units = trade_words().units
    of_unit = [
        name
        for name in trade_words().columns[table].meanings(word)
        if unit.casefold() in map(str.casefold, units.get(name, ()))
    ]
    return of_unit[0] if len(of_unit) == 1 else column(table, word)


def without_unit(text: str, words: list[str]) -> str:
    """A number without a unit behind it that is one of some words, in small letters: ``8000 1/min``."""
    lowered = text.casefold()
    for word in words:
        before = text[: -len(word)]
        if lowered.endswith(word) and (before.endswith(" ") or not word[0].isdigit()):
            return before.strip()
    return text
