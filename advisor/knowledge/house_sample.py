"""What stands beneath the faults of a house file to copy from: a sound sample of each part that has faults."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from advisor.files.problems import Problem
from advisor.files.reading import read_text
from advisor.files.yaml_reader import LARGEST_FILE, Document
from advisor.knowledge.house_files import PARTS
from advisor.paths import shared_dir

HEAD = "# To copy: a small house.yaml without faults."
PART = re.compile(rf"^({'|'.join(PARTS)}):\n(?: .*\n)+", re.MULTILINE)


def samples() -> Mapping[str, str]:
    """A sound house file with every part, by its parts. Raises BadInput if it cannot be read."""
    text = read_text(shared_dir() / "house_samples.yaml", limit_bytes=LARGEST_FILE)
    return {found[1]: found[0] for found in PART.finditer(text)}


def sample(document: Document, problems: Iterable[Problem]) -> str:
    """A house file without faults of the parts that have some, of every part where no part is to be made out."""
    told = {part for problem in problems for part in _parts_of(problem, document)}
    return "\n".join([HEAD, *(text for part, text in samples().items() if not told or part in told)])


def _parts_of(problem: Problem, document: Document) -> Iterable[str]:
    """The parts of a file that a problem may be one of: the last that begins before it, or which was misspelt."""
    if problem.nearest in PARTS:
        return [problem.nearest]
    begins = {
        str(path[0]): line
        for path, line in document.lines.items()
        if len(path) == 1 and problem.line is not None and line <= problem.line
    }
    last = max(begins.values(), default=0)
    return [part for part, line in begins.items() if line == last and part in PARTS]
