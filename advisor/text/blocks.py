"""What a report is made of before anyone lays it out: headings, paragraphs, pairs, lists and tables of plain text.

The terminal and Markdown show the same blocks, so they cannot tell different things.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple


class Heading(NamedTuple):
    """A heading. Level 1 is the whole, 2 a part of it, 3 a section.

    ``note`` stands at the end of the line, such as a grade; ``tight`` leaves out the empty line before it.
    """

    text: str
    level: int = 3
    note: str = ""
    tight: bool = False


class Para(NamedTuple):
    """A paragraph."""

    text: str


class Pairs(NamedTuple):
    """Labels and what stands beside them."""

    rows: tuple[tuple[str, str], ...]


class Item(NamedTuple):
    """An entry of a list.

    ``tag`` is the id of the rule behind it. ``strong`` opens the text and is not to be missed. ``after`` are lines
    that belong to the entry; ``code`` are further lines that are formulas.
    """

    text: str
    tag: str = ""
    strong: str = ""
    after: tuple[str, ...] = ()
    code: tuple[str, ...] = ()


class Items(NamedTuple):
    """A list."""

    items: tuple[Item, ...]


class Table(NamedTuple):
    """A table; every row has as many cells as there are heads.

    Where a page has no room for a row in one line, it goes on in a second one from column ``second``, if that is given.
    ``links`` are the places on the same page that the first cells lead to, where it can show that.
    """

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    second: int = 0
    links: tuple[str, ...] = ()


class Sketch(NamedTuple):
    """A drawing in characters: the same drawing several times, the widest first; the first that fits is shown."""

    versions: tuple[tuple[str, ...], ...]


Block = Heading | Para | Pairs | Items | Table | Sketch


def section(title: str, items: Iterable[Item | str]) -> tuple[Block, ...]:
    """A heading with its list; nothing where the list is empty."""
    found = tuple(Item(item) if isinstance(item, str) else item for item in items)
    return (Heading(title), Items(found)) if found else ()
