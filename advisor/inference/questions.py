"""Asking the rule base: which rules fire, each distinguishable question asked once.

Rules that are asked together form a family: one stage, one level, and one method where the rules are about it. Rules
compare facts with fixed values only, so two facts between the same neighbouring values cannot be told apart by any
rule of the family: a question is known by those places, and its answer is kept. Every fresh answer of the engine is
compared with the evaluator's.
"""

from __future__ import annotations

import importlib
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from typing import Protocol

from advisor.inference import evaluator
from advisor.rulebase.conditions import Compare, Facts, Value, leaves, quantise
from advisor.rulebase.schema import Rule, RuleBase

Key = tuple[int | str | None, ...]
MOST_PLACES = 4096
BY_METHOD = ("method", "candidate")  # below these levels no rule can be about a method


class Family(Protocol):
    """What an inference engine offers: the fired rules of one family."""

    def ask(self, facts: Facts) -> tuple[str, ...]:
        """The ids of the fired rules."""


class Disagreement(RuntimeError):
    """Engine and evaluator differ on a question: an internal error, never advice."""


class _Asked:
    """One family with its engine, its witness and the answers so far."""

    def __init__(self, rules: Sequence[Rule], engine: Callable[[Sequence[Rule]], Family]) -> None:
        self.rules = {rule.id: rule for rule in rules}
        self.order = {rule.id: place for place, rule in enumerate(rules)}
        self.cuts = _cuts(rules)
        self.engine = engine(rules)
        self.witness = evaluator.Family(rules)
        self.answers: dict[Key, tuple[Rule, ...]] = {}

    def key(self, facts: Facts) -> Key:
        found: list[int | str | None] = []
        for fact, cuts, places in self.cuts:
            value = facts.get(fact)
            if value is None or isinstance(value, str):
                found.append(value)
                continue
            place = places.get(value)
            if place is None:
                place = _place(value, cuts, places)
            found.append(place)
        return tuple(found)

    def ask(self, facts: Facts) -> tuple[Rule, ...]:
        key = self.key(facts)
        answer = self.answers.get(key)
        if answer is None:
            answer = self.answers[key] = self.fresh(facts)
        return answer

    def fresh(self, facts: Facts) -> tuple[Rule, ...]:
        asked: dict[str, Value] = {}
        for fact, _, _ in self.cuts:
            if (value := facts.get(fact)) is not None:
                asked[fact] = value if isinstance(value, str) else quantise(value)
        fired = sorted(self.engine.ask(asked), key=self.order.__getitem__)
        expected = self.witness.ask(asked)
        if tuple(fired) != expected:
            raise Disagreement(f"engine fired {fired}, evaluator {list(expected)}, for {asked}")
        return tuple(self.rules[rule_id] for rule_id in fired)


class Inference:
    """Fired rules, stage by stage and level by level, from one engine over one rule base."""

    def __init__(self, base: RuleBase, engine: Callable[[Sequence[Rule]], Family], name: str) -> None:
        self.base, self.name = base, name
        self._engine = engine
        self._asked: dict[tuple[str, str, str | None], _Asked | None] = {}

    def every(
        self, stages: Sequence[str], levels: Sequence[str], facts: Facts, method: str | None = None
    ) -> tuple[Rule, ...]:
        """The rules that fire in several stages and levels, in that order."""
        return tuple(rule for stage in stages for level in levels for rule in self.fired(stage, level, facts, method))

    def fired(self, stage: str, level: str, facts: Facts, method: str | None = None) -> tuple[Rule, ...]:
        """The rules of a stage and level that fire, in reading order; with a method, those about it and about all."""
        family = self.family(stage, level, method if level in BY_METHOD else None)
        return family.ask(facts) if family is not None else ()

    def family(self, stage: str, level: str, method: str | None) -> _Asked | None:
        """The rules asked together; none when there is no such rule. Built when first asked."""
        place = (stage, level, method)
        if place not in self._asked:
            rules = [
                rule
                for rule in self.base.of(stage, level)
                if not rule.methods or (method is not None and method in rule.methods)
            ]
            self._asked[place] = _Asked(rules, self._engine) if rules else None
        return self._asked[place]

    @property
    def questions(self) -> int:
        """How many questions the engine was really asked."""
        return sum(len(family.answers) for family in self._asked.values() if family is not None)


def _cuts(rules: Sequence[Rule]) -> list[tuple[str, list[float], dict[float, int]]]:
    """Each fact that the rules read, the values they compare it with, and a memory of where numbers lie among these."""
    cuts: dict[str, set[float]] = {}
    for rule in rules:
        for leaf in leaves(rule.condition):
            values = cuts.setdefault(leaf.fact, set())
            if isinstance(leaf, Compare) and not isinstance(leaf.value, str):
                values.add(leaf.value)
    return [(fact, sorted(values), {}) for fact, values in cuts.items()]


def _place(value: float, cuts: list[float], places: dict[float, int]) -> int:
    """Where a number lies among the values it is compared with: below, on or above each."""
    if len(places) >= MOST_PLACES:
        places.clear()
    exact = quantise(value)
    places[value] = place = bisect_left(cuts, exact) + bisect_right(cuts, exact)
    return place


def start(base: RuleBase, engine: str | None = None) -> Inference:
    """An inference over a rule base, by durable-rules where it can be imported, else by the evaluator.

    Args:
        base: the rule base.
        engine: ``durable`` or ``evaluator`` to have that one; nothing to have the best there is.
    """
    for name in (engine,) if engine else ("durable", "evaluator"):
        try:
            module = importlib.import_module(f"advisor.inference.{name}")
        except ImportError:
            if engine:
                raise
            continue
        return Inference(base, module.Family, module.NAME)
    raise AssertionError("the evaluator is always there")
