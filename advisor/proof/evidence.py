"""What jobs made by chance show of a rule base, before any solver is asked: which rules fire, and which together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from itertools import islice

from advisor.inference import Inference
from advisor.proof.jobs import EARLY, Run, SmallJob, run
from advisor.proof.search import small_jobs, with_plans
from advisor.proof.world import REVIEW
from advisor.reasoning.candidates import standing
from advisor.rulebase.schema import Rule

JOBS = 1200
SELDOM = 3  # a rule that fires with fewer sets of others has jobs of its own
SHARE = 10
PLANNED = 12  # of so many jobs one has plans


@dataclass
class Evidence:
    """The sets of rules that fired for one and the same thing, each with the first job that had it."""

    jobs: int = 0
    sets: dict[tuple[str, frozenset[str]], tuple[SmallJob, frozenset[str]]] = field(default_factory=dict)
    of_rule: dict[str, list[tuple[str, frozenset[str]]]] = field(default_factory=dict)
    faults: dict[str, SmallJob] = field(default_factory=dict)

    def fires(self, rule: Rule) -> SmallJob | None:
        """A job in which a rule fires."""
        return next((self.sets[place][0] for place in self.of_rule.get(rule.id, ())), None)

    def without(self, rule: Rule, other: Rule) -> SmallJob | None:
        """A job in which a rule fires and, asked by the same token, the other does not."""
        if {rule.stage, other.stage} & set(EARLY) and rule.level != other.level:
            return None  # asked apart, so that nothing follows from the silence of one
        return next((job for job, ids in self._of(rule) if other.id not in ids), None)

    def both_stand(self, rule: Rule, other: Rule) -> SmallJob | None:
        """A job in which two rules fire for one candidate, and neither is overridden."""
        places = self.of_rule.get(rule.id, ())
        return next((self.sets[place][0] for place in places if {rule.id, other.id} <= self.sets[place][1]), None)

    def together(self, rule: Rule, other: Rule) -> SmallJob | None:
        """A job in which two rules fire for one candidate."""
        return next((job for job, ids in self._of(rule) if other.id in ids), None)

    def _of(self, rule: Rule) -> Iterator[tuple[SmallJob, frozenset[str]]]:
        return ((self.sets[place][0], place[1]) for place in self.of_rule.get(rule.id, ()))

    def add(self, ran: Run) -> None:
        """Take in what a job showed."""
        if ran.fault:
            self.faults.setdefault(ran.fault, ran.job)
        for asked in ran.asked:
            place = asked.scope, frozenset(rule.id for rule in asked.fired)
            if place not in self.sets:
                self.sets[place] = ran.job, frozenset(rule.id for rule in standing(asked.fired))
                for name in place[1]:
                    self.of_rule.setdefault(name, []).append(place)


def evidence(inference: Inference, seed: int, count: int = JOBS, rules: Iterable[Rule] = ()) -> Evidence:
    """What so many jobs made by chance show; of the ``rules`` that seldom fire in them, each has some of its own."""
    found = Evidence()
    wanted = tuple(rules)
    _try(found, inference, islice(small_jobs(seed), count))
    if any(rule.stage == REVIEW for rule in wanted):
        _try(found, inference, with_plans(islice(small_jobs(seed), count // PLANNED), inference, seed))
    for rule in wanted:
        jobs: Iterator[SmallJob] = islice(small_jobs(seed, [rule]), count // SHARE)
        _try(found, inference, with_plans(jobs, inference, seed) if rule.stage == REVIEW else jobs, until=rule)
    return found


def _try(found: Evidence, inference: Inference, jobs: Iterable[SmallJob], until: Rule | None = None) -> None:
    """Take in what jobs show; with a rule, only ``until`` it was seen to fire among several sets of others."""

    def enough() -> bool:
        return until is not None and len(found.of_rule.get(until.id, ())) >= SELDOM

    for job in () if enough() else jobs:
        ran = run(job, inference)
        if ran is not None:
            found.jobs += 1
            found.add(ran)
        if enough():
            return
