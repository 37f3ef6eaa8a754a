"""The review of a plan where a feature may not be workable, through a fault of our own: the others are judged."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.choosing.failure import of_each
from advisor.choosing.job_advice import Advice
from advisor.files.problems import BadInput
from advisor.model.answer import Failed
from advisor.model.assignment import Assignment
from advisor.model.operations import Plan
from advisor.review.coverage import without
from advisor.review.remedies import remedied
from advisor.review.verdict import Review, review


def review_each(plan: Plan, assignment: Assignment, advice: Advice, with_remedies: bool = True) -> Review:
    """The review of a plan in every feature that can be judged; the others are told in it. With its set of remedies,
    unless that is not wanted: it takes some more reviews.

    Raises:
        BadInput, OSError: a file is at fault.
        Exception: the fault lies in no feature of its own.
    """

    def made(part: Plan, beside_: Advice) -> Review:
        found = review(part, assignment, beside_)
        return remedied(found) if with_remedies else found

    try:
        return made(plan, advice)
    except (BadInput, OSError):
        raise
    except Exception:
        names = list(dict.fromkeys(name for operation in plan.operations for name in operation.features))
        answered = {answer.region.id for answer in advice.features}
        failed = of_each(
            (name for name in names if name in answered),
            lambda name: made(_only(plan, name), advice),
        )
        if not failed:
            raise
        return made(plan, beside(advice, failed))


def beside(advice: Advice, failed: Iterable[Failed]) -> Advice:
    """The advice without the features that turned out to have a fault."""
    more = tuple(failed)
    names = {one.feature for one in more}
    kept = tuple(answer for answer in advice.features if answer.region.id not in names)
    return advice._replace(features=kept, failed=(*advice.failed, *more))


def _only(plan: Plan, name: str) -> Plan:
    """The plan with what it has for one feature."""
    every = {feature for operation in plan.operations for feature in operation.features}
    return without(plan, every - {name})
