"""The durable-rules adapter; nothing else in the house knows of that engine.

Built to survive what was measured of durable-rules 2.0.28 (each point is held by a test in ``tests/inference``):
a ruleset holds at most ``MOST_RULES`` rules and ``MOST_MATCHES`` alternatives, since each alternative of an ``any``
that holds is a match of its own (the rule then fires again) and more than 64 matches of one fact overflow a fixed
stack; a condition of more than ``MOST_SEQUENCES`` lists, which the engine refuses (error 113), goes in as one rule for
each of its alternatives; a catch-all rule in each, since a fact that no rule takes corrupts memory; one ``sid``
asserted and deleted a question; a host without the timer threads; every rule asks for ``ASKED``, since the engine also
matches rules against its own state message, and one that this matched ran without end; numbers quantised, since
exponents are not read; rulesets built once a process, since they are never freed.
"""

from __future__ import annotations

import signal
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from itertools import count, product
from math import prod
from typing import Any as Anything

from durable import engine

from advisor.rulebase.conditions import All, Any, Compare, Condition, Facts, Known
from advisor.rulebase.schema import Rule

NAME = "durable-rules"
MOST_RULES = 32
MOST_MATCHES = 60
MOST_SEQUENCES = 15
TESTS = {"<": "$lt", "<=": "$lte", ">": "$gt", ">=": "$gte", "!=": "$neq"}
ASKED = {"asked": "q"}
NEVER = {"asked": "never"}
_numbers = count()


class EngineError(RuntimeError):
    """The engine reported an error of its own; never advice."""


@contextmanager
def _interrupts_wait() -> Iterator[None]:
    """An interrupt comes through only afterwards: the engine takes it for a fault of a rule, and may go on without."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, ())
    try:
        signal.pthread_sigmask(signal.SIG_BLOCK, (signal.SIGINT, signal.SIGTERM))
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


class _QuietHost(engine.Host):  # type: ignore[misc]
    """A host without the two timer threads that a stock one starts."""

    def _run(self) -> None:
        return


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
        return ASKED if isinstance(condition, All) else NEVER
    return parts[0] if len(parts) == 1 else {word: parts}


def alternatives(condition: Condition) -> int:
    """How many ways a condition can come true at most: what the engine may match it by at once."""
    if isinstance(condition, Compare | Known):
        return 1
    counts = [alternatives(part) for part in condition.parts]
    return prod(counts) if isinstance(condition, All) else sum(counts)


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
        if ways > MOST_MATCHES:
            most = f"the engine bears {MOST_MATCHES}: split the rule"
            raise EngineError(f"{rule.id}: its condition can come true in {ways} ways at once; {most}")
        if chunk and (len(chunk) == MOST_RULES or matches + ways > MOST_MATCHES):
            yield chunk
            chunk, matches = [], 0
        chunk.append(rule)
        matches += ways
    if chunk:
        yield chunk


class Family:
    """The rules that are asked together, spread over rulesets the engine can bear.

    ``callbacks`` maps a rule's id to what the engine calls when the rule fires; taking one out makes the rule mute.
    """

    def __init__(self, rules: Sequence[Rule]) -> None:
        self.fired: dict[str, None] = {}
        self.callbacks: dict[str, Callable[[], None]] = {rule.id: self._note(rule.id) for rule in rules}
        self._host = _QuietHost()
        self._rulesets = [self._build(chunk) for chunk in chunks(rules)]

    def _note(self, rule_id: str) -> Callable[[], None]:
        return lambda: self.fired.__setitem__(rule_id, None)

    def _build(self, rules: Sequence[Rule]) -> str:
        definition: dict[str, Anything] = {"taken": {"all": [{"m": dict(ASKED)}], "run": lambda closure: None}}
        for rule in rules:
            for place, condition in enumerate(engine_conditions(rule.condition)):
                test = {"$and": [ASKED, compile_condition(condition)]}
                definition[f"{rule.id}/{place}"] = {"all": [{"m": test}], "run": self._consequent(rule.id)}
        name = f"family-{next(_numbers)}"
        self._host.register_rulesets({name: definition})
        return name

    def _consequent(self, rule_id: str) -> Callable[[Anything], None]:
        def run(closure: Anything) -> None:
            if (callback := self.callbacks.get(rule_id)) is not None:
                callback()

        return run

    def ask(self, facts: Facts) -> tuple[str, ...]:
        """The ids of the rules the engine fired for these facts.

        Raises:
            EngineError: a consequent failed, or the engine refused the fact.
        """
        self.fired.clear()
        with _interrupts_wait():
            for name in self._rulesets:
                self._ask(name, facts)
        return tuple(self.fired)

    def _ask(self, name: str, facts: Facts) -> None:
        try:
            state = self._host.assert_fact(name, {"sid": "q", "id": "q", **ASKED, **facts})
        except Exception as error:
            with suppress(Exception):  # what is left of a refused question must not hide why it was refused
                self._host.delete_state(name, "q")
            raise EngineError(f"durable-rules: {type(error).__name__}: {error}") from error
        self._host.delete_state(name, "q")
        if isinstance(state, Mapping) and state.get("exception"):
            raise EngineError(f"durable-rules: {state['exception']}")
