"""Cutters that house rules name by their id, held against a crib: a rule about one that is not there never fires."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from advisor.files.problems import Problem, nearest_word
from advisor.knowledge.conditions import Compare, leaves
from advisor.knowledge.schema import Asked, Preference, RuleBase


def names_of(asked: Asked, base: RuleBase) -> tuple[str, ...]:
    """The ids of cutters that a condition compares with, each once."""
    compared = (
        leaf for leaf in leaves(asked.condition) if isinstance(leaf, Compare) and base.measures[leaf.fact].named
    )
    return tuple(dict.fromkeys(str(leaf.value) for leaf in compared))


def not_in_crib(base: RuleBase, crib: Iterable[str]) -> Iterator[Problem]:
    """What house rules name that a crib does not have, each with the id of the crib that is most like it."""
    known = dict.fromkeys(crib)
    for asked in base.asked:
        for name in names_of(asked, base) if isinstance(asked, Preference) or asked.house else ():
            if name not in known:
                wanted = "the id of a cutter of this crib, spelt exactly as there"
                yield Problem(asked.file, asked.line, asked.id, f"cutter {name}", wanted, nearest_word(name, known))
