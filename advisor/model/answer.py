"""The answer for a feature, with all that is told of it."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from typing import NamedTuple

from advisor.knowledge.conditions import Compare, Known, Situation, yes
from advisor.knowledge.schema import Preference, Rule
from advisor.model.candidate import Candidate
from advisor.model.cause import Held
from advisor.model.cutter import Cutter
from advisor.model.owner import Owner
from advisor.model.region import Region


class Decided(StrEnum):
    """What decides between two ways: what one of them is by the rules, what the shop prefers, its time, why that counts
    for more than it is, or how firm it is.
    """

    FORBIDDEN = "forbidden"
    GRADE = "grade"
    OVERTAKES = "overtakes"  # of two workable ways the first alone comes before the good ones
    PREFERRED = "preferred"
    AGAINST = "against"
    LEFT = "left"
    TIME = "time"
    DRILL = "drill"
    SLENDER = "slender"
    GROUND = "ground"
    FOOT = "foot"
    ASIDE = "aside"
    REST = "rest"
    COMPLIANCE = "compliance"
    LEVELS = "levels"
    WIDTH = "width"
    EQUAL = "equal"


SAME_TIME = 0.0005  # s: times that the rules could not tell apart


class RestSettings(NamedTuple):
    """How a cutter takes the rest in the corners: depth and number of levels, width [mm], speed [1/min], feed per tooth
    [mm] and feed [mm/min].
    """

    axial_depth: float
    levels: int
    radial_width: float
    spindle_speed: float
    feed_per_tooth: float
    feed_rate: float


class Rest(NamedTuple):
    """What is left in the corners: the widest cutter of the crib that reaches it at that depth, a square one sooner
    than one for high feeds, if any does; else the widest that would, were it ground for the material; else the
    narrowest that leaves there no more than finishing takes, though it stops. ``widest`` is how wide one may be [mm].
    ``settings`` are those of the cutter that reaches it; nothing where they cannot be worked out.
    """

    cutter: Cutter | None
    wrongly_ground: Cutter | None = None
    stopping: Cutter | None = None
    widest: float = 0.0
    settings: RestSettings | None = None


def with_rest(best: Candidate, rest: Rest | None) -> Candidate:
    """The way with the facts of its rest, for the cautions to read."""
    if rest is None:
        return best
    own: Situation = {"rest_reached": yes(rest.cutter), "rest_widest": rest.widest}
    if rest.cutter is not None:
        own |= {"rest_diameter": rest.cutter.DC, "rest_edge_angle": rest.cutter.KAPR}
    elif rest.wrongly_ground is not None:
        own["rest_diameter_other"] = rest.wrongly_ground.DC
    elif rest.stopping is not None:
        own["rest_diameter_stops"] = rest.stopping.DC
    return best._replace(facts=best.facts | own)


class NotAsked(NamedTuple):
    """An optional value of a feature that nobody gave, and the ids of the rules that wanted it; or an ``idle`` one that
    was given, though nothing can be worked out with it.
    """

    missing: str
    rules: tuple[str, ...] = ()
    idle: bool = False


class Breakpoint(NamedTuple):
    """A value of an input beyond which the advice is another: whose input, its name and unit, its value now and the
    one beyond which it is so, and what is advised there.

    ``owner_id`` is the id of the cutter or the name of the machine, if it is theirs. ``method`` is absent where no way
    is left.
    """

    owner: Owner
    owner_id: str
    name: str
    unit: str
    start: float
    at: float
    method: str | None
    cutter: str | None
    body: str | None
    entry: str | None

    @property
    def distance(self) -> float:
        """How far off it is, as a share of the value of today."""
        return abs(self.at - self.start) / self.start if self.start else abs(self.at)


class Upgrade(NamedTuple):
    """A cutter of the crib with one length changed [mm], and what it would then give beside the answer of today."""

    cutter: Cutter
    name: str
    length: float
    better: Candidate
    today: Candidate

    @property
    def saved(self) -> float:
        """The share of the time that it saves; negative where it is slower but better graded."""
        return 1 - self.better.time / self.today.time


class LengthChange(NamedTuple):
    """A length of a feature, from its value now to another [mm]; ``before`` is absent where none is given."""

    name: str
    before: float | None
    after: float


class Repair(NamedTuple):
    """A change that opens a way for a feature, or betters it: some of its lengths, a cutter to buy, or both.

    ``then`` is the best way with the change, and ``now`` the best of today, where there is one to compare it with.
    """

    lengths: tuple[LengthChange, ...]
    cutter: Cutter | None
    then: Candidate
    now: Candidate | None = None


class Order(NamedTuple):
    """What puts one way before another, and its values for both; nothing where they are equal.

    Counts for against and levels, mm for left and width, s for time, drill and foot, µm/N for compliance, diameters
    for slender. ``preference`` is the id of one that the shop prefers. ``within`` is whether both are within the band
    of the quickest, where stiffness and what follows decide; else they count as taking the same time.
    """

    by: Decided
    first: float = 0.0
    second: float = 0.0
    within: bool = True
    preference: str = ""


class UnmetRule(NamedTuple):
    """The rule for a method that came nearest to firing, and the first comparison of it that does not hold."""

    rule: Rule
    condition: Compare | Known


class Difference(NamedTuple):
    """What decides between the advised way, if there is one, and another.

    ``rules`` are those that set the other back: that forbid it or speak against it; of two poor ways the first that is
    not against the advised one. ``unmet`` is the rule that came nearest to speaking for a way of lower grade that no
    rule is against, if there is any. ``order`` is what puts the advised way before one of the same grade.
    """

    best: Candidate | None
    rival: Candidate
    rules: tuple[Rule, ...] = ()
    unmet: UnmetRule | None = None
    order: Order | None = None

    @property
    def by(self) -> Decided:
        """What the difference lies in: as ``Order.by``, or equal where times hardly differ."""
        if self.order is not None:
            alike = self.order.by == Decided.TIME and self.longer < SAME_TIME
            return Decided.EQUAL if alike else self.order.by
        if self.rules and self.rival.grade == "forbidden":
            return Decided.FORBIDDEN
        return Decided.GRADE if self.best is not None else Decided.EQUAL

    @property
    def rule(self) -> Rule | None:
        """The rule that decides, if one does."""
        return self.rules[0] if self.rules else None

    @property
    def longer(self) -> float:
        """By how much the other way takes longer than the advised one [s]; 0 where nothing was advised."""
        return self.rival.time - self.best.time if self.best is not None else 0.0


class Choice(NamedTuple):
    """What puts the advised way first where no rule speaks for it.

    ``good`` is the best of the good ways where a workable one comes before them, and ``unmet`` the rule that came
    nearest to making that one good. Otherwise ``following`` is the next way by another method or cutter, absent where
    the advised one is the only one of its grade, and ``order`` what puts it before ``quickest``, the quickest of its
    grade that as little speaks against.
    """

    best: Candidate
    good: Candidate | None = None
    unmet: UnmetRule | None = None
    following: Candidate | None = None
    quickest: Candidate | None = None
    order: Order = Order(Decided.EQUAL)


class Alternative(NamedTuple):
    """A way that was not advised: in what it differs, which rules set it back, the deciding difference, and for one
    that loses by its time the setting whose holding back costs most of it.
    """

    candidate: Candidate
    differs: str
    reasons: tuple[Rule, ...]
    difference: Difference
    held: Held | None = None


class Failed(NamedTuple):
    """The id of a feature for which there is no answer, and the error that came up."""

    feature: str
    error: str

    @classmethod
    def of(cls, feature: str, error: Exception) -> Failed:
        """What came up while a feature was worked out."""
        return cls(feature, f"{type(error).__name__}: {error}")


class Preferred(NamedTuple):
    """The preference of the shop that put the best way first, and the way of the same rating that would be first
    without any.
    """

    preference: Preference
    best: Candidate
    without: Candidate

    @property
    def longer(self) -> float:
        """What the preference costs in time [s]; below 0 where it saves some."""
        return self.best.time - self.without.time


class FeatureAdvice(NamedTuple):
    """The answer for one feature.

    ``best`` is absent when every candidate is forbidden; ``candidates`` are sorted, best first. ``about_feature`` are
    the rules that fired on the feature alone; ``cautions`` those for the best candidate; ``changes`` the breakpoints of
    the answer and ``upgrades`` what a longer cutter would do, where that was asked for. ``preferred`` is there where
    the best comes first by what the shop prefers. What follows it is there in an answer of ``advisor.service``: the
    ways that were set back; where there is no way, the nearest of each method with the rule that forbids it; the way to
    be drawn; what puts the best first where no rule speaks for it; and what would open a way, or better it.
    """

    region: Region
    best: Candidate | None
    candidates: Sequence[Candidate]
    about_feature: tuple[Rule, ...]
    cautions: tuple[Rule, ...]
    not_asked: tuple[NotAsked, ...]
    facts: Situation
    changes: tuple[Breakpoint, ...] = ()
    upgrades: tuple[Upgrade, ...] = ()
    rest: Rest | None = None
    preferred: Preferred | None = None
    alternatives: tuple[Alternative, ...] = ()
    obstacles: tuple[tuple[tuple[Candidate, ...], Rule], ...] = ()
    shown: Candidate | None = None
    chosen: Choice | None = None
    repairs: tuple[Repair, ...] = ()

    @property
    def grade(self) -> str:
        """The grade of the answer."""
        return self.best.grade if self.best else "forbidden"

    @property
    def cautioned(self) -> Situation:
        """The facts that the cautions are asked with: those of the best way, and who takes what it leaves."""
        return with_rest(self.best, self.rest).facts if self.best else self.facts
