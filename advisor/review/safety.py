"""The cautions about people and fire that a plan gives, as the advice gives them: a review carries them too."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from advisor.choosing.advice import cautions_for, of_any_cut, of_every_cut
from advisor.model.candidate import Candidate
from advisor.model.finding import Finding
from advisor.situation.bench import Bench


class Cut(NamedTuple):
    """An operation in one feature, worked out."""

    operation: int
    feature: str
    candidate: Candidate


def cautions_of(cuts: Sequence[Cut], bench: Bench) -> tuple[Finding, ...]:
    """The cautions about people and fire for a plan, those of every cut last; none of them has a weight.

    What several operations give in the same words is about the whole plan, and what every cut gives is told with the
    fastest.
    """
    order = [rule.id for rule in bench.base.of("caution")]
    special = sorted(_special(cuts, bench), key=lambda found: order.index(found.rule.id))
    alike: dict[tuple[str, str], list[Finding]] = {}
    for found in special:
        alike.setdefault((found.rule.id, found.text), []).append(found)
    told = [first if not more else first._replace(operation=None, feature=None) for first, *more in alike.values()]
    return (*told, *_general(cuts, bench))


def _special(cuts: Sequence[Cut], bench: Bench) -> Iterator[Finding]:
    for operation, feature, candidate in cuts:
        for rule in cautions_for(candidate, bench):
            if rule.harm and of_any_cut(rule) is None:
                yield Finding.of(rule, "", operation, feature, candidate.facts, bench.base)


def _general(cuts: Sequence[Cut], bench: Bench) -> Iterator[Finding]:
    """What every cut gives; where no cut could be worked out, what to do alone."""
    for rule in of_every_cut(bench.base):
        fact = of_any_cut(rule) or ""
        known = [cut.candidate.facts for cut in cuts if fact in cut.candidate.facts]
        if known:
            yield Finding.of(rule, "", None, None, max(known, key=lambda facts: float(facts[fact])), bench.base)
        else:
            yield Finding("", None, None, rule, rule.remedy, {}, bench.base)
