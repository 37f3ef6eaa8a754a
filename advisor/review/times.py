"""The time of a plan beside that of the advice: in a feature, and over the whole."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from math import isfinite

from advisor.model.answer import FeatureAdvice
from advisor.model.candidate import Candidate
from advisor.review.coverage import MAIN, REST, Part, sequence


def planned_time(found: Sequence[tuple[Part, Candidate]], tool_change: float) -> float | None:
    """Time of all that a plan does in one feature, each operation with a change of its own [s]; nothing if unknown.

    What a wide cutter leaves in the corners is in its time already, so an operation for it adds none; where nothing is
    left it adds its change. The hole of a way in is in the time of the operation that goes down it; drilled by an
    operation of its own, or gone down before, it is counted once.
    """
    total, left = 0.0, 0.0
    drilled: set[str] = set()
    for part, candidate in found:
        if part.role == REST:
            total += max(0.0, tool_change - left)
        elif part.role == MAIN:
            if not isfinite(candidate.time):
                return None
            total += candidate.time
            if candidate.drill is not None:
                total -= float(candidate.facts.get("hole_time", 0.0)) if candidate.drill.id in drilled else 0.0
                drilled.add(candidate.drill.id)
            left += float(candidate.facts.get("corner_rest_time", 0.0))
        elif isfinite(candidate.time):  # a hole drilled before a round one is bored
            total += candidate.time
            drilled.add(part.cutter.id)
    return total


def whole_plan(times: Mapping[str, float | None], every: Sequence[Part], tool_change: float) -> float | None:
    """Time of a whole plan [s], a cutter that goes on changed once; nothing where that of a feature is not known."""
    known = [time for time in times.values() if time is not None]
    if len(known) < len(times):
        return None
    used = [cutter for cutter, _ in sequence(every)]
    return sum(known) - tool_change * sum(one == other for one, other in pairwise(used))


def whole_advice(answers: Sequence[FeatureAdvice], tool_change: float) -> float | None:
    """Time of the advised ways [s], a cutter that goes on changed once; nothing where a feature has none."""
    best = [answer.best for answer in answers if answer.best is not None]
    if len(best) < len(answers):
        return None
    used: list[str] = []
    for found in best:
        used += [found.drill.id, found.cutter.id] if found.drill else [found.cutter.id]
    return sum(found.time for found in best) - tool_change * sum(one == other for one, other in pairwise(used))
