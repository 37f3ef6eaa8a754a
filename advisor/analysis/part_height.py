"""How high a part must lie for a drill to go through it, or for another way: by what is free beneath."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from advisor.analysis.inputs import changed_feature
from advisor.analysis.length_change import nearest, repair_by
from advisor.analysis.standard_cutters import sizes
from advisor.choosing.advice import advise_feature
from advisor.methods.registry import METHODS
from advisor.model.answer import FeatureAdvice, LengthChange, Repair
from advisor.model.beneath import BottomPolicy
from advisor.model.candidate import GRADES, Candidate
from advisor.model.cutter import Cutter
from advisor.model.features import FeatureBase
from advisor.situation.bench import Bench

# Looked for first is the least height at which there is a good way; if there is none, that at which there is any.
KINDS: tuple[Callable[[Candidate], bool], ...] = (lambda best: best.grade == GRADES[0], lambda best: True)


def changed_by(
    feature: FeatureBase, crib: Sequence[Cutter], bench: Bench
) -> Callable[[str, float], FeatureAdvice | None]:
    """The advice for a feature with one of its lengths changed [mm]; nothing where there is no such feature."""

    def at(name: str, value: float) -> FeatureAdvice | None:
        changed = changed_feature(feature, name, value)
        return advise_feature(changed, crib, bench, whole=False) if changed is not None else None

    return at


def raised(
    feature: FeatureBase,
    at: Callable[[str, float], FeatureAdvice | None],
    kinds: Sequence[Callable[[Candidate], bool]] = KINDS,
    before: Candidate | None = None,
) -> Iterator[Repair]:
    """The least clearance beneath at which the crib has a way of the first of these kinds that there is, as a part
    raised on parallels has it.
    """
    name, now = "clearance_below", getattr(feature, "clearance_below", None)
    far = (now or 0.0) + sizes()["raised_most"]

    value = None
    for kind in kinds:

        def opens(value: float, kind: Callable[[Candidate], bool] = kind) -> bool:
            answer = at(name, value)
            return answer is not None and answer.best is not None and kind(answer.best)

        value = value or nearest(opens, now or 0.0, far)
    answer = at(name, value) if value is not None else None
    if value is not None and answer is not None:
        yield repair_by(answer, (LengthChange(name, now, value),), now=before)


def skin_stays(answer: FeatureAdvice) -> bool:
    """Whether so little is free beneath a feature that a skin stays at its bottom."""
    return answer.facts.get("bottom_policy") == BottomPolicy.LEAVE_A_SKIN


def raised_and_drilled(
    answer: FeatureAdvice, feature: FeatureBase, crib: Sequence[Cutter], bench: Bench
) -> Iterator[Repair]:
    """For a round through hole: how high the part must lie for a drill of the crib to go through it well; where a skin
    stays in it, else for another good way.
    """
    if not answer.region.round or answer.region.floor:
        return
    others, before = (KINDS, None) if skin_stays(answer) else ((), answer.best)

    def drilled(best: Candidate) -> bool:
        return best.grade == GRADES[0] and METHODS[best.method].by_drill

    every = raised(feature, changed_by(feature, crib, bench), (drilled, *others), before)
    yield from (found for found in every if found.then.grade == GRADES[0])


def raised_for_the_drill(
    answer: FeatureAdvice, best: Candidate, feature: FeatureBase, crib: Sequence[Cutter], bench: Bench
) -> Iterator[Repair]:
    """For a round through hole that is milled well: how high the part must lie for a drill of the crib to make it in
    enough less time.
    """
    if not answer.region.round or answer.region.floor:
        return
    most = (1 - sizes()["saving"]) * best.time

    def drilled(found: Candidate) -> bool:
        return found.grade == GRADES[0] and METHODS[found.method].by_drill and found.time <= most

    yield from raised(feature, changed_by(feature, crib, bench), (drilled,), best)
