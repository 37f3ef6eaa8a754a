"""What recurs over many plans, by rule, and by programmer only where that is asked for: for coaching, not for blame."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from advisor.knowledge.schema import WEIGHTS, Rule
from advisor.review.verdict import Review

NOBODY = "not named"


class Recurring(NamedTuple):
    """How often the findings of a rule occur, in how many plans, and by whom if that was asked for.

    ``weight`` is the heaviest they have.
    """

    rule: Rule
    weight: str
    findings: int
    plans: int
    programmers: tuple[tuple[str, int], ...] = ()


def trend(reviews: Sequence[Review], by_programmer: bool = False) -> tuple[Recurring, ...]:
    """The rules of all findings, those in most plans first, then the heaviest."""
    found = [(review, finding) for review in reviews for finding in review.findings]
    told = []
    for rule_id in dict.fromkeys(finding.rule.id for _, finding in found):
        own = [(review, finding) for review, finding in found if finding.rule.id == rule_id]
        weight = min((finding.weight for _, finding in own), key=WEIGHTS.index)
        plans = len({id(review) for review, _ in own})
        who = _by_whom(review for review, _ in own) if by_programmer else ()
        told.append(Recurring(own[0][1].rule, weight, len(own), plans, who))
    return tuple(sorted(told, key=lambda one: (-one.plans, WEIGHTS.index(one.weight), -one.findings, one.rule.id)))


def _by_whom(reviews: Iterable[Review]) -> tuple[tuple[str, int], ...]:
    counts = Counter(review.plan.programmer or NOBODY for review in reviews)
    return tuple(sorted(counts.items()))
