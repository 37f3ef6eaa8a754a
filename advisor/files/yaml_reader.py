"""YAML files read into plain values that remember their lines.

Only the core of YAML 1.2: `true`, `false`, `null` and decimal numbers are special; `yes`, `on` and `12:30` stay text.
Nothing in a file is ever executed, and no file can make the reader run long: size, depth and number are bounded.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, NoReturn

import yaml

from advisor.files.problems import BadInput, Problem, shown
from advisor.files.reading import read_text
from advisor.files.units import underflows

DEEPEST = 40
MOST_NODES = 200_000
LONGEST_NUMBER = 60
LARGEST_FILE = 8_000_000
MOST_TEXT = LARGEST_FILE  # signs of all texts, each as often as aliases repeat it
MOST_DIRECTIVES = 20  # the parser holds each against all others

_TYPE_NAMES = {"str": "text", "int": "a whole number", "float": "a number", "bool": "true or false", "null": "nothing"}
_CORE = "tag:yaml.org,2002:"
_WORDS: dict[str, Any] = {"": None, "~": None} | {
    spelt: meant
    for word, meant in {"null": None, "true": True, "false": False}.items()
    for spelt in (word, word.capitalize(), word.upper())
}
_TAB = re.compile(r"[ ]*\t\s*\S")
_MARKED_NUMBER = re.compile(r":[ ](?P<word>#\d{1,2}(?:-\d{1,2})?)(?=[ ,}]|$)", re.ASCII)
_NUMBER_STARTS = frozenset("+-.0123456789")
_INTEGER = re.compile(r"[-+]?[0-9]+", re.ASCII)
_FLOAT = re.compile(r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?", re.ASCII)
_INFINITE = re.compile(r"[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN)")

YamlPath = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Document:
    """What a YAML file holds: `value` of dict, list, str, int, float, bool and None; `lines` of every path, from 1.

    `texts` keeps the spelling of plain scalars that became numbers or booleans, for fields that are text: a material
    number 1.2080 must not lose its last digit.
    """

    name: str
    value: Any
    lines: dict[YamlPath, int] = field(repr=False)
    texts: dict[YamlPath, str] = field(repr=False, default_factory=dict)

    def line(self, path: YamlPath) -> int | None:
        """Return the line of a path, or of its nearest known ancestor."""
        for length in range(len(path), -1, -1):
            if (line := self.lines.get(path[:length])) is not None:
                return line
        return None


def read_yaml(path: Path, *, limit_bytes: int = LARGEST_FILE, plain: bool = False) -> Document:
    """Return the document of a file; ``plain`` as for `read_text`.

    Raises BadInput if it cannot be read, is too large, no UTF-8 or no YAML.
    """
    return parse_yaml(read_text(path, limit_bytes=limit_bytes, plain=plain), str(path))


def parse_yaml(text: str, name: str) -> Document:
    """Return the document of a text; `name` stands for the file in errors. Raises BadInput."""
    builder = _Builder(name)
    if text.count("%TAG") > MOST_DIRECTIVES:
        builder.stop(None, f"more than {MOST_DIRECTIVES} times %TAG", "plain YAML without tags")
    try:
        for event in events(text):
            builder.take(event)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        if mark is not None and (tab := _tab_before(text, mark.line)):
            builder.stop(tab, "a tab at the beginning of the line", "blanks there: YAML takes no tabs before a word")
        if mark is not None and (cut := _cut_short(text, error, mark.line)):
            place, word = cut
            builder.stop(place, f"{word} without quotes", f'"{word}": a # behind a blank begins a remark')
        said = " ".join(part for part in (error.context, error.problem) if part)
        builder.stop(
            mark.line + 1 if mark else None,
            f"an error in the YAML ({said})",
            "YAML without errors, in which lines that belong together begin in the same column",
        )
    except UnicodeEncodeError as error:  # half a pair of surrogates, which no file can hold
        found = f"what YAML does not allow (the character {text[error.start]!a})"
        builder.stop(text.count("\n", 0, error.start) + 1, found, "plain text in UTF-8")
    except (yaml.YAMLError, UnicodeError) as error:
        at = getattr(error, "position", None)  # the parser counts in bytes
        line = None if at is None else text.encode()[:at].count(b"\n") + 1
        builder.stop(line, f"what YAML does not allow ({str(error).splitlines()[0]})", "plain text in UTF-8")
    return builder.document()


def _cut_short(text: str, error: yaml.MarkedYAMLError, last: int) -> tuple[int, str] | None:
    """The line, from 1, and the word of a value such as ``#7``, which cut the brackets round it short."""
    first = error.context_mark.line if error.context_mark is not None else last
    lines = text.split("\n", last + 1)
    for at in range(max(0, min(first, last) - 1), min(last + 1, len(lines))):
        if found := _MARKED_NUMBER.search(lines[at]):
            return at + 1, found["word"]
    return None


