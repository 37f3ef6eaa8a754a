"""What decides between the advised way and one that was asked for, with the facts that the rules rest on."""

from __future__ import annotations

from advisor.analysis.rival import deciding_facts
from advisor.choosing.time_parts import grown_most, time_parts
from advisor.knowledge.conditions import Compare, Facts, Known
from advisor.knowledge.evidence import quantised
from advisor.knowledge.schema import Rule, RuleBase
from advisor.knowledge.wording import apart, capitalised, comparison_text, known_text, number, quantity
from advisor.model.answer import Decided, Difference
from advisor.model.candidate import Candidate
from advisor.text.alternatives import drill_not_worth, firmer, quick_enough, unmet_text
from advisor.text.house import prefers_text
from advisor.text.words import PARTS


def deciding_text(found: Difference, base: RuleBase) -> str:
    """The deciding difference in a sentence or two."""
    best, rival, order, rules = found.best, found.rival, found.order, found.rules
    if found.by == Decided.FORBIDDEN:
        beside = f"; the advised way is {best.grade}" if best else ""
        return f"Forbidden by {_grounds(rules, rival.facts, base)}{beside}."
    if best is None:
        return f"There is no advised way to compare {rival.cutter.id} with."
    if order is None:
        return _by_grade(found, best, base)
    if order.by == Decided.AGAINST:
        return f"Both are poor. This one has more drawbacks: {_grounds(rules, rival.facts, base)}."
    if order.by == Decided.DRILL:
        return f"Both are {best.grade}. {drill_not_worth(order, base.limits)}."
    if found.by == Decided.TIME:
        return _by_time(best, rival)
    mine, other = apart(best.time, rival.time, "s")
    alike = f"Both are {best.grade} and take {mine}" if mine == other else f"Both are {best.grade}, {mine} and {other}"
    if order.by == Decided.PREFERRED:
        return f"{alike}: {prefers_text(base.preference(order.preference))}."
    return f"{alike}: {firmer(best, rival, order, base.limits)}."


def _by_grade(found: Difference, best: Candidate, base: RuleBase) -> str:
    rival = found.rival
    against = f"Graded {rival.grade} against {best.grade}"
    if found.rules:
        return f"{against} by {_grounds(found.rules, rival.facts, base)}."
    rival_time, time = apart(rival.time, best.time, "s")
    times = f"both take {time}" if rival_time == time else f"{rival_time} against {time}"
    if rival.grade == "good":
        return f"{against}, {times}: {quick_enough(best, base.limits)}."
    return f"{against}. {unmet_text(found.unmet, rival.facts, base)} {capitalised(times)}."


def _by_time(best: Candidate, rival: Candidate) -> str:
    mine, other = time_parts(best), time_parts(rival)
    name = grown_most(mine, other)
    longer, before = apart(rival.time, best.time, "s")
    part, less = apart(other[name], mine[name], "s")
    where = f"mostly {PARTS[name]}, {part} against {less}"
    share = f" ({number(rival.time / best.time, 2)} times as long)" if rival.time >= 2 * best.time else ""
    much = quantity(rival.time - best.time, "s")
    return f"Both are {best.grade}, but it takes {much} longer{share}, {longer} against {before}: {where}."


def _grounds(rules: tuple[Rule, ...], facts: Facts, base: RuleBase) -> str:
    """The first rule with the facts it rests on, and how many more say the same."""
    more = f", and by {len(rules) - 1} more" if len(rules) > 1 else ""
    return f"{rules[0].id}: {facts_text(rules[0], facts, base)}{more}"


def facts_text(rule: Rule, facts: Facts, base: RuleBase) -> str:
    """The facts that made a rule fire, each as its condition met it."""
    return " and ".join(fact_text(leaf, facts, base) for leaf in deciding_facts(rule, facts))


def fact_text(leaf: Compare | Known, facts: Facts, base: RuleBase) -> str:
    """A fact as a condition met it: ``width ratio 1.13 < 1.15 (loop_room_ratio_least)``."""
    if isinstance(leaf, Compare):
        return comparison_text(base, leaf, quantised(facts))
    return known_text(leaf)
