"""In which of the worked cases a rule fires: for the advised way, or for one that was set back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

from advisor.knowledge.schema import Rule


class Firing(NamedTuple):
    """A feature of a case for which a rule fires.

    ``advised`` is whether it fires for the way that is advised; ``way`` is that way, else the first that it fires for.
    """

    case: str
    feature: str
    advised: bool
    way: str


@dataclass(frozen=True)
class Firings:
    """The firings of every rule over all shipped cases, by the rule's id."""

    by_rule: Mapping[str, tuple[Firing, ...]]

    def of(self, rule: Rule) -> tuple[Firing, ...]:
        """Where a rule fires, the cases whose advice rests on it first."""
        return tuple(sorted(self.by_rule.get(rule.id, ()), key=lambda found: (not found.advised, found)))
