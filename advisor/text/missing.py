"""What was not given of a feature, in words."""

from __future__ import annotations

from advisor.knowledge.schema import RuleBase
from advisor.model.answer import NotAsked

IDLE = "a corner radius was given, but no two walls of this pocket meet: it is not used"


def missing_text(item: NotAsked, base: RuleBase) -> str:
    """That a value was not given, in the words of its measure if it has some; or that one given is of no use here."""
    if item.idle:
        return IDLE
    return base.measures[item.missing].not_given or f"no {item.missing.replace('_', ' ')} given"


def unasked(item: NotAsked, base: RuleBase) -> str:
    """What nobody gave, and which rules wanted it."""
    told = missing_text(item, base)
    return f"{told}; not checked: {', '.join(item.rules)}." if item.rules else f"{told}."
