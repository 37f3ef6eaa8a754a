"""Evidence for an answer: each rule's conditions with the values they met, each measure's formula with the numbers
put in.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import isclose
from typing import NamedTuple

from advisor.files.unit_scales import converted, showing
from advisor.knowledge.conditions import All, Any, Compare, Condition, Facts, Known, holds, quantise
from advisor.knowledge.formulas import circumstances, function, names, parsed, with_numbers
from advisor.knowledge.origin import mark
from advisor.knowledge.schema import Rule, RuleBase
from advisor.knowledge.wording import PLACEHOLDER, comparison_text, fact_text, fill, known_text, number

FIGURES = 5
METRIC = "(metric)"  # behind the value of a formula that is worked in metric units, unlike others beside it
SAME, NOTHING = 1e-4, 1e-7  # share and number by which a value may be off that formula and numbers give


class Worked(NamedTuple):
    """A measure with its value; where it has a formula, the formula in names and in numbers.

    The numbers are in the units that are shown where these give the value too; else they are metric ones, and
    ``value`` is told in metric units first. ``origin`` says where a value without formula comes from.
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
        yield known_text(condition, word="given")
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
        origin = f"concluded by {', '.join(_concluders(name, facts, base))}" if measure.concluded else measure.meaning
        return Worked(name, measure.meaning, fact_text(base, name, facts), "", "", origin)
    told, values = fact_text(base, name, facts), _values(formula, facts, base)
    shown = {part: converted(value, _unit(part, base)) for part, value in values.items()}
    if shown == values and converted(1.0, measure.unit) == 1:
        return Worked(name, measure.meaning, told, formula, numbers(formula, values), "")
    if _gives(formula, shown, converted(float(facts[name]), measure.unit)):
        return Worked(name, measure.meaning, told, formula, numbers(formula, shown), "")
    value = f"{told} {METRIC}"
    if converted(1.0, measure.unit) != 1:  # 1/min is the same number, whichever word it has
        with showing("mm"):
            value = f"{fact_text(base, name, facts)} = {value}"
    return Worked(name, measure.meaning, value, formula, numbers(formula, values), "")


def _values(formula: str, facts: Facts, base: RuleBase) -> Mapping[str, float]:
    """The facts and thresholds that a formula reads."""
    return {part: float(facts[part] if part in facts else base.thresholds[part].value) for part in names(formula)}


def _unit(name: str, base: RuleBase) -> str:
    return base.measures[name].unit if name in base.measures else base.thresholds[name].unit


def _gives(formula: str, values: Mapping[str, float], wanted: float) -> bool:
    """Whether a formula gives a value with these numbers put in: a ratio of inches does, and a length in inches by
    inches; a speed in feet by inches does not.
    """
    try:
        found = float(function(parsed(formula), values, ())(values, {}))
    except (ArithmeticError, ValueError):
        return False
    return isclose(found, wanted, rel_tol=SAME, abs_tol=NOTHING)


def numbers(formula: str, values: Mapping[str, float]) -> str:
    """A formula with numbers put in for the names."""

    def put(name: str) -> str:
        text = number(values[name], FIGURES)
        return f"({text})" if values[name] < 0 else text

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
