"""From fired rules to findings: their weight, their words, and what the advisor would have done instead."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence, Set
from typing import NamedTuple

from advisor.choosing.ranking import standing
from advisor.knowledge.conditions import Facts
from advisor.knowledge.schema import WEIGHTS, Rule, RuleBase, reads
from advisor.knowledge.wording import DOWN, apart, counted, fill, in_words, quantity
from advisor.methods.registry import METHODS
from advisor.model.answer import FeatureAdvice
from advisor.model.candidate import Candidate
from advisor.review.coverage import MAIN, PILOT, REST
from advisor.review.pilot import JUDGED_BY
from advisor.situation.bench import Bench
from advisor.situation.pairings import ways

HEAVY = ("stop", "change")
OF_TIME = "slower_but_for_levels"
OF_FIT = "fit_ratio"
OF_ROOM = frozenset(  # how a cutter that goes in does there: no matter where it does not go in
    {"width_ratio", "wall_spare", "gap_spare", "helix_room_ratio", "helix_core_margin", "dead_core_margin"}
    | {"core_margin", "corner_rest_beyond", "corner_ratio", "length_ratio"}
)
OF_FIRE = frozenset({"fire_kind"})
OF_ORDER = frozenset({"nothing_left", "feature_cleared"})
OF_THE_EDGE = frozenset({"ground_here", "ground_soft", "ground_blunt", "substrate", "ZEFP"})  # what suits a material
BESIDE_THE_EDGE = frozenset(
    {"group", "material_class", "material_age_hardened", "material_pre_hardened", "material_builds_up_edge", "body"}
)


class Finding(NamedTuple):
    """One finding about a plan. ``operation`` and ``feature`` are absent where it is about the whole.

    ``text`` says what and what to do; ``instead`` is the advised way in one line, empty where the plan works as well.
    """

    weight: str
    operation: int | None
    feature: str | None
    rule: Rule
    text: str
    facts: Facts
    instead: str = ""

    @classmethod
    def of(
        cls,
        rule: Rule,
        weight: str,
        operation: int | None,
        feature: str | None,
        facts: Facts,
        base: RuleBase,
        instead: str = "",
    ) -> Finding:
        """The finding of a fired rule, with this plan's numbers."""
        text = fill(base, rule, f"{rule.because} {rule.remedy}".strip(), facts)
        return cls(weight, operation, feature, rule, text[:1].upper() + text[1:], facts, instead)


class WellChosen(NamedTuple):
    """What a plan has right, and why; the rule that says so, where one does."""

    operation: int
    feature: str
    text: str
    rule: Rule | None = None


def weight_of(rule: Rule) -> str:
    """The weight of a fired rule: its own, else a way that is forbidden stops, and one spoken against is considered.

    What a way that is only spoken against costs is its time, and a slower way may be meant so.
    """
    return rule.weight or ("stop" if rule.verdict == "forbids" else "consider")


def findings_of(number: int, role: str, candidate: Candidate, answer: FeatureAdvice, bench: Bench) -> Iterator[Finding]:
    """The findings about one operation in one feature.

    An operation that takes a rest clears nothing: of the rules about clearing only those count that would stop it, and
    those about its edge and the material. Of one that drills the way in, or finds nothing left to cut, what would stop
    it counts, and what is found of its speed, its feed and its place. Beside what stops it nothing is told of its time,
    and of a cutter that does not go in nothing of how it would do there.
    """
    facts, base, stands = candidate.facts, bench.base, standing(candidate.fired)
    role = PILOT if facts.get("nothing_left") == "yes" else role
    stops = any(rule.verdict in ("forbids", "finds") and weight_of(rule) == "stop" for rule in stands)
    outside = any(rule.verdict == "forbids" and OF_FIT in reads(rule) for rule in stands)
    for rule in stands:
        if outside and OF_ROOM & reads(rule):
            continue
        if rule.verdict not in ("forbids", "against", "finds"):
            continue
        weight = weight_of(rule)
        clears = role == MAIN or (role == REST and rule.verdict == "finds")
        clears = clears or (rule.verdict == "finds" and bool((JUDGED_BY | OF_ORDER) & reads(rule)))
        clears = clears or (role == REST and suits(rule))
        if (not clears and weight != "stop") or (stops and OF_TIME in reads(rule)):
            continue
        instead = advised_line(answer) if weight in HEAVY else ""
        yield Finding.of(rule, weight, number, answer.region.id, facts, base, instead)


