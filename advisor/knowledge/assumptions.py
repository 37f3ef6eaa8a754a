"""The numbers with which the readers fill gaps and bound sizes: `shared/assumptions.yaml`."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from advisor.files.problems import BadInput, Problem, nearest_word, shown
from advisor.files.yaml_reader import Document, read_yaml
from advisor.paths import shared_dir


@dataclass(frozen=True, slots=True)
class Assumption:
    """One number with its unit, what it stands for, and its source as written."""

    value: float
    unit: str
    what: str
    source: Any


@dataclass(frozen=True, slots=True)
class Assumptions:
    """All assumptions, section by section: `cutter`, `machine`, `bounds`."""

    file: str
    sections: Mapping[str, Mapping[str, Assumption]]

    def value(self, section: str, name: str) -> float:
        """Return the number of an assumption. Raises BadInput if the table lacks it."""
        entries = self.sections.get(section, {})
        if name not in entries:
            wanted = f"the entry {name}, which the readers need"
            raise BadInput([Problem(self.file, None, section, "no such entry", wanted, nearest_word(name, entries))])
        return entries[name].value


def assumptions_file() -> Path:
    """The file of the assumptions."""
    return shared_dir() / "assumptions.yaml"


@cache
def load_assumptions() -> Assumptions:
    """Return the assumptions, read once in a process. Raises BadInput if the table is broken."""
    return assumptions_of(read_yaml(assumptions_file()))


def assumptions_of(document: Document) -> Assumptions:
    """Return the assumptions of a table. Raises BadInput if it is broken."""
    problems: list[Problem] = []
    sections: dict[str, Mapping[str, Assumption]] = {}
    for section, entries in _mapping(document.value).items():
        found = {name: _entry(document, (section, name), entry, problems) for name, entry in _mapping(entries).items()}
        sections[section] = MappingProxyType(found)
    if problems:
        raise BadInput(problems)
    return Assumptions(document.name, MappingProxyType(sections))


def assumed(section: str, name: str) -> float:
    """Return the number of an assumption, in the unit that the table gives. Raises BadInput if the table lacks it."""
    return load_assumptions().value(section, name)


def _mapping(value: Any) -> dict[str, Any]:
    return value if isinstance(value, dict) else {}


def _entry(document: Document, path: tuple[str, str], entry: Any, problems: list[Problem]) -> Assumption:
    fields = _mapping(entry)
    value = fields.get("value")
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        wanted = "a number as `value`, with unit, source and what"
        problems.append(Problem(document.name, document.line(path), ".".join(path), shown(value), wanted))
        value = 0.0
    return Assumption(float(value), str(fields.get("unit", "")), str(fields.get("what", "")), fields.get("source"))
