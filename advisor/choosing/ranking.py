"""The order of candidates: rating, then time, with the limits on that which keep the order a shop's own.

Candidates are put into tiers: workable ones that take less than ``rating_time_share`` of the quickest good one's time
(``rating_time_share_held`` where they are held far back) and save ``rating_time_saving_least``, then the good, the
other workable, the poor and the forbidden ones. Of the poor ones each that less speaks against is a tier before the
others. In a tier all that are within ``time_band`` of its quickest count as equally quick: of them a cutter that goes
into the corners comes first, then one that stops in them, then one that leaves them to a second cutter; then the cutter
that gives way least, then fewer levels, then the wider cutter, then the time. All that give way no more than
``stiffness_tie`` further than the stiffest of these count as equally stiff, unless nothing else decides. The rest
follow by time. What a shop prefers comes first within the sound tiers, each preference before the next: a way that
meets it is a tier before those of its rating that do not, and never before one of another tier. The reference is
always the quickest of the tier, and the stiffest of those as quick, so the order is one of the whole set, and no name
is asked.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from itertools import groupby
from typing import NamedTuple

from advisor.choosing.drill_sizes import right_size
from advisor.choosing.rigidity import DECIDE, Firmness, corners_left, outdone, tied_most, tip_rounded
from advisor.knowledge.conditions import Facts
from advisor.knowledge.schema import Rule, RuleBase
from advisor.methods.pace import NEVER
from advisor.methods.registry import METHODS
from advisor.model.answer import Decided, Order, Preferred
from advisor.model.candidate import (
    FORBIDDEN,
    FREELY,
    GOOD,
    GRADES,
    HELD_BACK,
    NO_PREFERENCES,
    NOT_AT_ALL,
    POOR,
    SOUND,
    WORKABLE,
    Candidate,
)
from advisor.model.cutter import Cutter
from advisor.situation.pairings import ways

TIME_DECIMALS = 9  # decimals of a second: one cut by two names differs by less, and only in how it was added up
Limits = Mapping[str, float]


class Objections(NamedTuple):
    """What speaks against a poor way; the least comes first.

    ``stops``, ``changes`` and ``others`` are the numbers of rules against it, by the weight of their finding, the
    gravest first; ``left`` is what a drill leaves on the side [mm].
    """

    stops: int = 0
    changes: int = 0
    others: int = 0
    left: float = 0.0


NO_OBJECTIONS = Objections()
OBJECTED = (*(Decided.AGAINST,) * 3, Decided.LEFT)  # what each field of Objections is called where it decides
Tier = tuple[float, ...]
Key = tuple[Decided, float]  # one of the values that ways are sorted by, with the name of what it is
WITHIN, BEYOND = 0.0, 1.0  # the band of the quickest of a tier
_WITHIN = (Decided.TIME, *DECIDE, Decided.TIME, Decided.COMPLIANCE)  # what decides within that band, in order
_BEYOND = (Decided.TIME, Decided.TIME, *DECIDE)


class Overtaking(NamedTuple):
    """What a workable way must save beside the quickest good one to come before it: below which share of its time it
    must take (not at all, held back, freely), and how much it must save [s].
    """

    shares: tuple[float, float, float]
    saving: float

    @classmethod
    def of(cls, limits: Limits) -> Overtaking:
        """What it must save by the thresholds."""
        shares = 0.0, limits["rating_time_share_held"], limits["rating_time_share"]
        return cls(shares, limits["rating_time_saving_least"])

    def below(self, overtakes: int, good: float) -> float:
        """The time below which a workable way comes before a good one [s]."""
        return min(self.shares[overtakes] * good, good - self.saving)


class RankKey(NamedTuple):
    """What a candidate is ranked by: place of its grade, the time that counts [s], firmness; of a workable one whether
    it may come before a good one (``NOT_AT_ALL``, ``HELD_BACK`` or ``FREELY``), of a poor one what speaks against it;
    ``behind`` is 0 for each preference of the shop that it meets, else 1.
    """

    grade: int
    time: float
    firmness: Firmness
    overtakes: int = FREELY
    objections: Objections = NO_OBJECTIONS
    behind: tuple[float, ...] = ()


class Tiers(NamedTuple):
    """The quickest good time of a set [s]; of each tier the time up to which all are equally quick [s], and up to which
    compliance of the tip those of them that are pushed aside and leave rest alike are equally stiff [µm/N].
    """

    good: float
    overtaking: Overtaking
    band: Mapping[Tier, float]
    stiff: Mapping[tuple[Tier, bool, int], float]

    def place(self, rank_key: RankKey) -> tuple[float, ...]:
        """What a way of the set is sorted by."""
        tier = tier_of(rank_key, self.good, self.overtaking)
        time, firmness = round(rank_key.time, TIME_DECIMALS), rank_key.firmness
        if rank_key.time > self.band[tier]:
            return (*tier, BEYOND, time, *firmness)
        if firmness.compliance <= self.stiff[tier, firmness.aside, firmness.rest]:
            tied = firmness._replace(compliance=0.0)
            return (*tier, WITHIN, *tied, time, firmness.compliance)
        return (*tier, WITHIN, *firmness, time, firmness.compliance)

    def keys(self, rank_key: RankKey) -> list[Key]:
        """What a way of the set is sorted by, in order, each with the name of what it is."""
        within = rank_key.time <= self.band[tier_of(rank_key, self.good, self.overtaking)]
        beside = OBJECTED if rank_key.grade >= POOR else (Decided.PREFERRED,) * len(rank_key.behind)
        decides = _WITHIN if within else _BEYOND
        return list(zip((Decided.GRADE, *beside, *decides), self.place(rank_key), strict=True))


def tier_of(rank_key: RankKey, good: float, overtaking: Overtaking) -> Tier:
    """The tier of a way beside a quickest good time [s]: what puts it there, in order. A grade of 0 is a workable
    way so quick that it goes first.
    """
    if rank_key.grade >= POOR:  # what the rules are against, no shop prefers
        return (rank_key.grade + 1.0, *rank_key.objections)
    first = rank_key.grade == WORKABLE and good < NEVER and rank_key.time < overtaking.below(rank_key.overtakes, good)
    return (0.0 if first else rank_key.grade + 1.0, *rank_key.behind)


def tiers(rank_keys: Iterable[RankKey], limits: Limits) -> Tiers:
    """The tiers of a set."""
    every, overtaking = list(rank_keys), Overtaking.of(limits)
    good = min((one.time for one in every if one.grade == GOOD), default=NEVER)
    placed = [(one, tier_of(one, good, overtaking)) for one in every]
    quickest: dict[Tier, float] = {}
    for one, tier in placed:
        quickest[tier] = min(quickest.get(tier, NEVER), one.time)
    band = {tier: time * (1 + limits["time_band"]) for tier, time in quickest.items()}
    stiffest: dict[tuple[Tier, bool, int], float] = {}
    for one, tier in placed:
        if one.time <= band[tier]:
            aside, rest, compliance, *_ = one.firmness
            stiffest[tier, aside, rest] = min(stiffest.get((tier, aside, rest), NEVER), compliance)
    stiff = {alike: tied_most(compliance, limits["stiffness_tie"]) for alike, compliance in stiffest.items()}
    return Tiers(good, overtaking, band, stiff)


def first_of(rank_keys: Sequence[RankKey], limits: Limits) -> list[int]:
    """Where in a set those stand that come first in it: several only where they are alike in all that is sorted by."""
    among = tiers(rank_keys, limits)
    if not among.band:
        return []
    tier = min(among.band)
    quick = [(at, one) for at, one in enumerate(rank_keys) if one.time <= among.band[tier]]  # the first is among them
    front = [(at, among.place(one)) for at, one in quick if tier_of(one, among.good, among.overtaking) == tier]
    least = min(place for _, place in front)
    return [at for at, place in front if place == least]


def objections_of(against: Iterable[Rule], left: float = 0.0) -> Objections:
    """What some rules against a way make of it; ``left`` is what a drill leaves on the side [mm]."""
    weights = [rule.weight for rule in against]
    stops, changes = weights.count("stop"), weights.count("change")
    return Objections(stops, changes, len(weights) - stops - changes, left)


def standing(fired: Sequence[Rule]) -> tuple[Rule, ...]:
    """The fired rules that no other fired rule overrides; beside one that forbids outright, none that speaks for it."""
    overridden: set[str] = set()
    outright = False
    for rule in fired:  # a loop, since this is asked of every pair of a method and a cutter
        overridden.update(rule.overrides)
        outright = outright or rule.outright
    if outright:
        overridden |= {rule.id for rule in fired if rule.verdict == "for"}
    return tuple(rule for rule in fired if rule.id not in overridden) if overridden else tuple(fired)


def left_over(facts: Facts) -> float:
    """What a drill leaves on the side [mm], by the facts of a way: of two drills that are too small, the wider is the
    nearer.

    One that leaves no more than the hole should keep is not too small: 0.
    """
    left, over = facts.get("wall_rest", 0.0), facts.get("left_over")
    enough = isinstance(over, float) and over <= 0
    return left if isinstance(left, float) and not enough else 0.0


def against_of(candidate: Candidate) -> Objections:
    """What speaks against a way."""
    return objections_of(
        (rule for rule in standing(candidate.fired) if rule.verdict == "against"), left_over(candidate.facts)
    )


def rank_key_of(candidate: Candidate) -> RankKey:
    """What a candidate is ranked by."""
    levels = candidate.plan.levels if candidate.plan else 0
    method = METHODS[candidate.method]
    if method.in_turns:
        levels = min(levels, 1)
    aside, rest = method.pushed_aside, corners_left(candidate.facts)
    firmness = Firmness(aside, rest, tip_rounded(candidate.compliance), levels, -candidate.cutter.DC)
    grade = GRADES.index(candidate.grade)
    overtakes = candidate.overtakes if grade == WORKABLE else FREELY
    objections = against_of(candidate) if grade == POOR else NO_OBJECTIONS
    behind = tuple([0.0 if met else 1.0 for met in candidate.meets.values()])
    return RankKey(grade, candidate.counted, firmness, overtakes, objections, behind)


def thin_there(facts: Facts) -> bool:
    """Whether a wall or the floor of a feature is thin, beside which no workable way comes before a good one."""
    return "thin" in (facts.get("wall_kind"), facts.get("floor_kind"))


def may_overtake(facts: Facts, limits: Limits) -> int:
    """Whether a way may come before a good one if it is workable and quick enough: not where something thin gives way
    beside it, and where spindle or stiffness holds it far back only if it is quicker still.
    """
    if thin_there(facts):
        return NOT_AT_ALL
    held = (("rate_kept", "overtaking_rate_least"), ("load_kept", "overtaking_load_least"))
    far = any(isinstance(kept := facts.get(fact), float) and kept < limits[least] for fact, least in held)
    return HELD_BACK if far else FREELY


def time_factor(facts: Facts, pushed_aside: bool, limits: Limits) -> float:
    """The factor on the time of a way when it is ranked: a cutter that is likely to chatter must be quicker by that,
    and so must one that is ground for another material.
    """
    slender = facts.get("slenderness", 0.0)
    likely = pushed_aside and isinstance(slender, float) and slender > limits["chatter_slenderness"]
    factor = limits["slender_time_factor"] if likely else 1.0
    return factor * (limits["ground_time_factor"] if facts.get("ground_here") == "no" else 1.0)


def ranked(every: Iterable[Candidate], limits: Limits) -> list[Candidate]:
    """The candidates in their order, best first; ``limits`` are the thresholds by name."""
    pairs = [(rank_key_of(candidate), candidate) for candidate in every]
    among = tiers((rank_key for rank_key, _ in pairs), limits)
    placed = sorted(((among.place(rank_key), candidate) for rank_key, candidate in pairs), key=lambda pair: pair[0])
    found: list[Candidate] = []
    for _, group in groupby(placed, key=lambda pair: pair[0]):
        alike = [candidate for _, candidate in group]
        found.extend(sorted(alike, key=particulars) if len(alike) > 1 else alike)
    return found


def foremost_of(every: Iterable[Candidate], limits: Limits) -> Candidate | None:
    """The best of some candidates, or nothing where all are forbidden."""
    allowed = [candidate for candidate in every if candidate.grade != "forbidden"]
    if len(allowed) < 2:
        return allowed[0] if allowed else None
    first = [allowed[at] for at in first_of([rank_key_of(candidate) for candidate in allowed], limits)]
    return min(first, key=particulars) if len(first) > 1 else first[0]


def particulars(candidate: Candidate) -> tuple[object, ...]:
    """What makes the order of ways certain that are equal in all that counts: what they are, names last of all."""
    drill = candidate.drill
    return (
        candidate.without_drill is not None,
        round(candidate.time, TIME_DECIMALS),
        drill is not None,
        list(ways()).index(candidate.method),
        candidate.entry or "",
        _make(candidate.cutter),
        _make(drill) if drill else (),
        candidate.cutter.id,
        drill.id if drill else "",
    )


@cache
def _fields() -> tuple[str, ...]:
    return tuple(name for name in Cutter.model_fields if name not in ("id", "assumed"))


def _make(cutter: Cutter) -> tuple[object, ...]:
    """All that a cutter is but its name, the shorter first."""
    return (cutter.LPR, cutter.LU, *(repr(getattr(cutter, name)) for name in _fields()))


def front(every: Sequence[Candidate], limits: Limits) -> list[Candidate]:
    """Of some candidates those that may come first, whoever stands beside them: of each grade the quickest, and each
    that none that is quicker outdoes.
    """
    found: list[Candidate] = []
    rank_keys = [(rank_key_of(item), particulars(item), item) for item in every if item.grade != "forbidden"]
    kinds = {_kind(rank_key) for rank_key, _, _ in rank_keys}
    for kind in sorted(kinds):
        kept: list[Firmness] = []
        same = [one for one in rank_keys if _kind(one[0]) == kind]
        for rank_key, _, item in sorted(
            same, key=lambda one: (round(one[0].time, TIME_DECIMALS), one[0].firmness, one[1])
        ):
            if not any(outdone(rank_key.firmness, firmness, limits["stiffness_tie"]) for firmness in kept):
                kept.append(rank_key.firmness)
                found.append(item)
    return found


def _kind(rank_key: RankKey) -> tuple[object, ...]:
    return rank_key.grade, rank_key.overtakes, rank_key.objections, rank_key.behind


def quickest(every: Iterable[Candidate], grade: str, overtaking: int = NOT_AT_ALL) -> Candidate | None:
    """The quickest candidate of a grade by the time that counts, if there is any; of those that may come before a good
    one as asked.
    """
    same = [candidate for candidate in every if candidate.grade == grade and candidate.overtakes >= overtaking]
    return min(same, key=lambda item: (item.counted, rank_key_of(item).firmness, particulars(item)), default=None)


def worth_the_drill(found: Sequence[Candidate], limits: Limits) -> Sequence[Candidate]:
    """The ways of one method with one cutter, each through a hole with the time of the way that needs no drill, where
    the hole does not save enough beside it.

    A hole that spares the cutter is worth its drill whatever it saves.
    """
    if not any(item.drill for item in found):
        return found
    others = [item for item in found if item.drill is None and item.grade != "forbidden"]

    def judged(item: Candidate) -> Candidate:
        grade = GRADES.index(item.grade)
        if item.drill is None or grade == FORBIDDEN or "hole_worth" in item.facts:
            return item
        beside = min((other.time for other in others if GRADES.index(other.grade) <= grade), default=NEVER)
        least = max(limits["hole_saving_least"], limits["hole_saving_share_least"] * beside)
        return item if beside == NEVER or beside - item.time >= least else item._replace(without_drill=beside)

    return [judged(item) for item in found]


def order_between(first: Candidate, second: Candidate, every: Iterable[Candidate], limits: Limits) -> Order:
    """What puts the first of two ways before the second, among all that were ranked with them: the first of the keys
    that they are sorted by in which they differ.
    """
    one, other = rank_key_of(first), rank_key_of(second)
    among = tiers((one, other, *map(rank_key_of, every)), limits)
    mine, its = among.keys(one), among.keys(other)
    place = next((place for place, (key, beside) in enumerate(zip(mine, its, strict=False)) if key != beside), None)
    if place is None:
        return _last_of_all(first, second)
    match mine[place][0]:
        case Decided.GRADE if one.grade == other.grade:  # workable ways, of which the first comes before the good ones
            return _by_time(first, second, limits) if one.time <= other.time else Order(Decided.OVERTAKES)
        case Decided.GRADE:
            return Order(Decided.GRADE, one.grade, other.grade)
        case Decided.PREFERRED:
            return Order(Decided.PREFERRED, preference=list(first.meets)[place - 1])
        case Decided.AGAINST:
            return Order(Decided.AGAINST, sum(one.objections[:3]), sum(other.objections[:3]))
        case Decided.LEFT:
            return Order(Decided.LEFT, one.objections.left, other.objections.left)
        case Decided.TIME:
            return _by_time(first, second, limits)
        case firmer:
            if second.time * (1 + limits["time_band"]) < first.time and (cause := _counts_longer(first, second)):
                return cause
            told = DECIDE.index(firmer)
            within = (Decided.TIME, WITHIN) in mine
            return Order(firmer, abs(float(one.firmness[told])), abs(float(other.firmness[told])), within)


def _by_time(first: Candidate, second: Candidate, limits: Limits) -> Order:
    """What puts a way first whose time counts less: why that of the other counts for more than it is, where by its own
    time it would not come later.
    """
    quick = 1 + limits["time_band"] if second.without_drill is not None else 1.0
    cause = _counts_longer(first, second) if second.time < first.time * quick else None
    return cause or Order(Decided.TIME, first.counted, second.counted)


def _counts_longer(first: Candidate, second: Candidate) -> Order | None:
    """Why the time of the second way counts for more than it is: a hole not worth its drill, a cutter that is likely to
    chatter, or one that is ground for another material, or a fillet along the floor that takes a second cutter; nothing
    where it does not, beside the first.
    """
    if second.without_drill is not None:
        return Order(Decided.DRILL, second.without_drill, second.time)
    if second.time_factor <= first.time_factor:
        return Order(Decided.FOOT, second.time, second.foot_time) if second.foot_time > first.foot_time == 0 else None
    if "no" == second.facts.get("ground_here") != first.facts.get("ground_here"):
        return Order(Decided.GROUND)
    return Order(Decided.SLENDER, float(first.facts["slenderness"]), float(second.facts["slenderness"]))


def _last_of_all(first: Candidate, second: Candidate) -> Order:
    """What puts the first of two ways before the second that are sorted by the same values: as ``particulars``, of
    which names decide nothing.
    """
    drilled = second.without_drill is not None and first.without_drill is None
    if drilled and (cause := _counts_longer(first, second)):
        return cause
    if round(first.time, TIME_DECIMALS) != round(second.time, TIME_DECIMALS):
        return Order(Decided.TIME, first.time, second.time)
    return Order(Decided.EQUAL)


def preferred(every: Sequence[Candidate], base: RuleBase) -> Preferred | None:
    """The preference of the shop that puts the best of some ranked ways first, and the way that would be first without
    any; nothing where it is first anyway.
    """
    if not every or not any(every[0].meets.values()) or every[0].grade not in SOUND:
        return None
    best, first = every[0], foremost_of((item._replace(meets=NO_PREFERENCES) for item in every), base.limits)
    without = next(item for item in every if first is not None and item._replace(meets=NO_PREFERENCES) == first)
    if without is best:
        return None
    met = [name for name, one in best.meets.items() if one]
    name = next((name for name in met if not without.meets.get(name, False)), met[0])
    return Preferred(base.preference(name), best, without)


def nearest(best: Candidate | None, rivals: Iterable[Candidate], limits: Limits) -> Candidate | None:
    """The rival that would be advised if these were all; where all are forbidden, one with the advised cutter, else the
    one that got furthest."""
    every = list(rivals)
    first = foremost_of(every, limits)
    return first or max(ranked(every, limits), key=lambda item: _furthest(item, best), default=None)


def _furthest(item: Candidate, best: Candidate | None) -> tuple[bool, bool, bool, int, bool, float, float]:
    """How far a forbidden candidate got: with the advised cutter, worked out, fitting in, with few rules against it, of
    drills one of the right size with the most room beneath its tip, reaching.
    """
    fits, reach = item.facts.get("fit_ratio", 1.0), item.facts.get("reach_margin", 0.0)
    numbers = isinstance(fits, float) and isinstance(reach, float)
    return (
        best is not None and item.cutter.id == best.cutter.id,
        item.plan is not None,
        numbers and float(fits) >= 1,
        -len(against(item)),
        right_size(item),
        float(item.facts.get("point_room", 0.0)),
        float(reach) if numbers else 0.0,
    )


def against(candidate: Candidate) -> tuple[Rule, ...]:
    """The rules that set a candidate back: those that forbid it, else those that speak against it."""
    fired = [rule for rule in standing(candidate.fired) if rule.verdict in NOT_FOR]
    forbidding = [rule for rule in fired if rule.verdict == "forbids"]
    return tuple(sorted(forbidding or fired, key=lambda rule: rule.stage != "clearing"))


NOT_FOR = {"against", "forbids"}
