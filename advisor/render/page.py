"""Advice as one HTML file: no script, nothing from elsewhere; text of the report, and drawings of its numbers.

What is said comes from the same functions as the terminal's report, so the two cannot tell different things.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from itertools import takewhile
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from advisor.choosing.time_parts import time_parts
from advisor.files.problems import printable
from advisor.knowledge.schema import Rule
from advisor.model.answer import Advice, FeatureAdvice
from advisor.model.assignment import Assignment
from advisor.model.candidate import Candidate
from advisor.model.region import Region
from advisor.render.drawings.svg import Drawing
from advisor.situation.bench import Bench
from advisor.text.advice import before_first_run, not_answered, overview, shared_blocks, under_what
from advisor.text.blocks import Block, Heading, Item, Items, Pairs, Para, section
from advisor.text.feature import feature_blocks
from advisor.text.reasons import for_every_feature, reasons
from advisor.text.sources import cited
from advisor.text.words import way_text

if TYPE_CHECKING:
    from jinja2 import Environment

    from advisor.review.verdict import Review

TEMPLATES = Path(__file__).with_name("templates")


class Card(NamedTuple):
    """What a page shows of a feature: its place on the page, its heading, settings, the other text, drawings."""

    place: str
    head: tuple[Block, ...]
    what: tuple[Block, ...]
    text: tuple[Block, ...]
    drawings: tuple[Drawing, ...]


@cache
def _environment() -> Environment:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined
    from markupsafe import Markup

    found = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    found.filters["markup"] = Markup  # for what is markup of our own making: drawings and the style
    found.globals |= {"kind_of": lambda block: type(block).__name__, "word_class": lambda word: word.replace(" ", "-")}
    return found


def rendered(template: str, **values: Any) -> str:
    """A page of a template; the style is put into it."""
    style = (TEMPLATES / "page.css").read_text(encoding="utf-8")
    return _environment().get_template(template).render(style=style, **values)


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


def assumed(assignment: Assignment) -> tuple[Block, ...]:
    """What was assumed in reading the files."""
    notes = tuple(Item(f"{printable(note)}.") for note in assignment.notes)
    return (Heading("Assumed in reading", 2), Items(notes)) if notes else ()


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


def sources(rules: Sequence[Rule]) -> Iterator[Item]:
    """The sources behind rules in full, each with the rules that rest on it."""
    found: dict[str, list[str]] = {}
    for rule in dict.fromkeys(rules):
        found.setdefault(cited(rule.source, rule.house), []).append(rule.id)
    return (Item(f"{source}:", ", ".join(ids)) for source, ids in found.items())


def drawings(candidate: Candidate, region: Region, bench: Bench, prefix: str, name: str) -> tuple[Drawing, ...]:
    """Every drawing of a candidate; ``prefix`` makes their ids their own, ``name`` says whose way it is."""
    from advisor.render.drawings.engagement import engagement
    from advisor.render.drawings.plan_view import plan_view
    from advisor.render.drawings.section import section as side_section
    from advisor.render.drawings.spindle_curve import spindle_curve
    from advisor.render.drawings.time_bar import time_bar

    drawn: list[Drawing | None] = [
        side_section(candidate, region, f"{prefix}-side", bench.limits),
        plan_view(candidate, region, f"{prefix}-plan"),
        engagement(candidate, f"{prefix}-angle"),
    ]
    if candidate.plan is not None:
        drawn.append(spindle_curve(candidate.plan, bench, f"{prefix}-spindle"))
        drawn.append(time_bar([(name, time_parts(candidate))], f"{prefix}-time"))
    return tuple(one for one in drawn if one is not None)


def review_page(review: Review) -> str:
    """The review of a plan as an HTML document."""
    from advisor.render import page_review

    return page_review.review_page(review)
