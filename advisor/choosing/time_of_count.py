"""The time of several features alike, of which one is worked out."""

from __future__ import annotations


def whole_time(count: float, each: float, change: float, rest: float = 0.0) -> float:
    """The time of so many features alike [s]: ``each`` with the rest in its corners, each cutter changed in once.

    ``rest`` is the time of the rest in the corners of one, its change of cutters in it [s]; ``change`` is that of a
    change.

    >>> whole_time(1, 100.0, 6.0), whole_time(3, 100.0, 6.0), whole_time(3, 100.0, 6.0, rest=16.0)
    (106.0, 306.0, 342.0)
    """
    once = rest_change(change, rest)
    return count * (each + rest - once) + change + once


def rest_change(change: float, rest: float) -> float:
    """How much of the time of the rest in the corners is the change to its cutter [s], which happens once for all."""
    return min(change, rest)
