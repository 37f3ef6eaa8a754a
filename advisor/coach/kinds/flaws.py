"""Flaws that a sound plan may be given, faults that it does not have, and its settings in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from random import Random
from typing import Any

from advisor.coach.judging import Verdict, setting_text
from advisor.coach.kinds.untrue import apart, untrue
from advisor.coach.scene import Scene, could_be_thought_of
from advisor.coach.table import by_difficulty, table
from advisor.coach.topics import topic_of
from advisor.files.problems import printable
from advisor.files.units import MM_PER_INCH
from advisor.knowledge.conditions import yes
from advisor.knowledge.evidence import quantised
from advisor.knowledge.measures import JUDGING
from advisor.knowledge.schema import Rule
from advisor.model.entry import entry_kind
from advisor.situation.pairings import ways
from advisor.text.names import spaced

MAY_BE_NOTHING = ("allowance_side", "allowance_bottom", "overcut")
DECIMALS = {"feed_per_tooth": 4, "spindle_speed": -1, "ramp_angle": 1}
NAMES = {
    "entry": "way in",
    "entry_cutter": "drill",
    "allowance_side": "side allowance",
    "allowance_bottom": "bottom allowance",
}
DECIMAL_SLIP = 0.1  # a point in the wrong place
WORDS = 3  # that one setting is spoiled to, at most


def changed(plan: Mapping[str, Any], name: str, value: Any) -> dict[str, Any]:
    """A plan with one setting otherwise; going past the bottom takes the place of leaving something there, and another
    method has levels and a width of its own.
    """
    changed = {**plan, name: value}
    if name == "method":
        changed.pop("levels", None)
        changed.pop("radial_width", None)
    if name == "overcut" and value:
        changed.pop("allowance_bottom", None)
    if name == "entry" and not entry_kind(value).needs_drill:
        changed.pop("entry_cutter", None)
    if name == "entry" and not entry_kind(value).ramps:
        changed.pop("ramp_angle", None)
    return changed


def flaws(plan: Mapping[str, Any], scene: Scene, difficulty: int, rng: Random) -> list[tuple[str, Any]]:
    """Settings with what they might be spoiled to by a slip that people make, in any order."""
    found: list[tuple[str, Any]] = []
    for name, value in plan.items():
        if isinstance(value, bool):
            found.append((name, not value))
        elif isinstance(value, int | float):
            times = by_difficulty(table().spoil, difficulty) * rng.uniform(1, table().spoil_most)
            found += [(name, other) for share in (times, 1 / times) if (other := written(name, value * share)) != value]
            found += [(name, 0.0)] if name in MAY_BE_NOTHING and value else []
    inches = scene.assignment.job.units == "inch"
    slip = MM_PER_INCH if inches else DECIMAL_SLIP  # for inches a number out of a table in mm
    found += [("feed_per_tooth", written("feed_per_tooth", plan["feed_per_tooth"] * slip))]
    found += [("spindle_speed", written("spindle_speed", float(scene.best.facts["cutting_speed"])))]
    found += _few({(name, value) for name, value in _other_words(plan, scene) if value != plan.get(name)}, rng)
    if "overcut" not in plan:
        found.append(("overcut", table().trade.slip_past_the_bottom.value))
    found = [one for one in found if not _beyond_the_machine(*one, plan, scene)]
    rng.shuffle(found)
    return found


def _beyond_the_machine(name: str, value: Any, plan: Mapping[str, Any], scene: Scene) -> bool:
    """Whether a feed or a speed asks for more feed than the machine has: it would run with less than is told."""
    if name not in ("feed_per_tooth", "spindle_speed") or scene.best.plan is None:
        return False
    share = value / float(plan[name])
    return bool(share > 1 and share * scene.best.plan.feed_rate > scene.bench.machine.feed_max)


def _few(others: set[tuple[str, str]], rng: Random) -> Iterator[tuple[str, str]]:
    """Some of the words that could be taken for a setting, no more of one than of another."""
    for name in sorted({name for name, _ in others}):
        words = sorted(other for other in others if other[0] == name)
        yield from rng.sample(words, min(WORDS, len(words)))


def _other_words(plan: Mapping[str, Any], scene: Scene) -> Iterator[tuple[str, str]]:
    """Other ways in, coolants, cutters and methods that somebody could have in mind for such a feature."""
    ways_ = scene.answer.candidates
    yield from (("entry", way.entry) for way in ways_ if way.entry is not None and way.method == plan["method"])
    yield from (("coolant", other) for other in (*scene.bench.machine.coolant, "none"))
    alike = (way for way in ways_ if way.cutter.kind.drill == scene.best.cutter.kind.drill)
    yield from (("cutter", way.cutter.id) for way in alike if could_be_thought_of(way))
    never = {*table().not_offered, *table().not_planned}
    thought_of = (way for way in ways_ if never.isdisjoint(rule.id for rule in way.fired))
    yield from (("method", way.method) for way in thought_of if way.cutter.id == plan["cutter"])


def written(name: str, value: float) -> float:
    """A number written as one writes that setting."""
    return max(1, round(value)) if name == "levels" else round(value, DECIMALS.get(name, 2))


def not_so(verdict: Verdict, scene: Scene, rng: Random) -> list[Rule]:
    """Faults that could be looked for in such a plan and that it does not have, every second of the same topic."""
    right = verdict.heavy[0].rule
    fired = {rule.id for rule in verdict.way.fired} | {found.rule.id for found in verdict.findings}
    kept = [rule for rule in scene.bench.base.rules if is_fault(rule) and rule.id not in table().trap_never]
    fitting = list(untrue(kept, quantised(verdict.way.facts), fired))
    rng.shuffle(fitting)
    same = [rule for rule in fitting if topic_of(rule) == topic_of(right)]
    others = [rule for rule in fitting if rule not in same]
    mixed = [rule for pair in zip(same, others, strict=False) for rule in pair]
    return apart([*mixed, *fitting], right)


def is_fault(rule: Rule) -> bool:
    """Whether a rule says what is wrong with a plan."""
    return rule.verdict == "finds" or (rule.stage in JUDGING and rule.verdict in ("against", "forbids"))


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
