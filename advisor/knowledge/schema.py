"""What a rule, a threshold and a source are once read: frozen, with the place they came from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import NamedTuple, TypeAlias

from advisor.files.unit_scales import in_prose
from advisor.knowledge.conditions import Compare, Condition, Value, facts_read, leaves
from advisor.knowledge.measures import MEANING_FIGURES, STAGES, Measure

WEIGHTS = ("stop", "change", "consider")  # of a finding about a plan, the heaviest first

__all__ = [
    "STAGES",
    "WEIGHTS",
    "Asked",
    "Change",
    "ChangeKind",
    "Example",
    "Preference",
    "Rule",
    "RuleBase",
    "Source",
    "Threshold",
]


class Source(NamedTuple):
    """Where a rule or number comes from: a work of the bibliography, the common practice of the trade, or the house,
    for its reason.
    """

    work: str | None = None
    from_memory: bool = False
    section: str | None = None
    house: str = ""

    def __str__(self) -> str:
        if self.house:
            return f"the house: {self.house}"
        if self.work is None:
            return "common practice, no source"
        place = f", {self.section}" if self.section else ""
        return f"{self.work}{place}{' (from memory)' if self.from_memory else ''}"


class Threshold(NamedTuple):
    """A named number of the trade that rules compare with and arithmetic takes; ``at_most`` that of those it names.

    A shop may move it from ``least`` to ``greatest``; ``beyond`` says why no further, where that is not plain.
    """

    name: str
    value: float
    unit: str
    what: str
    source: Source
    file: str
    line: int | None
    least: float
    greatest: float
    beyond: str = ""
    at_most: tuple[str, ...] = ()

    @property
    def meaning(self) -> str:
        """What it is, in the units that are shown."""
        return in_prose(self.what, MEANING_FIGURES)

    @property
    def reason(self) -> str:
        """Why the shop moved it; empty where it is as shipped."""
        return self.source.house


class Example(NamedTuple):
    """A small set of facts under which a rule must fire, or must stay silent, with the place where it is written."""

    facts: tuple[tuple[str, Value], ...]
    fires: bool
    file: str
    line: int | None


class Rule(NamedTuple):
    """One piece of knowledge: when it applies, what it says, why, and who says so.

    ``condition`` holds ``about`` and ``when`` together. ``level`` follows from the facts the condition reads. A rule of
    the ``house`` has the shop's ``reason`` for it. One that forbids ``outright`` takes precedence over whatever speaks
    for the way. ``weight`` is that of the finding that the rule makes about a plan; empty where time decides that.
    """

    id: str
    title: str
    stage: str
    level: str
    about: tuple[tuple[str, tuple[str, ...]], ...]
    condition: Condition
    verdict: str
    because: str
    remedy: str
    source: Source
    examples: tuple[Example, ...]
    file: str
    line: int | None
    concludes: tuple[str, Value, str | None] | None = None
    overrides: tuple[str, ...] = ()
    harm: bool = False
    outright: bool = False
    house: bool = False
    reason: str = ""
    weight: str = ""

    @property
    def methods(self) -> tuple[str, ...]:
        """The methods the rule is about; empty when it is about all of them."""
        return dict(self.about).get("method", ())

    @property
    def limits(self) -> dict[str, Compare]:
        """The comparison each numeric fact of the condition is held to (the last one read, if several)."""
        return {
            leaf.fact: leaf
            for leaf in leaves(self.condition)
            if isinstance(leaf, Compare) and not isinstance(leaf.value, str)
        }


class Preference(NamedTuple):
    """What a shop prefers among ways of one rating, and the ``reason``: the ways for which the condition holds.

    ``what`` goes on after "your shop prefers"; ``condition`` holds ``about`` and ``when`` together, and ``level``
    follows from the facts that it reads.
    """

    id: str
    what: str
    level: str
    about: tuple[tuple[str, tuple[str, ...]], ...]
    condition: Condition
    reason: str
    examples: tuple[Example, ...]
    file: str
    line: int | None

    @property
    def methods(self) -> tuple[str, ...]:
        """The methods that are preferred; empty where any may be."""
        return dict(self.about).get("method", ())


Asked: TypeAlias = Rule | Preference  # what has a condition that is asked of ways


class ChangeKind(StrEnum):
    """What a shop does with a threshold or a rule, or that it prefers something."""

    MOVED = "moved"
    OFF = "off"
    REPLACED = "replaced"
    ADDED = "added"
    PREFERENCE = "preference"


class Change(NamedTuple):
    """What a shop changes, and why.

    ``before`` and ``after`` are the values of a threshold, ``rule`` is the one that is switched off, ``preference``
    what is preferred.
    """

    kind: ChangeKind
    name: str
    reason: str
    file: str
    line: int | None
    before: float | None = None
    after: float | None = None
    rule: Rule | None = None
    preference: Preference | None = None


@dataclass(frozen=True, slots=True, eq=False)
class RuleBase:
    """Everything under ``rules/``, checked: rules in stage order, thresholds and measures by name.

    ``changes`` are those of a shop's own rules, if they are in it; ``preferences`` what the shop prefers among ways of
    one rating, the first before the others.
    """

    rules: tuple[Rule, ...]
    thresholds: Mapping[str, Threshold]
    measures: Mapping[str, Measure]
    by_id: Mapping[str, Rule] = field(repr=False)
    limits: Mapping[str, float] = field(repr=False)
    changes: tuple[Change, ...] = ()
    preferences: tuple[Preference, ...] = ()

    @property
    def asked(self) -> tuple[Asked, ...]:
        """The rules, and what the shop prefers."""
        return (*self.rules, *self.preferences)

    def preference(self, name: str) -> Preference:
        """What the shop prefers under an id."""
        return next(one for one in self.preferences if one.id == name)

    def of(self, stage: str, level: str | None = None) -> tuple[Rule, ...]:
        """The rules of a stage (and level), in reading order."""
        return tuple(rule for rule in self.rules if rule.stage == stage and level in (None, rule.level))


def reads(asked: Asked) -> frozenset[str]:
    """The facts that a condition looks at."""
    return facts_read(asked.condition)
