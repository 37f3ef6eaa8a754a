"""Where the rules would change the advice between two values of one number of the input.

Each fact of each way is taken to run straight between its values at the two ends. That tells where it passes a value
that some rule compares it with; between two such places the rules are asked about the facts in the middle. What comes
out is a candidate breakpoint, to be looked at with the whole reasoning.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from advisor.choosing.candidates import grade_of
from advisor.choosing.ranking import (
    NO_OBJECTIONS,
    Objections,
    RankKey,
    first_of,
    left_over,
    objections_of,
    rank_key_of,
    standing,
)
from advisor.knowledge.conditions import Compare, leaves, quantise
from advisor.knowledge.measures import EARLY, JUDGING, LEVELS
from advisor.knowledge.schema import RuleBase
from advisor.model.candidate import FORBIDDEN, GRADES, POOR, Candidate
from advisor.situation.bench import Bench

DECIDING = (*EARLY, *JUDGING)
Key = tuple[str, str, str]
Outcomes = Sequence[Candidate]
End = tuple[float, Outcomes]
Cuts = tuple[tuple[str, tuple[float, ...]], ...]


def key_of(best: Candidate | None) -> Key | None:
    """What a breakpoint is judged by: method, body and way in."""
    return (best.method, best.cutter.body, best.entry or "") if best else None


class _Stretch(NamedTuple):
    """A way from one share of the distance to another: its grade there, what speaks against it if that is poor, and its
    time at both ends of the distance.
    """

    start: float
    end: float
    grade: int
    objections: Objections
    times: tuple[float, float]


def suspected(same: Key | None, near: End, far: End, bench: Bench) -> list[float]:
    """The values between two at which the rules would make another way the best, nearest first."""
    tracks = [(key_of(way), rank_key_of(way), _stretches(way, other, bench)) for way, other in _paired(near[1], far[1])]
    places = sorted({stretch.start for _, _, track in tracks for stretch in track} | {1.0})
    found = []
    for start, end in pairwise(places):
        share = (start + end) / 2
        there = [_between(rank_key, track, share) for _, rank_key, track in tracks]
        best = next(iter(first_of(there, bench.limits)), None)
        if best is not None and (tracks[best][0] if there[best].grade < FORBIDDEN else None) != same:
            found.append(near[0] + share * (far[0] - near[0]))
    return found


def _between(rank_key: RankKey, track: Sequence[_Stretch], share: float) -> RankKey:
    """What a way is ranked by at a share of the distance, as firm as it is at the near end."""
    for stretch in track:
        if share <= stretch.end:
            time = stretch.times[0] + share * (stretch.times[1] - stretch.times[0])
            overtakes, behind = rank_key.overtakes, rank_key.behind
            return RankKey(stretch.grade, time, rank_key.firmness, overtakes, stretch.objections, behind)
    raise AssertionError("the stretches reach the far end")


def _paired(near: Outcomes, far: Outcomes) -> Iterator[tuple[Candidate, Candidate]]:
    """Each way with itself at the far end; where it was not worked out there, with what stands for its cutter."""
    named = {name_of(way): way for way in far}
    pairs: dict[tuple[str, str], Candidate] = {}
    for way in far:
        pairs.setdefault((way.method, way.cutter.id), way)
    seen = set()
    for way in near:
        other = named.get(name_of(way)) or pairs.get((way.method, way.cutter.id))
        if other is not None:
            seen.add(name_of(other))
            yield way, other
    first: dict[tuple[str, str], Candidate] = {}
    for way in near:
        first.setdefault((way.method, way.cutter.id), way)
    for way in far:
        if name_of(way) not in seen and (other := first.get((way.method, way.cutter.id))) is not None:
            yield other, way


def name_of(way: Candidate) -> tuple[str, str, str | None, str | None]:
    """What a way is known by: method, cutter, way in, drill."""
    return way.method, way.cutter.id, way.entry, way.drill.id if way.drill else None


def _stretches(near: Candidate, far: Candidate, bench: Bench) -> list[_Stretch]:
    """The grades of a way between two ends, from place to place at which one of its facts passes a rule's value."""
    ends = rank_key_of(near), rank_key_of(far)
    finite = [time for time in (near.counted, far.counted) if time != float("inf")]
    times = (min(near.counted, finite[0]), min(far.counted, finite[-1])) if finite else (0.0, 0.0)
    places = sorted(set(_passed(near, far, bench.base)))
    edges = [0.0, *places, 1.0]
    track = []
    for number, (start, end) in enumerate(pairwise(edges)):
        if number == 0:
            grade, objections = ends[0].grade, ends[0].objections
        elif end == 1.0:
            grade, objections = ends[1].grade, ends[1].objections
        else:
            grade, objections = _grade_between(near, far, (start + end) / 2, bench)
        track.append(_Stretch(start, end, grade, objections, times))
    return track


def _passed(near: Candidate, far: Candidate, base: RuleBase) -> Iterator[float]:
    """Where along the way a fact passes a value that a rule compares it with, as shares of the distance."""
    if near is far:
        return
    before, after = near.facts.get, far.facts.get
    for fact, cuts in _cuts(base, near.method):
        one, other = before(fact), after(fact)
        if one == other or one is None or other is None or isinstance(one, str) or isinstance(other, str):
            continue
        low, high = min(one, other), max(one, other)
        for cut in cuts[bisect_left(cuts, low) : bisect_right(cuts, high)]:
            yield min(1.0, max(0.0, round((cut - one) / (other - one), 3)))


def _grade_between(near: Candidate, far: Candidate, share: float, bench: Bench) -> tuple[int, Objections]:
    """The grade that the rules give to a way whose facts lie between those at two ends, with what speaks against it."""
    rich = near if len(near.facts) >= len(far.facts) else far
    facts = dict(rich.facts)
    for fact, one in near.facts.items():
        other = far.facts.get(fact)
        if one != other and isinstance(one, float | int) and isinstance(other, float | int):
            facts[fact] = one + share * (other - one)
    fired = bench.inference.every(JUDGING, LEVELS, facts, rich.method)
    grade = GRADES.index(grade_of(fired))
    if grade != POOR:
        return grade, NO_OBJECTIONS
    against = (rule for rule in standing(fired) if rule.verdict == "against")
    return grade, objections_of(against, left_over(facts))


@lru_cache(maxsize=64)
def _cuts(base: RuleBase, method: str) -> Cuts:
    """Every fact that decides about a method, with the values that rules compare it with."""
    found: dict[str, set[float]] = {}
    for rule in base.rules:
        if rule.stage in DECIDING and (not rule.methods or method in rule.methods):
            for leaf in leaves(rule.condition):
                if isinstance(leaf, Compare) and not isinstance(leaf.value, str):
                    found.setdefault(leaf.fact, set()).add(quantise(leaf.value))
    return tuple((fact, tuple(sorted(values))) for fact, values in found.items())
