"""Words of the trade as JSON."""

from __future__ import annotations

from typing import Any

from advisor.knowledge.glossary import Term, explained
from advisor.knowledge.schema import RuleBase
from advisor.text.glossary import Here
from advisor.text.sources import cited


def word_record(term: Term, base: RuleBase, found: Here | None = None) -> dict[str, Any]:
    """A word in two sentences, with its number in a feature if one was asked about."""
    short, long = explained(term, base)
    told: dict[str, Any] = {
        "term": term.name,
        "also": list(term.also),
        "short": short,
        "long": long,
        "measure": term.measure,
        "source": cited(term.source),
    }
    if found is not None:
        number = found.worked._asdict() if found.worked else None
        told["here"] = {"feature": found.feature, "number": number, "missing": found.missing or None}
    return told