def _tab_before(text: str, at: int) -> int | None:
    """The number of a line, counted from 0, or of the one before it, if it has a tab before its first word."""
    lines = text.split("\n", at + 1)[: at + 1]
    return next((number + 1 for number in (at - 1, at) if 0 <= number < len(lines) and _TAB.match(lines[number])), None)


def events(text: str) -> Iterator[Any]:
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)(text)
    get_event = loader.get_event
    try:
        while (event := get_event()) is not None:
            yield event
    finally:
        loader.dispose()


@dataclass(slots=True)
class _Frame:
    """A mapping or list being filled. `key` is the key that waits for its value; `height` the levels below so far."""

    box: dict[str, Any] | list[Any]
    path: YamlPath
    anchor: str | None
    nodes_before: int
    signs_before: int
    height: int = 1
    key: str | None = None


class _Builder:
    """Builds values out of parser events, without recursion."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.problems: list[Problem] = []
        self.lines: dict[YamlPath, int] = {}
        self.texts: dict[YamlPath, str] = {}
        self.anchors: dict[str, tuple[Any, int, int, int]] = {}  # value, nodes, signs, height
        self.frames: list[_Frame] = []
        self.nodes = 0
        self.signs = 0
        self.documents = 0
        self.root: Any = None
        self.takers: dict[type, Any] = {
            yaml.ScalarEvent: self.scalar,
            yaml.MappingStartEvent: self.open_mapping,
            yaml.SequenceStartEvent: self.open_list,
            yaml.MappingEndEvent: self.close,
            yaml.SequenceEndEvent: self.close,
            yaml.AliasEvent: self.alias,
            yaml.DocumentStartEvent: self.start_document,
        }

    def take(self, event: Any) -> None:
        taker = self.takers.get(type(event))
        if taker is not None:
            taker(event)

    def stop(self, line: int | None, found: str, wanted: str) -> NoReturn:
        raise BadInput([*self.problems, Problem(self.name, line, "", found, wanted)])

    def document(self) -> Document:
        if self.documents == 0 or (self.root is None and not self.problems):
            self.stop(None, "an empty file", "at least one value")
        if self.problems:
            raise BadInput(self.problems)
        return Document(self.name, self.root, self.lines, self.texts)

    def start_document(self, event: Any) -> None:
        self.documents += 1
        if self.documents > 1:
            self.stop(event.start_mark.line + 1, "a second document (---)", "one document in a file")

    def scalar(self, event: Any) -> None:
        line = event.start_mark.line + 1
        text: str = event.value
        self.count(1, len(text), line)
        frame = self.frames[-1] if self.frames else None
        if frame is not None and frame.key is None and type(frame.box) is dict:
            self.take_key(frame, text, line)
            return
        path = self.place(frame, line)
        value: Any = text
        if event.tag is not None and event.tag != "!":
            value = self.tagged(event.tag, text, line)
        elif event.tag is None and event.implicit[0]:
            value = plain_value(text)
            if value is not text and value is not None:
                self.texts[path] = text
        if event.anchor is not None:
            self.anchors[event.anchor] = (value, 1, len(text), 0)
        self.put(frame, value)

    def tagged(self, tag: str, text: str, line: int) -> Any:
        kind = tag.removeprefix(_CORE)
        if kind == "str":
            return text
        value = plain_value(text)
        if kind == "float" and type(value) is int:
            value = float(value)
        found_kind = "null" if value is None else type(value).__name__
        if kind not in _TYPE_NAMES or not tag.startswith(_CORE):
            self.stop(line, f"the tag {shown(tag)}", "plain YAML without tags")
        if found_kind != kind:
            self.stop(line, shown(text), f"{_TYPE_NAMES[kind]}, as its tag says")
        return value

    def take_key(self, frame: _Frame, text: str, line: int) -> None:
        frame.key = text
        path = (*frame.path, text)
        if text in frame.box:
            first = self.lines.get(path)
            name = ".".join(map(str, path))
            self.problems.append(
                Problem(self.name, line, name, f"{shown(text)} twice", f"it once (it is in line {first})")
            )
        else:
            self.lines[path] = line

    def place(self, frame: _Frame | None, line: int) -> YamlPath:
        """Return the path of the value that comes now, and note the line of a list's item or of the root."""
        if frame is None:
            self.lines[()] = line
            return ()
        if frame.key is not None:
            return (*frame.path, frame.key)
        path = (*frame.path, len(frame.box))
        self.lines[path] = line
        return path

    def put(self, frame: _Frame | None, value: Any) -> None:
        if frame is None:
            self.root = value
        elif isinstance(frame.box, list):
            frame.box.append(value)
        elif frame.key is not None:
            frame.box[frame.key] = value
            frame.key = None

    def open_mapping(self, event: Any) -> None:
        self.open(event, {}, "map")

    def open_list(self, event: Any) -> None:
        self.open(event, [], "seq")

    def open(self, event: Any, box: dict[str, Any] | list[Any], kind: str) -> None:
        line = event.start_mark.line + 1
        if event.tag not in (None, "!", _CORE + kind):
            self.stop(line, f"the tag {shown(event.tag)}", "plain YAML without tags")
        frame = self.value_frame(line)
        if len(self.frames) >= DEEPEST:
            self.stop(line, f"more than {DEEPEST} levels", f"at most {DEEPEST} levels within each other")
        path = self.place(frame, line)
        self.frames.append(_Frame(box, path, event.anchor, self.nodes, self.signs))
        self.count(1, 0, line)

    def close(self, event: Any) -> None:
        frame = self.frames.pop()
        above = self.frames[-1] if self.frames else None
        if above is not None:
            above.height = max(above.height, frame.height + 1)
        if frame.anchor is not None:
            nodes, signs = self.nodes - frame.nodes_before, self.signs - frame.signs_before
            self.anchors[frame.anchor] = (frame.box, nodes, signs, frame.height)
        self.put(above, frame.box)

    def alias(self, event: Any) -> None:
        line = event.start_mark.line + 1
        frame = self.value_frame(line)
        if event.anchor not in self.anchors:
            self.stop(line, f"the alias {shown('*' + event.anchor)}", "an anchor of that name before it")
        value, nodes, signs, height = self.anchors[event.anchor]
        if len(self.frames) + height > DEEPEST:
            self.stop(line, f"more than {DEEPEST} levels", f"at most {DEEPEST} levels within each other")
        self.count(nodes, signs, line)
        if frame is not None:
            frame.height = max(frame.height, height + 1)
        self.place(frame, line)
        self.put(frame, value)

    def value_frame(self, line: int) -> _Frame | None:
        """Return the open frame, which must be ready for a value: a list, an alias or a mapping is no key."""
        frame = self.frames[-1] if self.frames else None
        if frame is not None and frame.key is None and isinstance(frame.box, dict):
            self.stop(line, "a key that is no plain word", "plain words as keys")
        return frame

    def count(self, nodes: int, signs: int, line: int) -> None:
        self.nodes += nodes
        self.signs += signs
        if self.nodes > MOST_NODES:
            self.stop(line, f"more than {MOST_NODES} values", "a smaller file")
        if self.signs > MOST_TEXT:
            self.stop(line, f"more than {MOST_TEXT} characters of text, aliases counted", "a smaller file")


def plain_value(text: str) -> Any:
    """Return what an unquoted scalar means: None, bool, int, float, or the very text if it is none of these."""
    if text in _WORDS:
        return _WORDS[text]
    if text[0] not in _NUMBER_STARTS or len(text) > LONGEST_NUMBER:
        return text
    if _INTEGER.fullmatch(text):
        return int(text)
    if _FLOAT.fullmatch(text):
        return text if underflows(text) else float(text)
    return float(text.replace(".", "", 1)) if _INFINITE.fullmatch(text) else text
