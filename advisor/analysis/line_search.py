"""Looking along one number of the input for the nearest value at which the advice is another.

Ways are worked out at the value of today and at two farther ones, and between these where the rules would change the
answer (``suspected``) or where a way changes its levels. From the nearest value that has another answer the breakpoint
is closed in on by halving, with the whole reasoning at every step. Every cutter of the crib is asked at that value
first, and again on both sides of what is found; whoever comes between is taken in, and what is not borne out is not
told.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from advisor.analysis.breakpoints import End, Key, Outcomes, key_of, name_of, suspected
from advisor.choosing.ranking import foremost_of, quickest, ranked
from advisor.mechanics.bisection import closed_in, mean
from advisor.methods.registry import METHODS
from advisor.model.candidate import FREELY, HELD_BACK, SOUND, Candidate
from advisor.model.cutter import Cutter
from advisor.situation.bench import Bench

AWAY = (1.3, 3.5)  # how many times as much, or how small a part, is looked at
FINE, FINE_SHARE = 0.01, 0.001
MOST_PROBES = 4
MOST_SPREAD = 4
AHEAD = 6
MOST_INTRUDERS = 4
MOST_LOOKS = 4


class Field(NamedTuple):
    """Who is asked: some cutters, and which pairs of method and cutter id; all pairs where that is absent."""

    cutters: tuple[Cutter, ...]
    pairs: frozenset[tuple[str, str]] | None = None

    @classmethod
    def of_one(cls, cutter: Cutter, drills: Sequence[Cutter]) -> Field:
        """All ways of one cutter, with the drills that it may get in by."""
        return cls((cutter, *drills), frozenset((method, cutter.id) for method in METHODS))


class Line(NamedTuple):
    """One number of the input: its value today, the ways worked out then, and how to work them out at another value.

    ``can`` says whether there is a feature or cutter with a value; ``at`` gives nothing where there is none. ``few``
    are those who may win, ``every`` the whole crib. Values are told in whole ``step``s, and looked for up to ``far``
    times as much or as small a part.
    """

    start: float
    now: Outcomes
    can: Callable[[float], bool]
    at: Callable[[float, Field], Outcomes | None]
    few: Field
    every: Field
    bench: Bench
    step: float = FINE
    far: float = AWAY[1]


class Found(NamedTuple):
    """The value from which on the advice is another, and the best way there; none where all are forbidden."""

    at: float
    best: Candidate | None


def nearest(line: Line, up: bool) -> Found | None:
    """The nearest breakpoint above or below the value of today, as far as is looked."""
    same = key_of(_winner(line, line.now))
    first, last = (line.start * times if up else line.start / times for times in (AWAY[0], line.far))
    end, near = _looked_at(line, _farthest(line, line.start, last)), (line.start, line.now)
    if end is None:
        return None
    inside = abs(first - line.start) < abs(end[0] - line.start)
    if inside and not _steady(line.now, end[1]) and (middle := _looked_at(line, first)) is not None:
        found = _closest(line, same, near, middle)
        if found is not None:
            return found
        near = middle
    return _closest(line, same, near, end)


def _looked_at(line: Line, value: float) -> End | None:
    """A value with the ways there, if it is another than today's and there is such a feature or cutter."""
    ways = line.at(value, line.few) if value != line.start else None
    return None if ways is None else (value, ways)


def _steady(now: Outcomes, there: Outcomes) -> bool:
    """Whether only times have changed: the same ways with the same grades and levels, so nothing has jumped."""
    before, after = ({name_of(way): (way.grade, _levels(way)) for way in ways} for ways in (now, there))
    return before == after


def _farthest(line: Line, near: float, far: float) -> float:
    """The far value, or about the last one on the way to it that there can be."""
    return far if line.can(far) else closed_in(line.can, near, far, _middle(line.step, FINE_SHARE))[0]


def _middle(step: float, share: float) -> Callable[[float, float], float]:
    """The middle of two values, or the first where they are as close together as they are told."""
    return lambda near, far: mean(near, far) if abs(far - near) > max(step, share * abs(near)) else near


def _closest(line: Line, same: Key | None, near: End, far: End) -> Found | None:
    """The nearest breakpoint between two values: what is found is closed in on, then looked for once more before it.

    Where somebody who was not thought of keeps today's answer alive, the look goes on beyond, with him.
    """
    found, looks = None, MOST_LOOKS
    while looks and (turned := _turned(line, same, near, far)) is not None:
        looks -= 1
        here = _borne_out(line, same, near, turned)
        line = line._replace(few=here.few)
        ways = line.at(here.before, line.few)
        if ways is None or key_of(_winner(line, ways)) != same:
            return here.found or found
        if here.found is None:
            near = (here.before, ways)
        else:
            found, far, looks = here.found, (here.before, ways), min(looks, 1)
    return found


