"""What forbids a way, and which single change of an input would lift it. Everything told here has been re-run."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from advisor.analysis.inputs import Input, changed_cutter, changed_feature, field_of, inputs_of, value_of
from advisor.analysis.rival import deciding_facts
from advisor.analysis.standard_cutters import drill_to_size, sizes, suiting_drill
from advisor.choosing import ranking
from advisor.choosing.advice import places_of
from advisor.choosing.candidates import candidates
from advisor.choosing.drill_sizes import right_size
from advisor.choosing.ranking import ranked
from advisor.knowledge.conditions import Compare, holds, leaves
from advisor.knowledge.evidence import quantised
from advisor.knowledge.schema import Rule
from advisor.mechanics.bisection import closest
from advisor.mechanics.lengths import pieces, steps
from advisor.methods.registry import METHODS
from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter
from advisor.model.features import FeatureBase
from advisor.model.owner import Owner
from advisor.situation.bench import Bench

STEPS = {"ZEFP": 1.0}
STEP = 0.1  # mm or degrees: what a change is told to
FAR = (10.0, 3.0, 2.0, 1.5, 1.2)  # how many times as much to look first, and where no feature can be so, next
GRID = 8
SIZES = ("DC", "width", "length")  # what a drill and its hole are wide by; a hole is as long as wide
MOST_TOLD = 4
At = Callable[[int], Candidate | None]


class Change(NamedTuple):
    """One input at the nearest value at which a rule no longer fires, with the same way as it then is.

    ``still`` are the rules that forbid the way even then, ``also`` the others that forbid it now or on the way to that
    value, where nothing forbids it any more.
    """

    whose: Owner
    field: str
    before: float | str | None
    after: float | str
    then: Candidate
    still: tuple[Rule, ...]
    also: tuple[Rule, ...] = ()


class Lift(NamedTuple):
    """A rule that forbids a way, the facts it rests on, and the changes that lift it, the helpful ones first."""

    rule: Rule
    changes: tuple[Change, ...]
    others: tuple[Rule, ...]

    @property
    def opened(self) -> tuple[Change, ...]:
        """The changes after which nothing forbids the way any more."""
        return tuple(change for change in self.changes if not change.still)


class LiftSearch:
    """The way that some rules forbid, to be worked out again with one thing changed that silences the first of them."""

    def __init__(
        self, rival: Candidate, rules: Sequence[Rule], feature: FeatureBase, crib: Sequence[Cutter], bench: Bench
    ) -> None:
        self.rival, self.rule, self.feature, self.bench = rival, rules[0], feature, bench
        self.others = tuple(rules[1:])
        self.others_of_crib = [cutter for cutter in crib if cutter.id != rival.cutter.id]
        self.crib = [cutter for cutter in self.others_of_crib if cutter.kind.drill]

    def again(self, feature: FeatureBase, cutter: Cutter, drills: Sequence[Cutter]) -> Candidate | None:
        """The best candidate of the same method, cutter and way in."""
        rival = self.rival
        found = [
            item
            for place in places_of(feature, [cutter, *self.others_of_crib], self.bench)
            for item in candidates(place.region, place.facts, [cutter, *drills], self.bench)
            if item.method == rival.method
            and item.cutter.id == rival.cutter.id
            and rival.entry in (None, item.entry)
            and (rival.drill is None or (item.drill is not None and item.drill.id == rival.drill.id))
        ]
        return next(iter(ranked(found, self.bench.limits)), None)

    def at(self, item: Input, value: float) -> Candidate | None:
        """The way with an input changed; None where there is none or the rule fires still."""
        feature: FeatureBase | None = self.feature
        cutter: Cutter | None = self.rival.cutter
        drills = [self.rival.drill] if item.whose is Owner.DRILL and self.rival.drill else self.crib
        if item.whose is Owner.FEATURE:
            feature = changed_feature(self.feature, item.name, value)
        elif item.whose is Owner.CUTTER:
            cutter = changed_cutter(self.rival.cutter, item.name, value)
        elif self.rival.drill is not None:
            drill = changed_cutter(self.rival.drill, item.name, value)
            drills = [drill] if drill else []
        if feature is None or cutter is None:
            return None
        found = self.lifted(self.again(feature, cutter, drills))
        if found is not None and item.name in SIZES and not right_size(found):
            return None  # another drill, which does not make this hole
        return found

    def lifted(self, found: Candidate | None) -> Candidate | None:
        """The candidate if the rule was asked about it and does not fire."""
        rule = self.rule
        if found is None or rule in found.fired or holds(rule.condition, quantised(found.facts)):
            return None
        asked_late = rule.level == "candidate" or rule.stage == "entry"
        return None if asked_late and found.plan is None else found


def lift(rival: Candidate, feature: FeatureBase, crib: Sequence[Cutter], bench: Bench) -> Lift | None:
    """What would lift the rule that forbids a way; None where no rule forbids it."""
    rules = ranking.against(rival) if rival.grade == "forbidden" else ()
    if not rules:
        return None
    search = LiftSearch(rival, rules, feature, crib, bench)
    found = [*_words(search), *_numbers(search), *_drills(search)]
    found.sort(key=lambda change: (bool(change.still), _how_far(change)))
    opened = [change for change in found if not change.still]
    return Lift(rules[0], tuple((opened or found)[:MOST_TOLD]), rules[1:])


def _how_far(change: Change) -> float:
    if isinstance(change.before, str) or isinstance(change.after, str) or not change.before:
        return float("inf")
    return abs(change.after / change.before - 1)


def _numbers(search: LiftSearch) -> Iterator[Change]:
    """Each number of feature or cutter that the rule's facts rest on, at the nearest value that lifts the rule."""
    facts = [
        leaf.fact
        for leaf in deciding_facts(search.rule, search.rival.facts)
        if not (isinstance(leaf, Compare) and isinstance(leaf.value, str))
    ]
    inputs = dict.fromkeys(item for fact in facts for item in inputs_of(fact, search.rival.facts, search.bench.base))
    for item in {(item.whose, field_of(item, search.feature)): item for item in inputs}.values():
        owner = search.rival.drill if item.whose is Owner.DRILL else search.rival.cutter
        if owner is None:
            continue
        now = value_of(item, search.feature, owner)
        if now is None and item.name in ("allowance_side", "allowance_bottom"):
            fact = {"allowance_side": "side_allowance", "allowance_bottom": "bottom_allowance"}[item.name]
            now = float(search.rival.facts.get(fact, 0.0))
        for towards in ("more", "less"):
            if (found := _nearest(search, item, now or 0.0, towards)) is not None:
                value, then, met = found
                yield _change(search, item, now, value, then, met)


