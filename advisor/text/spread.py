"""Where labels stand that must not touch each other."""

from __future__ import annotations

from collections.abc import Sequence

LINE = 14  # from one line of text to the next


def spread(wanted: Sequence[float], low: float, high: float, gap: float = LINE) -> list[float]:
    """Heights for labels, in the order of the wanted ones: as near to these as may be, ``gap`` apart, within limits.

    ``wanted`` must rise. Where there is not room for all between ``low`` and ``high``, they go on beyond ``high``.
    """
    found: list[float] = []
    for place in wanted:
        found.append(max(place, found[-1] + gap if found else low))
    limit = max(high, low + gap * (len(found) - 1))
    for index in range(len(found) - 1, -1, -1):
        found[index] = min(found[index], limit)
        limit = found[index] - gap
    return found
