"""The best found so far, and which candidates can still come before them: the incumbents of the search."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple, TypeVar

from advisor.choosing.ranking import Limits, Objections, rank_key_of
from advisor.choosing.rigidity import tied_most
from advisor.methods.pace import NEVER
from advisor.model.candidate import FORBIDDEN, FREELY, GOOD, GRADES, POOR, WORKABLE, Candidate

ROUNDING = 1e-6  # of a time: two ways of adding up the same path may differ in the last digits
KEPT = 2
Kept = TypeVar("Kept", bound=float | tuple[Objections, float])


class Bound(NamedTuple):
    """What a method with a cutter can be at best: grade, what speaks against it, time [s]."""

    grade: int
    objections: Objections
    time: float


class Margin(NamedTuple):
    """What may still come first beside a quickest way: within ``band`` times its time, or workable below ``share`` of
    it; ``tie`` is the share of its give that counts as equally stiff.
    """

    band: float
    share: float
    tie: float = 0.0

    @classmethod
    def of(cls, limits: Limits) -> Margin:
        """The margin by the thresholds."""
        band, share = (1 + limits["time_band"]) * (1 + ROUNDING), limits["rating_time_share"] * (1 + ROUNDING)
        return cls(band, share, limits["stiffness_tie"])

    def spare(self, grade: int, good: float, workable: float, poor: float) -> float:
        """The time [s] above which nobody comes first whose grade is at best this one, beside the quickest times of
        each grade; ``workable`` is that of those that may come before a good one, and ``poor`` is below 0 where no poor
        way can come first at all.
        """
        most = self.band * poor
        if grade <= WORKABLE:
            most = max(most, min(self.band * workable, self.share * good))
        return max(most, self.band * good) if grade <= GOOD else most


def counts_ahead(candidate: Candidate, none_overtakes: bool) -> bool:
    """Whether a workable way is one that others are held against: one that may freely come before a good one, or any
    where none may.
    """
    return candidate.grade == GRADES[WORKABLE] and (candidate.overtakes == FREELY or none_overtakes)


# Whether the cut pushes the cutter aside, how it leaves the corners, how far its tip gives way [µm/N].
Firm = tuple[bool, int, float]


@dataclass(slots=True)
class Found:
    """Ways found so far by their grade: cutter, time that counts [s], how firm they are; of workable ones those that
    may freely come before a good one, or all where ``none_overtakes``. ``tie`` is the share of its give that counts as
    equally stiff.
    """

    tie: float = 0.0
    none_overtakes: bool = False
    ways: dict[int, list[tuple[str, float, Firm]]] = field(default_factory=lambda: {GOOD: [], WORKABLE: []})

    def take(self, candidate: Candidate, grade: int) -> None:
        """Look at a candidate."""
        if grade == GOOD or counts_ahead(candidate, self.none_overtakes):
            rank_key = rank_key_of(candidate)
            self.ways[grade].append((candidate.cutter.id, rank_key.time, rank_key.firmness[:3]))

    def before(self, grade: int, time: float, firm: Firm, times: int) -> bool:
        """Whether so many cutters come before one with such a grade at best, that takes no less than this time [s].

        Whoever is as well graded, no slower and noticeably firmer comes before it, whoever else is there.
        """
        if grade > WORKABLE:
            return False
        names = {
            name
            for better in range(grade + 1)
            for name, taken, its in self.ways[better]
            if taken * (1 + ROUNDING) <= time and (*its[:2], tied_most(its[2], self.tie)) < firm
        }
        return len(names) >= times


@dataclass(slots=True)
class Best:
    """The quickest two cutters of a method in each grade, and the two poor ones that least speaks against."""

    margin: Margin
    none_overtakes: bool = False
    times: dict[int, dict[str, float]] = field(default_factory=lambda: {GOOD: {}, WORKABLE: {}, POOR: {}})
    ahead: dict[str, float] = field(default_factory=dict)
    nearest: dict[str, tuple[Objections, float]] = field(default_factory=dict)
    found: Found = field(default_factory=Found)

    def __post_init__(self) -> None:
        """Ways are found by the same limits."""
        self.found.none_overtakes, self.found.tie = self.none_overtakes, self.margin.tie

    @property
    def open(self) -> bool:
        """Whether fewer than two cutters are allowed, so that a forbidden one may stand beside."""
        return len({name for kept in self.times.values() for name in kept}) < KEPT

    def take(self, candidate: Candidate) -> None:
        """Look at a candidate; of one cutter the best counts, and what is forbidden does not."""
        grade = GRADES.index(candidate.grade)
        if grade == FORBIDDEN:
            return
        self.found.take(candidate, grade)
        _keep(self.times[grade], candidate.cutter.id, candidate.counted)
        if grade == POOR:
            _keep(self.nearest, candidate.cutter.id, (rank_key_of(candidate).objections, candidate.counted))
        if counts_ahead(candidate, self.none_overtakes):
            _keep(self.ahead, candidate.cutter.id, candidate.counted)

    def beaten(self, bound: Bound, firm: Firm) -> bool:
        """Whether firmer ways are no slower than such a bound, whichever one cutter is left away."""
        return self.found.before(bound.grade, bound.time, firm, KEPT)

    def spare(self, bound: Bound) -> float:
        """The time [s] above which a candidate with such a bound is beaten, whichever one cutter is left away."""
        good, workable = _second(self.times[GOOD]), _second(self.ahead)
        if len({*self.times[GOOD], *self.times[WORKABLE]}) >= KEPT:
            poor = -1.0
        elif bound.grade < POOR or len(self.nearest) < KEPT:
            poor = NEVER
        else:
            poor = _beyond(*max(self.nearest.values()), bound.objections)
        return self.margin.spare(bound.grade, good, workable, poor)


@dataclass(slots=True)
class First:
    """The quickest way of each grade, for the best candidate alone; none need be found that takes longer than ``most``
    [s] with the ``grade``.
    """

    margin: Margin
    grade: int = FORBIDDEN
    most: float = NEVER
    none_overtakes: bool = False
    times: list[float] = field(default_factory=lambda: [NEVER] * FORBIDDEN)
    ahead: float = NEVER
    nearest: tuple[Objections, float] | None = None
    found: Found = field(default_factory=Found)

    def __post_init__(self) -> None:
        """Ways are found by the same limits."""
        self.found.none_overtakes, self.found.tie = self.none_overtakes, self.margin.tie

    def take(self, candidate: Candidate) -> None:
        """Look at a candidate."""
        grade = GRADES.index(candidate.grade)
        if grade < FORBIDDEN:
            self.found.take(candidate, grade)
            self.times[grade] = min(self.times[grade], candidate.counted)
        if counts_ahead(candidate, self.none_overtakes):
            self.ahead = min(self.ahead, candidate.counted)
        if grade == POOR:
            taken = rank_key_of(candidate).objections, candidate.counted
            self.nearest = min(self.nearest or taken, taken)

    def beaten(self, bound: Bound, firm: Firm) -> bool:
        """Whether a firmer way is no slower than such a bound."""
        return self.found.before(bound.grade, bound.time, firm, 1)

    def spare(self, bound: Bound) -> float:
        """The time [s] above which a candidate with such a bound is beaten."""
        good, workable, _ = self.times
        if min(good, workable) < NEVER:
            poor = -1.0
        else:
            poor = _beyond(*self.nearest, bound.objections) if self.nearest is not None else NEVER
        most = self.margin.spare(bound.grade, good, self.ahead, poor)
        if bound.grade < self.grade or self.grade == POOR:
            return most
        quick = bound.grade == self.grade or (bound.grade == WORKABLE and self.grade == GOOD)
        return min(most, self.margin.band * self.most if quick else -1.0)


def _second(times: Mapping[str, float]) -> float:
    """The second time of two cutters; no time at all of fewer."""
    return max(times.values()) if len(times) == KEPT else NEVER


def _beyond(last: Objections, time: float, bound: Objections) -> float:
    """The time that counts where all before it is equal; none where the bound is better, any where it is worse."""
    return time if last == bound else -1.0 if last < bound else NEVER


def _keep(best: dict[str, Kept], name: str, found: Kept) -> None:
    best[name] = min(best.get(name, found), found)
    if len(best) > KEPT:
        del best[max(best, key=best.__getitem__)]
