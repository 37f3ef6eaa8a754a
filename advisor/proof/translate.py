"""Conditions and formulas as terms of the solver.

Every fact is a value and a presence: a comparison asks for both, so an absent fact makes it false, negated or not.
Words are numbered in the order of their measure.

Rules see numbers rounded to four decimals, formulas hold for the numbers before that. So a number is two real numbers
of the solver: the one ``seen``, which comparisons take, and the one ``meant``, which formulas take, at most half a step
apart. That the one seen has four decimals is used where it is compared (below 1.35 is at most 1.3499) and nowhere
else: so more is thought possible than is, and what is shown to be impossible is so.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Any as Anything

import z3

from advisor.knowledge.conditions import DECIMALS, All, Compare, Condition, Known
from advisor.knowledge.formulas import CONSTANTS, Binary, Call, Formula, Name, Number, parsed, places
from advisor.knowledge.measures import Measure
from advisor.knowledge.satisfiability import unmet

Term = Anything  # the solver's classes are not typed
STEP = Fraction(1, 10**DECIMALS)


def number(value: float | Fraction) -> Term:
    """A number of ours as the exact number of the solver that its shortest decimal names."""
    exact = value if isinstance(value, Fraction) else Fraction(repr(float(value)))
    return z3.Q(exact.numerator, exact.denominator)


def seen(measure: Measure) -> Term:
    """The value of a fact as rules see it: a number, or the place of a word."""
    return z3.Real(measure.name) if measure.numeric else z3.Int(measure.name)


def meant(measure: Measure) -> Term:
    """The value of a fact as formulas have it: a number before it is rounded, or the place of a word."""
    return z3.Real(f"{measure.name}~") if measure.numeric else z3.Int(measure.name)


def rounded(measure: Measure) -> Term:
    """That the number seen is the one meant, rounded."""
    return z3.And(
        seen(measure) - meant(measure) <= number(STEP / 2), meant(measure) - seen(measure) <= number(STEP / 2)
    )


def known(name: str) -> Term:
    """Whether a fact is there."""
    return z3.Bool(f"{name}?")


def word(measure: Measure, name: str) -> Term:
    """That a fact of words is there and is this one."""
    return z3.And(known(measure.name), seen(measure) == measure.words.index(name))


def one_of(measure: Measure, *names: str) -> Term:
    """That a fact of words is there and is one of these."""
    return z3.Or(*(word(measure, name) for name in names))


def any_word(measure: Measure, names: Iterable[str]) -> Term:
    """That a fact of words is there and is one of these, which may be a single one."""
    terms = [word(measure, name) for name in names]
    return terms[0] if len(terms) == 1 else z3.Or(*terms)


def holds(condition: Condition, measures: Mapping[str, Measure]) -> Term:
    """That a condition is true."""
    if isinstance(condition, Known):
        return known(condition.fact) if condition.present else z3.Not(known(condition.fact))
    if isinstance(condition, Compare):
        return z3.And(known(condition.fact), _compared(condition, measures[condition.fact]))
    parts = [holds(part, measures) for part in condition.parts]
    return z3.And(*parts) if isinstance(condition, All) else z3.Or(*parts)


def fails(condition: Condition, measures: Mapping[str, Measure]) -> Term:
    """That a condition is not true, be it that a fact is absent."""
    return holds(unmet(condition), measures)


def _compared(leaf: Compare, measure: Measure) -> Term:
    found = seen(measure)
    if isinstance(leaf.value, str):
        place = measure.words.index(leaf.value)
        return found == place if leaf.operator == "=" else found != place
    limit = Fraction(repr(float(leaf.value)))
    below, above = found <= number(limit - STEP), found >= number(limit + STEP)
    terms = {"<": below, "<=": found <= number(limit), ">": above, ">=": found >= number(limit)}
    terms |= {"=": found == number(limit), "!=": z3.Or(below, above)}
    return terms[leaf.operator]


class _Beyond(Exception):
    """A formula that the solver is not asked to understand: angles, powers, rounding up."""


def equation(
    measure: Measure, formula: str, measures: Mapping[str, Measure], limits: Mapping[str, float]
) -> Term | None:
    """That a measure has the value of its formula; nothing where the formula goes beyond the four kinds of reckoning.

    A quotient is told as a product with a divisor that is not 0, which the solver understands better.
    """
    try:
        match tree := parsed(formula):
            case Binary("/", above, under):
                below = _term(under, measures, limits)
                return z3.And(below != 0, meant(measure) * below == _term(above, measures, limits))
        return meant(measure) == _term(tree, measures, limits)
    except _Beyond:
        return None


def _term(formula: Formula, measures: Mapping[str, Measure], limits: Mapping[str, float]) -> Term:
    match formula:
        case Number(value):
            return number(value)
        case Name(name) if name in CONSTANTS:
            return number(Fraction(CONSTANTS[name]))
        case Name(name):
            return meant(measures[name]) if name in measures else number(limits[name])
        case Binary("+" | "-" | "*" as sign, left, right):
            one, other = _term(left, measures, limits), _term(right, measures, limits)
            return one + other if sign == "+" else one - other if sign == "-" else one * other
        case Binary("/", left, right) if not any(place.name in measures for place in places(right)):
            return _term(left, measures, limits) / _term(right, measures, limits)
        case Call("min" | "max" as called, (first, second)):
            one, other = _term(first, measures, limits), _term(second, measures, limits)
            return z3.If(one <= other, one, other) if called == "min" else z3.If(one >= other, one, other)
    raise _Beyond
