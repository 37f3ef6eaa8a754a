"""Advice as one HTML file: no script, nothing from elsewhere; text of the report, and drawings of its numbers.

What is said comes from the same functions as the terminal's report, so the two cannot tell different things.
"""

from __future__ import annotations

from itertools import takewhile
from typing import NamedTuple

from advisor.files.problems import printable
from advisor.files.unit_scales import in_units_of
from advisor.knowledge.schema import Rule
from advisor.model.answer import Advice, FeatureAdvice
from advisor.render.drawings.svg import Drawing
from advisor.render.page_parts import assumed, drawings, rendered, sources
from advisor.text.advice import before_first_run, not_answered, overview, shared_blocks, under_what
from advisor.text.blocks import Block, Heading, Pairs, Para, section
from advisor.text.feature import feature_blocks
from advisor.text.reasons import for_every_feature, reasons
from advisor.text.words import way_text


class Card(NamedTuple):
    """What a page shows of a feature: its place on the page, its heading, settings, the other text, drawings."""

    place: str
    head: tuple[Block, ...]
    what: tuple[Block, ...]
    text: tuple[Block, ...]
    drawings: tuple[Drawing, ...]


@in_units_of(lambda advice: advice.assignment.job.units)
def advice_page(advice: Advice) -> str:
    """The advice for a job as an HTML document."""
    from advisor.text.why import tables

    base = advice.bench.base
    told = {rule.id for rule, _ in for_every_feature(advice.features, base)}
    head = (
        Heading(printable(advice.assignment.job.part), 1),
        Para(under_what(advice)),
        *overview(advice),
        *not_answered(advice.failed),
        *before_first_run(advice),
        *assumed(advice.assignment),
    )
    cards = [
        card(answer, advice, frozenset(rule for rule in answer.cautions if rule.id in told), f"f{place}")
        for place, answer in enumerate(advice.features, start=1)
    ]
    end = (*shared_blocks(advice), *section("Tables", tables(advice)))
    return rendered("advice.html.j2", title=printable(advice.assignment.job.part), head=head, cards=cards, end=end)


def card(answer: FeatureAdvice, advice: Advice, told_elsewhere: frozenset[Rule], place: str) -> Card:
    """The card of a feature."""
    head, *rest = feature_blocks(answer, advice, told_elsewhere)
    what = tuple(takewhile(lambda block: isinstance(block, Pairs | Para), rest))
    text = (*rest[len(what) :], *section("Sources", sources((*reasons(answer), *answer.cautions))))
    shown = answer.shown
    if shown is None:
        return Card(place, (head,), what, text, ())
    if answer.best is None:
        what = (*what, Para(f"Drawn is the nearest way: {way_text(shown)} ({shown.grade})."))
    drawn = drawings(shown, answer.region, advice.bench, place, "advised")
    return Card(place, (head,), what, text, drawn)
