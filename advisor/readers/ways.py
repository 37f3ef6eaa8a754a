"""The table ``shared/ways.yaml`` as it is written: which methods there are, and what is said of each."""

from __future__ import annotations

from functools import cache
from typing import Any

from advisor.files.yaml_reader import read_yaml
from advisor.paths import shared_dir


@cache
def written_ways() -> dict[str, dict[str, Any]]:
    """Every method of the table, in its order, by name; read once in a process."""
    found: dict[str, dict[str, Any]] = read_yaml(shared_dir() / "ways.yaml").value
    return found
