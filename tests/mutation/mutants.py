"""Every mutant of a rule base: the base with one thing wrong in it, and what it is called in the report."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import NamedTuple

from advisor.knowledge.conditions import Compare, leaves, quantise
from advisor.knowledge.origin import with_limits
from advisor.knowledge.schema import Rule, RuleBase
from advisor.paths import data_root
from tests.mutation.changes import changed_rules, moved

ARITHMETIC, THRESHOLDS = "arithmetic", "thresholds"


class Mutant(NamedTuple):
    """A rule base with one thing wrong.

    ``rules`` are those that differ, by their id (none where a rule is gone); ``limits`` the thresholds, where one is
    moved, for all who read them or for the ``arithmetic`` alone. ``place`` is file and line.
    """

    id: str
    stage: str
    place: str
    rules: Mapping[str, Rule | None] = {}
    limits: Mapping[str, float] | None = None
    arithmetic: bool = False

    @property
    def of_review(self) -> bool:
        """Whether only the review of plans can tell it from the rule base as it is."""
        return self.stage == "review" or " | weight | " in self.id

    def base(self, base: RuleBase) -> RuleBase:
        """Return the rule base with this wrong in it."""
        found = (self.rules.get(rule.id, rule) for rule in base.rules)
        rules = tuple(rule for rule in found if rule is not None)
        changed = replace(base, rules=rules, by_id={rule.id: rule for rule in rules})
        if self.limits is None or self.arithmetic:
            return changed
        thresholds = {name: old._replace(value=self.limits[name]) for name, old in base.thresholds.items()}
        return replace(changed, thresholds=thresholds, limits=self.limits)

    def as_shipped(self, base: RuleBase) -> RuleBase:
        """Return the rule base with this wrong in it, for tests that take it for the shipped one."""
        return replace(base, limits=self.limits) if self.arithmetic and self.limits else self.base(base)


def mutants(base: RuleBase) -> Iterator[Mutant]:
    """Yield every mutant: rule by rule, then threshold by threshold."""
    for rule in base.rules:
        place = f"{rule.file}:{rule.line}"
        yield Mutant(f"{rule.id} | rule | dropped", rule.stage, place, {rule.id: None})
        for what, how, wrong in changed_rules(rule, base):
            yield Mutant(f"{rule.id} | {what} | {how}", rule.stage, place, {rule.id: wrong})
    yield from _of_thresholds(base)


def _of_thresholds(base: RuleBase) -> Iterator[Mutant]:
    """Each threshold moved for all who read it at once; and for the arithmetic alone, where rules read it as well."""
    looked_up = taken_by_arithmetic(base)
    for name, threshold in base.thresholds.items():
        place = f"{threshold.file}:{threshold.line}"
        readers = [rule for rule in base.rules if name in thresholds_of(rule)]
        for value in moved(threshold.value, threshold.unit):
            limits = dict(base.limits) | {name: value}
            wrong = {rule.id: _rebound(rule, limits) for rule in readers}
            yield Mutant(f"{name} | threshold | {value:.9g}", THRESHOLDS, place, wrong, limits)
            if name in looked_up:
                yield Mutant(f"{name} | arithmetic | {value:.9g}", ARITHMETIC, place, {}, limits, arithmetic=True)


def thresholds_of(rule: Rule) -> set[str]:
    """Return the names of the thresholds that a rule compares with or concludes."""
    compared = {leaf.threshold for leaf in leaves(rule.condition) if isinstance(leaf, Compare) and leaf.threshold}
    return compared | ({rule.concludes[2]} if rule.concludes and rule.concludes[2] else set())


ROOMS = ("situation", "methods", "choosing", "analysis", "review")


def taken_by_arithmetic(base: RuleBase) -> set[str]:
    """Return the names of the thresholds that the rooms which reason look up by their name."""
    folders = (data_root() / "advisor" / name for name in ROOMS)
    code = "".join(path.read_text(encoding="utf-8") for folder in folders for path in sorted(folder.rglob("*.py")))
    begun = tuple(re.findall(r'limits\[f"(\w+)\{', code))  # as in limits[f"helix_bore_low_{kind}"]
    return {name for name in base.thresholds if f'"{name}"' in code or name.startswith(begun)}


def _rebound(rule: Rule, limits: Mapping[str, float]) -> Rule:
    concludes = rule.concludes
    if concludes and concludes[2]:
        concludes = (concludes[0], quantise(limits[concludes[2]]), concludes[2])
    return rule._replace(condition=with_limits(rule.condition, limits), concludes=concludes)
