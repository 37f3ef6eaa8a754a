"""Rules that do not hold of a way, to stand beside the one that does: untrue to a person too."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from advisor.coach.margins import nearly_holds
from advisor.coach.table import table
from advisor.knowledge.conditions import Compare, Facts, leaves
from advisor.knowledge.schema import Rule


def untrue(rules: Iterable[Rule], facts: Facts, fired: Collection[str]) -> Iterator[Rule]:
    """Those of some rules that could be looked for in such a way and do not hold of it, nor nearly hold.

    None of them is, by another name, what a rule that fired says, nor about what the way has nothing of.
    """
    for rule in rules:
        if rule.id in table().not_a_distractor or any(same_fault(rule.id, other) for other in fired):
            continue
        if speaks_of(rule, facts) and not nearly_holds(rule, facts):
            yield rule


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
