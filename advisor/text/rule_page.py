"""What surrounds a rule: the rules that feed it, those that it feeds, and the worked cases in which it fires."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.knowledge.schema import Rule, RuleBase, reads
from advisor.text.blocks import Block, Heading, Item, Para, section
from advisor.text.firings import Firing, Firings
from advisor.text.names import spaced


def fed_by(rule: Rule, base: RuleBase) -> tuple[tuple[Rule, str], ...]:
    """The rules that conclude a fact which this rule reads, each with the fact."""
    asked = reads(rule)
    return tuple((other, other.concludes[0]) for other in base.rules if other.concludes and other.concludes[0] in asked)


def feeds(rule: Rule, base: RuleBase) -> tuple[Rule, ...]:
    """The rules that read the fact which this rule concludes."""
    if rule.concludes is None:
        return ()
    fact = rule.concludes[0]
    return tuple(other for other in base.rules if fact in reads(other))


def overridden_by(rule: Rule, base: RuleBase) -> tuple[Rule, ...]:
    """The rules that take precedence over this one where both fire."""
    return tuple(other for other in base.rules if rule.id in other.overrides)


def chain_blocks(rule: Rule, base: RuleBase) -> Iterator[Block]:
    """The blocks that tell how a rule hangs together with others."""
    yield from section("Overridden by", (Item(other.title, other.id) for other in overridden_by(rule, base)))
    fed = fed_by(rule, base)
    yield from section("Depends on", (Item(f"{spaced(fact)}: {other.title}", other.id) for other, fact in fed))
    yield from section("Used by", (Item(other.title, other.id) for other in feeds(rule, base)))
    if rule.concludes is not None and not feeds(rule, base):
        yield Heading("Used by")
        yield Para(f"0 rules read {spaced(rule.concludes[0])}; the calculation of the settings uses it.")


def case_blocks(rule: Rule, found: Firings) -> Iterator[Block]:
    """The worked cases in which a rule fires, those whose advice has it first; nothing of a rule that judges plans."""
    if rule.verdict == "finds":
        return
    firings = found.of(rule)
    advised = [one for one in firings if one.advised]
    yield Heading("In the worked cases")
    others = len(firings) - len(advised)
    yield Para(
        f"Fires in {_features(len(advised))} for the advised way, in {others} more for a way that was not chosen."
    )
    yield from section("For the advised way", (_case(one) for one in advised))
    yield from section("For a way not chosen", (_case(one) for one in firings if not one.advised))


def _features(count: int) -> str:
    return f"{count} feature{'' if count == 1 else 's'}"


def _case(one: Firing) -> Item:
    return Item(f"{one.case} {one.feature}: {one.way}")
