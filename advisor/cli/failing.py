"""An answer with a feature that could not be worked out or told: the others are told, and that one is named."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING, TypeVar

from advisor.cli.guard import INTERNAL
from advisor.cli.interrupts import interrupted
from advisor.cli.output import remark
from advisor.files.problems import BadInput, printable

if TYPE_CHECKING:
    from advisor.choosing.job_advice import Advice
    from advisor.model.answer import Failed
    from advisor.review.verdict import Review

Told = TypeVar("Told")


def told_advice(advice: Advice, tell: Callable[[Advice], Told]) -> tuple[Advice, Told]:
    """The advice as it is told; a feature that cannot be told, through a fault of our own, is told as failed."""
    from advisor.choosing.failure import of_each

    try:
        return advice, tell(advice)
    except (BadInput, OSError):
        raise
    except Exception:
        answers = {answer.region.id: answer for answer in advice.features}
        failed = of_each(answers, lambda name: tell(advice._replace(features=(answers[name],), failed=())))
        if not failed or interrupted():
            raise
        from advisor.review.isolated import beside

        kept = beside(advice, failed)
        return kept, tell(kept)


def told_reviews(
    plans: Sequence[Callable[[Sequence[Failed]], Review]], tell: Callable[[tuple[Review, ...]], Told]
) -> tuple[tuple[Review, ...], Told]:
    """The reviews as they are told; each is made anew without the features that cannot be told."""
    from advisor.choosing.failure import of_each

    reviews = tuple(make(()) for make in plans)
    try:
        return reviews, tell(reviews)
    except (BadInput, OSError):
        raise
    except Exception:
        names = dict.fromkeys(judged.feature_id for one in reviews for judged in one.operations)
        failed = of_each(names, lambda name: tell(tuple(map(_only(name), reviews))))
        if not failed or interrupted():
            raise
        kept = tuple(make(failed) for make in plans)
        return kept, tell(kept)


def _only(name: str) -> Callable[[Review], Review]:
    """A review with what it says of one feature."""

    def narrowed(one: Review) -> Review:
        return one._replace(
            operations=tuple(item for item in one.operations if item.feature_id == name),
            findings=tuple(item for item in one.findings if item.feature == name),
            well_chosen=tuple(item for item in one.well_chosen if item.feature == name),
            not_said=tuple(item for item in one.not_said if item.feature == name),
            cautions=tuple(item for item in one.cautions if item.feature == name),
            remedies=one.remedies._replace(
                changes=tuple(item for item in one.remedies.changes if item.planned.feature_id == name)
            ),
        )

    return narrowed


def tell_failed(failed: Iterable[Failed]) -> bool:
    """Tell on stderr which features have no answer; whether there are any.

    Raises:
        KeyboardInterrupt: it was an interrupt that ended the work on them.
    """
    found = tuple(failed)
    if found and interrupted():
        raise KeyboardInterrupt
    if found:
        from advisor.text.failures import failure_text

        remark(*(failure_text(one) for one in found))
    return bool(found)


def nothing_left(failed: Sequence[Failed]) -> int:
    """Tell that no feature at all has an answer; the exit code.

    Raises:
        KeyboardInterrupt: it was an interrupt that ended the work.
    """
    tell_failed(failed)
    remark(printable(f"internal error, no advice given: {failed[0].error}"))
    return INTERNAL