def _turned(line: Line, same: Key | None, near: End, far: End) -> End | None:
    """The nearest value found with another answer: where rules or a further level turn it, else the far end."""
    rules = [(value, line.few) for value in suspected(same, near, far, line.bench)[:MOST_PROBES]]
    limits = line.bench.limits
    ahead = _field([*ranked(near[1], limits)[:AHEAD], *ranked(far[1], limits)[:AHEAD]], line)
    levels = [(value, ahead) for value in _spread(line, near, far)]
    for value, asked in sorted([*rules, *levels], key=lambda probe: abs(probe[0] - near[0])):
        ways = line.at(value, asked)
        if ways is not None and key_of(_winner(line, ways)) != same:
            return value, ways
    return far if key_of(_winner(line, far[1])) != same else None


def _winner(line: Line, ways: Outcomes) -> Candidate | None:
    """The best of some ways on this line, or nothing where all are forbidden."""
    return foremost_of(ways, line.bench.limits)


def _spread(line: Line, near: End, far: End) -> Iterator[float]:
    """Values evenly on the way, where the best way at either end has other levels at the other: times then jump."""
    for best, others in ((_winner(line, near[1]), far[1]), (_winner(line, far[1]), near[1])):
        same = next((way for way in others if best is not None and name_of(way) == name_of(best)), None)
        if best is not None and _levels(best) != _levels(same):
            steps = MOST_SPREAD + 1
            yield from (near[0] + (far[0] - near[0]) * step / steps for step in range(1, steps))
            return


def _levels(way: Candidate | None) -> int:
    return way.plan.levels if way is not None and way.plan is not None else 0


class _Look(NamedTuple):
    """The last value known to keep today's answer, the breakpoint beyond it if the whole crib bears it out, and the
    ways that may win.
    """

    before: float
    found: Found | None
    few: Field


def _borne_out(line: Line, same: Key | None, near: End, far: End) -> _Look:
    """The breakpoint between two values, of which the whole crib is known to keep today's answer at the first.

    It is closed in on with the ways that are best at the ends, and held against the whole crib; who comes between is
    taken in. Where that does not end, the whole crib is halved with itself.
    """
    low, high, few = near[0], far[0], line.few
    there = _best(line, high, line.every)
    if key_of(there) == same:  # somebody who was not thought of keeps it alive
        return _Look(high, None, _field([there], line, few))
    asked = _field([_winner(line, near[1]), _winner(line, far[1]), there, *_paces(near), *_paces(far)], line)
    for field in (*[None] * MOST_INTRUDERS, line.every):
        last, first = _halved(line, field or asked, same, low, high)
        before, at = told(last, first, line.step), told(first, last, line.step)
        if not (line.can(at) and line.can(before)):  # so small that it is told as nothing
            break
        intruder = _best(line, before, line.every)
        if key_of(intruder) != same:
            high = before
        else:
            intruder = _best(line, at, line.every)
            if key_of(intruder) != same:
                return _Look(before, Found(at, intruder), few)
            low = at
        if (high - low) * (far[0] - near[0]) <= 0:  # told so coarsely that nothing lies between
            break
        asked, few = _field([intruder], line, asked), _field([intruder], line, few)
    return _Look(near[0], None, few)


def _paces(end: End) -> list[Candidate | None]:
    """The ways whose times the others are held against at a value: the quickest that are good, and workable."""
    return [
        *(quickest(end[1], grade) for grade in SOUND),
        *(quickest(end[1], "workable", overtaking) for overtaking in (HELD_BACK, FREELY)),
    ]


def _best(line: Line, value: float, field: Field) -> Candidate | None:
    """The best way of a field at a value; nothing where all are forbidden, or there is no such value."""
    return _winner(line, line.at(value, field) or ())


def _field(ways: Sequence[Candidate | None], line: Line, others: Field | None = None) -> Field:
    """Only these ways, with the drills of the field, beside others."""
    asked = [way for way in ways if way is not None]
    pairs = {(way.method, way.cutter.id) for way in asked} | (set(others.pairs or ()) if others else set())
    ids = {cutter for _, cutter in pairs} | {way.drill.id for way in asked if way.drill}
    ids |= {cutter.id for cutter in others.cutters} if others else set()
    return Field(tuple(cutter for cutter in line.every.cutters if cutter.id in ids), frozenset(pairs))


def _halved(line: Line, asked: Field, same: Key | None, near: float, far: float) -> tuple[float, float]:
    """The last value with the same answer and the first with another, as close together as it is told."""
    middle = _middle(line.step / 2, FINE_SHARE / 2)
    return closed_in(lambda value: key_of(_best(line, value, asked)) == same, near, far, middle)


def told(value: float, other: float, step: float = FINE) -> float:
    """A value as it is told: in whole steps, rounded away from the other side."""
    whole = value / step
    rounded = round(whole)
    if (value > other and rounded < whole) or (value < other and rounded > whole):
        rounded += 1 if value > other else -1
    return round(rounded * step, 2)
