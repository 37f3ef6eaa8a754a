"""Counting how many pieces make a whole, safe against the last bits of a float."""

from math import ceil

ROUNDING = 1e-9  # keeps 4.2 / 0.7 from counting as more than 6


def pieces(whole: float, piece: float) -> int:
    """Return how many pieces it takes to cover the whole, rounded up.

    >>> pieces(4.2, 0.7), pieces(4.201, 0.7), pieces(0, 0.7)
    (6, 7, 0)
    """
    return max(ceil(whole / piece - ROUNDING), 0)
