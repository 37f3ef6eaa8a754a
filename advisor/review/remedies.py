"""One set of remedies for a plan: settings that answer its findings, tried by reviewing the plan again with them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from advisor.choosing.job_advice import Advice
from advisor.model.operations import OperationRow
from advisor.review.coverage import MAIN
from advisor.review.finding import HEAVY
from advisor.review.verdict import Remedies, Remedy, Review, place_of, review

NUMBERS = (
    "axial_depth", "radial_width", "levels", "allowance_side", "allowance_bottom", "overcut", "ramp_angle",
    "feed_per_revolution", "feed_per_tooth", "feed_rate", "cutting_speed", "spindle_speed",
)  # fmt: skip
ONE_BY_ONE = (  # tried before all numbers are left to the advisor: one number, then some that go together
    ("feed_per_revolution", "feed_per_tooth", "feed_rate"),
    ("cutting_speed", "spindle_speed"),
    ("radial_width",),
    ("axial_depth", "levels"),
    ("ramp_angle",),
    ("allowance_side", "allowance_bottom", "overcut"),
    ("axial_depth", "levels", "allowance_bottom", "overcut"),
    ("cutting_speed", "spindle_speed", "feed_per_revolution", "feed_per_tooth", "feed_rate"),
)
WAY = ("method", "entry", "entry_cutter")


def remedied(found: Review) -> Review:
    """A review with the set of remedies for it."""
    return found._replace(remedies=remedies(found))


def remedies(found: Review) -> Remedies:
    """The set of remedies for what a review would stop or change.

    Of each operation so little is changed as answers most of that: first its coolant is left to the advisor, then one
    of its numbers where that answers all and costs little time, then all its numbers, then both. Where it is to be
    stopped, or a rule about method, cutter or entry speaks against it, its method and entry are too, and last its
    cutter. What remains has to be answered in words.
    """
    heavy = _heavy(found)
    if not heavy:
        return Remedies()
    chosen: dict[int, OperationRow] = {}
    left = heavy
    for change in (_coolant_open, _numbers_open, _both_open, _way_open, _as_advised):
        wrong = _of_the_way(found) if change in (_way_open, _as_advised) else set(left)
        rows = {number: row for number in left if number in wrong and (row := change(found, number)) is not None}
        if not rows:
            continue
        if change is _numbers_open:
            rows |= _one_number_open(found, chosen, rows)
        then = _heavy(_again(found, chosen | rows))
        for number, row in rows.items():
            if then.get(number, Counter()) < left[number]:
                chosen[number] = row
        left = {number: rules for number, rules in _heavy(_again(found, chosen)).items() if number in heavy}
        if not left:
            break
    if not chosen:
        return Remedies()
    then_found = _again(found, chosen)
    stays = {place_of(finding) for finding in then_found.findings}
    answered = {place_of(one) for one in found.findings if one.operation in chosen} - stays
    return Remedies(tuple(_changes(found, then_found, chosen)), frozenset(answered))


def _heavy(found: Review) -> dict[int, Counter[tuple[str | None, str]]]:
    """By operation what is to be stopped or changed in it."""
    told: dict[int, Counter[tuple[str | None, str]]] = {}
    for finding in found.findings:
        if finding.operation is not None and finding.weight in HEAVY:
            told.setdefault(finding.operation, Counter())[finding.feature, finding.rule.id] += 1
    return told


def _of_the_way(found: Review) -> set[int | None]:
    """The operations that are to be stopped, or whose method, cutter or entry a rule speaks against."""
    return {
        finding.operation
        for finding in found.findings
        if finding.weight == "stop" or (finding.weight in HEAVY and finding.rule.stage != "review")
    }


def _row(found: Review, number: int) -> OperationRow:
    return next(one.row for one in found.plan.operations if one.number == number)


def _coolant_open(found: Review, number: int) -> OperationRow | None:
    """An operation with its coolant left to the advisor, where the plan says one."""
    row = _row(found, number)
    return row.model_copy(update={"coolant": None}) if row.coolant else None


def _both_open(found: Review, number: int) -> OperationRow | None:
    """An operation with its coolant and its numbers left to the advisor."""
    row = _row(found, number)
    return row.model_copy(update=dict.fromkeys((*NUMBERS, "coolant"))) if row.coolant else None


def _numbers_open(found: Review, number: int) -> OperationRow:
    """An operation with its numbers left to the advisor."""
    return _row(found, number).model_copy(update=dict.fromkeys(NUMBERS))


def _one_number_open(
    found: Review, chosen: Mapping[int, OperationRow], opened: Mapping[int, OperationRow]
) -> dict[int, OperationRow]:
    """Operations with one of their numbers left to the advisor, of those for which that answers all and takes at most
    ``review_time_ratio`` times as long as with all of them left to it.
    """
    every = _times(_again(found, {**chosen, **opened}))
    answered: dict[int, OperationRow] = {}
    for names in ONE_BY_ONE:
        rows = {number: row for number in opened if (row := _left_open(found, number, names)) is not None}
        rows = {number: row for number, row in rows.items() if number not in answered}
        if not rows:
            continue
        then = _again(found, {**chosen, **rows})
        heavy, times = _heavy(then), _times(then)
        for number, row in rows.items():
            most = found.bench.limits["review_time_ratio"] * every.get(number, 0.0)
            if number not in heavy and times.get(number, 0.0) <= most:
                answered[number] = row
    return answered


def _left_open(found: Review, number: int, names: Sequence[str]) -> OperationRow | None:
    """An operation with these numbers left to the advisor, where the plan says one of them and others beside it."""
    row = _row(found, number)
    said = {name for name in NUMBERS if getattr(row, name) is not None}
    return row.model_copy(update=dict.fromkeys(names)) if said & set(names) and said - set(names) else None


def _times(found: Review) -> dict[int, float]:
    """The time of each operation [s]."""
    told: dict[int, float] = {}
    for one in found.operations:
        told[one.operation.number] = told.get(one.operation.number, 0.0) + one.candidate.time
    return told


def _way_open(found: Review, number: int) -> OperationRow:
    """An operation with all but its cutter left to the advisor."""
    return _row(found, number).model_copy(update=dict.fromkeys((*NUMBERS, *WAY)))


def _as_advised(found: Review, number: int) -> OperationRow | None:
    """An operation by the advised way, where there is one of it and that is the same for its features."""
    judged = [one for one in found.operations if one.operation.number == number and one.role == MAIN]
    best = [one.advice.best for one in judged if one.advice.best is not None]
    ways = {(one.method, one.cutter.id, one.entry, one.drill.id if one.drill else None) for one in best}
    if len(best) != len(_row(found, number).feature) or len(ways) != 1:
        return None
    method, cutter, entry, drill = ways.pop()
    way = {"method": method, "cutter": cutter, "entry": entry, "entry_cutter": drill}
    return _row(found, number).model_copy(update=dict.fromkeys(NUMBERS) | way)


def _again(found: Review, rows: Mapping[int, OperationRow]) -> Review:
    """The review of the plan with some operations changed."""
    operations = tuple(one._replace(row=rows.get(one.number, one.row)) for one in found.plan.operations)
    features = {judged.feature_id: judged.advice for judged in found.operations}
    advice = Advice(found.assignment, found.bench, tuple(features.values()), failed=found.failed)
    return review(found.plan._replace(operations=operations), found.assignment, advice)


def _changes(found: Review, then: Review, chosen: Mapping[int, OperationRow]) -> Iterator[Remedy]:
    changed = {(one.operation.number, one.feature_id): one.candidate for one in then.operations}
    for one in found.operations:
        place = (one.operation.number, one.feature_id)
        if one.operation.number in chosen and place in changed:
            yield Remedy(one, changed[place])
