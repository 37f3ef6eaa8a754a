"""Lengths held against each other: the one tolerance for all of them, and the counting of pieces that rests on it.

Lengths are sums, differences and multiples of numbers with a few decimals. A computer gives 28.1 - 28 - 2 * 0.05 as
1.4e-15: a rest that is not there, a slot in which a cutter just fits not at all, an engagement of nought. So no two
lengths are compared by themselves; what matters is whether they differ by more than a hair.
"""

from math import ceil, floor

# mm; no drawing, gauge or machine tells a nanometre, and no sum of lengths here is as much as 1e-9 mm off. Not a round
# figure: lengths with a few decimals differ by round ones, and 32 levels of 0.3333333 from 10.6666666 by just 1e-6.
HAIR = 1.0123e-6


def difference(length: float, *less: float) -> float:
    """Return a length less others [mm]; exactly 0 where they are the same but for a hair.

    >>> difference(32.1, 32, 0.05, 0.05), difference(21, 12, 0.5, 0.5), difference(1, 3)
    (0.0, 8.0, -2)
    """
    left = length
    for other in less:
        left -= other
    return 0.0 if abs(left) <= HAIR else left


def exceeds(length: float, other: float) -> bool:
    """Return whether a length is more than another, by more than a hair.

    >>> exceeds(0.1 + 0.2, 0.3), exceeds(0.301, 0.3)
    (False, True)
    """
    return length - other > HAIR


def reaches(length: float, other: float) -> bool:
    """Return whether a length is at least another, or short of it by no more than a hair.

    >>> reaches(0.3, 0.1 + 0.2), reaches(0.299, 0.3)
    (True, False)
    """
    return not exceeds(other, length)


def pieces(whole: float, piece: float) -> int:
    """Return how many pieces it takes to cover the whole, rounded up; not one more for a hair.

    >>> pieces(4.2, 0.7), pieces(4.201, 0.7), pieces(0, 0.7)
    (6, 7, 0)
    """
    return max(ceil((whole - min(HAIR, piece / 2)) / piece), 0)


def steps(whole: float, step: float) -> int:
    """Return how many whole steps go into a length, rounded down; a step that lacks a hair is whole.

    >>> steps(4.2, 0.7), steps(4.199, 0.7)
    (6, 5)
    """
    return floor((whole + min(HAIR, step / 2)) / step)