def _change(
    search: LiftSearch,
    item: Input,
    now: float | str | None,
    value: float | str,
    then: Candidate,
    met: Sequence[Rule] = (),
) -> Change:
    still = ranking.against(then) if then.grade == "forbidden" else ()
    also = () if still else tuple(dict.fromkeys((*search.others, *met)))
    return Change(item.whose, field_of(item, search.feature), now, value, then, still, also)


def _nearest(
    search: LiftSearch, item: Input, now: float, towards: str
) -> tuple[float, Candidate, tuple[Rule, ...]] | None:
    """The value nearest to the present one, in whole steps, at which the rule is silent; better if nothing forbids.

    With it the rules that still forbid where this one falls silent, if they do so no more at that value.
    """
    step = STEPS.get(item.name, STEP)
    start = steps(now, step) if towards == "more" else pieces(now, step)

    def at(place: int) -> Candidate | None:
        return search.at(item, round(place * step, 1))

    for far in _far_ends(search, item, now, towards):
        end = steps(far, step) if towards == "more" else pieces(far, step)
        if end == start or (found := at(end)) is None:
            continue
        place, found = _closest(at, start, end, found)
        if found.grade != "forbidden":
            return round(place * step, 1), found, ()
        open_place = _first_open(at, place, end)
        if open_place is not None:
            return round(open_place[0] * step, 1), open_place[1], ranking.against(found)
        return round(place * step, 1), found, ()
    return None


