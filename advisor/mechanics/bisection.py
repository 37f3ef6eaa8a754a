"""Bisection: closing in on the place between two values where something ceases to hold."""

from collections.abc import Callable
from typing import TypeVar

Value = TypeVar("Value", int, float)
Found = TypeVar("Found")


def mean(one: float, other: float) -> float:
    """Return the value in the middle of two."""
    return (one + other) / 2


def closed_in(
    holds: Callable[[Value], bool],
    good: Value,
    bad: Value,
    middle: Callable[[Value, Value], Value],
    most: int | None = None,
) -> tuple[Value, Value]:
    """Return the last value at which something holds and the first at which it does not, as close as is asked.

    holds: asked of a value between the two; good: where it holds; bad: where it does not; neither is asked again.
    middle: the next value to ask of, given both; one of the two ends the search. most: how many values are asked of at
    most, as many as it takes if absent. What holds and what does not may lie in any order, but only one change between
    them is found.

    >>> closed_in(lambda number: number * number < 2, 1.0, 2.0, mean, 3)
    (1.375, 1.5)
    >>> closed_in(lambda number: number < 7, 0, 100, lambda one, other: (one + other) // 2)
    (6, 7)

    Reference: bisection, as any textbook of numerical methods has it (from memory).
    """
    asked = 0
    while (most is None or asked < most) and (value := middle(good, bad)) not in (good, bad):
        good, bad = (value, bad) if holds(value) else (good, value)
        asked += 1
    return good, bad


def closest(
    at: Callable[[Value], Found | None],
    good: Value,
    found: Found,
    bad: Value,
    middle: Callable[[Value, Value], Value],
    most: int | None = None,
) -> tuple[Value, Found]:
    """Return the value closest to ``bad`` at which something is found, and what is found there.

    at: what is found at a value, nothing where there is none; found: what is found at ``good``. The rest as for
    ``closed_in``.

    >>> closest(lambda number: "few" if number < 7 else None, 0, "none", 100, lambda one, other: (one + other) // 2)
    (6, 'few')
    """
    seen = {good: found}

    def holds(value: Value) -> bool:
        if (there := at(value)) is not None:
            seen[value] = there
        return there is not None

    value, _ = closed_in(holds, good, bad, middle, most)
    return value, seen[value]
