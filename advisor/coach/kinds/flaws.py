"""Flaws that a sound plan may be given, findings that do not hold of it, and its settings in words."""

from __future__ import annotations

from collections.abc import Mapping
from random import Random
from typing import Any, get_args

from advisor.coach.judging import Verdict, setting_text
from advisor.coach.scene import Scene
from advisor.coach.table import by_difficulty
from advisor.coach.topics import topic_of
from advisor.files.problems import printable
from advisor.knowledge.conditions import holds, yes
from advisor.knowledge.evidence import quantised
from advisor.knowledge.measures import JUDGING
from advisor.knowledge.schema import Rule
from advisor.model.entry import entry_kind
from advisor.model.fields import Coolant
from advisor.model.plan_fields import Entry
from advisor.situation.pairings import ways
from advisor.text.names import spaced

MAY_BE_NOTHING = ("allowance_side", "allowance_bottom", "overcut")
DECIMALS = {"feed_per_tooth": 4, "spindle_speed": -1, "ramp_angle": 1}
MOST_TIMES = 1.6  # so many times the least flaw of a difficulty is the greatest
NAMES = {
    "entry": "way in",
    "entry_cutter": "drill",
    "allowance_side": "side allowance",
    "allowance_bottom": "bottom allowance",
}
SAID_BY_PLANS = frozenset(
    {"entry", "planned_coolant", "planned_tabs", "entry_meant", "body_meant", "feature_meant", "rest_taken"}
    | {"hole_drilled_by", "hole_coolant"}
)


def changed(plan: Mapping[str, Any], name: str, value: Any) -> dict[str, Any]:
    """A plan with one setting otherwise; going past the bottom takes the place of leaving something there."""
    changed = {**plan, name: value}
    if name == "overcut" and value:
        changed.pop("allowance_bottom", None)
    if name == "entry" and not entry_kind(value).needs_drill:
        changed.pop("entry_cutter", None)
    return changed


def flaws(plan: Mapping[str, Any], scene: Scene, difficulty: int, rng: Random) -> list[tuple[str, Any]]:
    """Settings with what they might be spoiled to, in any order."""
    found: list[tuple[str, Any]] = []
    for name, value in plan.items():
        if isinstance(value, bool):
            found.append((name, not value))
        elif isinstance(value, int | float):
            times = by_difficulty("spoil", difficulty) * rng.uniform(1, MOST_TIMES)
            found += [(name, other) for share in (times, 1 / times) if (other := written(name, value * share)) != value]
            found += [(name, 0.0)] if name in MAY_BE_NOTHING and value else []
    found += [("entry", other) for other in get_args(Entry) if other != plan.get("entry")]
    found += [("coolant", other) for other in get_args(Coolant) if other != plan["coolant"]]
    found += [("cutter", cutter.id) for cutter in scene.assignment.crib if cutter.id != plan["cutter"]]
    kind = scene.answer.region.kind
    found += [
        ("method", way.method) for way in ways().values() if kind in way.features and way.method != plan["method"]
    ]
    if "overcut" not in plan:
        found.append(("overcut", 1.0))
    rng.shuffle(found)
    return found


def written(name: str, value: float) -> float:
    """A number written as one writes that setting."""
    return max(1, round(value)) if name == "levels" else round(value, DECIMALS.get(name, 2))


def not_so(verdict: Verdict, right: Rule, scene: Scene, rng: Random) -> list[Rule]:
    """Findings that could be looked for in such a plan, and do not hold here."""
    facts = quantised(verdict.way.facts)
    fired = {rule.id for rule in verdict.way.fired} | {found.rule.id for found in verdict.findings}
    fitting = [
        rule
        for rule in scene.bench.base.rules
        if (rule.verdict == "finds" or (rule.stage in JUDGING and rule.verdict in ("against", "forbids")))
        and rule.id not in fired
        and rule.title != right.title
        and all(facts.get(fact) in words for fact, words in rule.about if fact not in SAID_BY_PLANS)
        and not holds(rule.condition, facts)
    ]
    rng.shuffle(fitting)
    same = [rule for rule in fitting if topic_of(rule) == topic_of(right)]
    others = [rule for rule in fitting if rule not in same]
    mixed = [rule for pair in zip(same, others, strict=False) for rule in pair]
    return list({rule.title: rule for rule in [*mixed, *fitting]}.values())


def called(name: str) -> str:
    """The name of a setting in words."""
    return NAMES.get(name, spaced(name))


def value_text(name: str, value: object) -> str:
    """The value of a setting in words."""
    if isinstance(value, bool):
        return yes(value)
    if name == "method":
        return ways()[str(value)].title
    if name in ("cutter", "entry_cutter"):
        return printable(str(value))
    return setting_text(name, value)


def shown(name: str, plan: Mapping[str, Any]) -> str:
    """A setting of a plan with its value."""
    return f"{called(name)} {value_text(name, plan[name])}"
