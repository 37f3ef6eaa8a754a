"""House rules tried on jobs, one change after the other: where each fired, what it changed, and how near it came."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from enum import Enum
from typing import NamedTuple

from advisor.choosing.advice import advise_feature
from advisor.choosing.job_advice import Advice
from advisor.files.problems import BadInput
from advisor.inference import Inference, start
from advisor.knowledge.conditions import All, Compare, Condition, Facts, Known, holds
from advisor.knowledge.evidence import quantised
from advisor.knowledge.measures import EARLY
from advisor.knowledge.origin import turned
from advisor.knowledge.schema import Asked, Change, ChangeKind, Preference, Rule, RuleBase
from advisor.model.answer import FeatureAdvice
from advisor.model.assignment import Assignment
from advisor.model.candidate import Candidate
from advisor.situation.bench import bench_of
from advisor.situation.facts import Contradiction

REVIEW = "review"


class WithAndWithout(NamedTuple):
    """The answer for a feature without a change of the house, and with it."""

    without: FeatureAdvice
    own: FeatureAdvice

    @property
    def differs(self) -> bool:
        """Whether the way, its time or what it cautions about is another."""
        return _looked_at(self.without) != _looked_at(self.own)

    @property
    def cautions(self) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """The cautions that the change brings, and those that it takes away, by their ids."""
        before, after = ([rule.id for rule in one.cautions] for one in (self.without, self.own))
        return tuple(name for name in after if name not in before), tuple(name for name in before if name not in after)


class FiresFor(Enum):
    """For which ways of a feature a change of the house fires."""

    ADVISED = "the advised one"
    OTHERS = "only others"
    NONE = "none"


class FeatureFiring(NamedTuple):
    """A feature of a job on which a change fired: for the advised way, or only for others; ``changed`` is what it
    changed there; nothing where the answer is the same. A change is ``needed`` where the other changes cannot be worked
    out without it.
    """

    job: str
    feature: str
    advised: bool
    changed: WithAndWithout | None = None
    needed: bool = False


class Miss(NamedTuple):
    """Where a rule came nearest to firing: the feature, the way if one was looked at, its facts, and the
    comparisons that do not hold. There are none where the condition holds for a way that the rule is not asked of.
    """

    job: str
    feature: str
    way: Candidate | None
    facts: Facts
    unmet: tuple[Compare | Known, ...]


class ChangeTrial(NamedTuple):
    """A change of the house on all features; ``miss`` is there for a rule that never fired. ``asked`` says whether
    advice asks the rule at all: one of the review is asked of plans.
    """

    change: Change
    firings: tuple[FeatureFiring, ...]
    miss: Miss | None = None
    asked: bool = True


class AdvisedJob(NamedTuple):
    """The advice for a job with the house rules, under the name of the job."""

    job: str
    advice: Advice

    @property
    def assignment(self) -> Assignment:
        """What was asked."""
        return self.advice.assignment


def trials(jobs: Sequence[AdvisedJob], base: RuleBase, without: Mapping[str, RuleBase]) -> Iterator[ChangeTrial]:
    """What each change of the house does on some jobs; ``without`` are the rule bases that lack one change each, by
    its name.
    """
    for change in base.changes:
        rule = change.preference or base.by_id.get(change.name) or change.rule
        seen = [
            (FeatureFiring(tried.job, answer.region.id, whom is FiresFor.ADVISED), whom is not FiresFor.NONE)
            for tried in jobs
            for answer in tried.advice.features
            if (whom := fires_for(change, rule, answer, base)) is not FiresFor.NONE or change.kind is ChangeKind.MOVED
        ]
        other = start(without[change.name], "evaluator") if seen and change.name in without else None
        told = [(_changed(one, jobs, other), turns) for one, turns in seen]
        # A threshold fires, too, where no rule turns by it and arithmetic takes it.
        found = [
            one if turns else one._replace(advised=True)
            for one, turns in told
            if turns or one.needed or one.changed is not None
        ]
        asked = not isinstance(rule, Rule) or rule.stage != REVIEW
        miss = nearest_miss(rule, jobs) if rule is not None and asked and not found else None
        yield ChangeTrial(change, tuple(found), miss, asked)


def fires_for(change: Change, rule: Asked | None, answer: FeatureAdvice, base: RuleBase) -> FiresFor:
    """For which ways of a feature a change fires."""
    if isinstance(rule, Preference):
        return _for_the_best(answer, [item for item in answer.candidates if item.meets[rule.id]])
    if change.kind is ChangeKind.MOVED:
        turning = [item for item in answer.candidates if _turns(change, item.facts, base)]
        return FiresFor.ADVISED if _turns(change, answer.facts, base) else _for_the_best(answer, turning)
    if rule is None:
        return FiresFor.NONE
    if change.kind is ChangeKind.OFF or rule.stage in EARLY:
        if holds(rule.condition, quantised(answer.cautioned)):
            return FiresFor.ADVISED
        if rule.stage == "caution":
            return FiresFor.NONE
        return _for_the_best(answer, [item for item in answer.candidates if _holds(rule, item.facts)])
    if rule in (*answer.about_feature, *answer.cautions):
        return FiresFor.ADVISED
    return _for_the_best(answer, [item for item in answer.candidates if rule in item.fired])


def _holds(rule: Rule, facts: Facts) -> bool:
    return holds(rule.condition, quantised(facts))


def _turns(change: Change, facts: Facts, base: RuleBase) -> bool:
    return any(threshold.name == change.name for threshold in turned(base, quantised(facts)))


def _for_the_best(answer: FeatureAdvice, found: Sequence[Candidate]) -> FiresFor:
    if not found:
        return FiresFor.NONE
    return FiresFor.ADVISED if any(item is answer.best for item in found) else FiresFor.OTHERS


def _changed(one: FeatureFiring, jobs: Sequence[AdvisedJob], other: Inference | None) -> FeatureFiring:
    """Where a change fired, with the answer that there would be without it, if that is another."""
    if other is None:
        return one
    tried = next(tried for tried in jobs if tried.job == one.job)
    own = next(answer for answer in tried.advice.features if answer.region.id == one.feature)
    feature = next(item for item in tried.assignment.job.features if item.id == one.feature)
    try:
        found = advise_feature(feature, tried.assignment.crib, bench_of(tried.assignment, other))
    except (BadInput, Contradiction):  # the other changes cannot stand without this one
        return one._replace(needed=True)
    both = WithAndWithout(found, own)
    return one._replace(changed=both) if both.differs else one


def _looked_at(answer: FeatureAdvice) -> tuple[object, ...]:
    best, cautions = answer.best, sorted(rule.id for rule in answer.cautions)
    if best is None:
        return answer.grade, cautions
    levels = best.plan.levels if best.plan else None
    return answer.grade, cautions, best.method, best.cutter.id, best.entry, levels, round(best.time, 6)


def nearest_miss(rule: Asked, jobs: Sequence[AdvisedJob]) -> Miss | None:
    """Where the condition of a rule was nearest to holding, by how many of its parts do not hold and how far off they
    are; nothing where there is no feature at all.
    """
    found: Miss | None = None
    least: tuple[int, float] | None = None
    for tried in jobs:
        for answer in tried.advice.features:
            for way, facts in _asked_of(rule, answer):
                seen = quantised(facts)
                unmet = tuple(_unmet(rule.condition, seen))
                off = len(unmet), sum(_distance(leaf, seen) for leaf in unmet)
                if least is None or off < least:
                    least, found = off, Miss(tried.job, answer.region.id, way, seen, unmet)
    return found


def _asked_of(rule: Asked, answer: FeatureAdvice) -> Iterator[tuple[Candidate | None, Facts]]:
    """The ways that a rule may be asked of, with their facts; of a rule about the feature that alone."""
    if rule.level == "feature":
        yield None, answer.cautioned
        return
    if isinstance(rule, Rule) and rule.stage == "caution":
        if answer.best is not None:
            yield answer.best, answer.cautioned
        return
    for item in answer.candidates:
        if isinstance(rule, Rule) or item.grade != "forbidden":
            yield item, item.facts


def _unmet(condition: Condition, facts: Facts) -> Iterator[Compare | Known]:
    """The comparisons that keep a condition from holding; of alternatives those of the one that is nearest."""
    if holds(condition, facts):
        return
    if isinstance(condition, Compare | Known):
        yield condition
    elif isinstance(condition, All):
        for part in condition.parts:
            yield from _unmet(part, facts)
    else:
        ways = [tuple(_unmet(part, facts)) for part in condition.parts]
        yield from min(ways, key=lambda unmet: (len(unmet), sum(_distance(leaf, facts) for leaf in unmet)), default=())


def _distance(leaf: Compare | Known, facts: Facts) -> float:
    """How far a fact is from what is asked of it, as a share of that; 1 where it is another word or not there."""
    value = facts.get(leaf.fact)
    if isinstance(leaf, Known) or not isinstance(value, float | int) or isinstance(leaf.value, str):
        return 1.0
    return min(1.0, abs(value - leaf.value) / max(abs(value), abs(leaf.value), 1e-9))
