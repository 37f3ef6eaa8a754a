"""How it is told that advice rests on the shop's own: the changes in words, and those behind an answer."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from advisor.files.problems import printable
from advisor.knowledge.conditions import Facts, holds
from advisor.knowledge.evidence import chain, quantised, thresholds_used
from advisor.knowledge.origin import turned
from advisor.knowledge.schema import Change, ChangeKind, Preference, RuleBase
from advisor.knowledge.wording import apart, looks_equal, quantity
from advisor.model.answer import FeatureAdvice, Preferred
from advisor.text.measures import asked_for
from advisor.text.words import way_text

KINDS = {
    ChangeKind.MOVED: "moved",
    ChangeKind.OFF: "switched off",
    ChangeKind.REPLACED: "replaced",
    ChangeKind.ADDED: "added",
    ChangeKind.PREFERENCE: "given",
}
NOUNS = {ChangeKind.MOVED: "threshold", ChangeKind.PREFERENCE: "preference"}
TOLD_BY_NAME = (ChangeKind.MOVED, ChangeKind.OFF, ChangeKind.PREFERENCE)  # added rules are told where they speak


def behind(answer: FeatureAdvice, base: RuleBase) -> tuple[Change, ...]:
    """The changes of the house that an answer rests on: thresholds in the formulas of its numbers or that turn a rule
    here, rules that are off and would fire here, the preference that decides. Of the other ways the best ones are
    looked at.
    """
    best = answer.best
    if best is None or not base.changes:
        return ()
    names = set(thresholds_used(chain(asked_for(best.facts), best.facts, base), base))
    rivals = [other.candidate.facts for other in answer.alternatives]
    for facts in map(quantised, (best.facts, *rivals)):
        names |= {threshold.name for threshold in turned(base, facts)}
        names |= {
            change.name for change in base.changes if change.kind is ChangeKind.OFF and _would_fire(change, facts)
        }
    if answer.preferred is not None:
        names.add(answer.preferred.preference.id)
    named = (change for change in base.changes if change.kind in TOLD_BY_NAME)
    return tuple(change for change in named if change.name in names)


def _would_fire(change: Change, facts: Facts) -> bool:
    return change.rule is not None and holds(change.rule.condition, facts)


def behind_text(change: Change, base: RuleBase) -> str:
    """A change of the house with its reason: ``layer_radial_share 50 % instead of 65 %: worn spindle``."""
    return f"{change_text(change, base)}: {printable(change.reason)}"


def prefers_text(one: Preference) -> str:
    """What the shop prefers and why: ``your shop prefers E16 in pockets, because its inserts cost half``."""
    return f"your shop prefers {printable(one.what)}, because {printable(one.reason)}"


def preferred_text(found: Preferred) -> str:
    """The preference that put a way first, with what it costs in time beside the way that would be first without."""
    best, other = found.best, found.without
    mine, its = apart(best.time, other.time, "s")
    much = f"This {'costs' if found.longer > 0 else 'saves'} {quantity(abs(found.longer), 's')}: {mine} against {its}"
    cost = "This takes as long as" if looks_equal(best.time, other.time, "s") else f"{much} with"
    otherwise = f"which is {other.grade} too and would come first otherwise"
    return f"{sentence(found.preference)} {cost} {way_text(other)}, {otherwise}."


def sentence(one: Preference) -> str:
    """What the shop prefers and why, as a sentence."""
    told = prefers_text(one)
    return f"{told[0].upper()}{told[1:]}."


def met_anyway(answer: FeatureAdvice, base: RuleBase) -> Iterator[str]:
    """The preferences that the advised way meets, other than the one that put it first, each with its reason."""
    best, decided = answer.best, answer.preferred.preference if answer.preferred else None
    for one in base.preferences if best else ():
        if best and best.meets[one.id] and one is not decided:
            also = "It is met here too." if decided else "It is met here, and the way comes first without it, too."
            yield f"{sentence(one)} {also}"


def change_text(change: Change, base: RuleBase) -> str:
    """A change of the house in words, without its reason."""
    if change.preference is not None:
        return f"{change.name}: prefer {printable(change.preference.what)}"
    if change.before is None or change.after is None:
        return f"{change.name} {KINDS[change.kind]}"
    unit = base.thresholds[change.name].unit
    after, before = apart(change.after, change.before, unit)
    return f"{change.name} {after} instead of {before}"


def told(changes: Iterable[Change]) -> str:
    """How many changes of each kind: ``1 threshold moved, 2 rules switched off``."""
    kinds = [change.kind for change in changes]
    parts = []
    for kind, word in KINDS.items():
        if count := kinds.count(kind):
            noun = NOUNS.get(kind, "rule")
            parts.append(f"{quantity(count, 'count')} {noun}{'' if count == 1 else 's'} {word}")
    return ", ".join(parts)


def with_house(base: RuleBase) -> str:
    """A sentence for the head of an answer; nothing where the shop has no rules of its own."""
    return f" House rules: {told(base.changes)}." if base.changes else ""
