"""Asking the rule base: which rules fire, each distinguishable question asked once.

Rules that are asked together form a family: one stage, one level, and one method where the rules are about it. Rules
compare facts with fixed values only, so two facts between the same neighbouring values cannot be told apart by any
rule of the family: a question is known by those places, and its answer is kept. So is that of each rule by the places
of the few facts that it reads: where the engine has answered for all rules of a family, be it in different questions,
it is not asked again. Every fresh answer of the engine is compared with the evaluator's.
"""

from __future__ import annotations

import importlib
from bisect import bisect_right
from collections.abc import Callable, Sequence
from math import inf, nextafter
from typing import Protocol

from advisor.inference import evaluator
from advisor.knowledge.conditions import DECIMALS, GREATEST, Compare, Facts, Value, leaves, quantise
from advisor.knowledge.schema import Asked, Rule, RuleBase

Key = tuple[float | str | None, ...]
Places = list[tuple[str, list[float] | None]]
MOST_ANSWERS = 5_000  # of a family; beyond, they are forgotten, so that memory has an end
BY_METHOD = ("method", "candidate")  # below these levels no rule can be about a method


class Family(Protocol):
    """What an inference engine offers: the fired rules of one family."""

    def ask(self, facts: Facts) -> tuple[str, ...]:
        """The ids of the fired rules."""


class Disagreement(RuntimeError):
    """Engine and evaluator differ on a question: an internal error, never advice."""


class _Remembering:
    """Answers kept by what the rules can tell of the facts; each distinguishable question is answered once."""

    def __init__(self, cuts: Places) -> None:
        self.cuts = cuts
        self.answers: dict[Key, tuple[Rule, ...]] = {}

    def ask(self, facts: Facts) -> tuple[Rule, ...]:
        key = key_of(self.cuts, facts)
        answer = self.answers.get(key)
        if answer is None:
            if len(self.answers) >= MOST_ANSWERS:
                self.answers.clear()
            answer = self.answers[key] = self.answered(facts)
        return answer

    def answered(self, facts: Facts) -> tuple[Rule, ...]:
        """The answer to a question of which none is kept."""
        return self.fresh(facts)

    def fresh(self, facts: Facts) -> tuple[Rule, ...]:
        """The answer to a question that was not asked before."""
        raise NotImplementedError


class _Alone:
    """What the engine has answered for one rule, by what the rule can tell of the facts: whether it fired."""

    def __init__(self, rule: Rule) -> None:
        self.places = places_of([rule])
        self.fired: dict[Key, bool] = {}

    def keep(self, key: Key, fired: bool) -> None:
        if len(self.fired) >= MOST_ANSWERS:
            self.fired.clear()
        self.fired[key] = fired


class Witnessed(_Remembering):
    """One family with its engine, its witness and the answers so far.

    A family that belongs to a ``method`` need not be told it: it puts it into the facts itself. ``alone`` has by their
    ids, for all families of a rule base, what was answered for single rules; without it every question is asked.
    """

    def __init__(
        self,
        rules: Sequence[Rule],
        engine: Callable[[Sequence[Rule]], Family],
        method: str | None = None,
        alone: dict[str, _Alone] | None = None,
    ) -> None:
        self.rules = {rule.id: rule for rule in rules}
        self.order = {rule.id: place for place, rule in enumerate(rules)}
        places = places_of(rules)
        self.reads = tuple(fact for fact, _ in places)
        self.method: dict[str, Value] = {} if method is None else {"method": method}
        super().__init__([place for place in places if place[0] not in self.method])
        self.witness = evaluator.Family(rules)
        # Where the evaluator is the engine, the two are one: its answers are not held against themselves.
        self.engine: Family = self.witness if engine is evaluator.Family else engine(rules)
        self.questions = 0
        self.alone: list[_Alone] = []
        if alone is not None and self.engine is not self.witness:
            alone.update({rule.id: _Alone(rule) for rule in rules if rule.id not in alone})
            self.alone = [alone[rule.id] for rule in rules]

    def question(self, facts: Facts) -> dict[str, Value]:
        """What the engine is asked: those facts that the rules read, as they see them."""
        asked: dict[str, Value] = {}
        for fact in self.reads:
            if (value := self.method.get(fact, facts.get(fact))) is not None:
                asked[fact] = value if isinstance(value, str) else quantise(value)
        return asked

    def answered(self, facts: Facts) -> tuple[Rule, ...]:
        if not self.alone:
            return self.fresh(facts)
        asked = self.question(facts)
        keys = [key_of(alone.places, asked) for alone in self.alone]
        known = [alone.fired.get(key) for alone, key in zip(self.alone, keys, strict=True)]
        if None not in known:
            return tuple(rule for rule, fired in zip(self.rules.values(), known, strict=True) if fired)
        answer = self.fresh(facts)
        ids = {rule.id for rule in answer}
        for rule_id, alone, key in zip(self.rules, self.alone, keys, strict=True):
            alone.keep(key, rule_id in ids)
        return answer

    def fresh(self, facts: Facts) -> tuple[Rule, ...]:
        self.questions += 1
        asked = self.question(facts)
        expected = self.witness.ask(asked)
        if self.engine is not self.witness:
            fired = sorted(self.engine.ask(asked), key=self.order.__getitem__)
            if tuple(fired) != expected:
                raise Disagreement(f"engine fired {fired}, evaluator {list(expected)}, for {asked}")
        return tuple(self.rules[rule_id] for rule_id in expected)


