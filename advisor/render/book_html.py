"""The handbook as one HTML file: no script, nothing from elsewhere, readable by day, by night and on paper."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from html import escape
from pathlib import Path

from advisor.text.book_parts import Bullets, Code, Grid, Head, Inline, Leaf, Link, Passage, Text

STYLE = Path(__file__).with_name("book.css")
TOP = """<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>{title}</title>
<style>
{style}</style>
</head>
<body>
<main>
"""
END = "</main>\n</body>\n</html>\n"


def text(leaves: Iterable[Leaf]) -> str:
    """The whole handbook as an HTML document; the title is that of its first heading."""
    found = list(leaves)
    title = next((leaf.text for leaf in found if isinstance(leaf, Head)), "")
    top = TOP.format(title=escape(title), style=STYLE.read_text(encoding="utf-8"))
    return top + "".join(line + "\n" for line in _sections(found)) + END


def _sections(leaves: Iterable[Leaf]) -> Iterator[str]:
    """The leaves, each chapter and each section of one in an element of its own."""
    open_levels: list[int] = []
    for leaf in leaves:
        if isinstance(leaf, Head) and leaf.level in (2, 3):
            while open_levels and open_levels[-1] >= leaf.level:
                open_levels.pop()
                yield "</section>"
            open_levels.append(leaf.level)
            kind = "chapter" if leaf.level == 2 else "rule"
            yield f'<section class="{kind}" id="{escape(leaf.place)}">'
        yield from _leaf(leaf)
    for _ in open_levels:
        yield "</section>"


def _leaf(leaf: Leaf) -> Iterator[str]:
    if isinstance(leaf, Head):
        place = f' id="{escape(leaf.place)}"' if leaf.place and leaf.level not in (2, 3) else ""
        note = f' <span class="note {escape(leaf.note)}">{escape(leaf.note)}</span>' if leaf.note else ""
        yield f"<h{leaf.level}{place}>{escape(leaf.text)}{note}</h{leaf.level}>"
    elif isinstance(leaf, Passage):
        kind = f' class="{escape(leaf.kind)}"' if leaf.kind else ""
        yield f"<p{kind}>{_text(leaf.text)}</p>"
    elif isinstance(leaf, Bullets):
        yield "<ul>" + "".join(f"<li>{_text(item)}</li>" for item in leaf.items) + "</ul>"
    else:
        yield from _grid(leaf)


def _grid(grid: Grid) -> Iterator[str]:
    yield '<div class="wide"><table>'
    heads = "".join(f'<th scope="col">{escape(head)}</th>' for head in grid.heads)
    yield f"<thead><tr>{heads}</tr></thead>"
    yield "<tbody>"
    for at, cells in grid.rows:
        place = f' id="{escape(at)}"' if at else ""
        shown = "".join(f"<td>{_text(cell)}</td>" for cell in cells)
        yield f"<tr{place}>{shown}</tr>"
    yield "</tbody></table></div>"


def _text(text_of: Text) -> str:
    return "".join(_inline(part) for part in text_of)


def _inline(part: Inline) -> str:
    if isinstance(part, Link):
        shown = f"<code>{escape(part.text)}</code>" if part.code else escape(part.text)
        return f'<a href="#{escape(part.to)}">{shown}</a>'
    if isinstance(part, Code):
        return f"<code>{escape(part.text)}</code>"
    return escape(part)
