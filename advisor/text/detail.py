"""How much of an advice is shown: the table alone, the answer on a page, or everything."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from enum import StrEnum

from advisor.choosing.job_advice import Advice
from advisor.text.advice import advice_blocks
from advisor.text.blocks import Block
from advisor.text.sheet import sheet_blocks, short_blocks


class Detail(StrEnum):
    """How much of an advice is shown."""

    short = "short"
    sheet = "sheet"
    full = "full"


BLOCKS: Mapping[Detail, Callable[[Advice], Iterator[Block]]] = {
    Detail.short: short_blocks,
    Detail.sheet: sheet_blocks,
    Detail.full: advice_blocks,
}


def blocks_of(advice: Advice, detail: str) -> Iterator[Block]:
    """The blocks of an advice with so much detail: ``short``, ``sheet`` or ``full``."""
    return BLOCKS[Detail(detail)](advice)
