"""A plan in a line of speech: ``S1: layered pocketing T07 ae 6 ap 4``."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence
from functools import cache
from typing import Any, get_args

from advisor.files.checking import raise_if_any
from advisor.files.decimals import COMMA
from advisor.files.problems import Misfit, Problem, nearest_word, shown
from advisor.files.units import Units
from advisor.model.operations import OperationRow, Plan
from advisor.model.plan_fields import Entry, Method, as_word
from advisor.readers.plan_rows import in_order, refuse, row_of
from advisor.readers.plan_table import SYMBOLS, WORDS, cell_value, field_of
from advisor.readers.ways import written_ways

WHERE = "--say"
WANTED = "an operation such as: S1: layered pocketing T07 ae 6 ap 4"
LONGEST = 4000
UNITS = frozenset(
    {"mm", "m", "in", "inch", "inches", "cm", '"', "″", "mm/min", "m/min", "in/min", "/min", "1/min", "rpm", "deg", "°"}
)
_APART = re.compile(r"[;\n]+")
_NUMBER = re.compile(r"[-+]?(\d|[.,]\d)")
_LIKE_ONE = re.compile(r"[-+]?(nan|inf(inity)?)$", re.IGNORECASE)  # what is told as a number that cannot be read
_ALSO_WORDS = frozenset({"side", "bottom", "ramp", "drill"})  # symbols that a way in may have: side entry, helical ramp


@cache
def short() -> dict[str, str]:
    """What people say for a method, by the table of methods."""
    return {word: method for method, entry in written_ways().items() for word in entry.get("said", ())}


def plan_said(texts: Sequence[str], cutters: Collection[str], units: Units) -> Plan:
    """The plan of spoken operations, set apart by semicolons or line breaks; ``cutters`` are the ids of the crib.

    Raises:
        BadInput: with everything that cannot be understood.
    """
    problems: list[Problem] = []
    rows: list[tuple[OperationRow, int | None]] = []
    notes: list[str] = []
    spoken = [part.strip() for text in texts for part in _APART.split(text) if part.strip()]
    if not spoken or sum(map(len, spoken)) > LONGEST:
        raise refuse(WHERE, None, "", "nothing" if not spoken else f"more than {LONGEST} signs", WANTED)
    for place, part in enumerate(spoken, 1):
        name = f"operation {place}"
        given = _given(part, name, cutters, problems)
        if any(COMMA.fullmatch(token) for token in part.partition(":")[2].split()):
            notes.append(f"{WHERE}: in {shown(part)} decimal commas are read as points.")
        row = row_of(given, units, (WHERE, None, name), problems) if given else None
        if row is not None:
            rows.append((row, None))
    operations = in_order(rows, WHERE, problems)
    raise_if_any(problems)
    return Plan(WHERE, None, operations, tuple(notes), units)


def _given(part: str, name: str, cutters: Collection[str], problems: list[Problem]) -> dict[str, Any]:
    head, colon, rest = part.partition(":")
    tokens = rest.replace("=", " ").split()
    if not colon or not head.strip() or not tokens:
        problems.append(Problem(WHERE, None, name, shown(part), WANTED))
        return {}
    places = [at for at, token in enumerate(tokens) if token in cutters]
    place = next((at for at in places if not _drill_follows(tokens[:at])), places[0] if places else None)
    if place is None:
        near = next((found for token in tokens if (found := nearest_word(token, cutters))), None)
        problems.append(
            Problem(WHERE, None, f"{name}.cutter", shown(rest.strip()), "the id of a cutter of the crib in it", near)
        )
        return {}
    given: dict[str, Any] = {"feature": re.split(r"\s*[,+&]\s*", head.strip()), "cutter": tokens[place]}
    before, after = tokens[:place], tokens[place + 1 :]
    if any(_begins(before[at:]) for at in range(place)):  # numbers before the cutter are read like those behind it
        before, after = [], before + after
    if before:
        given["method"] = _method_of(before)
    after = _words_first(after, cutters)
    words = next((at for at in range(len(after)) if _begins(after[at:])), len(after))
    if words:
        _entry(after[:words], given, cutters)
    try:
        for field, value in _pairs(after[words:]):
            if field in given:
                raise refuse(WHERE, None, f"{name}.{field}", "a second value", "each setting once")
            given[field] = value
    except Misfit as error:
        fault = error.faults[0]
        problems.append(Problem(WHERE, None, name, fault.found or shown(part), fault.wanted, fault.nearest))
        return {}
    return given


def _begins(tokens: Sequence[str]) -> bool:
    """Whether settings begin here: a number stands next, or a symbol that takes a word. `helical ramp` is a way in."""
    field, word = field_of(tokens[0]), tokens[0].casefold()
    value_next = len(tokens) > 1 and _meant_for_number(tokens[1])
    alone = len(tokens) == 1 and word != "ramp" and word in SYMBOLS
    numeric = field is not None and field not in WORDS and word not in _ALSO_WORDS
    return value_next or alone or numeric or field in ("coolant", "entry_cutter")


def _drill_follows(before: Sequence[str]) -> bool:
    """Whether the next word is a drill by what stands before it: `drill D13`, `predrilled hole with D13`."""
    return len(before) > 1 and (field_of(before[-1]) == "entry_cutter" or before[-1].casefold() in ("with", "hole"))


def _words_first(tokens: Sequence[str], cutters: Collection[str]) -> list[str]:
    """The same with a method and a way in that stand behind numbers, and the drill of that, put before the numbers."""
    first = next((at for at in range(len(tokens)) if _begins(tokens[at:])), len(tokens))
    named, left, at = list(tokens[:first]), [], first
    while at < len(tokens):
        until = at + _words_of_name(tokens[at:])
        if until > at:
            while until < len(tokens) and (tokens[until] in cutters or tokens[until] == "with"):
                until += 1
            named += tokens[at:until]
        else:
            until = at + 1
            left.append(tokens[at])
        at = until
    return named + left


def _words_of_name(tokens: Sequence[str]) -> int:
    """How many tokens at the beginning name a method or a way in: 0 for none."""
    known = {*get_args(Method), *get_args(Entry), *short()}
    lengths = range(min(3, len(tokens)), 0, -1)
    return next((length for length in lengths if as_word(" ".join(tokens[:length])) in known), 0)


def _method_of(words: Sequence[str]) -> str:
    """A method as it is spoken, in our word for it where the word is a short one."""
    said = " ".join(words)
    return short().get(as_word(said), said)


def _meant_for_number(token: str) -> bool:
    """Whether somebody meant a number, be it one that cannot be read: nan, or ½."""
    bare = token.lstrip("+-")
    return _NUMBER.match(token) is not None or _LIKE_ONE.match(token) is not None or bare[:1].isnumeric()


def _entry(words: Sequence[str], given: dict[str, Any], cutters: Collection[str]) -> None:
    """The way in, with its drill where one is named; a method may stand behind the cutter, too."""
    drills = [word for word in words if word in cutters]
    plain = [word for word in words if word not in drills and word not in ("with", "by", "on", "down", "a", "the")]
    methods = {*get_args(Method), *short()}
    for at in range(len(plain)):
        length = _words_of_name(plain[at:])
        if "method" not in given and length and as_word(" ".join(plain[at : at + length])) in methods:
            given["method"], plain = _method_of(plain[at : at + length]), plain[:at] + plain[at + length :]
            break
    if plain:
        given["entry"] = " ".join(plain)
    if drills:
        given["entry_cutter"] = drills[0]


def _pairs(tokens: Sequence[str]) -> Iterator[tuple[str, Any]]:
    """Symbols with their values; a unit may stand apart from its number.

    Raises:
        Misfit: a symbol that nobody knows or that no value follows, or a value that can be read two ways.
    """
    from advisor.files.problems import misfit

    waiting = list(tokens)
    while waiting:
        symbol = waiting.pop(0)
        field = field_of(symbol)
        if field is None or field == "programmer":
            known = sorted({*SYMBOLS, *OperationRow.model_fields})
            wanted = "a symbol such as ap, ae, fz, vf, n, levels, side, bottom, overcut, ramp"
            raise misfit(wanted, found=shown(symbol), nearest=nearest_word(symbol, known))
        if not waiting:
            raise misfit("a value behind every symbol", found=f"{shown(symbol)} at the end")
        value = waiting.pop(0)
        if _NUMBER.match(value) and waiting and waiting[0].casefold() in UNITS:
            value = f"{value} {waiting.pop(0)}"
        yield field, cell_value(field, value)
