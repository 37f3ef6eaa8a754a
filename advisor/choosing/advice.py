"""Advice for a feature and for a whole job: the best candidate, why, what to mind, and what it was preferred to."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import groupby
from typing import NamedTuple

from advisor.choosing.candidates import candidates
from advisor.choosing.failure import of_each
from advisor.choosing.fillet_cutter import with_sharper
from advisor.choosing.job_advice import Advice
from advisor.choosing.ranking import Limits, front, nearest, preferred, ranked, standing
from advisor.choosing.rest import rest_of_corners
from advisor.files.problems import BadInput, Problem, listed
from advisor.knowledge.conditions import Compare, Situation, leaves
from advisor.knowledge.measures import LEVELS
from advisor.knowledge.schema import ChangeKind, Rule, RuleBase
from advisor.model.answer import FeatureAdvice, with_rest
from advisor.model.assignment import Assignment
from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter
from advisor.model.features import FeatureBase
from advisor.model.region import Region, regions_of
from advisor.situation.bench import Bench, bench_of
from advisor.situation.facts import feature_facts
from advisor.situation.unasked import not_asked

MANY = 100  # cutters: up to so many are always worked out whole, with every hole that a drill can make


def advise(assignment: Assignment, bench: Bench | None = None, whole: bool = True) -> Advice:
    """Advice for every feature of an assignment, in its order; ``whole`` as for one feature."""
    asked = bench or bench_of(assignment)
    features = tuple(advise_feature(feature, assignment.crib, asked, whole) for feature in assignment.job.features)
    return Advice(assignment, asked, features)


def advise_each(
    assignment: Assignment,
    bench: Bench | None = None,
    work: Callable[[FeatureBase, Bench], FeatureAdvice] | None = None,
) -> Advice:
    """Advice for every feature that can be worked out: one with a fault of our own does not take the others with it.

    ``work`` gives the answer for a feature, where it is more than the advice alone.

    Raises:
        BadInput: with the changes of the house a feature cannot be worked out.
    """
    asked, found = bench or bench_of(assignment), list[FeatureAdvice]()

    def answered(feature: FeatureBase) -> None:
        found.append(work(feature, asked) if work else advise_feature(feature, assignment.crib, asked))

    features = {feature.id: feature for feature in assignment.job.features}
    failed = of_each(features, lambda name: answered(features[name]))
    return Advice(assignment, asked, tuple(found), failed)


def advise_feature(feature: FeatureBase, crib: Sequence[Cutter], bench: Bench, whole: bool = True) -> FeatureAdvice:
    """Advice for one feature with the cutters of a crib.

    From a crib of more than ``MANY`` cutters its candidates are, of the holes that one cutter can get in by, only the
    best; unless ``whole``, only those that the answer and its alternatives rest on: the same answer, sooner.

    Raises:
        BadInput: with the changes of the house the feature cannot be worked out.
    """
    try:
        return feature_advice(feature, crib, bench, whole)
    except (ArithmeticError, ValueError) as error:
        if not (changes := bench.base.changes):
            raise
        from advisor.knowledge.house import file_of  # only here: most shops have none

        names = listed(change.name for change in changes)
        field, wanted = "changes", f"others than {names}"
        if all(change.kind is ChangeKind.MOVED for change in changes):
            field, wanted = "thresholds", f"other values of {names}"
        found = f"{field} with which {feature.id} cannot be worked out ({error})"
        file = changes[0].file if bench.house is None else str(file_of(bench.house))
        raise BadInput([Problem(file, changes[0].line, field, found, wanted)]) from error


def feature_advice(feature: FeatureBase, crib: Sequence[Cutter], bench: Bench, whole: bool) -> FeatureAdvice:
    """The advice for a feature without what would change it; ``whole`` as for ``advise_feature``."""
    places = places_of(feature, crib, bench)
    found = [tuple(_found(place.region, place.facts, crib, bench, whole)) for place in places]
    every = ranked((candidate for some in found for candidate in some), bench.limits)
    best = every[0] if every and every[0].grade != "forbidden" else None
    chosen = next((at for at, some in enumerate(found) if any(candidate is best for candidate in some)), 0)
    region, shared = places[chosen]
    rest = rest_of_corners(best, region, shared, crib, bench) if best else None
    ask = bench.inference.every
    about = ask(("appraisal", "settings"), ("feature",), shared)
    cautions = cautions_for(with_rest(best, rest), bench) if best else ask(("caution",), ("feature",), shared)
    wanted = not_asked(region, shared, bench)
    first = preferred(every, bench.base)
    return FeatureAdvice(region, best, tuple(every), about, cautions, wanted, shared, rest=rest, preferred=first)


class Place(NamedTuple):
    """One of the regions that a feature may be cut as, with the facts of the feature there."""

    region: Region
    facts: Situation


def places_of(feature: FeatureBase, crib: Sequence[Cutter], bench: Bench) -> tuple[Place, ...]:
    """The regions that a feature may be cut as, each with its facts."""
    regions = regions_of(feature)
    return tuple(Place(region, with_sharper(feature_facts(region, bench), region, crib, bench)) for region in regions)


def _found(region: Region, shared: Situation, crib: Sequence[Cutter], bench: Bench, whole: bool) -> Iterator[Candidate]:
    if len(crib) <= MANY:
        return candidates(region, shared, crib, bench)
    if whole:
        return _one_hole_each(candidates(region, shared, crib, bench), bench.limits)
    from advisor.choosing.pruning import narrowed  # only here: few cribs are so large

    return narrowed(region, shared, crib, bench)


def _one_hole_each(found: Iterable[Candidate], limits: Limits) -> Iterator[Candidate]:
    """Of the ways that differ in nothing but the drill the best of each grade alone: else there are as many as cutters
    times drills.

    Beside these that which would be chosen as the nearest rival.
    """
    for _, alike in groupby(found, key=lambda item: (item.method, item.cutter.id, item.entry)):
        ways = ranked(alike, limits)
        kept = front(ways, limits) or ways[:1]
        yield from kept
        rival = nearest(None, ways, limits)
        if rival is not None and all(rival is not item for item in kept):
            yield rival


def cautions_for(candidate: Candidate, bench: Bench) -> tuple[Rule, ...]:
    """The cautions that apply to a candidate; those about people and fire first."""
    fired = bench.inference.every(("caution",), LEVELS, candidate.facts, candidate.method)
    found = standing(fired)
    # Every cut gives the general ones; they come last, so that what is special to this feature is read.
    return tuple(sorted(found, key=lambda rule: (of_any_cut(rule) is not None, not rule.harm)))


def of_any_cut(rule: Rule) -> str | None:
    """The fact by which a rule asks only whether there is a cut at all; nothing where it asks for more."""
    asked = list(leaves(rule.condition))
    leaf = asked[0] if len(asked) == 1 else None
    return leaf.fact if isinstance(leaf, Compare) and leaf.operator == ">" and leaf.value == 0 else None


def of_every_cut(base: RuleBase) -> tuple[Rule, ...]:
    """The cautions about people that every cut gives: who decides, the guard, the first run."""
    return tuple(rule for rule in base.of("caution") if rule.harm and of_any_cut(rule) is not None)
