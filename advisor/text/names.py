"""Identifiers as words."""

from __future__ import annotations

from advisor.knowledge.wording import in_words

VERDICTS = {
    "for": "recommends it",
    "against": "counts against it",
    "forbids": "forbids it",
    "cautions": "cautions",
    "concludes": "concludes",
    "finds": "finds",
}
PREFERS = "prefers"  # as a verdict is shown, of what a shop prefers
RANKING = "ranking"  # as its stage is shown


def spaced(name: str) -> str:
    """An identifier as words: ``inserted_high_feed_mill`` is an inserted high-feed mill."""
    return in_words(name)
