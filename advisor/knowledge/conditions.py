"""The condition of a rule as one frozen tree, and the small grammar it is read from.

A condition is text such as ``width_ratio < loop_width_ratio_least``; it is parsed, never run. Negation is worked
inwards while reading, so a tree holds comparisons, presence tests, ``All`` and ``Any`` and nothing else. Three
readers share it: the evaluator below, the compiler in ``advisor.inference.durable``, and whoever explains.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from math import prod
from typing import Any as Anything
from typing import TypeGuard

from advisor.files.problems import shown

Value = float | str
Facts = Mapping[str, Value]

OPERATORS: dict[str, Callable[[Anything, Anything], bool]] = {
    "<": lambda a, b: a < b,
    "<=": lambda a, b: a <= b,
    ">": lambda a, b: a > b,
    ">=": lambda a, b: a >= b,
    "=": lambda a, b: a == b,
    "!=": lambda a, b: a != b,
}
OPPOSITE = {"<": ">=", "<=": ">", ">": "<=", ">=": "<", "=": "!=", "!=": "="}
COMPARISON = re.compile(
    r"^\s*(?P<fact>[A-Za-z_]\w*)\s*(?P<operator><=|>=|!=|<|>|=)\s*"
    r"(?:\"(?P<double>[^\"]+)\"|'(?P<single>[^']+)'|(?P<word>[-+.\w]+))\s*$"
)
NUMBER = re.compile(r"^[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?$")
LONGEST_COMPARISON = 200
DECIMALS = 4
GREATEST = 1e12
MOST_ALTERNATIVES = 60  # of one rule: what the engine may match at once; see advisor.inference.durable


class ConditionError(ValueError):
    """A condition that the grammar does not know; the message says what was found and what is wanted."""


@dataclass(frozen=True, slots=True)
class Compare:
    """``fact operator value``; ``threshold`` keeps the name the value was given by, if it was."""

    fact: str
    operator: str
    value: Value
    threshold: str | None = None


@dataclass(frozen=True, slots=True)
class Known:
    """The fact is there (or, with ``present`` false, is absent)."""

    fact: str
    present: bool = True


@dataclass(frozen=True, slots=True)
class All:
    """Every part holds; with no part, true."""

    parts: tuple[Condition, ...]


@dataclass(frozen=True, slots=True)
class Any:
    """At least one part holds; with no part, false."""

    parts: tuple[Condition, ...]


Condition = Compare | Known | All | Any


def is_number(value: object) -> TypeGuard[float]:
    """Whether a value out of a file is a number that rules can be asked with: finite, and no true or false."""
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) <= GREATEST


def quantise(value: float) -> float:
    """A number as every reader sees it: four decimals, no negative zero, within ±1e12.

    The engine reads no exponents, and ties at a threshold must fall alike everywhere.
    """
    rounded = round(value, DECIMALS) + 0.0
    return max(-GREATEST, min(GREATEST, rounded))


def parse(source: object, thresholds: Mapping[str, float]) -> Condition:
    """The tree for one item of a rule's ``when``.

    Raises:
        ConditionError: the text is not ``fact operator value``, or a mapping is not any, all, not or known.
    """
    if isinstance(source, str):
        return _comparison(source, thresholds)
    if isinstance(source, dict) and len(source) == 1:
        ((word, inner),) = source.items()
        if word == "known" and isinstance(inner, str):
            return Known(inner)
        if word == "not":
            return negate(parse(inner, thresholds))
        if word in ("any", "all") and isinstance(inner, list) and inner:
            parts = tuple(parse(part, thresholds) for part in inner)
            return Any(parts) if word == "any" else All(parts)
    raise ConditionError(f"{source!r}; wanted 'fact operator value', or one of any, all (a list), not, known")


def _comparison(text: str, thresholds: Mapping[str, float]) -> Compare:
    match = COMPARISON.match(text) if len(text) <= LONGEST_COMPARISON else None
    if match is None:
        raise ConditionError(f"{shown(text)}; wanted 'fact operator value' with one of {', '.join(OPERATORS)}")
    fact, operator, word = match["fact"], match["operator"], match["word"]
    if word is None:  # in quotes: a name, exactly as it stands
        return Compare(fact, operator, match["double"] or match["single"])
    if word in thresholds:
        return Compare(fact, operator, quantise(thresholds[word]), word)
    if NUMBER.match(word):
        return Compare(fact, operator, quantise(float(word)))
    return Compare(fact, operator, word)


def negate(condition: Condition) -> Condition:
    """The opposite condition. A comparison on an absent fact stays false, so that silence never counts as a no."""
    match condition:
        case Compare(fact, operator, value, threshold):
            return Compare(fact, OPPOSITE[operator], value, threshold)
        case Known(fact, present):
            return Known(fact, not present)
        case All(parts):
            return Any(tuple(negate(part) for part in parts))
        case Any(parts):
            return All(tuple(negate(part) for part in parts))


def holds(condition: Condition, facts: Facts) -> bool:
    """Whether the condition is true of the facts (numbers already quantised)."""
    if isinstance(condition, Compare):
        value = facts.get(condition.fact)
        return value is not None and OPERATORS[condition.operator](value, condition.value)
    if isinstance(condition, Known):
        return (condition.fact in facts) is condition.present
    every = isinstance(condition, All)
    for part in condition.parts:  # a loop, since this is the witness of every question
        if holds(part, facts) is not every:
            return not every
    return every


def leaves(condition: Condition) -> Iterator[Compare | Known]:
    """Every comparison and presence test of the tree, in reading order."""
    if isinstance(condition, Compare | Known):
        yield condition
    else:
        for part in condition.parts:
            yield from leaves(part)


def numbers_compared(condition: Condition, facts: Facts) -> Iterator[tuple[Compare, float, float]]:
    """Every comparison of a number that is there with a number: the comparison, the number there and its limit."""
    for leaf in leaves(condition):
        value = facts.get(leaf.fact)
        if isinstance(leaf, Compare) and not isinstance(leaf.value, str) and isinstance(value, int | float):
            yield leaf, value, leaf.value


def facts_read(condition: Condition) -> frozenset[str]:
    """The names of all facts that the tree looks at."""
    return frozenset(leaf.fact for leaf in leaves(condition))


def alternatives(condition: Condition) -> int:
    """How many ways a condition can come true at most: what the engine may match it by at once."""
    if isinstance(condition, Compare | Known):
        return 1
    counts = [alternatives(part) for part in condition.parts]
    return prod(counts) if isinstance(condition, All) else sum(counts)


Situation = dict[str, Value]


def yes(value: object) -> str:
    """A truth value as the word the rules read."""
    return "yes" if value else "no"