def _far_ends(search: LiftSearch, item: Input, now: float, towards: str) -> Iterator[float]:
    """How far to look: many times as much or a fraction, less far where no feature or cutter can be so; of what is free
    beneath as far as a part can be raised, of a drill as far as the one that makes the hole.
    """
    if METHODS[search.rival.method].by_drill and item.name == "DC":
        right = drill_to_size(search.feature, search.bench)
        if right is not None and (now < right.DC) is (towards == "more"):
            yield right.DC
        return
    if towards == "less":
        yield from (now / times for times in FAR) if now else ()
        return
    if item.name == "clearance_below":
        yield now + sizes()["raised_most"]
        return
    yield from (now * times for times in FAR) if now else FAR
    if item.whose is Owner.FEATURE and item.name == "width":
        yield float(getattr(search.feature, "length", now))


def _closest(at: At, near: int, far: int, found: Candidate) -> tuple[int, Candidate]:
    """The place closest to ``near`` at which there is such a way, and the way; at ``far`` it is the one found."""
    return closest(at, far, found, near, lambda one, other: (one + other) // 2)


def _first_open(at: At, near: int, far: int) -> tuple[int, Candidate] | None:
    """The first place on the way from ``near`` to ``far`` at which nothing forbids the way."""

    def open_at(place: int) -> Candidate | None:
        found = at(place)
        return found if found is not None and found.grade != "forbidden" else None

    before = near
    for number in range(1, GRID + 1):
        place = near + round((far - near) * (number / GRID) ** 2)
        found = open_at(place)
        if found is not None:
            return _closest(open_at, before, place, found)
        before = place
    return None


def _words(search: LiftSearch) -> Iterator[Change]:
    """Another word of the cutter that lifts the rule: another body, an edge of carbide, teeth to the centre."""
    cutter, asked = search.rival.cutter, {leaf.fact for leaf in _every_word(search.rule)}
    given = cutter.model_dump()
    others: list[tuple[str, str, dict[str, object]]] = []
    if "end_cutting" in asked and not cutter.end_cutting:
        others.append(("end_cutting", "yes", {"end_cutting": True, "dead_centre": 0.0}))
    if "substrate" in asked and cutter.substrate != "carbide":
        others.append(("substrate", "carbide", {"substrate": "carbide"}))
    if "body" in asked and not cutter.kind.fluted:
        others.append(("body", "solid_end_mill", {"body": "solid_end_mill", "end_cutting": True, "dead_centre": 0.0}))
    for name, word, change in others:
        before = "no" if name == "end_cutting" else str(given[name])
        found = search.lifted(search.again(search.feature, Cutter.model_validate(given | change), search.crib))
        if found is not None:
            yield _change(search, Input(Owner.CUTTER, name), before, word, found)


def _every_word(rule: Rule) -> Iterator[Compare]:
    for leaf in leaves(rule.condition):
        if isinstance(leaf, Compare) and isinstance(leaf.value, str):
            yield leaf


def _drills(search: LiftSearch) -> Iterator[Change]:
    """Where no drill suits the cutter: the narrowest that does, long enough for the feature."""
    if not search.rival.entry_kind.needs_drill or search.rival.drill is not None:
        return
    drill = suiting_drill(search.rival.cutter, search.feature, search.bench)
    if drill is None:
        return
    found = search.lifted(search.again(search.feature, search.rival.cutter, [*search.crib, drill]))
    if found is not None:
        yield _change(search, Input(Owner.DRILL, "DC"), None, drill.DC, found)
