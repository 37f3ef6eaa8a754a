"""The formulas of the register of measures: the one grammar they are read by, as one frozen tree.

A formula is text such as ``(depth + top) / DC``: numbers, names of measures and thresholds, ``pi``, the signs
``+ - * / **``, and the functions below, angles in degrees. It is parsed, never run. Three readers share the tree: the
arithmetic of facts (``function``), the evidence that puts the numbers in, and the prover.
"""

from __future__ import annotations

import ast
import operator
from collections.abc import Callable, Container, Iterator, Mapping
from functools import lru_cache
from math import acos, atan, ceil, cos, degrees, pi, radians, sin, tan
from threading import Lock
from typing import Any, NamedTuple

from advisor.files.problems import shown
from advisor.knowledge.conditions import Facts
from advisor.mechanics.lengths import HAIR

SIGNS: dict[type[ast.operator], str] = {ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/", ast.Pow: "**"}
ARITHMETIC: dict[str, Callable[[Any, Any], Any]] = {
    "+": operator.add,
    "-": operator.sub,
    "*": operator.mul,
    "/": operator.truediv,
    "**": operator.pow,
}
FUNCTIONS: dict[str, Callable[..., Any]] = {
    "sin": lambda angle: sin(radians(angle)),
    "cos": lambda angle: cos(radians(angle)),
    "tan": lambda angle: tan(radians(angle)),
    "acos": lambda value: degrees(acos(value)),
    "atan": lambda value: degrees(atan(value)),
    "rad": radians,
    "min": min,
    "max": max,
    "ceil": lambda value: ceil(value - 1e-9),  # a whole number that a hair was added to stays itself
}
CONSTANTS = {"pi": pi}


class FormulaError(ValueError):
    """A formula that the grammar does not know; the message says what was found."""


class Number(NamedTuple):
    """A number that stands in a formula."""

    value: float


class Name(NamedTuple):
    """A measure, a threshold or a constant; ``start`` is its place in the text."""

    name: str
    start: int


class Binary(NamedTuple):
    """Two terms joined by a sign."""

    sign: str
    left: Formula
    right: Formula


class Call(NamedTuple):
    """A function of terms."""

    function: str
    args: tuple[Formula, ...]


Formula = Number | Name | Binary | Call
Function = Callable[[Facts, Mapping[str, float]], Any]  # of facts and thresholds; a KeyError where one is absent


# CPython 3.11 counts the depth of a tree that it parses once for all threads: a second one that parses meanwhile ends
# the first with a SystemError.
_PARSING = Lock()


@lru_cache(maxsize=1024)
def parsed(text: str) -> Formula:
    """The tree of a formula. Safe to call from several threads.

    Raises:
        FormulaError: it is no expression, or holds something beyond the grammar.
    """
    try:
        with _PARSING:
            parsed_by_python = ast.parse(text, mode="eval")
        return _tree(parsed_by_python.body)
    except FormulaError:
        raise
    except (SyntaxError, ValueError, RecursionError, MemoryError) as error:
        raise FormulaError(f"{shown(text)} is no expression") from error


def _tree(node: ast.expr) -> Formula:
    match node:
        case ast.Constant(value=int() | float() as value) if not isinstance(value, bool):
            return Number(float(value))
        case ast.Name(id=name):
            return Name(name, node.col_offset)
        case ast.BinOp(left=left, op=sign, right=right) if type(sign) in SIGNS:
            return Binary(SIGNS[type(sign)], _tree(left), _tree(right))
        case ast.Call(func=ast.Name(id=called), args=args, keywords=[]) if called in FUNCTIONS:
            return Call(called, tuple(map(_tree, args)))
    raise FormulaError(f"{ast.unparse(node)!r} is beyond the grammar of formulas")


def places(formula: Formula) -> Iterator[Name]:
    """Every name of a formula at its place, in reading order; no constants."""
    match formula:
        case Name(name):
            if name not in CONSTANTS:
                yield formula
        case Binary(_, left, right):
            yield from places(left)
            yield from places(right)
        case Call(_, args):
            for one in args:
                yield from places(one)


def names(text: str) -> tuple[str, ...]:
    """The measures and thresholds that a formula reads, each once, in reading order; none for an empty text."""
    return tuple(dict.fromkeys(one.name for one in places(parsed(text)))) if text else ()


def with_numbers(text: str, told: Callable[[str], str]) -> str:
    """A formula with what is told of each name in its place."""
    for one in sorted(places(parsed(text)), key=lambda one: -one.start):
        text = f"{text[: one.start]}{told(one.name)}{text[one.start + len(one.name) :]}"
    return text


# The circumstances that a formula may be chosen by, the more special ones first. A fact that only some cuts have tells
# what cut it is: loops, rings in a casting's hole or any, an opening cut at full width, a circle round a drilled hole.
TOLD_BY = {
    "loop_count": "loops",
    "ring_stock": "rings_beside",
    "ring_count": "rings",
    "opening_length": "opening_cut",
    "arc_feed_share": "round_a_hole",
}
CHOSEN_BY = ("rough", "feature", "method", "entry", "body")  # the words of these facts


def circumstances(facts: Facts) -> tuple[str, ...]:
    """What a formula may be chosen by: several features alike, what cut it is (``TOLD_BY``), the method with the entry
    in one word, and the words of ``CHOSEN_BY``, these first for several alike.
    """
    several = float(facts.get("count", 1.0)) > 1
    special = [word for fact, word in TOLD_BY.items() if fact in facts]
    if "method" in facts and "entry" in facts:
        special.append(f"{facts['method']}_{facts['entry']}")
    words = [str(facts[name]) for name in CHOSEN_BY if name in facts]
    return (*(("several",) if several else ()), *special, *(f"several_{word}" for word in words if several), *words)


def function(formula: Formula, measures: Container[str], lengths: Container[str]) -> Function:
    """The arithmetic of a formula: names in ``measures`` are facts, the others thresholds.

    A difference of ``lengths`` is exactly 0 where they are the same but for a hair, like every other (see
    ``advisor.mechanics.lengths``).
    """
    match formula:
        case Number(value):
            return lambda facts, limits: value
        case Name(name) if name in CONSTANTS:
            constant = CONSTANTS[name]
            return lambda facts, limits: constant
        case Name(name) if name in measures:
            return lambda facts, limits: facts[name]
        case Name(name):
            return lambda facts, limits: limits[name]
        case Call(called, args):
            apply, terms = FUNCTIONS[called], tuple(function(one, measures, lengths) for one in args)
            if len(terms) == 2:
                first, second = terms
                return lambda facts, limits: apply(first(facts, limits), second(facts, limits))
            return lambda facts, limits: apply(*[term(facts, limits) for term in terms])
        case Binary():
            return _joined(formula, measures, lengths)


def _joined(formula: Binary, measures: Container[str], lengths: Container[str], inner: bool = False) -> Function:
    """The arithmetic of two terms; of a chain of differences the ``inner`` ones are left as they are."""
    sign, left, right = formula
    if sign == "-" and isinstance(left, Binary) and left.sign == "-":
        first = _joined(left, measures, lengths, inner=True)
    else:
        first = function(left, measures, lengths)
    second = function(right, measures, lengths)
    one = left.name if isinstance(left, Name) and left.name in measures else None
    other = right.name if isinstance(right, Name) and right.name in measures else None
    if sign == "-" and not inner and _is_length(formula, lengths):
        return _difference(first, second, one, other)
    if sign == "/":
        return _quotient(first, second, one, other)
    join = ARITHMETIC[sign]
    return lambda facts, limits: join(first(facts, limits), second(facts, limits))


# The two that most formulas are made of run for every cutter: a fact (``one``, ``other``) is read without a call, and
# ``lengths.difference`` is written out.


def _difference(first: Function, second: Function, one: str | None, other: str | None) -> Function:
    """A length less another, exactly 0 where they are the same but for a hair."""
    if one is not None and other is not None:
        return lambda facts, limits: 0.0 if -HAIR <= (left := facts[one] - facts[other]) <= HAIR else left  # type: ignore[operator]
    if other is not None:
        return lambda facts, limits: 0.0 if -HAIR <= (left := first(facts, limits) - facts[other]) <= HAIR else left
    return lambda facts, limits: (
        0.0 if -HAIR <= (left := first(facts, limits) - second(facts, limits)) <= HAIR else left
    )


def _quotient(first: Function, second: Function, one: str | None, other: str | None) -> Function:
    """A term over another."""
    if one is not None and other is not None:
        return lambda facts, limits: facts[one] / facts[other]  # type: ignore[operator]
    if other is not None:
        return lambda facts, limits: first(facts, limits) / facts[other]
    return lambda facts, limits: first(facts, limits) / second(facts, limits)


def _is_length(formula: Formula, lengths: Container[str]) -> bool:
    """Whether a term is a length, by the names it is made of."""
    match formula:
        case Name(name):
            return name in lengths
        case Binary("+" | "-", left, right):
            return _is_length(left, lengths) or _is_length(right, lengths)
        case Binary("*", left, right):
            return _is_length(left, lengths) is not _is_length(right, lengths)
        case Binary("/", left, right):
            return _is_length(left, lengths) and not _is_length(right, lengths)
        case Call("min" | "max", args):
            return any(_is_length(one, lengths) for one in args)
    return False
