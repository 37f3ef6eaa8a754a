"""Whether a text has certain keys at its top level: found without reading it as a job, and as far as it is YAML."""

import re
from collections.abc import Iterator
from typing import Any, NamedTuple

import yaml

from advisor.files.yaml_reader import DEEPEST, MOST_DIRECTIVES, MOST_NODES, events


class Top(NamedTuple):
    """The mapping that a text is: the column that its keys begin in; nothing where it stands within braces."""

    column: int | None


def has_keys(text: str, *wanted: tuple[str, ...]) -> bool:
    """Whether a text is a mapping with, of each tuple of words, one as a key at its top level.

    Where the text stops being YAML, lines that begin like such a key count: what is broken is to be told, not missed.
    """
    left = [words for words in wanted if any(word in text for word in words)]
    if len(left) < len(wanted):
        return False
    top = Top(0)
    try:
        for found in _top_level(text):
            if isinstance(found, Top):
                top = found
            else:
                left = [words for words in left if found not in words]
            if not left:
                return True
    except (yaml.YAMLError, UnicodeError):
        lines = text.replace("\r\n", "\n").replace("\r", "\n")
        return all(_line_with(words, top).search(lines) for words in left)
    return False


def _top_level(text: str) -> Iterator[Top | str]:
    """The mapping that a text begins with, then its keys. Raises YAMLError where no reader would read on."""
    if text.count("%TAG") > MOST_DIRECTIVES:
        raise yaml.YAMLError
    depth, nodes, at_key = 0, 0, True
    for event in events(text):
        nodes += isinstance(event, yaml.NodeEvent)
        if depth > DEEPEST or nodes > MOST_NODES:
            raise yaml.YAMLError
        if depth == 0 and isinstance(event, yaml.NodeEvent):
            if not isinstance(event, yaml.MappingStartEvent):
                return
            mark: Any = event.start_mark
            yield Top(None if event.flow_style else mark.column)
        elif depth == 1 and isinstance(event, yaml.NodeEvent):
            if at_key and isinstance(event, yaml.ScalarEvent):
                yield event.value
            at_key = not at_key
        depth += _step(event)
        if depth == 0 and isinstance(event, yaml.CollectionEndEvent):
            return


def _step(event: Any) -> int:
    return isinstance(event, yaml.CollectionStartEvent) - isinstance(event, yaml.CollectionEndEvent)


def _line_with(words: tuple[str, ...], top: Top) -> re.Pattern[str]:
    begin = rf"^[ ]{{{top.column}}}" if top.column is not None else r"(?:^|[{,])[ \t]*"
    return re.compile(rf"{begin}[\"']?(?:{'|'.join(map(re.escape, words))})[\"']?[ \t]*:", re.MULTILINE)
