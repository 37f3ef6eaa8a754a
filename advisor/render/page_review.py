"""A review as one HTML file: findings by weight, then each operation as planned beside what would be advised."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from advisor.choosing.time_parts import time_parts
from advisor.files.unit_scales import in_units_of
from advisor.knowledge.schema import WEIGHTS, RuleBase
from advisor.model.candidate import Candidate
from advisor.model.finding import Finding
from advisor.render.drawings.svg import Drawing
from advisor.render.drawings.time_bar import time_bar
from advisor.render.page_parts import assumed, drawings, rendered, sources
from advisor.review.coverage import PILOT
from advisor.review.verdict import Judged, Review
from advisor.text.blocks import Block, Heading, Item, Items, Pairs, Para, section
from advisor.text.feature import settings, what
from advisor.text.findings import finding_text
from advisor.text.review import MEANT, TITLES, finding_item, review_blocks, where
from advisor.text.words import no_way, size

PRAISE = "well chosen"
SIGNS = {"stop": "✕", "change": "▲", "consider": "●", PRAISE: "✓"}  # a weight is seen without colour
PLANNED, ADVISED = "as planned", "as advised"


class Part(NamedTuple):
    """A part of the review, with the weight it tells of and the sign for that; both empty for other parts."""

    weight: str
    sign: str
    title: str
    blocks: tuple[Block, ...]


class Pair(NamedTuple):
    """The same drawing of the plan and of the advice; either may be missing."""

    planned: Drawing | None
    advised: Drawing | None


class Compared(NamedTuple):
    """An operation as planned beside what would be advised."""

    place: str
    head: tuple[Block, ...]
    said: tuple[Block, ...]
    planned: tuple[Block, ...]
    advised: tuple[Block, ...]
    pairs: tuple[Pair, ...]
    time: Drawing | None


@in_units_of(lambda review: review.assignment.job.units)
def review_page(review: Review) -> str:
    """The review of a plan as an HTML document."""
    head, parts = _parted(review)
    title = head[0].text if isinstance(head[0], Heading) else ""
    return rendered(
        "review.html.j2",
        title=title,
        head=(*head, *assumed(review.assignment)),
        parts=parts,
        compared=[_compared(judged, review, f"o{place}") for place, judged in enumerate(review.operations, start=1)],
        end=section("Sources", sources([finding.rule for finding in (*review.findings, *review.cautions)])),
        names=(PLANNED, ADVISED),
    )


def _parted(review: Review) -> tuple[tuple[Block, ...], tuple[Part, ...]]:
    """The report of the review: what opens it, and its parts, each with the sign of its weight."""
    weights = {f"{TITLES[weight]}: {MEANT[weight]}": weight for weight in WEIGHTS} | {"Well chosen": PRAISE}
    head: list[Block] = []
    found: list[tuple[str, list[Block]]] = []
    for block in review_blocks(review, sketches=False):
        if isinstance(block, Heading) and block.level > 2:
            found.append((block.text, []))
        else:
            (found[-1][1] if found else head).append(block)
    parts = (
        Part(weights.get(title, ""), SIGNS.get(weights.get(title, ""), ""), title, tuple(blocks))
        for title, blocks in found
    )
    return tuple(head), tuple(parts)


def _about(judged: Judged, review: Review) -> Iterator[Finding]:
    """The findings about an operation in its feature."""
    for finding in review.findings:
        if (finding.operation, finding.feature) == (judged.operation.number, judged.feature_id):
            yield finding


def _compared(judged: Judged, review: Review, place: str) -> Compared:
    answer, base = judged.advice, review.bench.base
    found = tuple(_about(judged, review))
    worst = next((weight for weight in WEIGHTS if any(finding.weight == weight for finding in found)), "")
    title = f"{where(judged.operation.number, judged.feature_id)}  {size(answer.region)}"
    best = answer.best if judged.role != PILOT else None
    planned = drawings(judged.candidate, answer.region, review.bench, f"{place}-p", PLANNED)
    advised = drawings(best, answer.region, review.bench, f"{place}-a", ADVISED) if best else ()
    return Compared(
        place,
        (Heading(title, 2, worst),),
        tuple(_said(found, review)),
        tuple(_way(judged.candidate, base)),
        tuple(_way(best, base)) if best else _no_advice(judged),
        tuple(_pairs(planned, advised)),
        _times(judged.candidate, best, f"{place}-time"),
    )


def _said(found: Iterable[Finding], review: Review) -> Iterator[Block]:
    """The findings about an operation, each with the sign of its weight; the place is that of the heading."""
    items = []
    for finding in found:
        item = finding_item(finding, review)
        safety = f" {item.strong}" if item.strong else ""
        strong = f"{SIGNS[finding.weight]} {TITLES[finding.weight]}:{safety}"
        items.append(Item(finding_text(finding), item.tag, strong, item.after))
    if items:
        yield Items(tuple(items))


def _way(candidate: Candidate, base: RuleBase) -> Iterator[Block]:
    yield Pairs((*what(candidate), *settings(candidate, base)))


def _no_advice(judged: Judged) -> tuple[Block, ...]:
    if judged.role == PILOT:
        return (Para("It prepares the entry for another operation."),)
    return (Para(no_way(judged.advice.region)),)


def _pairs(planned: Iterable[Drawing], advised: Iterable[Drawing]) -> Iterator[Pair]:
    """The drawings of the same kind beside each other; the bars of time are drawn together instead."""
    first = {drawn.kind: drawn for drawn in planned if drawn.kind != "time-bar"}
    second = {drawn.kind: drawn for drawn in advised if drawn.kind != "time-bar"}
    for kind in dict.fromkeys([*first, *second]):
        yield Pair(first.get(kind), second.get(kind))


def _times(candidate: Candidate, best: Candidate | None, prefix: str) -> Drawing | None:
    both = ((PLANNED, candidate), (ADVISED, best))
    bars = [(name, time_parts(one)) for name, one in both if one is not None and one.plan is not None]
    return time_bar(bars, prefix) if bars else None
