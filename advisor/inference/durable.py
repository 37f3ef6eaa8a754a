"""The durable-rules adapter; nothing else but ``rulesets``, which keeps what is built, knows of that engine.

Built to survive what was measured of durable-rules 2.0.28 (each point is held by a test in ``tests/inference``): a
ruleset holds at most ``MOST_RULES`` rules and ``MOST_ALTERNATIVES`` alternatives, since each alternative of an ``any``
that holds is a match of its own (the rule then fires again) and more than 64 matches of one fact overflow a fixed
stack; a condition of more than ``MOST_SEQUENCES`` lists, which the engine refuses (error 113), goes in as one rule for
each of its alternatives; a catch-all rule in each, since a fact that no rule takes corrupts memory; one ``sid``
asserted and deleted a question; a host without the timer threads; every rule asks for ``ASKED``, since the engine also
matches rules against its own state message, and one that this matched ran without end; numbers quantised, since
exponents are not read; rulesets built once for each content, since to build one takes longer than to ask it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import product
from typing import Any as Anything

from advisor.inference import rulesets
from advisor.inference.rulesets import ASKED, Content, EngineError, Rules, one_question
from advisor.inference.rulesets import free_idle as free_idle
from advisor.knowledge.conditions import MOST_ALTERNATIVES, All, Any, Compare, Condition, Facts, Known, alternatives
from advisor.knowledge.schema import Rule

NAME = "durable-rules"
MOST_RULES = 32
MOST_SEQUENCES = 15
TESTS = {"<": "$lt", "<=": "$lte", ">": "$gt", ">=": "$gte", "!=": "$neq"}
HOLDS_NEVER = {"asked": "never"}


def compile_condition(condition: Condition) -> Mapping[str, Anything]:
    """A condition tree as the engine's nested tests on the properties of one fact."""
    if isinstance(condition, Compare):
        if condition.operator == "=":
            return {condition.fact: condition.value}
        return {TESTS[condition.operator]: {condition.fact: condition.value}}
    if isinstance(condition, Known):
        return {"$ex" if condition.present else "$nex": {condition.fact: 1}}
    word = "$and" if isinstance(condition, All) else "$or"
    parts = [compile_condition(part) for part in condition.parts]
    if not parts:  # nothing asked is true, no alternative is false; an empty list would never come back
        return ASKED if isinstance(condition, All) else HOLDS_NEVER
    return parts[0] if len(parts) == 1 else {word: parts}


def sequences(condition: Condition) -> int:
    """How many lists of tests a compiled condition holds, one within the other or beside it."""
    if isinstance(condition, Compare | Known):
        return 0
    own = 0 if len(condition.parts) == 1 else 1
    return own + sum(map(sequences, condition.parts))


def conjunctions(condition: Condition) -> Iterator[tuple[Compare | Known, ...]]:
    """The alternatives of a condition, each as the comparisons that must all hold: its disjunctive normal form."""
    if isinstance(condition, Compare | Known):
        yield (condition,)
    elif isinstance(condition, Any):
        for part in condition.parts:
            yield from conjunctions(part)
    else:
        for chosen in product(*(tuple(conjunctions(part)) for part in condition.parts)):
            yield tuple(leaf for leaves in chosen for leaf in leaves)


def engine_conditions(condition: Condition) -> tuple[Condition, ...]:
    """The conditions under which the engine fires a rule: its own, or where that nests too deep its alternatives."""
    if sequences(condition) < MOST_SEQUENCES:  # one more holds what every rule asks for
        return (condition,)
    return tuple(All(leaves) for leaves in conjunctions(condition))


def chunks(rules: Sequence[Rule]) -> Iterator[list[Rule]]:
    """The rules in portions that one ruleset can bear.

    Raises:
        EngineError: a single rule has more alternatives than that.
    """
    chunk: list[Rule] = []
    matches = 0
    for rule in rules:
        ways = alternatives(rule.condition)
        if ways > MOST_ALTERNATIVES:
            most = f"the engine bears {MOST_ALTERNATIVES}: split the rule"
            raise EngineError(f"{rule.id}: its condition can come true in {ways} ways at once; {most}")
        if chunk and (len(chunk) == MOST_RULES or matches + ways > MOST_ALTERNATIVES):
            yield chunk
            chunk, matches = [], 0
        chunk.append(rule)
        matches += ways
    if chunk:
        yield chunk


class Family:
    """The rules that are asked together, spread over rulesets the engine can bear.

    ``callbacks`` maps a rule's id to what is called when the engine fires the rule; taking one out makes the rule mute.
    """

    def __init__(self, rules: Sequence[Rule]) -> None:
        self.fired: dict[str, None] = {}
        self.callbacks: dict[str, Callable[[], None]] = {rule.id: self._note(rule.id) for rule in rules}
        self._contents = [_content(chunk) for chunk in chunks(rules)]
        for content in self._contents:
            rulesets.prepare(content)

    def _note(self, rule_id: str) -> Callable[[], None]:
        return lambda: self.fired.__setitem__(rule_id, None)

    def _fire(self, rule_id: str) -> None:
        if (callback := self.callbacks.get(rule_id)) is not None:
            callback()

    def ask(self, facts: Facts) -> tuple[str, ...]:
        """The ids of the rules the engine fired for these facts.

        Raises:
            EngineError: a consequent failed, or the engine refused the fact.
        """
        with one_question():
            self.fired.clear()
            for content in self._contents:
                rulesets.ask(content, facts, self._fire)
            return tuple(self.fired)


def _content(rules: Sequence[Rule]) -> Content:
    return Content.of(tuple((rule.id, rule.condition) for rule in rules), _tests)


def _tests(rules: Rules) -> Mapping[tuple[str, int], Anything]:
    return {
        (rule_id, place): {"$and": [ASKED, compile_condition(found)]}
        for rule_id, condition in rules
        for place, found in enumerate(engine_conditions(condition))
    }
