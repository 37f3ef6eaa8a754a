"""How it is told that advice rests on the shop's own: the changes in words, and those behind an answer."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from advisor.inputs.problems import printable
from advisor.reasoning import contrast
from advisor.reasoning.advice import FeatureAdvice
from advisor.reasoning.evidence import chain, quantised, thresholds_used
from advisor.rulebase.own import turned
from advisor.rulebase.schema import Change, RuleBase, Threshold
from advisor.rulebase.wording import apart, quantity

KINDS = {"moved": "moved", "off": "switched off", "replaced": "replaced", "added": "added"}


def behind(answer: FeatureAdvice, base: RuleBase) -> tuple[Threshold, ...]:
    """The thresholds of the house that an answer rests on: in a formula of its numbers, or in a rule that they turn."""
    best = answer.best
    if best is None or not base.changes:
        return ()
    from advisor.report.why import ASKED_FOR

    names = [name for name, *_ in thresholds_used(chain(ASKED_FOR, best.facts, base), base)]
    found = [base.thresholds[name] for name in names if base.thresholds[name].reason]
    return tuple(dict.fromkeys([*found, *turned(base, quantised(best.facts)), *_of_rivals(answer, base)]))


def _of_rivals(answer: FeatureAdvice, base: RuleBase) -> Iterator[Threshold]:
    """The thresholds of the house that turn a rule about the best of each other way."""
    for other in contrast.alternatives(answer, base):
        yield from turned(base, quantised(other.candidate.facts))


def behind_text(threshold: Threshold, base: RuleBase) -> str:
    """A threshold of the house with its shipped value: ``layer_radial_share 50 % instead of 65 %: worn spindle``."""
    change = next(change for change in base.changes if change.kind == "moved" and change.name == threshold.name)
    return f"{change_text(change, base)}: {printable(threshold.reason)}"


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
    return f" By the house rules: {told(base.changes)}." if base.changes else ""
