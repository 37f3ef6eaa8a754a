"""Whether a cutter that a plan uses elsewhere would save a change in a feature."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from advisor.inputs.assignment import Assignment
from advisor.reasoning.advice import FeatureAdvice
from advisor.reasoning.bench import Bench
from advisor.reasoning.candidates import Candidate
from advisor.review.coverage import MAIN, Part

SOUND = ("good", "workable")


def saved_by_one_cutter(
    part: Part,
    every: Sequence[Part],
    time: float | None,
    answers: Mapping[str, FeatureAdvice],
    assignment: Assignment,
    bench: Bench,
) -> float | None:
    """What the best cutter in use elsewhere would save in this feature, its own change of tools too [s].

    Nothing where the feature shares its cutter with others, has several operations, or its time is not known.
    """
    here = [one for one in every if one.feature == part.feature]
    elsewhere = {one.cutter.id for one in every if one.feature != part.feature and one.role == MAIN}
    if time is None or len(here) > 1 or part.cutter.id in elsewhere or not elsewhere:
        return None
    found: list[Candidate] = [
        candidate
        for candidate in answers[part.feature].candidates
        if candidate.cutter.id in elsewhere and candidate.grade in SOUND
    ]
    if not found:
        return None
    return max(0.0, time - (min(candidate.time for candidate in found) - bench.machine.tool_change))
