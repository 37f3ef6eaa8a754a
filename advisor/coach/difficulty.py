"""How difficult a scene is, 1 to 5: how near a line of the rules it lies, how many rules speak, how many ways are
close.
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.choosing.candidates import grade_of
from advisor.choosing.ranking import ranked
from advisor.coach.exercise import DIFFICULTIES
from advisor.coach.scene import Scene
from advisor.coach.table import table
from advisor.knowledge.conditions import DECIMALS, OPERATORS, Compare, Facts, holds, numbers_compared
from advisor.knowledge.evidence import quantised
from advisor.knowledge.measures import JUDGING
from advisor.knowledge.schema import Rule, RuleBase
from advisor.model.candidate import SOUND, Candidate

JUDGED = ("for", "against", "forbids")
LOOKED_AT = 8  # of the best ways


def difficulty(scene: Scene) -> float:
    """The difficulty of a scene, from 1 to 5."""
    measures, weights = table(), table().weights
    near = max(0.0, 1 - line_share(scene) / measures.line_far)
    rules = min(1.0, len(speaking(scene)) / measures.rules_many)
    close = min(1.0, len(close_ways(scene)) / measures.close_many)
    share = weights.near * near + weights.rules * rules + weights.close * close
    least, most = DIFFICULTIES[0], DIFFICULTIES[-1]
    return float(least + (most - least) * share / (weights.near + weights.rules + weights.close))


def speaking(scene: Scene) -> frozenset[str]:
    """The rules that speak for, against or forbid any of the ways."""
    return frozenset(rule.id for item in scene.answer.candidates for rule in item.fired if rule.verdict in JUDGED)


def close_ways(scene: Scene) -> tuple[Candidate, ...]:
    """The other ways that could be taken for the best: not spoken against, and not much slower."""
    best, most = scene.best, table().close_time * scene.best.time
    return tuple(
        item for item in scene.answer.candidates if item is not best and item.grade in SOUND and item.time <= most
    )


def line_share(scene: Scene) -> float:
    """How far the nearest fact is from a value of a rule at which the rules alone would prefer another way, as a share
    of that value; infinite where none is.
    """
    looked_at = tuple(scene.answer.candidates[:LOOKED_AT])
    return min(
        (share for item in looked_at for share in _shares(item, looked_at, scene.bench.base)), default=float("inf")
    )


def _shares(item: Candidate, every: tuple[Candidate, ...], base: RuleBase) -> Iterator[float]:
    facts = dict(quantised(item.facts))
    for rule in base.rules:
        if rule.stage not in JUDGING or (rule.methods and item.method not in rule.methods):
            continue
        for leaf, value, limit in numbers_compared(rule.condition, facts):
            beyond = _beyond(leaf, value, base.measures[leaf.fact].unit == "count")
            share = abs(value - beyond) / abs(limit or 1)
            if share < table().line_far and _turns(rule, facts, facts | {leaf.fact: beyond}, item, every, base):
                yield share


def _turns(rule: Rule, now: Facts, then: Facts, item: Candidate, every: tuple[Candidate, ...], base: RuleBase) -> bool:
    """Whether another way is the best once a fact is beyond the value that a rule compares it with."""
    fires = holds(rule.condition, now)
    if holds(rule.condition, then) == fires:
        return False
    fired = tuple(one for one in item.fired if one is not rule) if fires else (*item.fired, rule)
    grade = grade_of(fired)
    if grade == item.grade:
        return False
    others = [one if one is not item else item._replace(grade=grade) for one in every]
    before, after = (ranked(ways, base.limits)[0] for ways in (every, others))
    return (before.method, before.cutter.id, before.entry) != (after.method, after.cutter.id, after.entry)


def _beyond(leaf: Compare, value: float, counted: bool) -> float:
    """The nearest value at which a comparison is otherwise; of what is counted, the nearest whole one."""
    limit, step = float(leaf.value), 1.0 if counted else 10**-DECIMALS
    now = OPERATORS[leaf.operator](value, limit)
    found = [other for other in (limit, limit + step, limit - step) if OPERATORS[leaf.operator](other, limit) != now]
    return min(found, key=lambda other: abs(other - value))
