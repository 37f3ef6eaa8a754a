"""A way that a change opens or betters, in words, and the nearest change that does."""

from __future__ import annotations

from collections.abc import Callable

from advisor.knowledge.wording import looks_equal, quantity
from advisor.mechanics.lengths import pieces, steps
from advisor.model.answer import FeatureAdvice, WayOut
from advisor.model.candidate import Candidate
from advisor.situation.pairings import ways

HALVINGS = 14


def way_out(change: str, answer: FeatureAdvice, before: Candidate | None = None) -> WayOut:
    """A change in words with the answer that it gives, beside the way ``before`` it where there is one.

    One that takes longer is told for its grade, and the time of the way before it as what that costs.
    """
    best = answer.best
    if best is None:
        raise AssertionError("a way out that gives no way")
    beside = ""
    if before is not None and looks_equal(before.time, best.time, "s"):
        beside = " as now"
    elif before is not None and best.time > before.time:
        beside = f"; the {before.grade} way now takes {quantity(before.time, 's')}"
    elif before is not None:
        beside = f" instead of {quantity(before.time, 's')}"
    text = f"{change}: {ways()[best.method].title}, {best.grade}, {quantity(best.time, 's')}{beside}."
    return WayOut(text, best.method, best.cutter.id, best.entry, best.grade, best.time)


def nearest(opens: Callable[[float], bool], now: float, far: float) -> float | None:
    """The value nearest to ``now`` that opens a way, on the way to ``far``, to a tenth of a millimetre."""
    towards = "down" if far < now else "up"
    value = tenth(far, towards)
    if not opens(value):
        return None
    near = now
    for _ in range(HALVINGS):
        middle = tenth((near + far) / 2, towards)
        if middle in (near, value):
            break
        if opens(middle):
            far = value = middle
        else:
            near = middle
    return value


def tenth(value: float, towards: str) -> float:
    """A length on the tenth of a millimetre, rounded ``down`` or up."""
    return round((steps if towards == "down" else pieces)(value, 0.1) / 10, 1)
