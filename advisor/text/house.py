"""How it is told that advice rests on the shop's own: the changes in words, and those behind an answer."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.files.problems import printable
from advisor.knowledge.conditions import Facts, holds
from advisor.knowledge.evidence import chain, quantised, thresholds_used
from advisor.knowledge.origin import turned
from advisor.knowledge.schema import Change, RuleBase
from advisor.knowledge.wording import apart, quantity
from advisor.model.answer import FeatureAdvice
from advisor.text.measures import ASKED_FOR

KINDS = {"moved": "moved", "off": "switched off", "replaced": "replaced", "added": "added"}


def behind(answer: FeatureAdvice, base: RuleBase) -> tuple[Change, ...]:
    """The changes of the house that an answer rests on: thresholds in the formulas of its numbers or that turn a rule
    here, rules that are off and would fire here. Of the other ways the best ones are looked at.
    """
    best = answer.best
    if best is None or not base.changes:
        return ()
    names = set(thresholds_used(chain(ASKED_FOR, best.facts, base), base))
    rivals = [other.candidate.facts for other in answer.alternatives]
    for facts in map(quantised, (best.facts, *rivals)):
        names |= {threshold.name for threshold in turned(base, facts)}
        names |= {change.name for change in base.changes if _would_fire(change, facts)}
    named = (change for change in base.changes if change.kind in ("moved", "off"))
    return tuple(change for change in named if change.name in names)


def _would_fire(change: Change, facts: Facts) -> bool:
    return change.rule is not None and holds(change.rule.condition, facts)


def behind_text(change: Change, base: RuleBase) -> str:
    """A change of the house with its reason: ``layer_radial_share 50 % instead of 65 %: worn spindle``."""
    return f"{change_text(change, base)}: {printable(change.reason)}"


def change_text(change: Change, base: RuleBase) -> str:
    """A change of the house in words, without its reason."""
    if change.before is None or change.after is None:
        return f"{change.name} {KINDS[change.kind]}"
    unit = base.thresholds[change.name].unit
    after, before = apart(change.after, change.before, unit)
    return f"{change.name} {after} instead of {before}"


def told(changes: Iterable[Change]) -> str:
    """How many changes of each kind: ``1 threshold moved, 2 rules switched off``."""
    kinds = [change.kind for change in changes]
    parts = []
    for kind, word in KINDS.items():
        if count := kinds.count(kind):
            noun = "threshold" if kind == "moved" else "rule"
            parts.append(f"{quantity(count, 'count')} {noun}{'' if count == 1 else 's'} {word}")
    return ", ".join(parts)


def with_house(base: RuleBase) -> str:
    """A sentence for the head of an answer; nothing where the shop has no rules of its own."""
    return f" House rules: {told(base.changes)}." if base.changes else ""
