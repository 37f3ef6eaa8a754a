"""What the pages share: the templates, what was assumed, sources, the drawings of a way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from advisor.choosing.time_parts import time_parts
from advisor.files.problems import printable
from advisor.knowledge.schema import Rule
from advisor.model.assignment import Assignment
from advisor.model.candidate import Candidate
from advisor.model.region import Region
from advisor.render.drawings.svg import Drawing
from advisor.situation.bench import Bench
from advisor.text.blocks import Block, Heading, Item, Items
from advisor.text.sources import cited

if TYPE_CHECKING:
    from jinja2 import Environment

TEMPLATES = Path(__file__).with_name("templates")


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


def assumed(assignment: Assignment) -> tuple[Block, ...]:
    """What was assumed in reading the files."""
    notes = tuple(Item(f"{printable(note).removesuffix('.')}.") for note in assignment.notes)
    return (Heading("Assumed in reading", 2), Items(notes)) if notes else ()


def sources(rules: Sequence[Rule]) -> Iterator[Item]:
    """The sources behind rules in full, each with the rules that rest on it."""
    found: dict[str, list[str]] = {}
    for rule in dict.fromkeys(rules):
        found.setdefault(cited(rule.source, rule.house), []).append(rule.id)
    return (Item(f"{source}:", ", ".join(ids)) for source, ids in found.items())


def way_drawings(candidate: Candidate, region: Region, bench: Bench, prefix: str) -> tuple[Drawing, ...]:
    """The drawings of how the cutter goes: from the side, and from above."""
    from advisor.render.drawings.plan_view import plan_view
    from advisor.render.drawings.section import section as side_section

    drawn = (
        side_section(candidate, region, f"{prefix}-side", bench.limits),
        plan_view(candidate, region, f"{prefix}-plan"),
    )
    return tuple(one for one in drawn if one is not None)


def drawings(candidate: Candidate, region: Region, bench: Bench, prefix: str, name: str) -> tuple[Drawing, ...]:
    """Every drawing of a candidate; ``prefix`` makes their ids their own, ``name`` says whose way it is."""
    from advisor.render.drawings.engagement import engagement
    from advisor.render.drawings.spindle_curve import spindle_curve
    from advisor.render.drawings.time_bar import time_bar

    drawn: list[Drawing | None] = [
        *way_drawings(candidate, region, bench, prefix),
        engagement(candidate, f"{prefix}-angle"),
    ]
    if candidate.plan is not None:
        drawn.append(spindle_curve(candidate.plan, bench, f"{prefix}-spindle"))
        drawn.append(time_bar([(name, time_parts(candidate))], f"{prefix}-time"))
    return tuple(one for one in drawn if one is not None)
