"""The one orchestration: a job in, a complete answer out. Whoever shows an answer works nothing out.

Everything here may be called from any thread.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from advisor.analysis import alternatives, repair
from advisor.choosing import ranking
from advisor.choosing.advice import MANY, advise_each, advise_feature
from advisor.choosing.job_advice import Advice
from advisor.model.answer import FeatureAdvice
from advisor.model.assignment import Assignment
from advisor.model.cutter import Cutter
from advisor.model.features import FeatureBase
from advisor.situation.bench import Bench, bench_of

if TYPE_CHECKING:
    from advisor.analysis.comparison import Beside
    from advisor.model.operations import Plan
    from advisor.review.verdict import Review

KEPT = 50  # features of a job whose candidates are kept: those of one take a megabyte


def advise(
    assignment: Assignment, quick: bool = False, step: Callable[[], None] = lambda: None, bench: Bench | None = None
) -> Advice:
    """The advice for every feature of an assignment, in its order.

    A feature that cannot be worked out, through a fault of our own, stands in ``failed`` and does not take the others
    with it. Of more than ``KEPT`` features the candidates are not kept, but for those that are told of.

    Args:
        assignment: job, machine, material and crib.
        quick: leave out what would change each answer, which takes longest; always so for more than ``MANY`` cutters.
        step: is called after each feature.
        bench: the rule base to ask, where it is not that of the assignment.

    Raises:
        BadInput: the house rules are not as they must be, or a feature cannot be worked out with them.
    """
    crib = assignment.crib
    quick = quick or len(crib) > MANY
    kept = iter(range(KEPT))

    def work(feature: FeatureBase, asked: Bench) -> FeatureAdvice:
        try:
            answer = answer_of(feature, crib, asked, quick)
        finally:
            step()
        return answer if next(kept, None) is not None else answer._replace(candidates=())

    return advise_each(assignment, bench, work)


def answer_of(feature: FeatureBase, crib: Sequence[Cutter], bench: Bench, quick: bool = False) -> FeatureAdvice:
    """The complete answer for one feature: with what would change it, unless ``quick``, and what it was preferred to.

    Raises:
        BadInput: with the changes of the house the feature cannot be worked out.
    """
    answer = advise_feature(feature, crib, bench, whole=not quick)  # a change is looked for among all rivals
    if not quick:
        from advisor.analysis.upgrades import with_changes  # only here: the search takes time to load

        answer = with_changes(answer, feature, crib, bench)
    return completed(answer, feature, crib, bench)


def completed(answer: FeatureAdvice, feature: FeatureBase, crib: Sequence[Cutter], bench: Bench) -> FeatureAdvice:
    """An answer with its alternatives, what stands in the way where there is none, and what another cutter would do."""
    found = (
        repair.repairs(feature, crib, bench)
        if answer.best is None
        else repair.improvements(answer, feature, crib, bench)
    )
    return answer._replace(
        alternatives=alternatives.alternatives(answer, bench.base),
        obstacles=alternatives.obstacles(answer, bench.base),
        shown=answer.best or ranking.nearest(None, answer.candidates, bench.limits),
        chosen=alternatives.without_a_rule(answer, bench.base),
        repairs=found,
    )


def explain(assignment: Assignment, feature_id: str) -> Advice:
    """The advice for one feature alone, with what would change it whatever the size of the crib.

    Raises:
        BadInput: the job has no such feature, or answers it as two; the house rules are not as they must be.
    """
    bench = bench_of(assignment)
    return Advice(assignment, bench, (answer_of(feature_of(assignment, feature_id), assignment.crib, bench),))


def feature_of(assignment: Assignment, feature_id: str) -> FeatureBase:
    """The feature of a job with an id.

    Raises:
        BadInput: the job has no such feature, or answers it as two, with stock on walls and floor.
    """
    for feature in assignment.job.features:
        if feature.id == feature_id:
            return feature
    from advisor.files.problems import BadInput, Problem, listed, nearest_word, shown
    from advisor.readers.plan_check import in_parts_text

    known, parts = [feature.id for feature in assignment.job.features], assignment.job.parts.get(feature_id)
    wanted = f"a feature of the job: {listed(known)}" if parts is None else in_parts_text(parts)
    near = nearest_word(feature_id, known) if parts is None else None
    raise BadInput([Problem(assignment.job.part, None, "feature", shown(feature_id), wanted, near)])


def compare(
    assignment: Assignment,
    feature_id: str,
    *,
    method: str | None = None,
    cutter: str | None = None,
    entry: str | None = None,
) -> Beside:
    """The advised way of a feature beside the best one of another method, cutter or entry, and what decides.

    Raises:
        BadInput: no such feature in the job, or one that it answers as two; no such method or entry, no such cutter in
            the crib; the house rules are not as they must be.
    """
    from advisor.analysis.asked_way import wanted_of
    from advisor.analysis.comparison import beside
    from advisor.analysis.rival import asked_with

    bench, crib = bench_of(assignment), assignment.crib
    wanted = wanted_of(method, cutter, entry, bench.base, [item.id for item in crib])
    answer = asked_with(wanted, feature_of(assignment, feature_id), crib, bench)
    return beside(answer, Advice(assignment, bench, (answer,)), wanted)


def review_plan(plan: Plan, assignment: Assignment, advice: Advice | None = None) -> Review:
    """The review of a plan with its set of remedies, held against the advice for the same job.

    The advice is worked out where it is not given.

    Raises:
        BadInput: the plan contradicts itself, its job or its crib.
    """
    from advisor.readers.plan_check import check_plan
    from advisor.review.isolated import review_each

    check_plan(plan, assignment)
    return review_each(plan, assignment, advice or advise_each(assignment))
