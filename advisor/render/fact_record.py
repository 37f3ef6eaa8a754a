"""The facts that a condition may use, as JSON."""

from __future__ import annotations

from typing import Any

from advisor.knowledge.measures import Measure
from advisor.knowledge.schema import RuleBase, reads
from advisor.text.facts import example, first_stage


def fact_record(measure: Measure, base: RuleBase) -> dict[str, Any]:
    """One fact with its values, its formulas, and who reads it."""
    return {
        "fact": measure.name,
        "what": measure.meaning,
        "unit": measure.unit,
        "level": measure.level,
        "from_stage": first_stage(measure),
        "least": measure.range[0] if measure.range else None,
        "most": measure.range[1] if measure.range else None,
        "words": list(measure.words),
        "names_of_the_crib": measure.named,
        "concluded": measure.concluded,
        "formulas": dict(measure.formulas),
        "example": example(measure, base),
        "read_by": [asked.id for asked in base.asked if measure.name in reads(asked)],
    }
