"""Which files and folders the program uses, as told."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from advisor.files.problems import printable
from advisor.text.blocks import Block, Heading, Item, Items


class Place(NamedTuple):
    """A file or folder: what it is, where, whether it is there, what follows, and the variable that moves it."""

    name: str
    path: str
    exists: bool
    remark: str = ""
    variable: str = ""


def where_blocks(places: Sequence[Place]) -> Iterator[Block]:
    """Each place with its path, whether it is there, and what moves it elsewhere."""
    yield Heading("Files and folders", 1)
    yield Items(tuple(Item(_told(place), strong=f"{place.name}:", after=tuple(_after(place))) for place in places))


def _told(place: Place) -> str:
    return printable(f"{place.path} ({'there' if place.exists else 'not there'})" if place.path else "none")


def _after(place: Place) -> Iterator[str]:
    said = [place.remark] if place.remark else []
    said += [f"{place.variable} in the environment names another."] if place.variable else []
    if said:
        yield printable(" ".join(said))
