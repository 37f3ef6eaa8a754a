"""What the advised way was preferred to, and by what: every other method, another cutter, another way in."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from advisor.reasoning.advice import FeatureAdvice
from advisor.reasoning.candidates import Candidate, left_over, standing
from advisor.reasoning.evidence import quantised
from advisor.reasoning.time_parts import PARTS, time_parts
from advisor.reasoning.ways import ways
from advisor.rulebase.conditions import All, Compare, holds, leaves
from advisor.rulebase.schema import Rule, RuleBase
from advisor.rulebase.wording import fill, number, quantity, wanted_text

NOT_FOR = {"against", "forbids"}
NEGLIGIBLE = 0.05  # s: a difference that nobody would plan by


class Alternative(NamedTuple):
    """A way that was not advised: in what it differs, which rules set it back, and the deciding difference in words."""

    candidate: Candidate
    differs: str
    reasons: tuple[Rule, ...]
    deciding: str


def alternatives(answer: FeatureAdvice, base: RuleBase) -> tuple[Alternative, ...]:
    """The best of each other method, then the same method with another cutter, then with another way in."""
    best, found = answer.best, []
    for method in ways():
        if best is None or method != best.method:
            rival = nearest(best, (item for item in answer.candidates if item.method == method))
            if rival is not None:
                found.append(_beside(best, rival, "method", base))
    if best is not None:
        same = [item for item in answer.candidates if item.method == best.method]
        for differs, rivals in (
            ("cutter", (item for item in same if item.cutter.id != best.cutter.id)),
            (
                "entry",
                (item for item in same if item.cutter.id == best.cutter.id and item.entry not in (None, best.entry)),
            ),
        ):
            rival = nearest(best, rivals)
            if rival is not None:
                found.append(_beside(best, rival, differs, base))
    return tuple(found)


def nearest(best: Candidate | None, rivals: Iterable[Candidate]) -> Candidate | None:
    """The rival with the best grade that the fewest rules speak against, then the quickest; where all are forbidden,
    one with the advised cutter, else the one that got furthest."""
    every = list(rivals)
    if not every:
        return None
    if every[0].grade != "forbidden":
        same = (item for item in every if item.grade == every[0].grade)
        return min(same, key=lambda item: (len(against(item)), left_over(item), item.rank()))
    return max(every, key=lambda item: _furthest(item, best))


def _furthest(item: Candidate, best: Candidate | None) -> tuple[bool, bool, bool, int, float]:
    """How far a forbidden candidate got: with the advised cutter, worked out, fitting in, with few rules against it,
    reaching.
    """
    fits, reach = item.facts.get("fit_ratio", 1.0), item.facts.get("reach_margin", 0.0)
    numbers = isinstance(fits, float) and isinstance(reach, float)
    return (
        best is not None and item.cutter.id == best.cutter.id,
        item.plan is not None,
        numbers and float(fits) >= 1,
        -len(against(item)),
        float(reach) if numbers else 0.0,
    )


def against(candidate: Candidate) -> tuple[Rule, ...]:
    """The rules that set a candidate back: those that forbid it, else those that speak against it."""
    fired = [rule for rule in standing(candidate.fired) if rule.verdict in NOT_FOR]
    forbidding = [rule for rule in fired if rule.verdict == "forbids"]
    return tuple(sorted(forbidding or fired, key=lambda rule: rule.stage != "clearing"))


def _beside(best: Candidate | None, rival: Candidate, differs: str, base: RuleBase) -> Alternative:
    reasons = against(rival)
    return Alternative(rival, differs, reasons, deciding(best, rival, base))


def deciding(best: Candidate | None, rival: Candidate, base: RuleBase) -> str:
    """One sentence that names what set the rival back."""
    reasons = against(rival)
    if reasons and (best is None or rival.grade != best.grade):
        return fill(base, reasons[0], reasons[0].because, rival.facts)
    if best is None:
        return "Nothing speaks against it."
    if rival.grade != best.grade:
        return f"{nothing_for(rival, base)} It would be {time_between(best, rival)}."
    alike = "poor" if reasons else "good"
    but = "and" if _same_time(best, rival) else "but"
    return f"As {alike} by the rules, {but} {time_between(best, rival)}: {where_time_goes(best, rival)}."


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
    return f"No rule speaks for it: “{nearest_rule.title}” wants {shown}."


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
    return abs(rival.time / best.time - 1) < 0.005


def where_time_goes(best: Candidate, rival: Candidate) -> str:
    """The part of the time in which the two differ most."""
    mine, other = time_parts(best), time_parts(rival)
    name = max(mine, key=lambda part: other[part] - mine[part])
    if other[name] - mine[name] < NEGLIGIBLE:
        return tie_broken_by(best, rival)
    return f"{quantity(other[name], 's')} {PARTS[name]} instead of {quantity(mine[name], 's')}"


def tie_broken_by(best: Candidate, rival: Candidate) -> str:
    """What puts one of two ways first whose times are told alike: the first in which their ranks differ."""
    (_, quicker, levels, width, *_), (_, time, more, narrower, *_) = best.rank(), rival.rank()
    if quicker != time:
        return "the difference is too small to tell"
    if levels != more:
        return "fewer levels decide"
    return "the wider cutter decides" if width != narrower else "only their names decide, either will do"


def choice(answer: FeatureAdvice) -> str:
    """Why the advised candidate stands first, in one sentence with the one that comes next."""
    best = answer.best
    if best is None:
        return ""
    equals = [item for item in answer.candidates if item.grade == best.grade]
    second = next((item for item in equals if item.cutter.id != best.cutter.id or item.method != best.method), None)
    if second is None:
        return f"This is the only way graded {best.grade} with this crib."
    way = "" if second.method == best.method else f", {ways()[second.method].title}"
    following = f"{second.cutter.id}{way} at {quantity(second.time, 's')}"
    return f"Quickest of the ways graded {best.grade}: {quantity(best.time, 's')}; next is {following}."
