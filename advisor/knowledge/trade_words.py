"""The words of the trade as people type them, `shared/words.yaml`: which of ours each means."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any, Literal, NamedTuple, get_args

from advisor.files.cache import kept
from advisor.files.problems import Misfit, listed, misfit, nearest_word
from advisor.files.yaml_reader import read_yaml
from advisor.paths import shared_dir

Section = Literal[
    "kinds", "methods", "entries", "bodies", "substrates", "coatings", "coolants", "purposes", "sides", "settings"
]
Table = Literal["plan", "crib"]
LONGEST_WORD = 80  # signs; what is longer is no word of the trade, and slow to fold
_APART = re.compile(r"[\s_\-]+")


class Words(NamedTuple):
    """The words of one kind. ``ours`` are the words of the program in the order of the table, each with what is typed
    for it; ``meaning`` gives ours for every folded word; ``asked`` what tells those apart that one word may mean.
    """

    ours: Mapping[str, tuple[str, ...]]
    meaning: Mapping[str, str]
    asked: Mapping[str, Mapping[str, str]]

    def meanings(self, typed: str) -> tuple[str, ...]:
        """Which of ours a typed word may mean: none where nobody knows it, several where it has to be asked."""
        word = folded(typed)
        one = self.meaning.get(word)
        return (one,) if one is not None else tuple(self.asked.get(word, ()))

    @property
    def known(self) -> tuple[str, ...]:
        """Every word that is understood, ours first."""
        return (*self.ours, *(word for words in self.ours.values() for word in words))


class TradeWords(NamedTuple):
    """The whole table. ``units`` are those typed behind a number, by what they belong to; ``hyphens`` the words of ours
    that are shown with a hyphen.
    """

    sections: Mapping[str, Words]
    columns: Mapping[str, Words]
    glued: frozenset[str]
    fillers: frozenset[str]
    drill_follows: frozenset[str]
    units: Mapping[str, tuple[str, ...]]
    hyphens: tuple[str, ...]
    diameter_signs: tuple[str, ...]


def folded(word: str) -> str:
    """A word as it is compared: whatever the letter case, without blanks, hyphens and underscores."""
    return _APART.sub("", word.casefold()) if len(word) <= LONGEST_WORD else ""


@cache
def trade_words() -> TradeWords:
    """The shipped table, read once a process; from a checked copy where there is one.

    Raises:
        BadInput: the table is damaged.
    """
    file = shared_dir() / "words.yaml"
    return kept(TradeWords, [file], lambda: read_trade_words(file))


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
        sections={name: _words(table[name], asked.get(name, {}), name) for name in get_args(Section)},
        columns={
            "plan": _words(settings, asked["settings"], "columns.plan"),
            "crib": _words(table["columns"]["crib"], {}, "columns.crib"),
        },
        glued=_folded(table["glued"]),
        fillers=_folded(table["fillers"]),
        drill_follows=_folded(table["drill_follows"]),
        units={name: tuple(units) for name, units in table["units"].items()},
        hyphens=tuple(table["hyphens"]),
        diameter_signs=tuple(table["diameter_signs"]),
    )


def _folded(words: Iterable[str]) -> frozenset[str]:
    return frozenset(map(folded, words))


def _words(entries: Mapping[str, Sequence[str]], asked: Mapping[str, Mapping[str, str]], section: str) -> Words:
    meaning: dict[str, str] = {}
    for ours, typed in entries.items():
        for word in (ours, *typed):
            if meaning.setdefault(folded(word), ours) != ours or folded(word) in map(folded, asked):
                raise ValueError(f"{word!r} of {section} has two meanings")
    return Words(
        {ours: tuple(typed) for ours, typed in entries.items()}, meaning, {folded(w): c for w, c in asked.items()}
    )


def words_of(section: Section) -> Words:
    """The words of a kind."""
    return trade_words().sections[section]


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
    if found:
        raise asked_back(words, typed, found)
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


def columns(table: Table, heads: Sequence[str]) -> list[str | None]:
    """The field that each head names; nothing for one that is empty or that nobody knows, and for another word where a
    head spells the field itself.

    Raises:
        Misfit: one may name several fields, which are listed.
    """
    spelt = set(map(str.casefold, heads))
    found = [column(table, head) if head else None for head in heads]
    return [
        None if name is not None and name.casefold() in spelt - {head.casefold()} else name
        for head, name in zip(heads, found, strict=True)
    ]


def nearest_head(table: Table, head: str, fields: Iterable[str]) -> str | None:
    """The head most like one that nobody knows, of those that name one of some fields."""
    words, wanted = trade_words().columns[table], set(fields)
    return nearest_word(head, [word for word in words.known if words.meaning[folded(word)] in wanted])


def spellings(section: Section, among: Iterable[str] | None = None) -> str:
    """A pattern of JSON Schema for every word that is understood without being asked back, blanks around it or not."""
    words = words_of(section)
    allowed = set(words.ours if among is None else among)
    known = {word.casefold(): None for word in words.known if words.meaning[folded(word)] in allowed}
    return rf"^\s*({'|'.join(map(_spelling, known))})\s*$"


def _spelling(word: str) -> str:
    parts = ["".join(map(_either, part)) for part in _APART.split(word)]
    return r"[-_\s]*".join(parts)


def _either(sign: str) -> str:
    return f"[{sign}{sign.upper()}]" if sign.isalpha() and len(sign.upper()) == 1 else re.escape(sign)


def units_pattern(*kinds: str) -> str:
    """A pattern for the units of some settings, the longest first; to be matched whatever the letter case."""
    return "|".join(map(re.escape, _units(kinds)))


def unit_spellings(*kinds: str) -> str:
    """The same for JSON Schema, which knows no pattern that is blind to letter case."""
    return "|".join("".join(map(_either, unit)) for unit in _units(kinds))


def _units(kinds: Iterable[str]) -> list[str]:
    found = {unit for kind in kinds for unit in trade_words().units[kind]}
    return sorted(found, key=lambda unit: (-len(unit), unit))
