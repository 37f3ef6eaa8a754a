"""What an answer gives as its reasons, cautions and ways that were set back, before it is laid out."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.choosing.advice import of_any_cut
from advisor.choosing.ranking import standing
from advisor.knowledge.conditions import Compare, Facts, holds, leaves
from advisor.knowledge.evidence import quantised
from advisor.knowledge.origin import mark
from advisor.knowledge.schema import Rule, RuleBase
from advisor.knowledge.wording import PLACEHOLDER, fill
from advisor.model.answer import FeatureAdvice
from advisor.model.beneath import BottomPolicy
from advisor.model.candidate import Candidate
from advisor.text.blocks import Item
from advisor.text.changes import upgrade_text
from advisor.text.repairs import repair_text
from advisor.text.words import ways_text

WHY_THIS_WAY_IN = ("way_in", "hole_worth")  # what rules conclude that carries an answer


def reasons(answer: FeatureAdvice) -> tuple[Rule, ...]:
    """The rules that carry an answer: for it, against it, on the way in, on the bottom; none where no way was found."""
    best = answer.best
    if best is None:
        return ()
    fired = standing(best.fired)
    carrying = [rule for rule in fired if rule.verdict == "for"]
    entry = [rule for rule in fired if rule.concludes and rule.concludes[0] in WHY_THIS_WAY_IN]
    bottom = [
        rule
        for rule in standing(answer.about_feature)
        if rule.concludes and rule.concludes[0] == "bottom_policy" and not comes_to_nothing(rule, best)
    ]
    doubts = [rule for rule in fired if rule.verdict == "against"]
    return (*carrying, *doubts, *entry, *bottom)


def comes_to_nothing(rule: Rule, best: Candidate) -> bool:
    """Whether a rule has something left at the bottom where the way leaves nothing: the job asks for no allowance, or
    the hole is drilled.
    """
    about = rule.concludes is not None and rule.concludes[0] == "bottom_policy"
    leaves_some = about and rule.concludes is not None and BottomPolicy(str(rule.concludes[1])).leaves_stock
    return leaves_some and not float(best.facts.get("bottom_allowance", 0.0)) > 0


def facts_shown(rule: Rule, facts: Facts, base: RuleBase) -> dict[str, Compare | None]:
    """The facts that a rule's text and condition rest on, each with the comparison it is held to, if any.

    Of several comparisons with one fact the last that holds is given, as its text does.
    """
    compared = {
        leaf.fact: leaf
        for leaf in leaves(rule.condition)
        if isinstance(leaf, Compare) and holds(leaf, quantised(facts))
    }
    named = (match.group(1) for match in PLACEHOLDER.finditer(f"{rule.because} {rule.remedy}"))
    names = dict.fromkeys([*compared, *named])
    return {name: compared.get(name) for name in names if name in facts and name in base.measures}


def said(rule: Rule, facts: Facts, base: RuleBase) -> Item:
    """A rule with this feature's numbers, as an entry of a list."""
    strong = {"against": "Drawback:", "cautions": "Safety:" if rule.harm else ""}.get(rule.verdict, "")
    remedy = fill(base, rule, rule.remedy, facts)
    text = f"{fill(base, rule, rule.because, facts)}{mark(rule, base)}"
    return Item(text, rule.id, strong, (remedy,) if remedy else ())


def obstacle(candidates: Sequence[Candidate], rule: Rule, base: RuleBase) -> Item:
    """Forbidden ways with what forbids them, and what the rule would do instead."""
    remedy = fill(base, rule, rule.remedy, candidates[0].facts)
    because = f"{fill(base, rule, rule.because, candidates[0].facts)}{mark(rule, base)}"
    return Item(f"{ways_text(candidates)}: {because}", rule.id, "", (remedy,) if remedy else ())


def for_every_feature(answers: Sequence[FeatureAdvice], base: RuleBase) -> tuple[tuple[Rule, FeatureAdvice], ...]:
    """The cautions that a job of several features tells once, at its end, each with the feature it is told with.

    They are those that every feature has, if they say the same of each, or ask for the material alone, or for there
    being a cut at all, as there is in every feature with a way; of these last, the greatest number is told.
    """
    if len(answers) < 2:
        return ()
    cut, found = [answer for answer in answers if answer.best], []
    for rule in (cut or answers)[0].cautions:
        if (fact := of_any_cut(rule)) is not None:
            if all(rule in answer.cautions for answer in cut):
                found.append((rule, max(cut, key=lambda answer: float(answer.cautioned[fact]))))
        elif not all(rule in answer.cautions for answer in answers):
            continue
        elif _of_the_material(rule) or same_words(rule, answers, base):
            found.append((rule, answers[0]))
    return tuple(found)


def same_words(rule: Rule, answers: Sequence[FeatureAdvice], base: RuleBase) -> bool:
    """Whether a caution says the same of every feature."""
    return len({said(rule, answer.cautioned, base) for answer in answers}) == 1


def _of_the_material(rule: Rule) -> bool:
    return all(
        leaf.fact == "group" or leaf.fact.startswith(("material_", "coolant_")) for leaf in leaves(rule.condition)
    )


def repair_texts(answer: FeatureAdvice) -> tuple[str, ...]:
    """What would open a way where none was found; else which cutter the crib lacks and what a longer one would save."""
    found = tuple(repair_text(item) for item in answer.repairs)
    if answer.best is None:
        return found
    return (*found, *(upgrade_text(upgrade) for upgrade in answer.upgrades))
