"""Cutters that house rules name by their id, held against a crib: a rule about one that is not there never fires."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from advisor.files.problems import Problem, nearest_word
from advisor.knowledge.conditions import Compare, leaves
from advisor.knowledge.schema import Rule, RuleBase


def names_of(rule: Rule, base: RuleBase) -> tuple[str, ...]:
    """The ids of cutters that a rule compares with, each once."""
    asked = (leaf for leaf in leaves(rule.condition) if isinstance(leaf, Compare) and base.measures[leaf.fact].named)
    return tuple(dict.fromkeys(str(leaf.value) for leaf in asked))


def not_in_crib(base: RuleBase, crib: Iterable[str]) -> Iterator[Problem]:
    """What house rules name that a crib does not have, each with the id of the crib that is most like it."""
    known = dict.fromkeys(crib)
    for rule in (*base.rules, *base.preferences):
        for name in names_of(rule, base) if rule.house else ():
            if name not in known:
                wanted = "the id of a cutter of this crib, spelt exactly as there"
                yield Problem(rule.file, rule.line, rule.id, f"cutter {name}", wanted, nearest_word(name, known))
