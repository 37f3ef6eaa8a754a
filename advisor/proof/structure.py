"""What is shown of a rule base without a solver: nothing rests on itself."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from advisor.knowledge.circles import circle_through
from advisor.knowledge.formulas import names
from advisor.knowledge.schema import Rule, RuleBase, reads


class Circle(NamedTuple):
    """Rules that rest on one another: by what they ``conclude`` and read, or by what they ``override``."""

    kind: str
    rules: tuple[str, ...]


def circles(base: RuleBase) -> Iterator[Circle]:
    """Each circle of conclusions and readings, through formulas too, and each of rules that override one another."""
    yield from (Circle("conclude", found) for found in _circles(_by_conclusion(base)))
    after = {rule.id: tuple(other for other in rule.overrides if other in base.by_id) for rule in base.rules}
    yield from (Circle("override", found) for found in _circles(after))


def _by_conclusion(base: RuleBase) -> Mapping[str, tuple[str, ...]]:
    """For each rule, the rules that read what it concludes, or what is worked out of that."""
    reading: dict[str, list[Rule]] = {}
    for rule in base.rules:
        for fact in reads(rule):
            reading.setdefault(fact, []).append(rule)
    worked: dict[str, list[str]] = {}
    for measure in base.measures.values():
        for _, formula in measure.formulas:
            for name in names(formula):
                worked.setdefault(name, []).append(measure.name)
    found: dict[str, tuple[str, ...]] = {}
    for rule in base.rules:
        facts = _reached(rule.concludes[0], worked) if rule.concludes else ()
        found[rule.id] = tuple(
            dict.fromkeys(other.id for fact in facts for other in reading.get(fact, ()) if other.concludes)
        )
    return found


def _reached(fact: str, worked: Mapping[str, list[str]]) -> tuple[str, ...]:
    found, waiting = {fact: None}, [fact]
    while waiting:
        for name in worked.get(waiting.pop(), ()):
            if name not in found:
                found[name] = None
                waiting.append(name)
    return tuple(found)


def _circles(after: Mapping[str, Iterable[str]]) -> Iterator[tuple[str, ...]]:
    """One shortest circle through each first member of one; each set of members once."""
    told: set[frozenset[str]] = set()
    for start in after:
        circle = circle_through(start, after)
        if circle is not None and frozenset(circle) not in told:
            told.add(frozenset(circle))
            yield circle
