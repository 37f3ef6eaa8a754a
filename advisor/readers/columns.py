"""Which column the head of a table names, and in which unit, by the words of ``shared/columns.yaml``."""

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Literal

from advisor.files.problems import nearest_word
from advisor.files.yaml_reader import read_yaml
from advisor.paths import shared_dir

TableOf = Literal["crib", "plan"]
_LONGEST = 120
_SHORT = 4  # letters of a word that too many others are like
_APART = re.compile(r"[\s_.\-‐‑–:]+")
_SPELT = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "⌀": "ø", "∅": "ø", "×": "x"})
_BRACKETS = re.compile(r"(?P<before>[^\[\]()]*)(?P<open>[\[(])(?P<inside>[^\[\]()]*)[\])](?P<after>[^\[\]()]*)")
_BEHIND = re.compile(r"(?P<before>.*?\S)(?:\s+in\s+|\s+|\s*[,/]\s*)(?P<inside>\S+)")


@dataclass(frozen=True, slots=True)
class Head:
    """What a head says: its column, its unit, and what stands in brackets that is neither."""

    field: str | None
    unit: str | None = None
    remark: str | None = None


def columns_file() -> Path:
    """The file of the words."""
    return shared_dir() / "columns.yaml"


@cache
def words_of(section: str) -> Mapping[str, str]:
    """What each word of a section of the file stands for; the words as ``folded`` has them.

    Raises:
        BadInput: the file is damaged.
    """
    listed: Mapping[str, list[str]] = read_yaml(columns_file()).value[section]
    return MappingProxyType({folded(word): name for name, words in listed.items() for word in (name, *words)})


def folded(text: str) -> str:
    """A head without what does not count: letter case, blanks, points, hyphens, underscores, spelling of umlauts."""
    return _APART.sub("", text.casefold()).translate(_SPELT)


def column_of(head: str, table: TableOf) -> str | None:
    """The column of a crib or a plan that a head names, by its symbol or a common word; nothing where it is neither."""
    return words_of(table).get(folded(head)) if len(head) <= _LONGEST else None


def nearest_column(head: str, table: TableOf, among: Collection[str]) -> str | None:
    """The column among some whose word is most like a head; nothing where none is much like it."""
    words = {word: field for word, field in words_of(table).items() if field in among and len(word) > _SHORT}
    word = nearest_word(folded(head), words)
    return None if word is None else words[word]


def unit_of(text: str) -> str | None:
    """The unit that a text names, by its name in the file; nothing where it is none."""
    return _units().get(text.strip().casefold())


def without_unit(text: str, unit: str) -> str:
    """A number without a unit behind it that is the one meant: ``8000 1/min``."""
    lowered = text.casefold()
    for word in sorted((word for word, name in _units().items() if name == unit), key=len, reverse=True):
        before = text[: -len(word)]
        if lowered.endswith(word) and (before.endswith(" ") or not word[0].isdigit()):
            return before.strip()
    return text


def answer_of(text: str) -> bool | None:
    """What a cell says that answers yes or no; nothing where it says neither."""
    word = words_of("answers").get(folded(text))
    return None if word is None else word == "yes"


@cache
def _units() -> Mapping[str, str]:
    listed: Mapping[str, list[str]] = read_yaml(columns_file()).value["units"]
    return MappingProxyType({word.casefold(): name for name, words in listed.items() for word in words})


def read_head(text: str, table: TableOf, extra: Mapping[str, str]) -> Head:
    """What a head says, with a unit in brackets or behind it: ``DC [mm]``, ``n (1/min)``, ``ap mm``.

    ``extra`` are further words by their folded form.
    """

    def named(word: str) -> str | None:
        return extra.get(folded(word)) or column_of(word, table)

    text = " ".join(text.split())
    if len(text) > _LONGEST or (field := named(text)):
        return Head(field if len(text) <= _LONGEST else None)
    if match := _BRACKETS.fullmatch(text):
        outside, inside = f"{match['before']} {match['after']}".strip(), match["inside"].strip()
        field, within = named(outside), named(inside)
        if field is None or within == field:
            return Head(field or within)
        if unit := unit_of(inside):
            return Head(field, unit, inside)
        return Head(field, "unknown" if match["open"] == "[" or within else None, inside)
    if (match := _BEHIND.fullmatch(text)) and (unit := unit_of(match["inside"])):
        return Head(named(match["before"]), unit)
    return Head(None)
