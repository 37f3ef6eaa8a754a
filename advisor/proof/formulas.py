"""The formulas of the register of measures as what is true of facts, each under the circumstances it is given for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

import z3

from advisor.knowledge.formulas import CHOSEN_BY, names
from advisor.knowledge.measures import Measure
from advisor.knowledge.schema import RuleBase
from advisor.proof.translate import Term, equation, known, word

Measures = Mapping[str, Measure]


class Constraint(NamedTuple):
    """Something that is true of all facts; not ``linear`` where it multiplies unknowns: the solver takes longer then.

    One that is ``advised`` is true of the ways that advice works out, not of any that somebody may choose.
    """

    facts: frozenset[str]
    term: Term
    linear: bool = True
    advised: bool = False


def formulas(base: RuleBase) -> Iterator[Constraint]:
    """The formulas of the register, each under the circumstances it is given for."""
    measures = base.measures
    for measure in measures.values():
        keys = [key for key, _ in measure.formulas if key]
        for key, formula in measure.formulas:
            inputs = sorted(set(names(formula)) & set(measures))
            under = (
                _circumstance(key, measures) if key else z3.Not(z3.Or(*(_circumstance(one, measures) for one in keys)))
            )
            others = [one for one in keys if one != key and _rank(one, measures) <= _rank(key, measures)] if key else []
            if others:  # of two that hold, a formula for the more special circumstance is taken
                under = z3.And(under, z3.Not(z3.Or(*(_circumstance(one, measures) for one in others))))
            there = z3.And(known(measure.name), under, *map(known, inputs))
            told = equation(measure, formula, measures, base.limits)
            if told is not None:
                linear = len(inputs) <= 1 or not ("*" in formula or "/" in formula)
                yield Constraint(
                    frozenset((measure.name, *inputs, *_circumstances_read(keys, measures))),
                    z3.Implies(there, told),
                    linear,
                )


def _circumstance(key: str, measures: Measures) -> Term:
    """That a formula's circumstance is given; of looping and the like nothing is known beforehand."""
    fact = next((name for name in CHOSEN_BY if key in measures[name].words), None)
    return z3.Bool(f"{key}?") if fact is None else word(measures[fact], key)


def _rank(key: str, measures: Measures) -> int:
    """The place of a circumstance among those a formula is looked up by; see ``knowledge.formulas.circumstances``."""
    return next((place for place, name in enumerate(CHOSEN_BY) if key in measures[name].words), -1)


def _circumstances_read(keys: list[str], measures: Measures) -> set[str]:
    return {name for key in keys for name in CHOSEN_BY if key in measures[name].words}
