"""House rules that conclude what they need themselves, directly or through other rules and formulas."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any as Anything
from typing import NamedTuple

from advisor.files.problems import Problem
from advisor.files.yaml_reader import Document
from advisor.knowledge.circles import circle_through
from advisor.knowledge.conditions import ConditionError, facts_read, parse
from advisor.knowledge.formulas import names
from advisor.knowledge.schema import RuleBase, reads


class Step(NamedTuple):
    """From facts to a fact, by a rule or by the formula of a measure; ``line`` where it is the house's own."""

    needs: frozenset[str]
    gives: str
    by: str
    line: int | None = None


def loops(document: Document, base: RuleBase) -> Iterator[Problem]:
    """A problem for each rule of a ``house.yaml`` that needs what it concludes, whatever else is wrong with it."""
    own = list(_own(document, base.limits))
    names = {step.by for step in own}
    steps = [step for step in _shipped(base) if step.by not in names] + own
    needing: dict[str, list[Step]] = {}
    for step in steps:
        for fact in step.needs:
            needing.setdefault(fact, []).append(step)
    resting = {step: needing.get(step.gives, ()) for step in steps}
    for step in own:
        circle = circle_through(step, resting)
        if circle is not None:
            through = f" through {', '.join(other.by for other in circle[1:])}" if circle[1:] else ""
            found, wanted = f"{step.gives} concluded by what needs it{through}", "facts that are known before"
            yield Problem(document.name, step.line, f"{step.by}.concludes", found, wanted)


def _shipped(base: RuleBase) -> Iterator[Step]:
    for rule in base.rules:
        if rule.concludes:
            yield Step(reads(rule), rule.concludes[0], rule.id)
    for measure in base.measures.values():
        for _, formula in measure.formulas:
            yield Step(frozenset(names(formula)), measure.name, f"the formula of {measure.name}")


def _own(document: Document, limits: Mapping[str, float]) -> Iterator[Step]:
    for part in ("replace", "add"):
        entries = document.value.get(part) if isinstance(document.value, dict) else None
        for number, entry in enumerate(entries if isinstance(entries, list) else ()):
            concludes = entry.get("concludes") if isinstance(entry, dict) else None
            if isinstance(concludes, dict) and isinstance(concludes.get("fact"), str):
                name = str(entry.get("id"))
                yield Step(_needs(entry, limits), concludes["fact"], name, document.line((part, number)))


def _needs(entry: Mapping[str, Anything], limits: Mapping[str, float]) -> frozenset[str]:
    about, when = entry.get("about"), entry.get("when")
    found = {str(fact) for fact in about} if isinstance(about, dict) else set()
    for item in when if isinstance(when, list) else ():
        try:
            found |= facts_read(parse(item, limits))
        except ConditionError:
            continue
    return frozenset(found)