class _Together(_Remembering):
    """Families that are asked one after another about the same facts: a question known to all is looked up once."""

    def __init__(self, families: Sequence[Witnessed]) -> None:
        self.families = families
        rules = [rule for family in families for rule in family.rules.values()]
        known = {fact for family in families for fact in family.method}
        super().__init__([place for place in places_of(rules) if place[0] not in known])

    def fresh(self, facts: Facts) -> tuple[Rule, ...]:
        return tuple(rule for family in self.families for rule in family.ask(facts))


class Inference:
    """Fired rules, stage by stage and level by level, from one engine over one rule base; may be asked from any thread.

    ``free_idle``, between two jobs, lets the engine give back what it has not been asked for the longest time.
    ``sparing``, the engine is not asked what follows from what it answered for each rule.
    """

    def __init__(
        self,
        base: RuleBase,
        engine: Callable[[Sequence[Rule]], Family],
        name: str,
        free_idle: Callable[[], None] = lambda: None,
        sparing: bool = False,
    ) -> None:
        self.base, self.name = base, name
        self._engine, self.free_idle = engine, free_idle
        self._asked: dict[tuple[str, str, str | None], Witnessed | None] = {}
        self._alone: dict[str, _Alone] | None = {} if sparing else None
        self._together: dict[tuple[tuple[str, ...], tuple[str, ...], str | None], Witnessed | _Together] = {}
        self._places: dict[tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]], Places] = {}

    def every(
        self, stages: tuple[str, ...], levels: tuple[str, ...], facts: Facts, method: str | None = None
    ) -> tuple[Rule, ...]:
        """The rules that fire in several stages and levels, in that order."""
        place = (stages, levels, method)
        together = self._together.get(place)
        if together is None:
            families = self._families(stages, levels, method)
            together = self._together[place] = families[0] if len(families) == 1 else _Together(families)
        return together.ask(facts)

    def places(self, stages: tuple[str, ...], levels: tuple[str, ...], methods: tuple[str, ...]) -> Places:
        """All that rules of some stages and levels can tell of facts, whichever of some methods is asked about."""
        place = (stages, levels, methods)
        if place not in self._places:
            families = [family for method in methods for family in self._families(stages, levels, method)]
            rules = {rule_id: rule for family in families for rule_id, rule in family.rules.items()}
            self._places[place] = [found for found in places_of(tuple(rules.values())) if found[0] != "method"]
        return self._places[place]

    def _families(self, stages: Sequence[str], levels: Sequence[str], method: str | None) -> tuple[Witnessed, ...]:
        found = (
            self.family(stage, level, method if level in BY_METHOD else None) for stage in stages for level in levels
        )
        return tuple(family for family in found if family is not None)

    def fired(self, stage: str, level: str, facts: Facts, method: str | None = None) -> tuple[Rule, ...]:
        """The rules of a stage and level that fire, in reading order; with a method, those about it and about all."""
        family = self.family(stage, level, method if level in BY_METHOD else None)
        return family.ask(facts) if family is not None else ()

    def family(self, stage: str, level: str, method: str | None) -> Witnessed | None:
        """The rules asked together; none when there is no such rule. Built when first asked."""
        place = (stage, level, method)
        if place not in self._asked:
            rules = [
                rule
                for rule in self.base.of(stage, level)
                if not rule.methods or (method is not None and method in rule.methods)
            ]
            self._asked[place] = Witnessed(rules, self._engine, method, self._alone) if rules else None
        return self._asked[place]

    @property
    def questions(self) -> int:
        """How many questions the engine was really asked."""
        return sum(family.questions for family in self._asked.values() if family is not None)


def places_of(rules: Sequence[Asked]) -> Places:
    """Each fact that the rules read, with the numbers at which it comes to another place: below, on or above a value
    that it is compared with; none for a fact of words.
    """
    cuts: dict[str, set[float] | None] = {}
    for rule in rules:
        for leaf in leaves(rule.condition):
            values = cuts.setdefault(leaf.fact, set())
            if isinstance(leaf, Compare) and isinstance(leaf.value, str):
                cuts[leaf.fact] = None
            elif isinstance(leaf, Compare) and values is not None:
                least = float(leaf.value)
                values.update((_first(least, beyond=False), _first(least, beyond=True)))
    return [(fact, None if values is None else sorted(values)) for fact, values in cuts.items()]


def key_of(places: Places, facts: Facts) -> Key:
    """What the rules can tell of facts: each word, and the place of each number, -1 where it is absent."""
    get = facts.get
    return tuple(
        [  # a list first: this is asked more often than anything else
            get(fact) if cuts is None else -1 if (value := get(fact)) is None else bisect_right(cuts, value)
            for fact, cuts in places
        ]
    )


def _first(value: float, beyond: bool) -> float:
    """The least number that, as the rules see it, is no less than a value, or is ``beyond`` it."""

    def there(number: float) -> bool:
        seen = quantise(number)
        return seen > value if beyond else seen >= value

    if abs(value) >= GREATEST and beyond == (value > 0):
        return inf if beyond else -inf  # farther out, nothing is told apart
    half = 0.5 * 10**-DECIMALS
    number: float = value + half if beyond else value - half  # but for the last bits, which the two loops settle
    while there(number):
        number = nextafter(number, -inf)
    while not there(number):
        number = nextafter(number, inf)
    return number


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
        return Inference(base, module.Family, module.NAME, module.free_idle, sparing=True)
    raise AssertionError("the evaluator is always there")
