"""What the advised way was preferred to, and by what: every other method, another cutter, another way in."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.choosing.firmness import DECIDE, leaves_rest
from advisor.choosing.ranking import (
    Limits,
    Order,
    Overtaking,
    against,
    against_of,
    foremost_of,
    nearest,
    order_between,
    quickest,
    standing,
)
from advisor.choosing.time_parts import PARTS, time_parts
from advisor.knowledge.conditions import All, Compare, holds, leaves
from advisor.knowledge.evidence import quantised
from advisor.knowledge.schema import Rule, RuleBase
from advisor.knowledge.wording import apart, counted, fill, looks_equal, number, quantity, wanted_text
from advisor.model.answer import Alternative, FeatureAdvice
from advisor.model.candidate import GRADES, Candidate
from advisor.model.plan import Held
from advisor.situation.pairings import ways

NEGLIGIBLE = 0.05  # s: a difference that nobody would plan by


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


def more_against(best: Candidate, rival: Candidate) -> Rule:
    """The first rule against a poor rival that is not against a poor way that less speaks against."""
    spoken = set(against(best))
    return next(rule for rule in against(rival) if rule not in spoken)


def _beside(answer: FeatureAdvice, rival: Candidate, differs: str, base: RuleBase) -> Alternative:
    words = deciding(answer.best, rival, base, answer.candidates)
    return Alternative(
        rival, differs, against(rival), words, costly(answer.best, rival, answer.candidates, base.limits)
    )


def costly(best: Candidate | None, rival: Candidate, every: Iterable[Candidate], limits: Limits) -> Held | None:
    """What was held back most in the part of the work by which the rival loses; absent where its time does not decide,
    or nothing of that part was held back by a share that counts.
    """
    if best is None or rival.plan is None or rival.grade != best.grade or rival.time <= best.time:
        return None
    if order_between(best, rival, every, limits).by != "time":
        return None
    mine, other = time_parts(best), time_parts(rival)
    name = max(mine, key=lambda part: other[part] - mine[part])
    in_part = {"cut": rival.plan.held, "entry": rival.way_in.held if rival.way_in else ()}.get(name, ())
    less = [held for held in in_part if 0 < held.after < held.before]
    most = max(less, key=lambda held: held.before / held.after, default=None)
    return most if most is not None and most.before - most.after > limits["held_back_telling"] * most.before else None


def deciding(best: Candidate | None, rival: Candidate, base: RuleBase, every: Iterable[Candidate] = ()) -> str:
    """What set the rival back, in a sentence or two; ``every`` are all that were ranked with them."""
    reasons = against(rival)
    if reasons and (best is None or rival.grade != best.grade):
        return fill(base, reasons[0], reasons[0].because, rival.facts)
    if best is None:
        return "Nothing speaks against it."
    if rival.grade == "good" and best.grade != "good":
        return f"Good, but {time_between(best, rival)}: {quick_enough(best, base.limits)}."
    if rival.grade != best.grade:
        short = rival.time < best.time and rival.grade == "workable"
        limit = f" {_not_quick_enough(base.limits)}" if short else ""
        return f"{nothing_for(rival, base)} It would be {time_between(best, rival)}.{limit}"
    order = order_between(best, rival, every, base.limits)
    if order.by == "against":
        more = more_against(best, rival)
        return f"More speaks against it: {fill(base, more, more.because, rival.facts)}"
    if order.by == "drill":
        return f"{drill_not_worth(order, base.limits)}."
    alike = "poor" if reasons else "good"
    but = "and" if _same_time(best, rival) or order.by != "time" else "but"
    why = where_time_goes(best, rival) if order.by == "time" else firmer(best, rival, order, base.limits)
    return f"As {alike} by the rules, {but} {time_between(best, rival)}: {why}."


def equal(first: Candidate, second: Candidate) -> str:
    """That two ways differ in nothing that counts."""
    names = (first.cutter.id, second.cutter.id)
    two = f"{names[0]} and {names[1]}" if names[0] != names[1] else "the two"
    return f"{two} are equal here, either will do"


def quick_enough(best: Candidate, limits: Limits) -> str:
    """Why a workable way comes before a good one."""
    share = quantity(Overtaking.of(limits).shares[best.overtakes], "")
    return f"the advised way is only workable, but takes under {share} of the time of any good one"


def _not_quick_enough(limits: Limits) -> str:
    """Why a workable way that is quicker than the good one does not come before it."""
    ((_, held, freely), saving), kept = Overtaking.of(limits), quantity(limits["overtaking_rate_least"], "share")
    return (
        f"A workable way comes first only if it saves {quantity(saving, 's')} and takes under {quantity(freely, '')} "
        f"of the time of every good one, under {quantity(held, '')} where it keeps less than {kept} of the tables' "
        "rate or of the power, and never beside a thin wall or floor."
    )


def drill_not_worth(order: Order, limits: Limits) -> str:
    """Why a hole is not drilled to get in, though that may be quicker."""
    longer, shorter = apart(order.first, order.second, "s")
    least, share = quantity(limits["hole_saving_least"], "s"), quantity(limits["hole_saving_share_least"], "share")
    return (
        f"{shorter} through a hole against {longer} without one: it must save {least} and {share} to be worth its drill"
    )


def firmer(first: Candidate, second: Candidate, order: Order, limits: Limits) -> str:
    """What decides between ways whose times are as good as equal."""
    band = f"within {quantity(limits['time_band'], 'share')} of the quickest"
    match order.by:
        case "left":
            if "wall_rest" not in first.facts:  # no drill
                return (
                    f"a way that is milled comes before a drill that leaves {quantity(order.second, 'mm')} on the wall"
                )
            mine, other = apart(order.first, order.second, "mm")
            return f"the wider drill comes first, it leaves {mine} on the wall and the other {other}"
        case "aside":
            return f"{band} the way comes first whose cut does not push the cutter aside"
        case "rest":
            if leaves_rest(second.facts):
                return f"{band} the way comes first that leaves no rest in the corners to a second cutter"
            return f"{band} the cutter comes first that goes into the corners and does not stop there"
        case "give":
            mine, other = apart(order.first, order.second, "µm/N")
            return f"{band} the stiffer cutter comes first, tip compliance {mine} against {other}"
        case "levels":
            fewer = counted(quantity(order.first, "count"), "level")
            return f"{band} fewer levels come first, {fewer} against {quantity(order.second, 'count')}"
        case "width":
            mine, other = apart(order.first, order.second, "mm")
            return f"{band} the wider cutter comes first, {mine} against {other}"
        case _:
            return equal(first, second)


def nothing_for(rival: Candidate, base: RuleBase) -> str:
    """Why no rule speaks for a rival: the rule about its method that came nearest, and what of it does not hold."""
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
        return "No rule speaks for it here."
    first = next(leaf for leaf in leaves(missing[0]) if not holds(leaf, seen))
    shown = (
        wanted_text(base, first, seen) if isinstance(first, Compare) else f"{first.fact.replace('_', ' ')} is missing"
    )
    return f"No rule speaks for it: “{nearest_rule.title}” needs {shown}."


def time_between(best: Candidate, rival: Candidate) -> str:
    """How the rival's time stands to the advised one's."""
    share = rival.time / best.time - 1
    if _same_time(best, rival):
        return f"with the same time of {quantity(rival.time, 's')}"
    if share >= 2:
        return f"{number(share + 1, 2)} times as long, {quantity(rival.time, 's')} against {quantity(best.time, 's')}"
    word = "longer" if share > 0 else "shorter"
    return f"{quantity(abs(share), 'share', 2)} {word}, {quantity(rival.time, 's')} against {quantity(best.time, 's')}"


def _same_time(best: Candidate, rival: Candidate) -> bool:
    """Whether nobody would tell the two times apart, or they are shown alike."""
    return abs(rival.time / best.time - 1) < 0.005 or looks_equal(rival.time, best.time, "s")


def where_time_goes(best: Candidate, rival: Candidate) -> str:
    """The part of the time in which the two differ most."""
    mine, other = time_parts(best), time_parts(rival)
    name = max(mine, key=lambda part: other[part] - mine[part])
    if other[name] - mine[name] < NEGLIGIBLE or looks_equal(other[name], mine[name], "s"):
        return "the difference is too small to tell" if best.time != rival.time else equal(best, rival)
    return f"{quantity(other[name], 's')} {PARTS[name]} instead of {quantity(mine[name], 's')}"


def choice(answer: FeatureAdvice, limits: Limits) -> str:
    """Why the advised candidate stands first, in one sentence with the one that comes next."""
    best = answer.best
    if best is None:
        return ""
    others = [item for item in answer.candidates if item.cutter.id != best.cutter.id or item.method != best.method]
    second, quick = foremost_of(others, limits), quickest(answer.candidates, best.grade) or best
    worse = second is None or GRADES.index(second.grade) > GRADES.index(best.grade)
    if second is None or (worse and all(item.grade != best.grade for item in others)):
        return f"This is the only way graded {best.grade} with this crib."
    way = "" if second.method == best.method else f", {ways()[second.method].title}"
    grade = "" if second.grade == best.grade else f", {second.grade}"
    following = f"next is {second.cutter.id}{way} at {quantity(second.time, 's')}{grade}"
    graded = f"graded {best.grade}"
    if best.grade == "poor":
        graded += " that the least speaks against"
        alike = [item for item in answer.candidates if item.grade == "poor" and against_of(item) == against_of(best)]
        quick = quickest(alike, "poor") or best
    first = f"Quickest of the ways {graded}: {quantity(best.time, 's')}"
    order = order_between(best, quick, answer.candidates, limits)
    if order.by in DECIDE:
        much = quantity(limits["time_band"], "share")
        said = firmer(best, quick, order, limits).split(" of the quickest ", 1)[1]
        first = f"{quantity(best.time, 's')}, within {much} of the quickest way {graded}: {said}"
    elif order.by not in ("time", "equal"):  # a quicker one comes later for its drill, or for what it leaves
        first = f"First of the ways {graded}: {quantity(best.time, 's')}"
    return f"{first}; {following}."


def before_the_good(answer: FeatureAdvice, base: RuleBase) -> str:
    """Why a workable way is advised although there is a good one; empty where that is not so."""
    best = answer.best
    good = foremost_of((item for item in answer.candidates if item.grade == "good"), base.limits)
    if best is None or good is None or best.grade == "good":
        return ""
    mine, other = apart(best.time, good.time, "s")
    share = quantity(Overtaking.of(base.limits).shares[best.overtakes], "")
    return (
        f"The good way, {ways()[good.method].title} with {good.cutter.id}, takes {other}; this one takes {mine}, under "
        f"{share} of it. It is only workable: {lower_first(nothing_for(best, base))}"
    )


def lower_first(text: str) -> str:
    """A sentence as it goes on after a colon."""
    return text[0].lower() + text[1:]


def without_a_rule(answer: FeatureAdvice, base: RuleBase) -> str:
    """Why the answer stands first where no rule speaks for it; empty where one does, or where no way was found."""
    if answer.best is None or any(rule.verdict == "for" for rule in standing(answer.best.fired)):
        return ""
    if before := before_the_good(answer, base):
        return before
    return f"No way is graded good here. {choice(answer, base.limits)}"


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
