"""How it is told that a rule is the house's, or reads a threshold that the house moved."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.knowledge.conditions import All, Any, Compare, Condition, Facts, holds, leaves, quantise
from advisor.knowledge.schema import Rule, RuleBase, Threshold
from advisor.knowledge.wording import PLACEHOLDER


def moved(rule: Rule, base: RuleBase) -> tuple[Threshold, ...]:
    """The thresholds of the house that a rule compares with, concludes or names."""
    if not base.changes:
        return ()
    compared = (leaf.threshold for leaf in leaves(rule.condition) if isinstance(leaf, Compare))
    told = (match.group(1) for match in PLACEHOLDER.finditer(f"{rule.because} {rule.remedy}"))
    concluded = rule.concludes[2] if rule.concludes else None
    found = (base.thresholds.get(str(name)) for name in dict.fromkeys([*compared, concluded, *told]))
    return tuple(threshold for threshold in found if threshold is not None and threshold.reason)


def turned(base: RuleBase, facts: Facts) -> tuple[Threshold, ...]:
    """The thresholds of the house that make a rule hold here which would not by the shipped ones, or the other way."""
    shipped = dict(base.limits) | {change.name: change.before for change in base.changes if change.before is not None}
    found: dict[Threshold, None] = {}
    for rule in base.rules if base.changes else ():
        own = moved(rule, base)
        if own and holds(rule.condition, facts) != holds(with_limits(rule.condition, shipped), facts):
            found |= dict.fromkeys(own)
    return tuple(found)


def with_limits(condition: Condition, limits: Mapping[str, float]) -> Condition:
    """The condition with other values of its thresholds."""
    if isinstance(condition, Compare):
        if condition.threshold is None:
            return condition
        return Compare(condition.fact, condition.operator, quantise(limits[condition.threshold]), condition.threshold)
    if isinstance(condition, All | Any):
        return type(condition)(tuple(with_limits(part, limits) for part in condition.parts))
    return condition


def of_house(rule: Rule, base: RuleBase) -> bool:
    """Whether a rule is the house's or reads a threshold of the house."""
    return rule.house or bool(moved(rule, base))


def mark(rule: Rule, base: RuleBase) -> str:
    """What is put behind a rule's text where it is the house's or reads a threshold of the house; else nothing."""
    reasons = dict.fromkeys(threshold.reason for threshold in moved(rule, base))
    own = " (house rule)" if rule.house else ""
    return own + "".join(f" (house threshold: {reason})" for reason in reasons)
