"""A scene: one feature with a small crib on a machine, and the advice for it."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from random import Random
from typing import NamedTuple

from advisor.choosing.advice import advise_feature
from advisor.choosing.job_advice import Advice
from advisor.choosing.ranking import against
from advisor.coach.margins import plainly_holds
from advisor.coach.table import table
from advisor.knowledge.conditions import yes
from advisor.knowledge.evidence import quantised
from advisor.knowledge.schema import Rule
from advisor.model.answer import FeatureAdvice
from advisor.model.assignment import Assignment
from advisor.model.candidate import SOUND, Candidate
from advisor.model.cutter import Cutter
from advisor.model.features import FeatureBase
from advisor.situation.bench import Bench, bench_of

YES = yes(True)
EDGES = ("ground_soft", "ground_blunt")


class Scene(NamedTuple):
    """An assignment of one feature with the advice for it."""

    assignment: Assignment
    feature: FeatureBase
    bench: Bench
    answer: FeatureAdvice

    @property
    def advice(self) -> Advice:
        """The advice for the whole assignment."""
        return Advice(self.assignment, self.bench, (self.answer,))

    @property
    def best(self) -> Candidate:
        """The advised way; a scene without one is never asked."""
        if self.answer.best is None:
            raise AssertionError("an exercise about a feature without a way")
        return self.answer.best


def scene_of(assignment: Assignment) -> Scene:
    """The scene of an assignment of one feature."""
    feature, bench = assignment.job.features[0], bench_of(assignment)
    return Scene(assignment, feature, bench, advise_feature(feature, assignment.crib, bench))


def with_crib(scene: Scene, kept: Collection[str]) -> Scene:
    """The scene with these cutters alone, by their ids."""
    crib = tuple(cutter for cutter in scene.assignment.crib if cutter.id in kept)
    return scene_of(scene.assignment.model_copy(update={"crib": crib}))


def is_sound(scene: Scene) -> bool:
    """Whether there is a right way that can be asked for, and another that it can be held against."""
    best = scene.answer.best
    return best is not None and best.grade in SOUND and len(scene.answer.candidates) > 1


def right_ways(scene: Scene) -> tuple[Candidate, ...]:
    """Every way that is neither forbidden nor poor and takes no noticeably longer than the advised one, best first."""
    most = scene.bench.limits["review_time_ratio"] * scene.best.time
    return tuple(item for item in scene.answer.candidates if item.grade in SOUND and item.time <= most)


def is_clear(way: Candidate, scene: Scene) -> bool:
    """Whether a way is plainly no right answer: set back by a rule that plainly holds of it, or much slower than the
    advised one; less is enough of one that no rule speaks for, or that the rules only say to gain nothing.
    """
    slower = way.time / scene.best.time
    times = table().clear_time
    if way.grade in times:
        return slower > times[way.grade]
    plain = {rule.id for rule in plainly_against(way)}
    if plain and not plain <= set(table().gains_nothing):
        return True
    return min(times.values() if not plain else [table().gains_nothing_time]) < slower < float("inf")


def plainly_against(way: Candidate) -> tuple[Rule, ...]:
    """The rules that set a way back and plainly hold of it; that a cutter is ground for another material is plain where
    its edge is for soft or for hard material alone.
    """
    facts = quantised(way.facts)
    seen = any(facts.get(edge) == YES for edge in EDGES)
    return tuple(
        rule for rule in against(way) if plainly_holds(rule, facts) and (seen or rule.id not in table().by_edge_alone)
    )


def could_be_thought_of(way: Candidate) -> bool:
    """Whether its cutter comes near enough to the bottom that somebody could think of it."""
    reach, needed = way.facts.get("LU"), way.facts.get("length_needed")
    return reach is None or needed is None or float(reach) >= table().reach_near * float(needed)


Known = dict[tuple[int, str], FeatureAdvice]


def narrowed(sources: Sequence[Assignment], rng: Random, known: Known) -> Assignment:
    """A job of somebody's own with one of its features and a few cutters, those that answer it among them; how
    many, the table says.

    ``known`` keeps the advice for whole cribs, by the place of the job and the feature.
    """
    place = rng.randrange(len(sources))
    assignment = sources[place]
    feature = rng.choice(assignment.job.features)
    answer = known.get((place, feature.id))
    if answer is None:
        answer = advise_feature(feature, assignment.crib, bench_of(assignment), whole=False)
        known[place, feature.id] = answer
    job = assignment.job.model_copy(update={"features": (feature,)})
    crib = _few(assignment.crib, answer, rng)
    return assignment.model_copy(update={"job": job, "crib": crib, "notes": ()})


def _few(crib: Sequence[Cutter], answer: FeatureAdvice, rng: Random) -> tuple[Cutter, ...]:
    """The cutters of the best way of each method, then any others."""
    wanted: dict[str, None] = {}
    seen: set[str] = set()
    for item in answer.candidates:
        if item.method not in seen:
            seen.add(item.method)
            wanted.update(dict.fromkeys(cutter.id for cutter in (item.cutter, item.drill) if cutter))
    others = [cutter.id for cutter in crib if cutter.id not in wanted]
    rng.shuffle(others)
    sizes = table().crib
    most = rng.randint(max(sizes.least, min(len(wanted), sizes.most)), sizes.most)
    kept = set([*wanted, *others][:most])
    return tuple(cutter for cutter in crib if cutter.id in kept)
