"""What an answer gives as its reasons, cautions and ways that were set back, before it is laid out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from advisor.reasoning import contrast
from advisor.reasoning.advice import Advice, FeatureAdvice
from advisor.reasoning.candidates import Candidate, standing
from advisor.report.blocks import Item
from advisor.report.words import way_text
from advisor.rulebase.conditions import Compare, Facts, leaves
from advisor.rulebase.schema import Rule, RuleBase
from advisor.rulebase.wording import PLACEHOLDER, fill

RANKING = "ranking"


def reasons(answer: FeatureAdvice) -> tuple[Rule, ...]:
    """The rules that carry an answer: those for it, those that chose the way in, what happens at the bottom, and those against it.

    Where no way was found, none.
    """
    best = answer.best
    if best is None:
        return ()
    fired = standing(best.fired)
    carrying = [rule for rule in fired if rule.verdict == "for"]
    entry = [rule for rule in fired if rule.verdict == "concludes" and rule.stage == "entry"]
    bottom = [rule for rule in standing(answer.about_feature) if rule.concludes and rule.concludes[0] == "bottom_policy"]
    doubts = [rule for rule in fired if rule.verdict == "against"]
    return (*carrying, *doubts, *entry[:1], *bottom)


def without_a_rule(answer: FeatureAdvice) -> str:
    """Why the answer stands first where no rule speaks for it; empty where one does, or where no way was found."""
    if answer.best is None or any(rule.verdict == "for" for rule in standing(answer.best.fired)):
        return ""
    return f"No rule speaks for any way here as its home ground. {contrast.choice(answer)}"


def obstacles(answer: FeatureAdvice) -> tuple[tuple[Candidate, Rule], ...]:
    """Where no way was found: the nearest candidate of each method with the rule that forbids it."""
    found, seen = [], set()
    for rival in answer.candidates:
        if rival.method not in seen:
            seen.add(rival.method)
            nearest = contrast.nearest(None, (item for item in answer.candidates if item.method == rival.method))
            if nearest is not None and (rules := contrast.against(nearest)):
                found.append((nearest, rules[0]))
    return tuple(found)


def facts_shown(rule: Rule, facts: Facts, base: RuleBase) -> dict[str, Compare | None]:
    """The facts that a rule's text and condition rest on, each with the comparison it is held to, if any."""
    compared = {leaf.fact: leaf for leaf in leaves(rule.condition) if isinstance(leaf, Compare)}
    names = dict.fromkeys([*compared, *PLACEHOLDER.findall(f"{rule.because} {rule.remedy}")])
    return {name: compared.get(name) for name in names if name in facts and name in base.measures}


def said(rule: Rule, facts: Facts, base: RuleBase) -> Item:
    """A rule with this feature's numbers, as an entry of a list."""
    strong = {"against": "Against it:", "cautions": "Safety:" if rule.harm else ""}.get(rule.verdict, "")
    house = ("A rule of the house.",) if rule.house else ()
    remedy = fill(base, rule, rule.remedy, facts)
    return Item(fill(base, rule, rule.because, facts), rule.id, strong, (*((remedy,) if remedy else ()), *house))


def obstacle(candidate: Candidate, rule: Rule, base: RuleBase) -> Item:
    """A forbidden way with what forbids it."""
    return Item(f"{way_text(candidate)}: {fill(base, rule, rule.because, candidate.facts)}", rule.id)


def cautioned_facts(answer: FeatureAdvice) -> Facts:
    """The facts that the cautions of an answer were asked with."""
    return answer.best.facts if answer.best else answer.facts


def for_every_feature(answers: Sequence[FeatureAdvice]) -> tuple[Rule, ...]:
    """The cautions that every feature of a job has, the job having more than one: told once, at its end."""
    if len(answers) < 2:
        return ()
    shared = [rule for rule in answers[0].cautions if all(rule in other.cautions for other in answers[1:])]
    return tuple(rule for rule in shared if _same(rule))


def _same(rule: Rule) -> bool:
    """Whether a caution is about every cut alike: it rests on the material or on there being a cut, not on a size of the feature."""
    return all(isinstance(leaf, Compare) and (isinstance(leaf.value, str) or leaf.value == 0) for leaf in leaves(rule.condition))


def ways_out(answer: FeatureAdvice, advice: Advice) -> tuple[str, ...]:
    """What would open a way where none was found; else which cutter the crib lacks and what it would save."""
    try:
        from advisor.reasoning import ways_out as way
    except ImportError:
        return ()
    crib = advice.assignment.crib
    feature = next(item for item in advice.assignment.job.features if item.id == answer.region.id)
    found: Iterable[way.WayOut]
    found = way.ways_out(feature, crib, advice.bench) if answer.best is None else way.lacking(answer, feature, crib, advice.bench)
    return tuple(item.text for item in found)
