"""Rules that do not hold of a way, to stand beside the one that does: untrue to a person too."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from advisor.coach.margins import nearly_holds
from advisor.coach.table import table
from advisor.knowledge import wording
from advisor.knowledge.conditions import All, Any, Compare, Facts, holds, leaves
from advisor.knowledge.evidence import quantised
from advisor.knowledge.schema import Rule, RuleBase


def untrue(rules: Iterable[Rule], facts: Facts, fired: Collection[str]) -> Iterator[Rule]:
    """Those of some rules that could be looked for in such a way and do not hold of it, nor nearly hold.

    None of them is, by another name, what a rule that fired says, nor about what the way has nothing of.
    """
    for rule in rules:
        if rule.id in table().not_a_distractor or any(same_fault(rule.id, other) for other in fired):
            continue
        if speaks_of(rule, facts) and not nearly_holds(rule, facts):
            yield rule


def not_so_text(rule: Rule, facts: Facts, base: RuleBase) -> str:
    """That a rule does not hold, in a sentence, with the number that says so where it is one that the shop has a name
    for.
    """
    seen = quantised(facts)
    parts = rule.condition.parts if isinstance(rule.condition, All) else (rule.condition,)
    for part in parts:
        tried = part.parts if isinstance(part, Any) else (part,)
        leaf = next((one for one in tried if isinstance(one, Compare) and _is_number(seen.get(one.fact))), None)
        if leaf is None or holds(part, seen) or not _is_number(leaf.value) or leaf.fact not in table().plain_measures:
            continue
        what, unit = table().plain_measures[leaf.fact], base.measures[leaf.fact].unit
        here, limit = wording.apart(float(seen[leaf.fact]), float(leaf.value), unit)
        return f"No: {what} is {here} here, and would have to be {wording.IN_WORDS[leaf.operator]} {limit}."
    return "That is not so here."


def _is_number(value: object) -> bool:
    return isinstance(value, int | float)


def same_fault(one: str, other: str) -> bool:
    """Whether two rules, by their ids, are one fault to a person."""
    return one == other or any(one in family and other in family for family in table().same_fault)


def speaks_of(rule: Rule, facts: Facts) -> bool:
    """Whether a rule is about such a way, and every number that it compares is known of it."""
    about = all(facts.get(fact) in words for fact, words in rule.about)
    return about and all(leaf.fact in facts for leaf in leaves(rule.condition) if isinstance(leaf, Compare))


def apart(rules: Iterable[Rule], right: Rule) -> list[Rule]:
    """The rules with titles of their own, of which no two are one fault."""
    found: list[Rule] = []
    for rule in rules:
        if not any(rule.title == one.title or same_fault(rule.id, one.id) for one in (right, *found)):
            found.append(rule)
    return found
