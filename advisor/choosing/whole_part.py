"""What the answers for the features come to for the part: its cutters, its time, and each caution once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from string import ascii_lowercase
from typing import NamedTuple

from advisor.choosing.advice import of_any_cut
from advisor.choosing.job_advice import Advice
from advisor.choosing.ranking import against_of
from advisor.choosing.rigidity import corners_left
from advisor.choosing.time_parts import time_parts
from advisor.knowledge.conditions import Compare, leaves
from advisor.knowledge.schema import Rule, RuleBase
from advisor.knowledge.wording import PLACEHOLDER
from advisor.model.answer import FeatureAdvice
from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter


class CutterUse(NamedTuple):
    """A cutter of the crib, and the ids of the features that it serves in the order of the job."""

    cutter: Cutter
    features: tuple[str, ...]


class SparedCutter(NamedTuple):
    """A cutter that one feature alone needs, a way of that feature graded as well with cutters that others need, and
    the time that the part then takes more, its tool change counted [s]; less where it is below 0.
    """

    cutter: Cutter
    feature: str
    then: Candidate
    more: float


class PartCaution(NamedTuple):
    """A caution of the part: its letter, the features that have it, and the one with whose numbers it is given.

    Rules that give the same reason and differ in what is to be done share a letter, and follow each other.
    """

    letter: str
    rule: Rule
    having: tuple[FeatureAdvice, ...]
    worst: FeatureAdvice
    everywhere: bool

    @property
    def features(self) -> tuple[str, ...]:
        """The ids of the features that have it."""
        return tuple(answer.region.id for answer in self.having)


class WholePart(NamedTuple):
    """The part: its cutters in the order in which they come first, the time with each of them changed in once [s], its
    cautions, those about people and fire first, and the cutters that it could do without, the dearest last.

    ``lacks_one``: corners need one more cutter, which the crib does not have; its change is in the time.
    """

    cutters: tuple[CutterUse, ...]
    time: float
    cautions: tuple[PartCaution, ...]
    spared: tuple[SparedCutter, ...] = ()
    lacks_one: bool = False

    def letters(self, answer: FeatureAdvice) -> tuple[str, ...]:
        """The letters of the cautions that a feature has, without those that every feature has."""
        own = (one.letter for one in self.cautions if not one.everywhere and answer.region.id in one.features)
        return tuple(dict.fromkeys(own))


def whole_part(advice: Advice) -> WholePart:
    """The part of a job as its answers make it."""
    cutters = tuple(_cutters(advice.features))
    cut = [answer.best for answer in advice.features if answer.best]
    change = advice.assignment.machine.tool_change
    lacks_one = any(_lacks_one(answer) for answer in advice.features)
    time = sum(map(_without_change, cut)) + change * (len(cutters) + lacks_one)
    spared = sorted(_spared(advice, cutters), key=lambda one: one.more)
    return WholePart(cutters, time, _cautions(advice.features, advice.bench.base), tuple(spared), lacks_one)


def _lacks_one(answer: FeatureAdvice) -> bool:
    """Whether the corners of a feature need a cutter that the crib does not have."""
    none = answer.rest is None or answer.rest.cutter is None
    return answer.best is not None and none and _leaves_rest(answer.best)


def _spared(advice: Advice, cutters: Sequence[CutterUse]) -> Iterator[SparedCutter]:
    """The cutters that the part could do without, each alone, for little more time."""
    answers, change = {answer.region.id: answer for answer in advice.features}, advice.assignment.machine.tool_change
    most, every = advice.bench.limits["spared_cutter_time"], {one.cutter.id for one in cutters}
    for use in cutters:
        answer = answers[use.features[0]]
        best = answer.best
        if len(use.features) > 1 or best is None or best.cutter.id != use.cutter.id or answer.rest is not None:
            continue
        alike = [way for way in answer.candidates if _as_good(way, best) and not _leaves_rest(way)]
        found = [way for way in alike if _needs(way) <= every - {use.cutter.id}]
        if not found:
            continue
        then = min(found, key=_without_change)
        alone = {one.cutter.id for one in cutters if one.features == use.features}
        more = _without_change(then) - _without_change(best) - change * len(alone - _needs(then))
        if more <= most:
            yield SparedCutter(use.cutter, answer.region.id, then, more)


def _as_good(way: Candidate, best: Candidate) -> bool:
    """Whether a way may stand in for the advised one: as well graded, with no more and no graver rules against it, and
    with no fillet left along the floor that the advised one does not leave.
    """
    objected = against_of(way) <= against_of(best)
    return way.grade == best.grade and objected and corners_left(way.facts) <= corners_left(best.facts)


def _leaves_rest(way: Candidate) -> bool:
    """Whether a way needs another cutter for the corners."""
    return float(way.facts.get("corner_rest_time", 0.0)) > 0


def _needs(way: Candidate) -> set[str]:
    """The ids of the cutters of a way."""
    return {way.cutter.id} | ({way.drill.id} if way.drill else set())


def _without_change(way: Candidate) -> float:
    """The time of a way without its tool changes [s]."""
    return way.time - time_parts(way)["change"]


def _cutters(answers: Sequence[FeatureAdvice]) -> Iterator[CutterUse]:
    """Each cutter once: the drill of an entry before the cutter that goes in, then the one for the corners."""
    used: dict[str, tuple[Cutter, dict[str, None]]] = {}
    for answer in answers:
        if answer.best is None:
            continue
        for cutter in (answer.best.drill, answer.best.cutter, answer.rest.cutter if answer.rest else None):
            if cutter is not None:
                used.setdefault(cutter.id, (cutter, {}))[1][answer.region.id] = None
    return (CutterUse(cutter, tuple(ids)) for cutter, ids in used.values())


def _cautions(answers: Sequence[FeatureAdvice], base: RuleBase) -> tuple[PartCaution, ...]:
    found = []
    for rule in base.of("caution"):
        having = tuple(answer for answer in answers if rule in answer.cautions)
        if having:
            found.append((rule, having))
    found.sort(key=lambda one: (not one[0].harm, of_any_cut(one[0]) is not None))  # stable: else by the rule base
    cut = [answer for answer in answers if answer.best]
    told: dict[tuple[str, bool], list[tuple[Rule, tuple[FeatureAdvice, ...]]]] = {}
    for rule, having in found:
        told.setdefault((rule.because, rule.harm), []).append((rule, having))
    return tuple(
        PartCaution(_letter(place), rule, having, worst(rule, having), len(having) == len(cut or answers))
        for place, alike in enumerate(told.values())
        for rule, having in alike
    )


def _letter(place: int) -> str:
    """``a`` to ``z``, then ``aa`` and on."""
    further, last = divmod(place, len(ascii_lowercase))
    return (_letter(further - 1) if further else "") + ascii_lowercase[last]


def worst(rule: Rule, having: Sequence[FeatureAdvice]) -> FeatureAdvice:
    """The feature with whose numbers a caution is given: that with the most of what the caution tells and finds too
    much, else with the least of what it tells and finds too little; the first where it asks for neither.
    """
    fact = of_any_cut(rule)
    if fact is not None:
        most = {answer.region.id: float(answer.cautioned.get(fact, 0.0)) for answer in having}
        return max(having, key=lambda answer: most[answer.region.id])
    told = {match.group(1) for match in PLACEHOLDER.finditer(rule.because)}
    asked = [leaf for leaf in leaves(rule.condition) if isinstance(leaf, Compare) and leaf.fact in told and leaf.value]
    for operator, sign in ((">", 1), ("<", -1)):
        for fact in (leaf.fact for leaf in asked if leaf.operator.startswith(operator)):
            known = [answer for answer in having if fact in answer.cautioned]
            if known:
                return max(known, key=lambda answer: sign * float(answer.cautioned[fact]))
    return having[0]
