"""One other way beside the advised one: which it is, and the facts by which a rule set it back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from advisor.analysis.breakpoints import name_of
from advisor.choosing import ranking
from advisor.choosing.advice import MANY, advise_feature
from advisor.choosing.ranking import Limits, ranked
from advisor.knowledge.conditions import All, Any, Compare, Condition, Facts, Known, holds
from advisor.knowledge.evidence import quantised
from advisor.knowledge.schema import Rule
from advisor.model.answer import FeatureAdvice
from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter
from advisor.model.features import FeatureBase
from advisor.situation.bench import Bench
from advisor.situation.pairings import ways

FIXED = frozenset({"method", "feature", "entry", "body"})  # what was asked for: no fact that could be otherwise


class Wanted(NamedTuple):
    """What was asked for instead: any of method, cutter and way in; None is any."""

    method: str | None = None
    cutter: str | None = None
    entry: str | None = None

    def meets(self, item: Candidate, answer: FeatureAdvice) -> bool:
        """Whether a candidate is of this kind. One that was forbidden before its ways in stands for all of these."""
        entries = ways()[item.method].entries(answer.region) if item.entry is None else (item.entry,)
        drill = item.drill.id if item.drill else None
        return (
            self.method in (None, item.method)
            and (self.cutter is None or self.cutter in (item.cutter.id, drill))
            and (self.entry is None or self.entry in entries)
        )


def asked_with(wanted: Wanted, feature: FeatureBase, crib: Sequence[Cutter], bench: Bench) -> FeatureAdvice:
    """The advice for a feature, with every way by a drill that was asked for: of a large crib only the best holes of a
    cutter are kept.
    """
    answer = advise_feature(feature, crib, bench)
    drills = [cutter for cutter in crib if cutter.id == wanted.cutter and cutter.kind.drill]
    if len(crib) <= MANY or not drills:
        return answer
    mills = [cutter for cutter in crib if not cutter.kind.drill]
    known = {name_of(item): item for item in advise_feature(feature, [*mills, *drills], bench).candidates}
    known |= {name_of(item): item for item in answer.candidates}
    return answer._replace(candidates=tuple(ranked(known.values(), bench.limits)))


def rival_of(answer: FeatureAdvice, wanted: Wanted, limits: Limits) -> Candidate | None:
    """The best candidate of the kind that was asked for; the advised one if it is of that kind itself."""
    if answer.best is not None and wanted.meets(answer.best, answer):
        return answer.best
    return ranking.nearest(answer.best, (item for item in answer.candidates if wanted.meets(item, answer)), limits)


def deciding_facts(rule: Rule, facts: Facts) -> tuple[Compare | Known, ...]:
    """The comparisons that made a rule fire, without those on what was asked for; numbers first.

    Where a rule asks for nothing else, all of them.
    """
    every = list(dict.fromkeys(_met(rule.condition, quantised(facts))))
    found = [leaf for leaf in every if leaf.fact not in FIXED] or every
    numbers = [leaf for leaf in found if not (isinstance(leaf, Compare) and isinstance(leaf.value, str))]
    return tuple(numbers or found)


def _met(condition: Condition, facts: Facts) -> Iterator[Compare | Known]:
    if isinstance(condition, All):
        for part in condition.parts:
            yield from _met(part, facts)
    elif isinstance(condition, Any):
        for part in condition.parts:
            if holds(part, facts):
                yield from _met(part, facts)
    else:
        yield condition
