"""What stands beneath the faults of a house file to copy from: a sound sample of each part that has faults."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from itertools import islice

from advisor.files.problems import MOST_PROBLEMS, Problem
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
    begins = {str(path[0]): line for path, line in document.lines.items() if len(path) == 1}
    told = {part for problem in islice(problems, MOST_PROBLEMS) for part in _parts_of(problem, begins)}
    return "\n".join([HEAD, *(text for part, text in samples().items() if not told or part in told)])


def _parts_of(problem: Problem, begins: Mapping[str, int]) -> Iterable[str]:
    """The parts that a problem may be one of: the last that begins before it, or which was misspelt."""
    if problem.nearest in PARTS:
        return [problem.nearest]
    last = max((line for line in begins.values() if problem.line is not None and line <= problem.line), default=0)
    return [part for part, line in begins.items() if line == last and part in PARTS]
