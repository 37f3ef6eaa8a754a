"""The solver's reading of conditions is that of the evaluator; its reading of formulas that of arithmetic."""

import math

import pytest
import z3
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.knowledge.conditions import Compare, Value, leaves, quantise
from advisor.knowledge.conditions import holds as evaluated
from advisor.knowledge.schema import Rule, reads
from advisor.knowledge.shipped import rule_base
from advisor.proof.translate import equation, fails, holds, known, meant, number, seen

BASE = rule_base()
RULES = list(BASE.rules)


def values(rule: Rule, fact: str) -> st.SearchStrategy[Value]:
    """Values of a fact at which the rule's answer may turn: on its thresholds, a step beside them, and far off."""
    measure = BASE.measures[fact]
    if not measure.numeric:
        return st.sampled_from(measure.words)
    least, most = measure.range or (0.0, 1.0)
    limits = [float(leaf.value) for leaf in leaves(rule.condition) if isinstance(leaf, Compare) and leaf.fact == fact]
    places = [quantise(limit + step) for limit in limits for step in (-1e-4, 0, 1e-4)]
    return st.sampled_from([*places, least, most]) | st.floats(least, most).map(quantise)


@st.composite
def asked(draw: st.DrawFn) -> tuple[Rule, dict[str, Value]]:
    rule = draw(st.sampled_from(RULES))
    facts = {fact: draw(st.none() | values(rule, fact)) for fact in sorted(reads(rule))}
    return rule, {fact: value for fact, value in facts.items() if value is not None}


@given(asked())
@settings(max_examples=100)
def test_solver_and_evaluator_agree_whether_a_condition_holds(question: tuple[Rule, dict[str, Value]]) -> None:
    rule, facts = question
    solver = z3.Solver()
    for fact in reads(rule):
        measure, value = BASE.measures[fact], facts.get(fact)
        solver.add(known(fact) == (value is not None))
        if value is not None:
            told = measure.words.index(value) if isinstance(value, str) else number(value)
            solver.add(seen(measure) == told)
    holding = evaluated(rule.condition, facts)
    assert (str(solver.check(holds(rule.condition, BASE.measures))) == "sat") is holding
    assert (str(solver.check(fails(rule.condition, BASE.measures))) == "sat") is not holding


@given(st.floats(0.5, 500), st.floats(0.1, 100))
@settings(max_examples=30)
def test_a_quotient_is_told_as_a_product(depth: float, DC: float) -> None:
    measures = BASE.measures
    solver = z3.Solver()
    solver.add(meant(measures["depth"]) == number(depth), meant(measures["DC"]) == number(DC))
    told = equation(measures["depth_ratio"], "depth / DC", measures, BASE.limits)
    solver.add(told)
    assert str(solver.check()) == "sat"
    found = solver.model().eval(meant(measures["depth_ratio"])).as_fraction()
    assert math.isclose(float(found), depth / DC, rel_tol=1e-12)


@pytest.mark.parametrize("formula", ["ceil(depth / DC)", "sin(KAPR)", "mean_chip ** 2", "depth / (DC / width)"])
def test_what_the_solver_is_not_asked_to_understand_is_left_out(formula: str) -> None:
    assert equation(BASE.measures["depth_ratio"], formula, BASE.measures, BASE.limits) is None
