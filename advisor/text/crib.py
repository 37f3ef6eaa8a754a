"""A crib as a reader sees it: its cutters by body, what was assumed, what it cannot serve."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import get_args

from advisor.files.problems import printable
from advisor.files.unit_scales import length_word, parts_in_units_of
from advisor.files.units import Units
from advisor.knowledge.wording import given, with_article
from advisor.model.body import BODIES
from advisor.model.cutter import Body, Cutter
from advisor.model.features import FEATURE_KINDS
from advisor.situation.pairings import ways
from advisor.text.blocks import Block, Heading, Item, Para, Table, section
from advisor.text.names import spaced

HEADS = ("id", "DC", "APMX", "LU", "LPR", "RE", "teeth", "edge")


@parts_in_units_of(lambda name, cutters, units="mm": units)
def crib_blocks(name: str, cutters: Sequence[Cutter], units: Units = "mm") -> Iterator[Block]:
    """The blocks of a crib in the units that it is written in: a table for each body, what was assumed of which
    cutter, what is missing.
    """
    yield Heading(printable(name), 1, f"{len(cutters)} {'cutter' if len(cutters) == 1 else 'cutters'}")
    yield Para(
        f"Lengths in {length_word()}. DC cutting diameter, APMX greatest depth of cut, LU usable length, "
        "LPR projection from the holder, RE corner radius."
    )
    for body in get_args(Body):
        rows = sorted(
            (cutter for cutter in cutters if cutter.body == body), key=lambda cutter: (cutter.DC, cutter.LU, cutter.id)
        )
        if rows:
            yield Heading(f"{spaced(body)}, {len(rows)}", 2)
            yield Table(HEADS, tuple(_row(cutter) for cutter in rows))
    told = [
        Item(f"{printable(cutter.id)}: {'; '.join(one.text for one in cutter.assumed)}.")
        for cutter in cutters
        if cutter.assumed
    ]
    if told:
        yield Heading("Assumed", 2)
        yield from section("Not given in the crib, so worked out", told)
    if gaps := tuple(Item(text) for text in (*shallow(cutters), *without_ramp(cutters)) if text):
        yield from section("Limited by what is not given", gaps)
    yield Heading("What it covers", 2)
    yield from section("Reach", reach(cutters))
    missing = tuple(lacks(cutters))
    yield from section("Missing", missing or ("Nothing: there is a cutter for every method.",))


def shallow(cutters: Iterable[Cutter]) -> Iterator[str]:
    """A sentence on the inserted cutters that go no deeper than their edge, since the crib gives no usable length."""
    short = [one for one in cutters if not one.kind.solid and any(gap.name == "LU" for gap in one.assumed)]
    if short:
        deep = _and([given(one.LU) for one in short[:MOST_NAMED]])
        yield f"{_named(short)} {'is' if len(short) == 1 else 'are'} used no deeper than {deep}: give LU in the crib."


def without_ramp(cutters: Iterable[Cutter]) -> Iterator[str]:
    """A sentence on the inserted cutters that cannot ramp, since the crib gives no angle for it."""
    flat = [one for one in cutters if not (one.kind.solid or one.kind.end_face or one.end_cutting or one.RMPX)]
    if flat:
        yield f"{_named(flat)} cannot ramp into the solid: give RMPX in the crib if the maker allows it."


MOST_NAMED = 6


def _named(cutters: Sequence[Cutter]) -> str:
    more = len(cutters) - MOST_NAMED
    return _and([printable(one.id) for one in cutters[:MOST_NAMED]]) + (f" and {more} more" if more > 0 else "")


def _and(words: Sequence[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def _row(cutter: Cutter) -> tuple[str, ...]:
    lengths = (cutter.DC, cutter.APMX, cutter.LU, cutter.LPR, cutter.RE)
    return (printable(cutter.id), *(given(length, bare=True) for length in lengths), str(cutter.ZEFP), cutter.substrate)


def reach(cutters: Iterable[Cutter]) -> Iterator[str]:
    """How narrow and how deep the milling cutters and the drills go."""
    every = list(cutters)
    for drills, told in ((False, "milling cutters"), (True, "drills")):
        some = [cutter for cutter in every if cutter.kind.drill is drills]
        if some:
            narrow, wide = min(some, key=lambda item: item.DC), max(some, key=lambda item: item.DC)
            deep = max(some, key=lambda item: item.LU)
            span = f"DC {_of(narrow, narrow.DC)} to {_of(wide, wide.DC)}"
            yield f"{told}: {span}; deepest {_of(deep, deep.LU)}"


def _of(cutter: Cutter, length: float) -> str:
    return f"{given(length)} ({printable(cutter.id)})"


def lacks(cutters: Iterable[Cutter]) -> Iterator[str]:
    """What the crib lacks: bodies that are missing, methods without a cutter, kinds of feature without a method."""
    bodies = {cutter.body for cutter in cutters}
    for body in get_args(Body):
        if body not in bodies:
            yield f"no {spaced(body)}{_predrilled(body)}"
    for way in ways().values():
        if not way.bodies & bodies:
            yield f"nothing for {way.title}: it needs {_either(sorted(way.bodies))}"
    for kind in FEATURE_KINDS:
        if not any(kind in way.features and way.bodies & bodies for way in ways().values()):
            yield f"nothing for {with_article(spaced(kind))}"


def _predrilled(body: str) -> str:
    return ": no entry through a predrilled hole" if BODIES[body].drill else ""


def _either(words: Sequence[str]) -> str:
    return " or ".join(f"{'an' if word[0] in 'aeiou' else 'a'} {spaced(word)}" for word in words)
