"""What the handbook is made of before anyone lays it out: parts with places to link to, text with links in it."""

from __future__ import annotations

from typing import NamedTuple


class Link(NamedTuple):
    """Text that leads to a place of the book."""

    text: str
    to: str
    code: bool = False


class Code(NamedTuple):
    """A name or a formula as it stands in the files."""

    text: str


Inline = str | Link | Code
Text = tuple[Inline, ...]


class Head(NamedTuple):
    """A heading with its place. Level 1 is the book, 2 a chapter, 3 a section, 4 a part of it without a place."""

    text: str
    level: int
    place: str = ""
    note: str = ""


class Passage(NamedTuple):
    """A paragraph; ``kind`` is a word for the layout, such as ``verdict`` or ``safety``."""

    text: Text
    kind: str = ""


class Bullets(NamedTuple):
    """A list."""

    items: tuple[Text, ...]


class Grid(NamedTuple):
    """A table; a row may have a place to link to."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, tuple[Text, ...]], ...]


Leaf = Head | Passage | Bullets | Grid
