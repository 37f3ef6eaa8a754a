"""The smallest change of a cutter of the crib that would better an answer: more flute, or more usable length."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from advisor.analysis.inputs import changed_cutter
from advisor.analysis.line_search import Field
from advisor.analysis.sensitivity import best_of, changes
from advisor.analysis.standard_cutters import sizes
from advisor.choosing.ranking import foremost_of, ranked
from advisor.mechanics.bisection import closest
from advisor.mechanics.lengths import pieces
from advisor.model.answer import FeatureAdvice, Upgrade
from advisor.model.candidate import GRADES, Candidate
from advisor.model.cutter import LENGTHS, Cutter
from advisor.model.features import FeatureBase
from advisor.situation.bench import Bench

MOST = 2
STEP = 0.5


def with_changes(answer: FeatureAdvice, feature: FeatureBase, crib: Sequence[Cutter], bench: Bench) -> FeatureAdvice:
    """The answer with its breakpoints, and what a longer cutter of the crib would do."""
    return answer._replace(
        changes=changes(answer, feature, crib, bench), upgrades=upgrades(answer, feature, crib, bench)
    )


def upgrades(answer: FeatureAdvice, feature: FeatureBase, crib: Sequence[Cutter], bench: Bench) -> tuple[Upgrade, ...]:
    """The most telling changes of a cutter, best first: a better grade, or enough of the time saved."""
    today = answer.best
    if today is None:
        return ()
    drills = tuple(cutter for cutter in crib if cutter.kind.drill)
    deep = {item.cutter.id: float(item.facts["depth_to_cut"]) + feature.top for item in answer.candidates}
    found = [
        upgrade
        for cutter in crib
        for upgrade in _upgrades_of(cutter, drills, deep.get(cutter.id, feature.top), today, feature, bench)
    ]
    place = {
        id(better): place for place, better in enumerate(ranked((upgrade.better for upgrade in found), bench.limits))
    }
    found.sort(key=lambda upgrade: (place[id(upgrade.better)], upgrade.length))
    different: dict[tuple[str, float], Upgrade] = {}
    for upgrade in found:
        different.setdefault((upgrade.better.method, upgrade.cutter.DC), upgrade)
    return tuple(list(different.values())[:MOST])


def _upgrades_of(
    cutter: Cutter,
    drills: tuple[Cutter, ...],
    needed: float,
    today: Candidate,
    feature: FeatureBase,
    bench: Bench,
) -> Iterator[Upgrade]:
    if cutter.kind.drill:
        return
    least = _least(today)
    for name in LENGTHS:
        now = getattr(cutter, name)
        if now >= needed or (name == "APMX" and not cutter.kind.fluted):
            continue

        def at(length: float, name: str = name) -> Candidate | None:
            changed = changed_cutter(cutter, name, length)
            if changed is None:
                return None
            found = best_of(feature, Field.of_one(changed, drills), bench, least)
            return found if found is not None and _telling(found, today, bench) else None

        longest = _up(needed)
        if (found := at(longest)) is not None:
            length, better = closest(at, longest, found, now, _between)
            yield Upgrade(cutter, name, length, better, today)


def _between(long: float, short: float) -> float:
    """The length in the middle, as it is told; the longer one where they are no more than a step apart."""
    return long if long - short <= STEP else min(long, _up((long + short) / 2))


def _up(length: float) -> float:
    """A length rounded up to the step it is told in [mm]."""
    return pieces(length, STEP) * STEP


def _least(today: Candidate) -> tuple[int, float]:
    """What is worth looking for: a better grade, or the same and no more than this time [s]."""
    return GRADES.index(today.grade), (1 - sizes()["saving"]) * today.time


def _telling(found: Candidate, today: Candidate, bench: Bench) -> bool:
    """Whether a way is worth telling beside that of today: it comes before it, and is better graded or saves enough."""
    better = GRADES.index(found.grade) < GRADES.index(today.grade)
    saves = found.time <= (1 - sizes()["saving"]) * today.time
    return (better or saves) and foremost_of([today, found], bench.limits) is found
