"""The table of the coach, ``shared/coach.yaml``: ranges of invented features, tolerances, measures of difficulty."""

from __future__ import annotations

from functools import cache
from typing import Any

from advisor.files.yaml_reader import read_yaml
from advisor.paths import shared_dir


@cache
def table() -> dict[str, Any]:
    """The whole table."""
    found: dict[str, Any] = read_yaml(shared_dir() / "coach.yaml").value
    return found


def by_difficulty(name: str, difficulty: int) -> float:
    """The number of a list of the table that belongs to a difficulty, 1 to 5."""
    return float(table()[name][difficulty - 1])
