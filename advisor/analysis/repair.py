"""Changes that open a way where there is none, and cutters to buy where one would help. Each was run again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from advisor.analysis.inputs import changed_feature, changed_lengths
from advisor.analysis.length_change import HALVINGS, nearest, repair_by, tenth
from advisor.analysis.part_height import changed_by, raised, raised_and_drilled, raised_for_the_drill, skin_stays
from advisor.analysis.standard_cutters import drill_to_size, on_offer, sizes, suiting_drill
from advisor.choosing.advice import advise_feature
from advisor.choosing.ranking import foremost_of
from advisor.mechanics.bisection import closest, mean
from advisor.methods.registry import METHODS
from advisor.model.answer import FeatureAdvice, LengthChange, Repair
from advisor.model.candidate import GRADES, Candidate
from advisor.model.cutter import Cutter
from advisor.model.features import FeatureBase
from advisor.situation.bench import Bench

DRAWN = ("depth", "width", "diameter", "length")  # lengths of the feature itself
FURTHEST_DOWN, FURTHEST_UP = 50, 10  # how many times less deep, and wider, a feature is looked at


def repairs(feature: FeatureBase, crib: Sequence[Cutter], bench: Bench) -> tuple[Repair, ...]:
    """For a feature that no candidate may cut: the best cutter to buy, and the nearest change of the feature.

    Where neither helps alone, the nearest change with which a cutter to buy does; where that does not either, the
    nearest change of all lengths at once. One that takes many times as long as another as good is left out.
    """
    found = list[Repair]()
    bought = best_bought(feature, crib, bench)
    if bought is not None:
        cutter, answer = bought
        found.append(repair_by(answer, cutter=cutter))
    found.extend(_changed(feature, crib, bench))
    return (
        without_far(without_slow(found))
        or tuple(_changed_and_bought(feature, crib, bench))
        or tuple(_changed_at_once_and_bought(feature, crib, bench))
    )


def without_slow(every: Sequence[Repair]) -> tuple[Repair, ...]:
    """Those that do not take many times the time of another that is graded as well or better."""
    most = float(sizes()["times_as_long_most"])

    def outdone(one: Candidate) -> bool:
        place = GRADES.index(one.grade)
        return any(one.time > most * other.then.time for other in every if GRADES.index(other.then.grade) <= place)

    return tuple(one for one in every if not outdone(one.then))


def without_far(every: Sequence[Repair]) -> tuple[Repair, ...]:
    """Those that leave the feature much as it is drawn; all where none does."""
    most = float(sizes()["times_other_most"])

    def far(one: LengthChange) -> bool:
        if one.name not in DRAWN or one.before is None:
            return False
        low, high = sorted((one.before, one.after))
        return high > most * low

    return tuple(one for one in every if not any(map(far, one.lengths))) or tuple(every)


def improvements(
    answer: FeatureAdvice, feature: FeatureBase, crib: Sequence[Cutter], bench: Bench
) -> tuple[Repair, ...]:
    """For an answer that is not good, the cutter that would better it; for a long helix, the drill that would shorten
    it; for a round hole that is milled, how high the part must lie for a drill of the crib, else the drill that would
    make it.
    """
    best = answer.best
    if best is None:
        return ()
    if best.grade != "good":
        higher = tuple(raised_and_drilled(answer, feature, crib, bench))
        if higher and skin_stays(answer):
            return higher
        bought = best_bought(feature, crib, bench)
        if bought is None or bought[1].best is None or GRADES.index(bought[1].grade) >= GRADES.index(best.grade):
            return higher
        if foremost_of([best, bought[1].best], bench.limits) is best:  # good, but at too high a price in time
            return higher
        return (*higher, repair_by(bought[1], cutter=bought[0], now=best))
    if not best.cutter.kind.drill:
        told = tuple(raised_for_the_drill(answer, best, feature, crib, bench))
        if told := told or tuple(_with_drill(feature, best, drill_to_size(feature, bench), (), bench)):
            return told
    if best.entry_kind.helix and not METHODS[best.method].in_turns:
        return tuple(_with_drill(feature, best, suiting_drill(best.cutter, feature, bench), [best.cutter], bench))
    return ()


def _with_drill(
    feature: FeatureBase, best: Candidate, drill: Cutter | None, beside: Sequence[Cutter], bench: Bench
) -> Iterator[Repair]:
    """A drill to buy, alone or with cutters ``beside`` it, if the answer is as good as the best one and takes enough
    less time.
    """
    if drill is None:
        return
    again = advise_feature(feature, [*beside, drill], bench, whole=False)
    if (
        again.best is not None
        and again.best.grade == best.grade
        and again.best.time <= (1 - sizes()["saving"]) * best.time
    ):
        yield repair_by(again, cutter=drill, now=best)


def best_bought(feature: FeatureBase, crib: Sequence[Cutter], bench: Bench) -> tuple[Cutter, FeatureAdvice] | None:
    """The cutter of the standard sizes that gives the best answer for a feature, beside the drills of the crib."""
    tried = [*_bought(feature, crib, bench)]
    best = foremost_of((answer.best for _, answer in tried if answer.best), bench.limits)
    return next((pair for pair in tried if best is not None and pair[1].best is best), None)


def _bought(feature: FeatureBase, crib: Sequence[Cutter], bench: Bench) -> Iterator[tuple[Cutter, FeatureAdvice]]:
    """Every cutter of the standard sizes that gives a way, with the answer."""
    drills = [cutter for cutter in crib if cutter.kind.drill]
    for cutter in on_offer(feature, bench):
        answer = advise_feature(feature, [cutter, *drills], bench, whole=False)
        if answer.best is not None and answer.best.cutter.id == cutter.id:
            yield cutter, answer


def _changed(feature: FeatureBase, crib: Sequence[Cutter], bench: Bench) -> Iterator[Repair]:
    """The nearest smaller depth and the nearest greater width at which the crib has a way."""

    at = changed_by(feature, crib, bench)

    def opens(name: str, value: float) -> bool:
        answer = at(name, value)
        return answer is not None and answer.best is not None

    for name, now, far in _changes(feature):
        value = nearest(lambda value, name=name: opens(name, value), now, far)  # type: ignore[misc]
        answer = at(name, value) if value is not None else None
        if value is not None and answer is not None:
            yield repair_by(answer, (LengthChange(name, now, value),))
    if not getattr(feature, "floor", True) and hasattr(feature, "clearance_below"):
        yield from raised(feature, at)


def _changed_and_bought(feature: FeatureBase, crib: Sequence[Cutter], bench: Bench) -> Iterator[Repair]:
    """The nearest smaller depth and the nearest greater width at which a cutter to buy has a way."""

    def opens(name: str, value: float) -> bool:
        changed = changed_feature(feature, name, value)
        return changed is not None and next(_bought(changed, crib, bench), None) is not None

    for name, now, far in _changes(feature, _widest()):
        value = nearest(lambda value, name=name: opens(name, value), now, far)  # type: ignore[misc]
        changed = changed_feature(feature, name, value) if value is not None else None
        bought = best_bought(changed, crib, bench) if changed is not None else None
        if value is not None and bought is not None:
            yield repair_by(bought[1], (LengthChange(name, now, value),), bought[0])


def _changed_at_once_and_bought(feature: FeatureBase, crib: Sequence[Cutter], bench: Bench) -> Iterator[Repair]:
    """Less deep, wider and with less stock around it at once, each by the same share of its way: a cutter to buy then
    has a way.
    """
    changes = [*_changes(feature, _widest())]
    if hasattr(feature, "length"):  # a length is never less than the width
        width, length = changes.pop(), float(getattr(feature, "length", 0.0))
        far = max(FURTHEST_UP * width[1], _widest())
        changes += [("width", width[1], far), ("length", length, max(length, far))]
    changes.append(("top", feature.top, 0.0))

    def lengths(share: float) -> dict[str, float]:
        return {
            name: now if far == now else tenth(now + share * (far - now), "down" if far < now else "up")
            for name, now, far in changes
        }

    def bought_at(share: float) -> tuple[Cutter, FeatureAdvice] | None:
        changed = changed_lengths(feature, lengths(share))
        return best_bought(changed, crib, bench) if changed is not None else None

    if (bought := bought_at(1.0)) is not None:
        share, (cutter, answer) = closest(bought_at, 1.0, bought, 0.0, mean, HALVINGS)
        every = (LengthChange(name, now, lengths(share)[name]) for name, now, _ in changes)
        yield repair_by(answer, tuple(one for one in every if one.after != one.before), cutter)


def _widest() -> float:
    return float(2 * max(sizes()["solid_end_mill"]["diameters"]))


def _changes(feature: FeatureBase, widest: float = 0.0) -> Iterator[tuple[str, float, float]]:
    """What may be changed, its value now, and how far it may go [mm]; a width as far as the length."""
    yield "depth", feature.depth, feature.depth / FURTHEST_DOWN
    if (diameter := getattr(feature, "diameter", None)) is not None and getattr(feature, "purpose", None) is not None:
        return  # what the hole is for sets how wide it is
    if diameter is not None:
        yield "diameter", diameter, max(FURTHEST_UP * diameter, widest)
        return
    width, length = float(getattr(feature, "width", 0.0)), float(getattr(feature, "length", 0.0))
    yield "width", width, min(max(FURTHEST_UP * width, widest), length)
