"""The nearest change of a length that opens a way or betters it."""

from __future__ import annotations

from collections.abc import Callable

from advisor.mechanics.bisection import closed_in, mean
from advisor.mechanics.lengths import pieces, steps
from advisor.model.answer import FeatureAdvice, LengthChange, Repair
from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter

HALVINGS = 14


def repair_by(
    answer: FeatureAdvice,
    lengths: tuple[LengthChange, ...] = (),
    cutter: Cutter | None = None,
    now: Candidate | None = None,
) -> Repair:
    """A change of lengths, of the crib by a cutter to buy, or of both, with the answer that it gives; beside the best
    way ``now``, where there is one.
    """
    if answer.best is None:
        raise AssertionError("a repair that gives no way")
    return Repair(lengths, cutter, answer.best, now)


def nearest(opens: Callable[[float], bool], now: float, far: float) -> float | None:
    """The value nearest to ``now`` that opens a way, on the way to ``far``, to a tenth of a millimetre."""
    towards = "down" if far < now else "up"
    end = tenth(far, towards)
    if not opens(end):
        return None
    return closed_in(opens, end, now, lambda one, other: tenth(mean(one, other), towards), HALVINGS)[0]


def tenth(value: float, towards: str) -> float:
    """A length on the tenth of a millimetre, rounded ``down`` or up."""
    return round((steps if towards == "down" else pieces)(value, 0.1) / 10, 1)