def once_for_the_plan(findings: Sequence[Finding], operations: int) -> Iterator[Finding]:
    """The findings, each of those about fire to be considered that says the same of several operations told once.

    It is about the whole plan where it is found of every one of so many ``operations``, else it names them.
    """
    alike: dict[tuple[str, str, str], list[Finding]] = {}
    for found in findings:
        if found.weight not in HEAVY and OF_FIRE & reads(found.rule):
            alike.setdefault((found.rule.id, found.weight, found.text), []).append(found)
    for found in findings:
        same = alike.get((found.rule.id, found.weight, found.text), [found])
        numbers = sorted({one.operation for one in same if one.operation is not None})
        if len(numbers) < 2:
            yield found
        elif found is same[0]:
            *more, last = map(str, numbers[1:])
            others = f"{', '.join(more)} and {last}" if more else last
            whole = found._replace(operation=None, feature=None)
            told = f"{found.text} The same in operation{'s' if len(numbers) > 2 else ''} {others}."
            yield whole if len(numbers) == operations else found._replace(text=told)


def suits(rule: Rule) -> bool:
    """Whether a rule asks of nothing but the edge of a cutter and the material."""
    asked = reads(rule)
    return bool(asked & OF_THE_EDGE) and asked <= OF_THE_EDGE | BESIDE_THE_EDGE


def ordered(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings, worst first; of one weight those about people and fire first, then in the order of work."""
    return tuple(
        sorted(findings, key=lambda found: (WEIGHTS.index(found.weight), not found.rule.harm, found.operation or 0))
    )


def advised_line(answer: FeatureAdvice) -> str:
    """The advised way in one line, with its settings and its time."""
    best = answer.best
    if best is None or best.plan is None:
        return "no way with this crib; `roughing why` says what would open one"
    plan, entry = best.plan, "" if METHODS[best.method].by_drill else f", {in_words(best.entry or '')}"
    levels = counted(str(plan.levels), "turn" if METHODS[best.method].in_turns else "level")
    drill = f" ({best.drill.id})" if best.drill else ""
    turn = plan.facts.get("feed_per_revolution")  # a drill's feed is told and typed per revolution
    feed, per = (plan.feed_per_tooth, "tooth") if turn is None else (float(turn), "revolution")
    deep, wide, fed = (quantity(value, "mm", typed=DOWN) for value in (plan.axial_depth, plan.radial_width, feed))
    cut = f"{levels} of {deep}, {wide} wide" if turn is None else f"{deep} deep at the tip"
    run = f"{fed} per {per} at {quantity(plan.spindle_speed, '1/min', typed=DOWN)}"
    title = ways()[best.method].title
    return f"{title}, {best.cutter.id}{entry}{drill}: {cut}, {run}; {quantity(best.time, 's')}"


def well_chosen_of(
    number: int, candidate: Candidate, answer: FeatureAdvice, heavy: Set[str], bench: Bench
) -> tuple[WellChosen, ...]:
    """What an operation has right: that it is quicker, the rules that speak for it, or that it is the advised way.

    Nothing beside what is to be stopped or changed.
    """
    if heavy & set(HEAVY):
        return ()
    feature, best, facts = answer.region.id, answer.best, candidate.facts
    speaking = [rule for rule in standing(candidate.fired) if rule.verdict == "for"]
    told = [WellChosen(number, feature, fill(bench.base, rule, rule.because, facts), rule) for rule in speaking]
    same = best is not None and (best.method, best.cutter.id, best.entry) == (
        candidate.method,
        candidate.cutter.id,
        candidate.entry,
    )
    quicker = _quicker(facts, bench)
    if quicker:
        told.insert(0, WellChosen(number, feature, quicker))
    elif same and best is not None and not told:
        alike = "Method, cutter and way in are those of the advice"
        took = quantity(candidate.time, "s") if candidate.time < float("inf") else "a time not known"
        advised = quantity(best.time, "s")
        text = f"{alike}, {took}." if took == advised else f"{alike}: {took} here, {advised} there."
        told.append(WellChosen(number, feature, text))
    return tuple(told)


def _quicker(facts: Facts, bench: Bench) -> str:
    """That the plan is quicker than the advised way in this feature, in words; empty where it is not noticeably so."""
    planned, advised = facts.get("planned_time"), facts.get("advised_time")
    if not isinstance(planned, float) or not isinstance(advised, float):
        return ""
    if planned * bench.limits["review_quicker_ratio"] >= advised:
        return ""
    pass_ratio = facts.get("pass_ratio")
    if isinstance(pass_ratio, float) and pass_ratio < bench.limits["face_full_ratio"]:
        return ""  # quicker by a width that is told
    took, there = apart(planned, advised, "s")
    times = f"The plan takes {took} here, the advised way {there}"
    return f"{times}: the plan is quicker, and nothing in it is to be changed."
