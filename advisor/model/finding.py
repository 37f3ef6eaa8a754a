"""What a review says of a plan: findings, what is well chosen, what was taken, what could not be judged."""

from __future__ import annotations

from typing import NamedTuple

from advisor.knowledge.conditions import Facts
from advisor.knowledge.schema import Rule, RuleBase
from advisor.knowledge.wording import capitalised, fill
from advisor.model.answer import FeatureAdvice, NotAsked


class Finding(NamedTuple):
    """One finding about a plan. ``operation`` and ``feature`` are absent where it is about the whole.

    ``template`` are the words of the rule, what and what to do; ``instead`` is the advice for the feature, absent where
    the plan works as well; ``also`` are the numbers of other operations of which it says the same.
    """

    weight: str
    operation: int | None
    feature: str | None
    rule: Rule
    template: str
    facts: Facts
    base: RuleBase
    instead: FeatureAdvice | None = None
    also: tuple[int, ...] = ()

    @classmethod
    def of(
        cls,
        rule: Rule,
        weight: str,
        operation: int | None,
        feature: str | None,
        facts: Facts,
        base: RuleBase,
        instead: FeatureAdvice | None = None,
    ) -> Finding:
        """The finding of a fired rule, with this plan's numbers."""
        return cls(weight, operation, feature, rule, f"{rule.because} {rule.remedy}".strip(), facts, base, instead)

    @property
    def text(self) -> str:
        """The words of the rule with this plan's numbers, in the units that are shown."""
        return capitalised(fill(self.base, self.rule, self.template, self.facts))

    @property
    def without_remedy(self) -> Finding:
        """The same finding without what to do about it; as it is where it says nothing else."""
        return self._replace(template=self.rule.because) if self.rule.because else self

    @property
    def remedy(self) -> str:
        """What to do about it, with this plan's numbers; empty where the rule says nothing."""
        return self._replace(template=self.rule.remedy).text if self.rule.remedy else ""


class WellChosen(NamedTuple):
    """What a plan has right in an operation.

    A ``rule`` that speaks for it, with the ``facts`` that it rests on; or, without a rule, that it is ``quicker`` than
    the advised way, or else the same way. ``planned`` and ``advised`` are then the times of both [s], infinite where
    that of the plan is not known.
    """

    operation: int
    feature: str
    rule: Rule | None = None
    facts: Facts | None = None
    quicker: bool = False
    planned: float = 0.0
    advised: float = 0.0


NARROW, FULL_WIDTH, ONE_LEVEL = "narrow", "full_width", "one_level"


class NotSaid(NamedTuple):
    """A setting that the plan leaves open, and what was taken for it: a word, an id, or a number with its unit.

    ``cause`` is there where the plan's own numbers or the feature leave nothing else, with its ``operand`` [mm]: the
    cutter fills a feature so wide (``NARROW``), the whole cutter cuts (``FULL_WIDTH``), or one level so deep leaves it
    (``ONE_LEVEL``). Of a drill, ``taken`` is the depth of its tip and ``operand`` that at full diameter.
    """

    operation: int
    feature: str
    setting: str
    taken: str | float
    unit: str = ""
    cause: str = ""
    operand: float = 0.0


NO_DRILL_DEPTH, NO_NUMBERS, IN_WIDER, NO_ENTRY, OTHER_ENTRY = (
    "no_drill_depth", "no_numbers", "in_wider", "no_entry", "other_entry",
)  # fmt: skip


class NotJudged(NamedTuple):
    """What a review could not judge: of an operation in a feature, or for a value that was not given of the feature.

    ``cause`` is: the plan says no depth of the drill (``NO_DRILL_DEPTH``), no numbers could be worked out
    (``NO_NUMBERS``), its time is in that of the wide cutter (``IN_WIDER``), or has none, since the way in cannot be
    gone (``NO_ENTRY``) or is none of the method's own (``OTHER_ENTRY``).
    """

    feature: str
    operation: int | None = None
    cause: str = ""
    missing: NotAsked | None = None
