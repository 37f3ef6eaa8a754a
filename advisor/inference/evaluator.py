"""The Python evaluator behind the same interface as the engine: it decides where the engine cannot be installed."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.knowledge.conditions import Facts, holds
from advisor.knowledge.schema import Rule

NAME = "Python evaluator"


class Family:
    """The rules that are asked together."""

    def __init__(self, rules: Sequence[Rule]) -> None:
        self._rules = tuple(rules)

    def ask(self, facts: Facts) -> tuple[str, ...]:
        """The ids of the rules whose condition holds, in reading order."""
        return tuple(rule.id for rule in self._rules if holds(rule.condition, facts))


def free_idle() -> None:
    """Nothing is kept that could be given back."""
