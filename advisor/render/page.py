"""Advice as one HTML file: no script, nothing from elsewhere; text of the report, and drawings of its numbers.

What is said comes from the same functions as the terminal's report, so the two cannot tell different things.
"""

from __future__ import annotations

from itertools import takewhile
from typing import NamedTuple

from advisor.choosing.job_advice import Advice
from advisor.choosing.whole_part import whole_part
from advisor.files.problems import printable
from advisor.files.unit_scales import in_units_of
from advisor.knowledge.schema import Rule
from advisor.model.answer import FeatureAdvice
from advisor.model.candidate import Candidate
from advisor.render.drawings.svg import Drawing
from advisor.render.page_parts import assumed, drawings, rendered, sources, way_drawings
from advisor.text.advice import before_first_run, not_answered, overview, shared_blocks, under_what
from advisor.text.blocks import Block, Heading, Pairs, Para, Table, section
from advisor.text.feature import feature_blocks
from advisor.text.reasons import for_every_feature, reasons
from advisor.text.sheet import caution_blocks, end_blocks, feature_lines, part_blocks
from advisor.text.words import way_text


class Card(NamedTuple):
    """What a page shows of a feature: its place on the page, its heading, settings, the other text, drawings."""

    place: str
    head: tuple[Block, ...]
    what: tuple[Block, ...]
    text: tuple[Block, ...]
    drawings: tuple[Drawing, ...]


@in_units_of(lambda advice, *_, **__: advice.assignment.job.units)
def advice_page(advice: Advice, detail: str = "sheet", drawn: bool = True) -> str:
    """The advice for a job as an HTML document, with so much detail: ``short``, ``sheet`` or ``full``."""
    if detail == "full":
        return _full_page(advice, drawn)
    part, names = whole_part(advice), {answer.region.id: f"f{at}" for at, answer in enumerate(advice.features, start=1)}
    short = detail == "short"
    head = (*part_blocks(advice, part, short), *(() if short else caution_blocks(advice, part)))
    linked = tuple(
        block._replace(links=tuple(names.get(row[0], "") for row in block.rows))
        if isinstance(block, Table) and block.second and not short
        else block
        for block in head
    )
    cards = [] if short else [_short_card(answer, advice, names[answer.region.id], drawn) for answer in advice.features]
    end = (*assumed(advice.assignment), *(() if short else end_blocks(advice)))
    title = printable(advice.assignment.job.part)
    return rendered("advice.html.j2", title=title, head=linked, cards=cards, end=end)


def _short_card(answer: FeatureAdvice, advice: Advice, place: str, drawn: bool) -> Card:
    """The few lines of a feature with the drawings that show how the cutter goes."""
    head, *what = feature_lines(answer, advice)
    shown = answer.shown
    if shown is None or not drawn:
        return Card(place, (head,), tuple(what), (), ())
    if answer.best is None:
        what.append(nearest_drawn(shown))
    return Card(place, (head,), tuple(what), (), way_drawings(shown, answer.region, advice.bench, place))


def nearest_drawn(shown: Candidate) -> Para:
    """Which way is drawn where none is advised."""
    return Para(f"The drawing shows the nearest way: {way_text(shown)} ({shown.grade}).")


def _full_page(advice: Advice, drawn: bool) -> str:
    """Everything that is known of the advice."""
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
        card(answer, advice, frozenset(rule for rule in answer.cautions if rule.id in told), f"f{place}", drawn)
        for place, answer in enumerate(advice.features, start=1)
    ]
    end = (*shared_blocks(advice), *section("Tables", tables(advice)))
    return rendered("advice.html.j2", title=printable(advice.assignment.job.part), head=head, cards=cards, end=end)


def card(
    answer: FeatureAdvice, advice: Advice, told_elsewhere: frozenset[Rule], place: str, drawn: bool = True
) -> Card:
    """The card of a feature."""
    head, *rest = feature_blocks(answer, advice, told_elsewhere)
    what = tuple(takewhile(lambda block: isinstance(block, Pairs | Para), rest))
    text = (*rest[len(what) :], *section("Sources", sources((*reasons(answer), *answer.cautions))))
    shown = answer.shown
    if shown is None or not drawn:
        return Card(place, (head,), what, text, ())
    if answer.best is None:
        what = (*what, nearest_drawn(shown))
    return Card(place, (head,), what, text, drawings(shown, answer.region, advice.bench, place, "advised"))
