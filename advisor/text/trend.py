"""The blocks of what recurs over many plans."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from advisor.files.problems import printable
from advisor.knowledge.wording import counted
from advisor.review.trend import Recurring
from advisor.review.verdict import Review
from advisor.text.blocks import Block, Heading, Item, Items, Para

NOTE = "For coaching, not for blame: a rule that recurs in {plans} of {all} plans is worth teaching."


def trend_blocks(reviews: Sequence[Review], found: Sequence[Recurring]) -> Iterator[Block]:
    """The table of what occurs in more than one plan, with the programmers where these were asked for."""
    yield Heading("What recurs", 1)
    if not found:
        yield Para(f"0 findings in {counted(str(len(reviews)), 'plan')}.")
        return
    again = [one for one in found if one.plans > 1]
    once = len(found) - len(again)
    seldom = f"{once} of {len(found)} findings occur in one plan of {len(reviews)} alone, and are not listed."
    if not again:
        yield Para(f"Nothing recurs: {seldom}")
        return
    yield Para(NOTE.format(plans=again[0].plans, all=len(reviews)))
    named = any(one.programmers for one in again)
    yield Items(tuple(_item(one, named) for one in again))
    if once:
        yield Para(seldom)


def _item(one: Recurring, named: bool) -> Item:
    who = ", ".join(f"{printable(name)} {count}" for name, count in one.programmers) if named else ""
    often = f"{one.plans} plans, {counted(str(one.findings), 'finding')} to {one.weight}"
    return Item(f"{one.rule.title}.{f' By {who}.' if who else ''}", one.rule.id, f"{often}:")
