"""The advised way and another one: what decides between them, and what would lift what forbids the other."""

from __future__ import annotations

from typing import NamedTuple

from advisor.analysis.alternatives import difference
from advisor.analysis.blockers import Lift, lift
from advisor.analysis.rival import Wanted, rival_of
from advisor.choosing.job_advice import Advice
from advisor.knowledge.schema import RuleBase
from advisor.model.answer import Difference, FeatureAdvice
from advisor.model.candidate import Candidate


class Beside(NamedTuple):
    """A feature's answer and the other way that was asked for; ``rival`` is None where the crib has no such way.

    ``difference`` is what decides, where there is another way than the advised one, and ``lift`` what would lift what
    forbids it.
    """

    answer: FeatureAdvice
    advice: Advice
    wanted: Wanted
    rival: Candidate | None
    difference: Difference | None = None
    lift: Lift | None = None

    @property
    def base(self) -> RuleBase:
        """The rule base that was asked."""
        return self.advice.bench.base

    @property
    def same(self) -> bool:
        """Whether what was asked for is what is advised."""
        return self.rival is not None and self.rival is self.answer.best


def beside(answer: FeatureAdvice, advice: Advice, wanted: Wanted) -> Beside:
    """The answer beside the best way of the kind that was asked for."""
    base = advice.bench.base
    rival = rival_of(answer, wanted, base.limits)
    if rival is None or rival is answer.best:
        return Beside(answer, advice, wanted, rival)
    feature = next(item for item in advice.assignment.job.features if item.id == answer.region.id)
    found = difference(answer.best, rival, base, answer.candidates)
    return Beside(answer, advice, wanted, rival, found, lift(rival, feature, advice.assignment.crib, advice.bench))
