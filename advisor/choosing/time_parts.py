"""Where the estimated time of a way goes."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.choosing.time_of_count import rest_change
from advisor.model.candidate import Candidate


def time_parts(candidate: Candidate) -> dict[str, float]:
    """The estimated time in parts [s]: ``cut``, ``entry``, ``travel``, ``change``; they sum to the whole, of several
    features alike to that of all.

    The rest in the corners counts as cutting, its moves as travel, its change of tools as a change. A way in that is
    quicker than the cut it replaces shortens the cut.
    """
    facts = candidate.facts

    def part(name: str) -> float:
        return float(facts.get(name, 0.0))

    rest, change, entry = part("corner_rest_time"), part("tool_change"), part("entry_time")
    moves, count, once = part("corner_rest_moves"), float(facts["count"]), rest_change(change, rest)
    return {
        "cut": count * (part("cut_time") + rest - moves - once + min(0.0, entry)),
        "entry": count * max(0.0, entry),
        "travel": count * (part("travel_time") + moves),
        "change": change + part("entry_change") + once,
    }


def grown_most(parts: Mapping[str, float], other: Mapping[str, float]) -> str:
    """The part of the time by which another way exceeds one most; both in parts [s]."""
    return max(parts, key=lambda part: other[part] - parts[part])
