"""Every format of every command that shows an answer: none may fail, whatever the answer."""

import json
from collections.abc import Iterable

from advisor.choosing.job_advice import Advice
from advisor.render import markdown
from advisor.render.page import advice_page
from advisor.render.page_review import review_page
from advisor.render.recording import record
from advisor.render.review_record import review_record
from advisor.render.terminal import text as terminal_text
from advisor.render.why_record import why_record
from advisor.review.remedies import remedied
from advisor.review.verdict import Review
from advisor.text.advice import advice_blocks
from advisor.text.blocks import Block
from advisor.text.review import review_blocks
from advisor.text.why import why_blocks

WIDTHS = (20, 50, 80)


def advice_written(advice: Advice) -> None:
    """Write advice, and the evidence for each feature, in every format."""
    _blocks(tuple(advice_blocks(advice)))
    _record(record(advice).model_dump(mode="json", by_alias=True))
    _page(advice_page(advice))
    for answer in advice.features:
        _blocks(tuple(why_blocks(answer, advice)))
        _record(why_record(answer, advice))


def review_written(review: Review) -> None:
    """Write a review with its set of remedies in every format."""
    review = remedied(review)
    _blocks(tuple(review_blocks(review)))
    _record(review_record(review).model_dump(mode="json", by_alias=True))
    _page(review_page(review))


def _blocks(blocks: Iterable[Block]) -> None:
    found = tuple(blocks)
    for width in WIDTHS:
        assert terminal_text(found, width).strip()
    assert markdown.text(found).strip()


def _record(found: object) -> None:
    json.dumps(found, allow_nan=False)


def _page(found: str) -> None:
    assert found.rstrip().endswith("</html>")
