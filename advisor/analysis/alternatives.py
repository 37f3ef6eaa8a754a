"""What the advised way was preferred to, and by what: every other method, another cutter, another way in."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.choosing.ranking import (
    Limits,
    against,
    against_of,
    foremost_of,
    nearest,
    order_between,
    quickest,
    standing,
)
from advisor.choosing.time_parts import grown_most, time_parts
from advisor.knowledge.conditions import All, holds, leaves
from advisor.knowledge.evidence import quantised
from advisor.knowledge.schema import Rule, RuleBase
from advisor.knowledge.wording import fill
from advisor.model.answer import Alternative, Choice, Decided, Difference, FeatureAdvice, UnmetRule
from advisor.model.candidate import GRADES, Candidate
from advisor.model.cause import Held
from advisor.situation.pairings import ways


def alternatives(answer: FeatureAdvice, base: RuleBase) -> tuple[Alternative, ...]:
    """The best of each other method, then the same method with another cutter, then with another way in."""
    best, found = answer.best, []
    for method in ways():
        if best is None or method != best.method:
            rival = nearest(best, (item for item in answer.candidates if item.method == method), base.limits)
            if rival is not None:
                found.append(_beside(answer, rival, "method", base))
    if best is not None:
        same = [item for item in answer.candidates if item.method == best.method]
        for differs, rivals in (
            ("cutter", (item for item in same if item.cutter.id != best.cutter.id)),
            (
                "entry",
                (item for item in same if item.cutter.id == best.cutter.id and item.entry not in (None, best.entry)),
            ),
        ):
            rival = nearest(best, rivals, base.limits)
            if rival is not None:
                found.append(_beside(answer, rival, differs, base))
    return tuple(found)


def _beside(answer: FeatureAdvice, rival: Candidate, differs: str, base: RuleBase) -> Alternative:
    found = difference(answer.best, rival, base, answer.candidates)
    return Alternative(rival, differs, against(rival), found, costly(found, base.limits))


def difference(best: Candidate | None, rival: Candidate, base: RuleBase, every: Iterable[Candidate] = ()) -> Difference:
    """What decides between the advised way and another; ``every`` are all that were ranked with them."""
    rules = against(rival)
    if rules and (best is None or rival.grade != best.grade):
        return Difference(best, rival, rules)
    if best is None:
        return Difference(best, rival)
    if rival.grade != best.grade:
        return Difference(best, rival, unmet=None if rival.grade == "good" else unmet_rule(rival, base))
    order = order_between(best, rival, every, base.limits)
    return Difference(best, rival, (more_against(best, rival),) if order.by == Decided.AGAINST else (), order=order)


def more_against(best: Candidate, rival: Candidate) -> Rule:
    """The first rule against a poor rival that is not against a poor way that less speaks against."""
    spoken = set(against(best))
    return next(rule for rule in against(rival) if rule not in spoken)


def costly(found: Difference, limits: Limits) -> Held | None:
    """What was held back most in the part of the work by which the rival loses; absent where its time does not decide,
    or nothing of that part was held back by a share that counts.
    """
    best, rival, order = found.best, found.rival, found.order
    if best is None or order is None or order.by != "time" or rival.plan is None or rival.time <= best.time:
        return None
    part = grown_most(time_parts(best), time_parts(rival))
    in_part = {"cut": rival.plan.held, "entry": rival.way_in.held if rival.way_in else ()}.get(part, ())
    less = [held for held in in_part if 0 < held.after < held.before]
    most = max(less, key=lambda held: held.before / held.after, default=None)
    return most if most is not None and most.before - most.after > limits["held_back_telling"] * most.before else None


def unmet_rule(rival: Candidate, base: RuleBase) -> UnmetRule | None:
    """The rule for the method of a way that came nearest to speaking for it, and what of it does not hold; nothing
    where the method has no rule for it there.
    """
    nearest_rule, missing, seen = None, [], quantised(rival.facts)
    for rule in base.of("clearing"):
        about = dict(rule.about)
        if rule.verdict != "for" or any(rival.facts.get(fact) not in words for fact, words in about.items()):
            continue
        failing = (
            [part for part in rule.condition.parts if not holds(part, seen)] if isinstance(rule.condition, All) else []
        )
        if failing and (nearest_rule is None or len(failing) < len(missing)):
            nearest_rule, missing = rule, failing
    if nearest_rule is None:
        return None
    return UnmetRule(nearest_rule, next(leaf for leaf in leaves(missing[0]) if not holds(leaf, seen)))


def choice(answer: FeatureAdvice, limits: Limits) -> Choice | None:
    """What puts the advised way first of its grade, and the way that comes next; nothing where no way was found."""
    best = answer.best
    if best is None:
        return None
    others = [item for item in answer.candidates if item.cutter.id != best.cutter.id or item.method != best.method]
    second, quick = foremost_of(others, limits), quickest(answer.candidates, best.grade) or best
    worse = second is None or GRADES.index(second.grade) > GRADES.index(best.grade)
    if second is None or (worse and all(item.grade != best.grade for item in others)):
        return Choice(best)
    if best.grade == "poor":
        alike = [item for item in answer.candidates if item.grade == "poor" and against_of(item) == against_of(best)]
        quick = quickest(alike, "poor") or best
    order = order_between(best, quick, answer.candidates, limits)
    return Choice(best, following=second, quickest=quick, order=order)


def before_the_good(answer: FeatureAdvice, base: RuleBase) -> Choice | None:
    """A workable way that is advised although there is a good one, with that one; nothing where that is not so."""
    best = answer.best
    good = foremost_of((item for item in answer.candidates if item.grade == "good"), base.limits)
    if best is None or good is None or best.grade == "good":
        return None
    return Choice(best, good, unmet_rule(best, base))


def without_a_rule(answer: FeatureAdvice, base: RuleBase) -> Choice | None:
    """What puts the answer first where no rule speaks for it; nothing where one does, or where no way was found."""
    if answer.best is None or any(rule.verdict == "for" for rule in standing(answer.best.fired)):
        return None
    return before_the_good(answer, base) or choice(answer, base.limits)


def obstacles(answer: FeatureAdvice, base: RuleBase) -> tuple[tuple[tuple[Candidate, ...], Rule], ...]:
    """Where no way was found: the nearest candidate of each method with the rule that forbids it.

    Methods that the same rule forbids in the same words, with the same cutter, are told together.
    """
    found: dict[tuple[str, str], tuple[tuple[Candidate, ...], Rule]] = {}
    if answer.best is not None:
        return ()
    for method in dict.fromkeys(item.method for item in answer.candidates):
        way = nearest(None, (item for item in answer.candidates if item.method == method), base.limits)
        if way is None or not (rules := against(way)):
            continue
        key = fill(base, rules[0], rules[0].because, way.facts), way.cutter.id
        earlier = found[key][0] if key in found else ()
        found[key] = (*earlier, way), rules[0]
    return tuple(found.values())
