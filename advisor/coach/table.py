"""The table of the coach, ``shared/coach.yaml``: ranges of invented features, tolerances, measures of difficulty."""

from __future__ import annotations

from functools import cache
from typing import Any

from advisor.files.yaml_reader import Document, read_yaml
from advisor.knowledge.assumptions import Assumptions, assumptions_of
from advisor.paths import shared_dir

TRADE = "trade"  # the section of what rests on practice at the machine, each number with its unit and source


@cache
def _document() -> Document:
    return read_yaml(shared_dir() / "coach.yaml")


def table() -> dict[str, Any]:
    """The whole table."""
    found: dict[str, Any] = _document().value
    return found


@cache
def _of_the_trade() -> Assumptions:
    return assumptions_of(_document(), (TRADE,))


def trade_number(name: str) -> float:
    """A number of the trade, in the unit that the table gives. Raises BadInput if the table lacks it or it is none."""
    return _of_the_trade().value(TRADE, name)


def by_difficulty(name: str, difficulty: int) -> float:
    """The number of a list of the table that belongs to a difficulty, 1 to 5."""
    return float(table()[name][difficulty - 1])
