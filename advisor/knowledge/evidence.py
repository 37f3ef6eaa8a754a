"""Evidence for an answer: each rule's conditions with the values they met, each measure's formula with the numbers
put in.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from advisor.knowledge.conditions import All, Any, Compare, Condition, Facts, Known, holds, quantise
from advisor.knowledge.formulas import circumstances, names, with_numbers
from advisor.knowledge.origin import mark
from advisor.knowledge.schema import Rule, RuleBase
from advisor.knowledge.wording import PLACEHOLDER, comparison_text, fact_text, fill, number

FIGURES = 5


class Worked(NamedTuple):
    """A measure with its value; where it has a formula, the formula in names and in numbers.

    ``origin`` says where a value without formula comes from.
    """

    name: str
    what: str
    value: str
    formula: str
    numbers: str
    origin: str


class Ground(NamedTuple):
    """One rule that fired: what it says here, its conditions as met, the measures behind its numbers, its source.

    ``own`` says whether it is a rule of the house or reads a threshold of the house; else it is empty.
    """

    rule: Rule
    text: str
    remedy: str
    conditions: tuple[str, ...]
    measures: tuple[Worked, ...]
    source: str
    own: str = ""


def ground(rule: Rule, facts: Facts, base: RuleBase) -> Ground:
    """The evidence for one fired rule."""
    conditions = tuple(_conditions(rule.condition, facts, base))
    told = dict.fromkeys([*rule.limits, *(name for name, _ in PLACEHOLDER.findall(f"{rule.because} {rule.remedy}"))])
    measures = tuple(worked(name, facts, base) for name in told if name in base.measures and name in facts)
    return Ground(
        rule,
        fill(base, rule, rule.because, facts),
        fill(base, rule, rule.remedy, facts),
        conditions,
        measures,
        source_text(rule),
        mark(rule, base),
    )


def source_text(rule: Rule) -> str:
    """The source of a rule, with the house named where the shop made it."""
    return f"{rule.source}{'; house rule' if rule.house else ''}"


def _conditions(condition: Condition, facts: Facts, base: RuleBase) -> Iterable[str]:
    """The comparisons that made the condition true; of an ``any``, those that hold."""
    if isinstance(condition, Compare):
        yield comparison_text(base, condition, quantised(facts))
    elif isinstance(condition, Known):
        yield f"{condition.fact.replace('_', ' ')} is {'given' if condition.present else 'not given'}"
    elif isinstance(condition, All):
        for part in condition.parts:
            yield from _conditions(part, facts, base)
    elif isinstance(condition, Any):
        for part in condition.parts:
            if holds(part, quantised(facts)):
                yield from _conditions(part, facts, base)


def quantised(facts: Facts) -> Mapping[str, float | str]:
    """The facts as the rules see them."""
    return {name: value if isinstance(value, str) else quantise(value) for name, value in facts.items()}


def worked(name: str, facts: Facts, base: RuleBase) -> Worked:
    """A measure of a situation, with its formula in names and in numbers where it has one."""
    measure = base.measures[name]
    formula = measure.formula(*circumstances(facts))
    known = all(part in facts or part in base.thresholds for part in names(formula))
    if not formula or not known:
        origin = f"concluded by {', '.join(_concluders(name, facts, base))}" if measure.concluded else measure.what
        return Worked(name, measure.what, fact_text(base, name, facts), "", "", origin)
    return Worked(name, measure.what, fact_text(base, name, facts), formula, numbers(formula, facts, base), "")


def numbers(formula: str, facts: Facts, base: RuleBase) -> str:
    """A formula with the numbers of the situation put in for the names."""

    def put(name: str) -> str:
        value = facts[name] if name in facts else base.thresholds[name].value
        text = number(float(value), FIGURES)
        return f"({text})" if float(value) < 0 else text

    return with_numbers(formula, put)


def _concluders(name: str, facts: Facts, base: RuleBase) -> list[str]:
    seen = quantised(facts)
    return [
        rule.id for rule in base.rules if rule.concludes and rule.concludes[0] == name and holds(rule.condition, seen)
    ]


def chain(wanted: Iterable[str], facts: Facts, base: RuleBase) -> tuple[Worked, ...]:
    """The measures named and all that their formulas rest on, each once, in the order they are met."""
    found: dict[str, Worked] = {}
    waiting = [name for name in wanted if name in facts]
    while waiting:
        name = waiting.pop(0)
        if name in found or name not in base.measures:
            continue
        found[name] = item = worked(name, facts, base)
        waiting.extend(part for part in names(item.formula) if part in facts)
    return tuple(found.values())


def thresholds_used(items: Iterable[Worked], base: RuleBase) -> tuple[str, ...]:
    """The names of the thresholds that the formulas rest on, each once, in the order they are met."""
    return tuple(dict.fromkeys(part for item in items for part in names(item.formula) if part in base.thresholds))
