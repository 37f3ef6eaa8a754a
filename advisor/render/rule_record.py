"""Rules, what a shop prefers, and what surrounds a rule, as JSON."""

from __future__ import annotations

from typing import Any

from advisor.knowledge.origin import of_house
from advisor.knowledge.schema import Asked, Preference, Rule, RuleBase
from advisor.text.firings import Firings
from advisor.text.names import PREFERS, RANKING
from advisor.text.rule_page import fed_by, feeds, overridden_by
from advisor.text.rulebook import condition_items, thresholds_read
from advisor.text.sources import cited


def rule_record(rule: Rule, base: RuleBase) -> dict[str, Any]:
    """One rule in full."""
    return {
        "rule": rule.id,
        "title": rule.title,
        "stage": rule.stage,
        "level": rule.level,
        "verdict": rule.verdict,
        "weight": rule.weight or None,
        "when": [item.text for item in condition_items(rule.condition, base)],
        "because": rule.because,
        "remedy": rule.remedy,
        "concludes": {"fact": rule.concludes[0], "value": rule.concludes[1]} if rule.concludes else None,
        "thresholds": _thresholds_record(rule, base),
        "overrides": list(rule.overrides),
        "outright": rule.outright,
        "harm": rule.harm,
        "house": of_house(rule, base),
        "reason": rule.reason,
        "source": cited(rule.source),
        "examples": _examples_record(rule),
    }


def preference_record(one: Preference, base: RuleBase) -> dict[str, Any]:
    """What a shop prefers, with the fields that it shares with a rule."""
    return {
        "rule": one.id,
        "title": one.what,
        "stage": RANKING,
        "level": one.level,
        "verdict": PREFERS,
        "when": [item.text for item in condition_items(one.condition, base)],
        "thresholds": _thresholds_record(one, base),
        "house": True,
        "reason": one.reason,
        "examples": _examples_record(one),
    }


def _thresholds_record(asked: Asked, base: RuleBase) -> dict[str, Any]:
    found = (base.thresholds[name] for name in thresholds_read(asked, base))
    return {threshold.name: {"value": threshold.value, "unit": threshold.unit} for threshold in found}


def _examples_record(asked: Asked) -> list[dict[str, Any]]:
    return [{"fires": example.fires, "facts": dict(example.facts)} for example in asked.examples]


def around_record(rule: Rule, base: RuleBase, found: Firings | None) -> dict[str, Any]:
    """The rules that override a rule, that feed it and that it feeds, and the worked cases in which it fires."""
    around: dict[str, Any] = {
        "overridden_by": [other.id for other in overridden_by(rule, base)],
        "fed_by": [{"rule": other.id, "fact": fact} for other, fact in fed_by(rule, base)],
        "feeds": [other.id for other in feeds(rule, base)],
    }
    return around if found is None else around | {"cases": [one._asdict() for one in found.of(rule)]}
