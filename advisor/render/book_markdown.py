"""The handbook as Markdown (CommonMark with tables). Places to link to are anchors before their headings."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from advisor.render.markdown import code, escaped
from advisor.text.book_parts import Bullets, Code, Grid, Head, Inline, Leaf, Link, Passage, Text


def text(leaves: Iterable[Leaf]) -> str:
    """The whole handbook as Markdown."""
    return "\n\n".join("\n".join(_leaf(leaf)) for leaf in leaves) + "\n"


def _leaf(leaf: Leaf) -> Iterator[str]:
    if isinstance(leaf, Head):
        if leaf.place:
            yield f'<a id="{leaf.place}"></a>'
            yield ""
        note = f" ({escaped(leaf.note)})" if leaf.note else ""
        yield f"{'#' * leaf.level} {escaped(leaf.text)}{note}"
    elif isinstance(leaf, Passage):
        strong = "**Safety:** " if leaf.kind == "safety" else ""
        yield f"{strong}{_text(leaf.text)}"
    elif isinstance(leaf, Bullets):
        for item in leaf.items:
            yield f"- {_text(item)}"
    else:
        yield from _grid(leaf)


def _grid(grid: Grid) -> Iterator[str]:
    yield f"| {' | '.join(escaped(head) for head in grid.heads)} |"
    yield f"| {' | '.join('---' for _ in grid.heads)} |"
    for at, cells in grid.rows:
        first, *rest = (_text(cell, in_table=True) for cell in cells)
        anchor = f'<a id="{at}"></a>' if at else ""
        yield f"| {' | '.join((anchor + first, *rest))} |"


def _text(text_of: Text, in_table: bool = False) -> str:
    return "".join(_inline(part, in_table, number == 0) for number, part in enumerate(text_of))


def _inline(part: Inline, in_table: bool, first: bool) -> str:
    if isinstance(part, Link):
        shown = _code(part.text, in_table) if part.code else escaped(part.text)
        return f"[{shown}](#{part.to})"
    if isinstance(part, Code):
        return _code(part.text, in_table)
    # Only at the start of a line is a dash or a number with a dot a mark.
    return escaped(part) if first else escaped(f"x{part}")[1:]


def _code(said: str, in_table: bool) -> str:
    shown = code(said)
    return shown.replace("|", "\\|") if in_table else shown
