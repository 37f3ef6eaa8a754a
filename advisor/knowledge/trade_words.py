"""The words of the trade as people type them, `shared/words.yaml`: which of ours each means."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from itertools import chain
from pathlib import Path
from typing import Any, Literal, NamedTuple, get_args

from advisor.files.cache import kept
from advisor.files.problems import Misfit, listed, misfit, nearest_word
from advisor.files.yaml_reader import read_yaml
from advisor.paths import shared_dir

Section = Literal[
    "kinds",
    "methods",
    "entries",
    "bodies",
    "substrates",
    "coatings",
    "coolants",
    "purposes",
    "sides",
    "spindle",
    "settings",
    "answers",
]
Table = Literal["plan", "crib", "above"]
LONGEST_WORD = 80  # signs; what is longer is no word of the trade, and slow to fold
_SHORT = 4  # letters of a word that too many others are like
_APART = re.compile(r"[\s_.:\-‐‑–]+")
_BETWEEN = r"[-_\s.:‐‑–]*"  # the same in a pattern of a schema
_SPELT = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "⌀": "ø", "∅": "ø", "×": "x"})
_EITHER = {
    "ä": "(?:[äÄ]|[aA][eE])",
    "ö": "(?:[öÖ]|[oO][eE])",
    "ü": "(?:[üÜ]|[uU][eE])",
    "ß": "(?:[ßẞ]|[sS][sS])",
    "ø": "[øØ⌀∅]",
    "⌀": "[øØ⌀∅]",
}


class Words(NamedTuple):
    """The words of one kind. ``ours`` are the words of the program in the order of the table, each with what is typed
    for it; ``meaning`` gives ours for every folded word; ``asked`` what tells those apart that one word may mean;
    ``instead`` what to write for one that means none of ours.
    """

    ours: Mapping[str, tuple[str, ...]]
    meaning: Mapping[str, str]
    asked: Mapping[str, Mapping[str, str]]
    instead: Mapping[str, str]

    def meanings(self, typed: str) -> tuple[str, ...]:
        """Which of ours a typed word may mean: none where nobody knows it, several where it has to be asked."""
        word = folded(typed)
        one = self.meaning.get(word)
        return (one,) if one is not None else tuple(self.asked.get(word, ()))

    @property
    def known(self) -> tuple[str, ...]:
        """Every word that is understood, ours first."""
        return (*self.ours, *(word for words in self.ours.values() for word in words))


class WrittenAs(NamedTuple):
    """A word for a kind that says more than ours: the kind, the fields that follow from it, and those usual with it."""

    word: str
    kind: str
    fixed: Mapping[str, Any]
    usual: Mapping[str, Any]
    words: tuple[str, ...]


class RefusedKind(NamedTuple):
    """A kind of feature that is not roughed here: its name, why, and what to write instead."""

    name: str
    because: str
    instead: str
    words: tuple[str, ...]


class TradeWords(NamedTuple):
    """The whole table. ``columns`` are the words of heads, and of what may stand above these; ``units`` those typed
    behind a number, by what they belong to; ``unit_names`` the name of each unit, whatever it belongs to, by its words
    in small letters; ``hyphens`` the words of ours that are shown with a hyphen; ``written_as`` and ``refused`` are the
    kinds by folded word that say more than ours, and that are not roughed here.
    """

    sections: Mapping[str, Words]
    columns: Mapping[str, Words]
    glued: frozenset[str]
    fillers: frozenset[str]
    drill_follows: frozenset[str]
    units: Mapping[str, tuple[str, ...]]
    unit_names: Mapping[str, str]
    hyphens: tuple[str, ...]
    diameter_signs: tuple[str, ...]
    other_tools: frozenset[str]
    needs_radius: frozenset[str]
    remark_columns: frozenset[str]
    radius_signs: tuple[str, ...]
    written_as: Mapping[str, WrittenAs]
    refused: Mapping[str, RefusedKind]


def folded(word: str) -> str:
    """A word as it is compared: whatever the letter case and the spelling of umlauts, without blanks, hyphens,
    underscores, points and colons.
    """
    return _APART.sub("", word.casefold()).translate(_SPELT) if len(word) <= LONGEST_WORD else ""


@cache
def trade_words() -> TradeWords:
    """The shipped table, read once a process; from a checked copy where there is one.

    Raises:
        BadInput: the table is damaged.
    """
    return kept(TradeWords, [words_file()], lambda: read_trade_words(words_file()))


def words_file() -> Path:
    """The file of the shipped table."""
    return shared_dir() / "words.yaml"


def read_trade_words(file: Path) -> TradeWords:
    """The table of a file, one of the project's own.

    Raises:
        BadInput: it cannot be read.
        KeyError: a section is missing.
        ValueError: a word has two meanings without being asked.
    """
    table: Any = read_yaml(file).value
    asked = table["asked"]
    settings = {name: (*said, *table["columns"]["plan"].get(name, ())) for name, said in table["settings"].items()}
    return TradeWords(
        sections={
            name: _words(table[name], asked.get(name, {}), name, table["instead"].get(name, {}))
            for name in get_args(Section)
        },
        columns={
            "plan": _words(settings, asked["settings"], "columns.plan"),
            "crib": _words(table["columns"]["crib"], {}, "columns.crib"),
            "above": _words(table["columns"]["above"], {}, "columns.above"),
        },
        glued=_folded(table["glued"]),
        fillers=_folded(table["fillers"]),
        drill_follows=_folded(table["drill_follows"]),
        units={name: tuple(chain.from_iterable(units.values())) for name, units in table["units"].items()}
        | {"diameter": tuple(table["in_diameters"])},
        unit_names=_unit_names([*table["units"].values(), table["head_units"]]),
        hyphens=tuple(table["hyphens"]),
        diameter_signs=tuple(table["diameter_signs"]),
        other_tools=_folded(table["other_tools"]),
        needs_radius=_folded(table["needs_radius"]),
        remark_columns=_folded(table["remark_columns"]),
        radius_signs=tuple(table["radius_signs"]),
        written_as=_written_as(table["written_as"]),
        refused=_refused(table["refused_kinds"], table["kinds"], asked["kinds"]),
    )


def _written_as(entries: Mapping[str, Any]) -> dict[str, WrittenAs]:
    found = {}
    for word, entry in entries.items():
        words = (word, *entry["words"])
        one = WrittenAs(word, entry["kind"], entry.get("is", {}), entry.get("usual", {}), words)
        found.update(dict.fromkeys(map(folded, words), one))
    return found


def _refused(
    entries: Mapping[str, Any], kinds: Mapping[str, Sequence[str]], asked: Iterable[str]
) -> dict[str, RefusedKind]:
    known = _folded((*kinds, *chain.from_iterable(kinds.values()), *asked))
    found: dict[str, RefusedKind] = {}
    for name, entry in entries.items():
        words = (name, *entry["words"])
        for word in dict.fromkeys(map(folded, words)):
            if word in known or word in found:
                raise ValueError(f"{word!r} of refused_kinds has two meanings")
            found[word] = RefusedKind(name, entry["because"], entry["instead"], words)
    return found


def _folded(words: Iterable[str]) -> frozenset[str]:
    return frozenset(map(folded, words))


def _unit_names(tables: Iterable[Mapping[str, Sequence[str]]]) -> dict[str, str]:
    found: dict[str, str] = {}
    for name, words in chain.from_iterable(table.items() for table in tables):
        for word in map(str.casefold, words):
            if found.setdefault(word, name) != name:
                raise ValueError(f"{word!r} of units has two meanings")
    return found


def _words(
    entries: Mapping[str, Sequence[str]],
    asked: Mapping[str, Mapping[str, str]],
    section: str,
    instead: Mapping[str, str] | None = None,
) -> Words:
    meaning: dict[str, str] = {}
    for ours, typed in entries.items():
        for word in (ours, *typed):
            if meaning.setdefault(folded(word), ours) != ours or folded(word) in map(folded, asked):
                raise ValueError(f"{word!r} of {section} has two meanings")
    return Words(
        {ours: tuple(typed) for ours, typed in entries.items()},
        meaning,
        {folded(w): c for w, c in asked.items()},
        {folded(w): told for w, told in (instead or {}).items()},
    )


def words_of(section: Section) -> Words:
    """The words of a kind."""
    return trade_words().sections[section]


def written_as(typed: str) -> WrittenAs | None:
    """What a word for a kind says beyond ours; nothing where it says no more."""
    return trade_words().written_as.get(folded(typed))


def refused_kind(typed: str) -> RefusedKind | None:
    """The kind of feature that a word names and that is not roughed here; nothing for any other word."""
    return trade_words().refused.get(folded(typed))


def meanings(section: Section, typed: str) -> tuple[str, ...]:
    """Which of ours a typed word may mean: none where nobody knows it, several where it has to be asked."""
    return words_of(section).meanings(typed)


def meant(section: Section, typed: str, among: Iterable[str] | None = None) -> str:
    """The word of ours that is meant, of those ``among`` which it must be.

    Raises:
        Misfit: nobody knows the word, with the nearest that is known; or it may mean several, which are listed.
    """
    words = words_of(section)
    allowed = tuple(words.ours if among is None else among)
    found = [ours for ours in words.meanings(typed) if ours in allowed]
    if len(found) == 1:
        return found[0]
    several = words.meanings(typed)
    if found or (len(several) > 1 and not set(several) & set(words.ours)):  # the choices are words of the trade too
        raise asked_back(words, typed, found or several)
    if (other := words.instead.get(folded(typed))) is not None:
        raise misfit(other, found=repr(typed[:LONGEST_WORD]))
    known = [word for word in words.known if words.meaning[folded(word)] in allowed]
    raise misfit(f"one of {listed(allowed)}", found=repr(typed[:LONGEST_WORD]), nearest=nearest_word(typed, known))


def asked_back(words: Words, typed: str, choices: Iterable[str]) -> Misfit:
    """The complaint about a word that may mean several of ours, to be raised: each with what tells it apart."""
    apart = words.asked[folded(typed)]
    told = listed(f"{ours} ({apart[ours]})" for ours in choices)
    return misfit(told, found=f"{typed[:LONGEST_WORD]!r}, which has several meanings")


def column(table: Table, head: str) -> str | None:
    """The field that the head of a column names; nothing where nobody knows it.

    Raises:
        Misfit: it may name several fields, which are listed.
    """
    words = trade_words().columns[table]
    found = words.meanings(head)
    if len(found) > 1:
        raise asked_back(words, head, found)
    return found[0] if found else None


def nearest_head(table: Table, head: str, fields: Iterable[str]) -> str | None:
    """The field, among some, that has a word most like a head that nobody knows; nothing where none is much like it."""
    wanted = set(fields)
    known = {word: name for word, name in trade_words().columns[table].meaning.items() if name in wanted}
    word = nearest_word(folded(head), [word for word in known if len(word) > _SHORT])
    return None if word is None else known[word]


def unit_of(text: str) -> str | None:
    """The name of the unit that a text is; nothing where it is none."""
    return trade_words().unit_names.get(text.strip().casefold())


def words_of_unit(name: str) -> list[str]:
    """The words for a unit, in small letters, the longest first."""
    return sorted((word for word, unit in trade_words().unit_names.items() if unit == name), key=len, reverse=True)


def spellings(section: Section, among: Iterable[str] | None = None) -> str:
    """A pattern of JSON Schema for every word that is understood without being asked back, blanks around it or not."""
    return _spellings(words_of(section), among)


def head_spellings(table: Table, among: Iterable[str]) -> str:
    """The same for what names some fields of a table."""
    return _spellings(trade_words().columns[table], among)


def _spellings(words: Words, among: Iterable[str] | None) -> str:
    allowed = set(words.ours if among is None else among)
    return spelt_like(word for word in words.known if words.meaning[folded(word)] in allowed)


def spelt_like(words: Iterable[str]) -> str:
    """A pattern of JSON Schema for some words in all their spellings, blanks around them or not."""
    known = {word.lower(): None for word in words}
    return rf"^{_BETWEEN}({'|'.join(map(_spelling, known))}){_BETWEEN}$"


def _spelling(word: str) -> str:
    return _BETWEEN.join(map(case_blind, _APART.split(word)))


def case_blind(word: str) -> str:
    """A pattern for a word whatever the letter case, for JSON Schema, which knows no pattern that is blind to that."""
    return "".join(map(_either, word))


def _either(sign: str) -> str:
    if sign in _EITHER:
        return _EITHER[sign]
    return f"[{sign}{sign.upper()}]" if sign.isalpha() and len(sign.upper()) == 1 else re.escape(sign)


def units_pattern(*kinds: str) -> str:
    """A pattern for the units of some settings, the longest first; to be matched whatever the letter case."""
    return "|".join(map(re.escape, _units(kinds)))


def unit_spellings(*kinds: str) -> str:
    """The same for JSON Schema."""
    return "|".join(case_blind(unit.lower()) for unit in _units(kinds))


def _units(kinds: Iterable[str]) -> list[str]:
    found = {unit for kind in kinds for unit in trade_words().units[kind]}
    return sorted(found, key=lambda unit: (-len(unit), unit))
