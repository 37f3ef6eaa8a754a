"""What is wrong with a rule base, collected so that one run names everything; and the reading of sources."""

from __future__ import annotations

from typing import Any as Anything

from advisor.files.problems import Problem, listed, shown
from advisor.files.yaml_reader import Document
from advisor.knowledge.measures import Measure
from advisor.knowledge.schema import Source

LONGEST_SECTION = 80
SOURCE = "{common_practice: true} or {work: a key of sources.yaml, from_memory: true}"


def one_of(measure: Measure) -> str:
    """The words that a fact can be, as what is wanted."""
    return "the id of a cutter as the crib spells it" if measure.named else f"one of {listed(measure.words)}"


class Faults:
    """Collects what is wrong, so that one run names everything."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []

    def add(self, document: Document, path: tuple[Anything, ...], field: str, found: object, wanted: str) -> None:
        self.problems.append(Problem(document.name, document.line(path), field, as_written(found), wanted, None))


def as_written(value: object) -> str:
    """A value as a file would have it; text as it is, and what is not there as nothing."""
    if isinstance(value, list | tuple):
        return f"[{', '.join(map(as_written, value))}]"
    if isinstance(value, dict):
        return f"{{{', '.join(f'{as_written(key)}: {as_written(held)}' for key, held in value.items())}}}"
    return shown(value) if value is None or isinstance(value, bool | float) else str(value)


def read_source(
    entry: Anything, works: set[str], document: Document, path: tuple[Anything, ...], faults: Faults
) -> Source:
    """The source of a rule or threshold; what is wrong with it is noted."""
    if entry == {"common_practice": True}:
        return Source()
    if isinstance(entry, dict) and set(entry) <= {"work", "from_memory", "section"}:
        work, memory, section = entry.get("work"), entry.get("from_memory", False), entry.get("section")
        told = section is None or (isinstance(section, str | int | float) and len(str(section)) <= LONGEST_SECTION)
        if isinstance(work, str) and work in works and isinstance(memory, bool) and told:
            return Source(work, memory, None if section is None else str(section))
    faults.add(document, path, "source", entry, SOURCE)
    return Source()
