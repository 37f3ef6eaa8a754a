"""Numbers of a YAML file such as 1.200, which YAML reads as 1.2 and a shop may mean as twelve hundred."""

from collections.abc import Iterator
from typing import Any

from advisor.files.checking import problem_at
from advisor.files.decimals import UNCLEAR_POINT, signs_of, unclear
from advisor.files.problems import Problem
from advisor.files.yaml_reader import Document, YamlPath


def unclear_thousands(
    document: Document, root: str, always: frozenset[str], large: frozenset[str] = frozenset()
) -> Iterator[Problem]:
    """What must be asked of the numbers below a key of a file.

    ``always`` are the fields where numbers beyond a thousand are common and three decimal places are not, such as
    speeds. ``large`` are those where either can be: they are asked about if the number ends in 0 and no other number
    has a decimal point that leaves no doubt.
    """
    held = document.value.get(root) if isinstance(document.value, dict) else None
    numbers = [(path, text) for path, text in _leaves(document, (root,), held) if _field(path) in always | large]
    pointed = "." in signs_of(text for path, text in numbers)
    for path, text in numbers:
        match = UNCLEAR_POINT.match(text)
        if match and (_field(path) in always or (match[0].endswith("0") and not pointed)):
            yield problem_at(document, path, unclear(match[0], text[match.end() :]).faults[0])


def _leaves(document: Document, root: YamlPath, held: Any) -> Iterator[tuple[YamlPath, str]]:
    """Every text and number below a path, as it is spelt."""
    waiting: list[tuple[YamlPath, Any]] = [(root, held)]
    while waiting:
        path, value = waiting.pop()
        if isinstance(value, dict):
            waiting.extend(((*path, key), inner) for key, inner in reversed(value.items()))
        elif isinstance(value, list):
            waiting.extend(((*path, place), value[place]) for place in reversed(range(len(value))))
        elif isinstance(value, str) and len(value) < 40:
            yield path, value.strip()
        elif path in document.texts:
            yield path, document.texts[path]


def _field(path: YamlPath) -> str:
    return next((step for step in reversed(path) if isinstance(step, str)), "")
