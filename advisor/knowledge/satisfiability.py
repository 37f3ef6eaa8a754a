"""Whether a condition can ever hold, and whether it holds wherever another does: exact, by going through alternatives.

Numbers are taken on the grid that every reader sees (four decimals), within the range their measure is registered
with; words among those it is registered with. How facts hang together by arithmetic is not looked at.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from advisor.knowledge.conditions import DECIMALS, OPERATORS, All, Any, Compare, Condition, Known, negate
from advisor.knowledge.measures import Measure

MOST_STEPS = 20_000
GRID = 10**DECIMALS
ANOTHER = ""  # name than those that are asked for; none is empty
Leaf = Compare | Known


class _TooIntricate(Exception):
    """More alternatives than anybody waits for."""


def possible(measures: Mapping[str, Measure], *conditions: Condition, steps: list[int] | None = None) -> bool:
    """Whether all the conditions can hold at once; so it is said, too, of what has too many alternatives to tell.

    ``steps`` is how many may still be taken, for several questions together; it is below 0 once they were too few.
    """
    try:
        return _search(conditions, (), measures, [MOST_STEPS] if steps is None else steps)
    except _TooIntricate:
        return True


def implied(measures: Mapping[str, Measure], narrow: Condition, wide: Condition) -> bool:
    """Whether ``wide`` holds wherever ``narrow`` does."""
    return not possible(measures, narrow, unmet(wide))


def unmet(condition: Condition) -> Condition:
    """What holds just where the condition does not: unlike ``negate``, also where a fact is absent."""
    if isinstance(condition, Compare):
        return Any((negate(condition), Known(condition.fact, present=False)))
    if isinstance(condition, Known):
        return negate(condition)
    parts = tuple(unmet(part) for part in condition.parts)
    return Any(parts) if isinstance(condition, All) else All(parts)


def _search(
    pending: Sequence[Condition], held: tuple[Leaf, ...], measures: Mapping[str, Measure], steps: list[int]
) -> bool:
    """Whether all that is pending can hold together with what is held already."""
    steps[0] -= 1
    if steps[0] < 0:
        raise _TooIntricate
    alternatives: list[Any] = []
    waiting = list(pending)
    more: list[Leaf] = []
    while waiting:
        part = waiting.pop()
        if isinstance(part, All):
            waiting.extend(part.parts)
        elif isinstance(part, Any):
            alternatives.append(part)
        else:
            more.append(part)
    held = (*held, *more)
    if not _together(held, measures):
        return False
    if not alternatives:
        return True
    first, *rest = alternatives
    return any(_search((part, *rest), held, measures, steps) for part in first.parts)


class _Span(NamedTuple):
    """The numbers that a fact may have, in steps of the grid, both ends included."""

    low: int
    high: int


def _together(held: Sequence[Leaf], measures: Mapping[str, Measure]) -> bool:
    """Whether comparisons and presence tests can be true at once."""
    by_fact: dict[str, list[Leaf]] = {}
    for leaf in held:
        by_fact.setdefault(leaf.fact, []).append(leaf)
    return all(_of_one_fact(measures[fact], found) for fact, found in by_fact.items())


def _of_one_fact(measure: Measure, held: Sequence[Leaf]) -> bool:
    compared = [leaf for leaf in held if isinstance(leaf, Compare)]
    absent = any(isinstance(leaf, Known) and not leaf.present for leaf in held)
    if absent:
        return len(compared) == 0 and not any(isinstance(leaf, Known) and leaf.present for leaf in held)
    if not measure.numeric:
        words = measure.words or (*(str(leaf.value) for leaf in compared), ANOTHER)
        return any(all(OPERATORS[leaf.operator](word, leaf.value) for leaf in compared) for word in words)
    low, high = measure.range or (float("-inf"), float("inf"))
    span = _Span(_steps(low), _steps(high))
    barred: set[int] = set()
    for leaf in compared:
        value = _steps(float(leaf.value))
        if leaf.operator == "!=":
            barred.add(value)
        span = _narrowed(span, leaf.operator, value)
    inside = sum(span.low <= value <= span.high for value in barred)
    return span.high - span.low + 1 > inside


def _narrowed(span: _Span, operator: str, value: int) -> _Span:
    low, high = span
    if operator in ("<", "<=", "="):
        high = min(high, value - (operator == "<"))
    if operator in (">", ">=", "="):
        low = max(low, value + (operator == ">"))
    return _Span(low, high)


def _steps(value: float) -> int:
    most = 10**18
    return round(value * GRID) if abs(value) < most / GRID else (most if value > 0 else -most)
