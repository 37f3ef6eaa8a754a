"""Whether a cutter that a plan uses elsewhere would save a change in a feature."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from advisor.knowledge.conditions import Situation
from advisor.mechanics.lengths import exceeds
from advisor.model.answer import FeatureAdvice
from advisor.model.candidate import SOUND, Candidate
from advisor.review.coverage import MAIN, Part
from advisor.situation.bench import Bench


class _Saving(NamedTuple):
    part: Part
    cutter: str
    saved: float


def saved_by_one_cutter(
    every: Sequence[Part],
    times: Mapping[str, float | None],
    answers: Mapping[str, FeatureAdvice],
    bench: Bench,
) -> dict[str, Situation]:
    """By feature what the best cutter in use elsewhere would save there, its own change of tools too [s], how wide that
    cutter is [mm], and its first operation.

    Nothing where the feature shares its cutter with others, has several operations, or its time is not known. All that
    is told can be done together, the greatest saving first: nobody is sent to a cutter that another saving leaves out.
    """
    found = [_best(part, every, times.get(part.feature), answers, bench) for part in every]
    kept: set[str] = set()
    left: set[str] = set()
    told: dict[str, Situation] = {}
    for one in sorted(filter(None, found), key=lambda one: -one.saved):
        if one.cutter in left or one.part.cutter.id in kept:
            continue
        kept.add(one.cutter)
        left.add(one.part.cutter.id)
        first = next(part for part in every if part.cutter.id == one.cutter and part.role == MAIN)
        told[one.part.feature] = {
            "saved_by_one_cutter": one.saved,
            "saving_diameter": first.cutter.DC,
            "saving_operation": float(first.operation.number),
        }
    return told


def _best(
    part: Part,
    every: Sequence[Part],
    time: float | None,
    answers: Mapping[str, FeatureAdvice],
    bench: Bench,
) -> _Saving | None:
    """What the best cutter in use elsewhere would save in the feature of one operation, by the same method and beside
    what the operation's own cutter could do; none that stands out much further is sent there.
    """
    here = [one for one in every if one.feature == part.feature]
    elsewhere = {one.cutter.id for one in every if one.feature != part.feature and one.role == MAIN}
    if part.role != MAIN or time is None or len(here) > 1 or part.cutter.id in elsewhere or not elsewhere:
        return None
    sound = [one for one in answers[part.feature].candidates if one.grade in SOUND]
    own = {one.method: one.time for one in sorted(sound, key=lambda one: -one.time) if one.cutter.id == part.cutter.id}
    found: list[Candidate] = [
        candidate
        for candidate in sound
        if candidate.cutter.id in elsewhere
        and candidate.method in own
        and not exceeds(candidate.cutter.LPR, bench.limits["saving_projection_most"] * part.cutter.LPR)
        and _as_far(candidate, part)
    ]
    if not found:
        return None
    best = min(found, key=lambda candidate: candidate.time)
    beside = min(time, own[best.method])
    return _Saving(part, best.cutter.id, max(0.0, beside - (best.time - bench.machine.tool_change)))


def _as_far(candidate: Candidate, part: Part) -> bool:
    """Whether a cutter reaches into the corners as finishing wants it, or at least as far as that of the plan does."""
    left = float(candidate.facts.get("corner_rest_beyond", 0.0))
    return not exceeds(left, 0.0) or not exceeds(candidate.cutter.DC, part.cutter.DC)
