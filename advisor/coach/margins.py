"""How far a rule's numbers are from its limits: whether it plainly holds, and whether it nearly does."""

from __future__ import annotations

from collections.abc import Callable

from advisor.coach.table import table
from advisor.knowledge.conditions import OPERATORS, Compare, Facts, holds, leaves
from advisor.knowledge.schema import Rule

LITTLE = 0.001  # beyond a limit
EXACT = ("=", "!=")


def nearly_holds(rule: Rule, facts: Facts) -> bool:
    """Whether a rule holds, or would if every number that misses a limit by little were beyond it."""
    return holds(rule.condition, _moved(rule, facts, True, lambda leaf: float(table().nearly) * abs(_limit(leaf))))


def plainly_holds(rule: Rule, facts: Facts) -> bool:
    """Whether a rule holds, and still would if every number that is beyond a limit by little were not."""
    return holds(rule.condition, _moved(rule, facts, False, _little))


def _little(leaf: Compare) -> float:
    """The distance from a limit within which nobody would call it plain, in the unit of the fact."""
    by = table().plainly_by
    return float(by[leaf.fact]) if leaf.fact in by else float(table().plainly) * abs(_limit(leaf))


def _limit(leaf: Compare) -> float:
    return float(leaf.value)


def _moved(rule: Rule, facts: Facts, wanted: bool, near: Callable[[Compare], float]) -> Facts:
    """The facts with every number that is near a limit of the rule where the rule holds, or does not."""
    moved = dict(facts)
    for leaf in leaves(rule.condition):
        value = facts.get(leaf.fact)
        if not isinstance(leaf, Compare) or isinstance(leaf.value, str) or value is None or isinstance(value, str):
            continue
        if (leaf.operator in EXACT and not wanted) or abs(value - leaf.value) > near(leaf):
            continue
        tried = (value, leaf.value, leaf.value + LITTLE, leaf.value - LITTLE)
        moved[leaf.fact] = next((n for n in tried if OPERATORS[leaf.operator](n, leaf.value) == wanted), value)
    return moved
