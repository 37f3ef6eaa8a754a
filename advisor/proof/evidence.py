"""What jobs made by chance show of a rule base, before any solver is asked: which rules fire, and which together."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator
from dataclasses import dataclass, field
from itertools import islice
from typing import NamedTuple

from advisor.choosing.ranking import standing
from advisor.inference import Inference
from advisor.knowledge.measures import EARLY
from advisor.knowledge.schema import Rule
from advisor.proof.jobs import Run, SmallJob, run
from advisor.proof.plan_jobs import near_most, near_worked, seldom
from advisor.proof.progress import Work
from advisor.proof.search import PLANS, about, small_jobs, with_plans
from advisor.proof.world import REVIEW

JOBS = 1200
SELDOM = 3  # a rule that fires with fewer sets of others has jobs of its own
ONCE = 1  # of those of the review: their plans take longest, and many are written down
SHARE = 10
PLANNED = 12  # of so many jobs one has plans


class Shown(NamedTuple):
    """Rules that fired for one and the same thing in a job, and those of them that stood, each as a bit of a number."""

    job: SmallJob
    fired: int
    stood: int


class Known(NamedTuple):
    """What was seen of a rule: what fired ``ever`` and ``always`` with it, what ``stood`` beside it, each as bits; and
    in how many different ``sets`` it fired.
    """

    ever: int
    always: int
    stood: int
    sets: int


NOTHING = Known(0, -1, 0, 0)  # -1: all bits


@dataclass
class Evidence:
    """Which rules were seen to fire together, and which without which others, each with the first job that had it.

    Of the sets of rules that fired, only those are kept that show something of two rules which none before did: a shop
    with hundreds of rules has a hundred thousand sets.
    """

    jobs: int = 0
    faults: dict[str, SmallJob] = field(default_factory=dict)
    _bits: dict[str, int] = field(default_factory=dict)
    _seen: set[tuple[str, int]] = field(default_factory=set)
    _known: dict[str, Known] = field(default_factory=dict)
    _kept: dict[str, list[Shown]] = field(default_factory=dict)

    def fires(self, rule: Rule) -> SmallJob | None:
        """A job in which a rule fires."""
        return next((one.job for one in self._kept.get(rule.id, ())), None)

    def some(self, rule: Rule, most: int) -> tuple[SmallJob, ...]:
        """Some jobs in which a rule fires, among others each time."""
        return tuple(one.job for one in self._kept.get(rule.id, ())[:most])

    def sets(self, rule: Rule) -> int:
        """In how many different sets of others a rule fires."""
        return self._known.get(rule.id, NOTHING).sets

    def without(self, rule: Rule, other: Rule) -> SmallJob | None:
        """A job in which a rule fires and, asked by the same token, the other does not."""
        if asked_apart(rule, other) or self._known.get(rule.id, NOTHING).always & self._bit(other.id):
            return None
        return next((one.job for one in self._kept[rule.id] if not one.fired & self._bit(other.id)), None)

    def both_stand(self, rule: Rule, other: Rule) -> SmallJob | None:
        """A job in which two rules fire for one candidate, and neither is overridden."""
        if not self._known.get(rule.id, NOTHING).stood & self._bit(other.id):
            return None
        both = self._bit(rule.id) | self._bit(other.id)
        return next((one.job for one in self._kept[rule.id] if one.stood & both == both), None)

    def together(self, rule: Rule, other: Rule) -> SmallJob | None:
        """A job in which two rules fire for one candidate."""
        if not self._known.get(rule.id, NOTHING).ever & self._bit(other.id):
            return None
        return next((one.job for one in self._kept[rule.id] if one.fired & self._bit(other.id)), None)

    def add(self, ran: Run) -> None:
        """Take in what a job showed."""
        if ran.fault:
            self.faults.setdefault(ran.fault, ran.job)
        for asked in ran.asked:
            fired = self._mask(asked.fired)
            if (asked.scope, fired) not in self._seen:
                self._seen.add((asked.scope, fired))
                self._take(asked.fired, Shown(ran.job, fired, self._mask(standing(asked.fired))))

    def _take(self, rules: Iterable[Rule], shown: Shown) -> None:
        names, news = [rule.id for rule in rules], False
        for name in names:
            before = self._known.get(name, NOTHING)
            stood = shown.stood if shown.stood & self._bit(name) else 0
            after = Known(before.ever | shown.fired, before.always & shown.fired, before.stood | stood, before.sets + 1)
            news |= before[:-1] != after[:-1]
            self._known[name] = after
        for name in names if news else ():
            self._kept.setdefault(name, []).append(shown)

    def _mask(self, rules: Iterable[Rule]) -> int:
        mask = 0
        for rule in rules:
            mask |= self._bit(rule.id)
        return mask

    def _bit(self, name: str) -> int:
        return self._bits.setdefault(name, 1 << len(self._bits))


def asked_apart(rule: Rule, other: Rule) -> bool:
    """Whether two rules are asked one after the other, so that nothing follows from the silence of one."""
    return bool({rule.stage, other.stage} & set(EARLY)) and rule.level != other.level


def evidence(
    inference: Inference,
    seed: int,
    count: int = JOBS,
    rules: Iterable[Rule] = (),
    work: Work | None = None,
    house: bool = False,
) -> Evidence:
    """What so many jobs made by chance show; of the ``rules`` that seldom fire in them, each has some of its own.

    The jobs that are written down for our own rules are tried first, but for a ``house`` only if all else shows
    nothing: few of its rules fire in them, and each among few others. ``work`` is told of each job.
    """
    found, step = Evidence(), work.step if work else lambda: None
    wanted = tuple(rules)
    if count and not house:
        _try(found, inference, seldom(), step)
    _try(found, inference, islice(small_jobs(seed), count), step)
    if any(rule.stage == REVIEW for rule in wanted):
        _try(found, inference, with_plans(islice(small_jobs(seed), count // PLANNED), inference, seed), step)
        _try(found, inference, near_worked(seed), step)
    own: dict[Hashable, Iterator[SmallJob]] = {}  # rules about the same go on where the one before had enough
    waiting = [_kind(rule) for rule in wanted]
    for place, rule in enumerate(wanted):
        planned = rule.stage == REVIEW
        jobs: Iterator[SmallJob] = islice(small_jobs(seed, [rule]), count // SHARE)
        left = own.setdefault(_kind(rule), with_plans(jobs, inference, seed) if planned else jobs)
        _try(found, inference, left, step, rule, ONCE if planned else SELDOM)
        if work:
            left_to_try = len(seldom()) if house else 0
            work.at_most(work.parts["jobs"].done + left_to_try + _own_jobs(waiting[place + 1 :], count))
    if house and count and not all(map(found.fires, wanted)):
        _try(found, inference, seldom(), step)
    return found


def most_jobs(rules: Iterable[Rule], count: int = JOBS) -> int:
    """How many jobs the evidence for these rules takes at most."""
    kinds = [_kind(rule) for rule in rules]
    plans = PLANS * (count // PLANNED) if any(planned for planned, _ in kinds) else 0
    plans += near_most() if plans else 0
    return count + plans + len(seldom()) + _own_jobs(kinds, count) if kinds else 0


def _kind(rule: Rule) -> tuple[bool, Hashable]:
    return rule.stage == REVIEW, about([rule])


def _own_jobs(kinds: Iterable[tuple[bool, Hashable]], count: int) -> int:
    return sum((PLANS if planned else 1) * (count // SHARE) for planned, _ in set(kinds))


def _try(
    found: Evidence,
    inference: Inference,
    jobs: Iterable[SmallJob],
    step: Callable[[], None],
    until: Rule | None = None,
    sets: int = SELDOM,
) -> None:
    """Take in what jobs show; with a rule, only ``until`` it was seen to fire among so many ``sets`` of others."""

    def enough() -> bool:
        return until is not None and found.sets(until) >= sets

    for job in () if enough() else jobs:
        ran = run(job, inference)
        step()
        if ran is not None:
            found.jobs += 1
            found.add(ran)
        if enough():
            return
