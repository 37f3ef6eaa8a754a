"""Blocks laid out for a terminal: wrapped, never cut, with or without colour."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import zip_longest
from typing import NamedTuple

from advisor.render.signs import plain, width
from advisor.text.blocks import Block, Heading, Item, Items, Pairs, Para, Sketch, Table

NARROWEST = 30
WIDEST = 100
STEP = 2
GAP = 2
ROOMY = 60
LEAST_CELL = 14  # columns in which a cell may be wrapped
MOST_LINES = 5  # of a row of a table
GRADE_STYLES = {"good": "green", "workable": "cyan", "poor": "yellow", "forbidden": "red"}


class Line(NamedTuple):
    """A line of the terminal: pieces of text, each with a style (``bold``, ``dim``, a colour, or nothing)."""

    pieces: tuple[tuple[str, str], ...]

    @property
    def text(self) -> str:
        """The line without styles."""
        return "".join(text for text, _ in self.pieces)


def text(blocks: Iterable[Block], columns: int, signs: bool = True) -> str:
    """The blocks as plain text, no line wider than ``columns`` (30 at least); without ``signs`` all in ASCII."""
    return "\n".join(line.text for line in lines(blocks, columns, signs)) + "\n"


def lines(blocks: Iterable[Block], columns: int, signs: bool = True) -> Iterator[Line]:
    """The blocks as lines with styles, for an output that can show colour."""
    sheet = Sheet(max(NARROWEST, min(columns, WIDEST)), signs)
    before: Block | None = None
    for block in blocks:
        if isinstance(block, Heading):
            sheet.level = block.level
        if before is not None and _apart(before, block):
            yield Line(())
        yield from sheet.block(block)
        before = block


def _apart(before: Block, block: Block) -> bool:
    """Whether an empty line stands between two blocks."""
    return (isinstance(block, Heading) and not block.tight) or {type(before), type(block)} == {Para, Table}


def wrap(words_of: str, first: int, rest: int) -> Iterator[str]:
    """The text in lines of at most ``first`` columns, then of ``rest``; a word that fits nowhere is broken."""
    room, line = first, ""
    for word in words_of.split(" "):
        while True:
            joined = f"{line} {word}" if line else word
            if width(joined) <= room:
                line = joined
                break
            if line and width(word) <= max(room, rest):
                yield line
                line, room = "", rest
                continue
            start = _fitting(joined, room)
            yield joined[:start]
            word, line, room = joined[start:], "", rest
    if line:
        yield line


def _fitting(word: str, room: int) -> int:
    """How many signs of a word fit; at least one."""
    count = len(word)
    while count > 1 and width(word[:count]) > room:
        count -= 1
    return count


class Sheet:
    """A page of a width; knows how each kind of block is laid out on it."""

    def __init__(self, columns: int, signs: bool) -> None:
        self.columns, self.signs, self.level = columns, signs, 1

    def shown(self, said: str) -> str:
        """The text as the output can show it."""
        return said if self.signs else plain(said)

    def block(self, block: Block) -> Iterator[Line]:
        """The lines of one block."""
        if isinstance(block, Heading):
            yield from self.heading(block)
        elif isinstance(block, Para):
            yield from self.paragraph(block.text, self.inside if self.level > 2 else STEP)
        elif isinstance(block, Pairs):
            yield from self.pairs(block)
        elif isinstance(block, Items):
            for item in block.items:
                yield from self.item(item)
        elif isinstance(block, Sketch):
            yield from self.sketch(block)
        else:
            yield from self.table(block)

    @property
    def inside(self) -> int:
        """How far what stands under a section is set in."""
        return 2 * STEP if self.columns >= ROOMY else STEP

    def paragraph(self, said: str, indent: int, style: str = "", hang: int = 0) -> Iterator[Line]:
        """Wrapped text; lines after the first hang ``hang`` columns further in."""
        space = self.columns - indent
        for number, part in enumerate(wrap(self.shown(said), space, space - hang)):
            yield Line(((" " * (indent + (hang if number else 0)), ""), (part, style)))

    def heading(self, block: Heading) -> Iterator[Line]:
        """A heading; its note at the right where there is room, else under it."""
        said, note = self.shown(block.text), self.shown(block.note)
        indent = STEP if block.level > 2 else 0
        style = GRADE_STYLES.get(note, "")
        spare = self.columns - indent - width(said) - width(note)
        if note and spare > GAP:
            yield Line(((" " * indent, ""), (said, "bold"), (" " * spare, ""), (note, f"{style} bold".strip())))
            return
        yield from self.paragraph(block.text, indent, "bold")
        if note:
            yield from self.paragraph(block.note, indent + STEP, f"{style} bold".strip())

    def pairs(self, block: Pairs) -> Iterator[Line]:
        """Labels in a column and what stands beside them; under them where the page is narrow."""
        labels = [self.shown(label) for label, _ in block.rows]
        beside = max((width(label) for label in labels), default=0) + GAP
        indent = self.inside
        if beside > self.columns // 2:
            beside = 2 * STEP
        for label, (_, said) in zip(labels, block.rows, strict=True):
            space = self.columns - indent - beside
            if width(label) + GAP > beside:
                yield from self.paragraph(label, indent, "dim")
                label = ""
            for number, part in enumerate(wrap(self.shown(said), space, space)):
                head = label if number == 0 else ""
                yield Line(((" " * indent, ""), (head, "dim"), (" " * (beside - width(head)), ""), (part, "")))

    def item(self, item: Item) -> Iterator[Line]:
        """An entry with its mark; lines that belong to it are set in."""
        indent = self.inside
        inner = indent + STEP
        space = self.columns - inner
        strong = self.shown(f"{item.strong} ") if item.strong else ""
        tag = self.shown(f" [{item.tag}]") if item.tag else ""
        mark = " " * indent + "-".ljust(STEP)
        for number, part in enumerate(wrap(strong + self.shown(item.text) + tag, space, space)):
            yield Line(
                (((mark if number == 0 else " " * inner), ""), *_styled(part, strong if number == 0 else "", tag))
            )
        for more in item.after:
            yield from self.paragraph(more, inner)
        for formula in item.code:
            yield from self.paragraph(formula, inner + STEP, "dim", hang=STEP)

    def sketch(self, block: Sketch) -> Iterator[Line]:
        """The widest version of a drawing that fits; the narrowest where none does, its lines cut to the page."""
        shown = [[self.shown(line) for line in version] for version in block.versions]
        space = self.columns - self.inside
        fitting = (version for version in shown if max(map(width, version), default=0) <= space)
        for drawn in next(fitting, shown[-1]):
            yield Line(((" " * self.inside, ""), (drawn[:space], "")))

    def too_wide(self, widths: Sequence[int], indent: int = 0) -> bool:
        """Whether columns of these widths have no room side by side."""
        return STEP + indent + sum(widths) + GAP * (len(widths) - 1) > self.columns

    def parts(self, widths: Sequence[int]) -> Iterator[slice]:
        """Columns in parts that each have room side by side; one alone where it is too wide by itself."""
        first, end = 0, len(widths)
        for place in range(1, end):
            if self.too_wide(widths[first : place + 1], 2 * STEP * bool(first)):
                yield slice(first, place)
                first = place
        yield slice(first, end)

    def narrower(self, widths: Sequence[int]) -> Sequence[int]:
        """The widths of a column of labels, and of the others with the room that is left shared among them; nothing
        where that is too little.
        """
        share = (self.columns - STEP - widths[0] - GAP * (len(widths) - 1)) // max(1, len(widths) - 1)
        return () if share < LEAST_CELL else (widths[0], *(share for _ in widths[1:]))

    def table(self, block: Table) -> Iterator[Line]:
        """Columns where they fit, else a wrapped line for each row."""
        rows = [tuple(self.shown(cell) for cell in row) for row in (block.heads, *block.rows)]
        numeric = [_numbers(row[place] for row in rows[1:]) for place in range(len(block.heads))]
        widths = [max(width(row[place]) for row in rows) for place in range(len(block.heads))]
        if self.too_wide(widths) and block.second:
            halves = [slice(0, block.second), slice(block.second, None)]
            for parts in (halves, [*self.parts(widths)]):
                if len(parts) <= MOST_LINES and not any(
                    self.too_wide(widths[part], 2 * STEP * bool(place)) for place, part in enumerate(parts)
                ):
                    yield from _in_lines(rows, widths, numeric, parts)
                    return
        if self.too_wide(widths) and not rows[0][0] and (narrower := self.narrower(widths)):
            yield from _in_wrapped_cells(rows, narrower)
            return
        if self.too_wide(widths):
            for row in rows[1:]:
                cells = zip(rows[0][1:], row[1:], numeric[1:], strict=True)
                named = not rows[0][0]  # rows with a label of their own: the columns are what is compared
                late = block.second - 1 if block.second else len(row)  # from there on no cell speaks for itself
                told = ", ".join(
                    f"{head} {cell}" if number or named or place >= late else cell
                    for place, (head, cell, number) in enumerate(cells)
                    if cell
                )
                yield from self.paragraph(f"{row[0]}: {told}" if row[0] else told, STEP, hang=STEP)
            return
        for number, row in enumerate(rows):
            yield Line(((_columns(row, widths, numeric), "bold" if number == 0 else ""),))


def _in_lines(
    rows: Sequence[Sequence[str]], widths: Sequence[int], numeric: Sequence[bool], parts: Sequence[slice]
) -> Iterator[Line]:
    """Each row in some lines, those after the first set in."""
    for number, row in enumerate(rows):
        for place, part in enumerate(parts):
            told = " " * (2 * STEP * bool(place)) + _columns(row[part], widths[part], numeric[part])
            if told.strip():
                yield Line(((told.rstrip(), "bold" if number == 0 else ""),))


def _in_wrapped_cells(rows: Sequence[Sequence[str]], widths: Sequence[int]) -> Iterator[Line]:
    """Rows whose cells are wrapped in their columns."""
    for number, row in enumerate(rows):
        cells = [[*wrap(cell, room, room)] for cell, room in zip(row, widths, strict=True)]
        for each in zip_longest(*cells, fillvalue=""):
            yield Line(((_columns(each, widths, [False] * len(widths)), "bold" if number == 0 else ""),))


def _columns(row: Sequence[str], widths: Sequence[int], numeric: Sequence[bool]) -> str:
    """A row of a table; columns of numbers are set to the right."""
    cells = []
    for cell, wide, number in zip(row, widths, numeric, strict=True):
        space = " " * (wide - width(cell))
        cells.append(space + cell if number else cell + space)
    return (" " * STEP + (" " * GAP).join(cells)).rstrip()


def _numbers(cells: Iterable[str]) -> bool:
    return all(cell == "" or cell[0].isdigit() for cell in cells)


def _styled(part: str, strong: str, tag: str) -> Iterator[tuple[str, str]]:
    """A line of an entry in pieces: what is not to be missed, the text, the rule's id."""
    if strong and part.startswith(strong.strip()):
        yield strong.strip(), "bold"
        part = part[len(strong.strip()) :]
    mark = tag.strip()
    if mark and part.endswith(mark):
        yield part[: -len(mark)], ""
        yield mark, "dim"
    else:
        yield part, ""
