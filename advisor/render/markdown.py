"""Blocks as Markdown: the same content as on the terminal, valid and readable as it stands."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from advisor.text.blocks import Block, Heading, Item, Items, Pairs, Para, Sketch

MARKS = re.compile(r"([\\`*_\[\]<>|#~&])")
LIST_START = re.compile(r"^(\d+)([.)])(?=\s|$)")
RULE_START = re.compile(r"^([-+=])")


def text(blocks: Iterable[Block]) -> str:
    """The blocks as Markdown (CommonMark with tables)."""
    return "\n\n".join("\n".join(_block(block)) for block in blocks) + "\n"


def escaped(said: str) -> str:
    """The text with everything that Markdown would read as a mark escaped; line breaks become spaces."""
    said = MARKS.sub(r"\\\1", " ".join(said.splitlines()))
    return RULE_START.sub(r"\\\1", LIST_START.sub(r"\1\\\2", said))


def code(said: str) -> str:
    """The text as a code span, fenced by more backticks than it holds."""
    most = max((len(run) for run in re.findall(r"`+", said)), default=0)
    fence = "`" * (most + 1)
    gap = " " if most else ""
    return f"{fence}{gap}{' '.join(said.splitlines())}{gap}{fence}"


def _block(block: Block) -> Iterator[str]:
    if isinstance(block, Heading):
        note = f": {escaped(block.note)}" if block.note else ""
        yield f"{'#' * block.level} {escaped(block.text)}{note}"
    elif isinstance(block, Para):
        yield escaped(block.text)
    elif isinstance(block, Pairs):
        yield from _table(("", ""), block.rows)
    elif isinstance(block, Items):
        for item in block.items:
            yield from _item(item)
    elif isinstance(block, Sketch):
        yield from ("```", *block.versions[0], "```")
    else:
        yield from _table(block.heads, block.rows)


def _table(heads: Iterable[str], rows: Iterable[Iterable[str]]) -> Iterator[str]:
    shown = [escaped(head) for head in heads]
    yield f"| {' | '.join(shown)} |"
    yield f"| {' | '.join('---' for _ in shown)} |"
    for row in rows:
        yield f"| {' | '.join(escaped(cell) for cell in row)} |"


def _item(item: Item) -> Iterator[str]:
    strong = f"**{escaped(item.strong)}** " if item.strong else ""
    tag = f" ({code(item.tag)})" if item.tag else ""
    yield f"- {strong}{escaped(item.text)}{tag}"
    for more in item.after:
        yield f"  {escaped(more)}"
    for formula in item.code:
        yield f"  - {code(formula)}"
