"""Which rules could not be asked because an optional value of the feature is missing."""

from __future__ import annotations

from functools import lru_cache

from advisor.knowledge.conditions import Known, Situation, leaves
from advisor.knowledge.schema import Rule, RuleBase, reads
from advisor.model.answer import NotAsked
from advisor.model.feature_inputs import ASKED
from advisor.model.region import Region
from advisor.situation.bench import Bench


def not_asked(region: Region, facts: Situation, bench: Bench) -> tuple[NotAsked, ...]:
    """The optional values of this feature that nobody gave and that a rule would have looked at."""
    found = []
    for name in ASKED[region.kind]:
        beside_the_point = (name == "clearance_below" and region.floor) or (
            name in ("floor_thickness", "flat_floor") and not region.floor
        )
        beside_the_point |= name == "open_at" and not region.faced  # three open sides leave one wall
        if name == "corner_radius" and region.kind == "open_pocket" and not region.walls_meet:
            found += [] if region.idle_corner_radius is None else [NotAsked(name, idle=True)]
            continue
        if name not in facts and not beside_the_point:
            wanting = (rule.id for rule in _wanting(bench.base, name, region.kind) if _may_hold(rule, facts))
            found.append(NotAsked(name, tuple(wanting)))
    return tuple(found)


@lru_cache(maxsize=256)
def _wanting(base: RuleBase, name: str, kind: str) -> tuple[Rule, ...]:
    return tuple(
        rule
        for rule in base.rules
        if rule.stage != "review"
        and _admits(rule, kind)
        and any(name in base.measures[fact].needs for fact in reads(rule) - _may_be_absent(rule))
    )


def _may_be_absent(rule: Rule) -> set[str]:
    """The facts whose absence a rule asks for, so that it is asked without them too."""
    return {leaf.fact for leaf in leaves(rule.condition) if isinstance(leaf, Known) and not leaf.present}


def _admits(rule: Rule, kind: str) -> bool:
    kinds = dict(rule.about).get("feature")
    return kinds is None or kind in kinds


def _may_hold(rule: Rule, facts: Situation) -> bool:
    """Whether nothing that is known of feature and material keeps a rule silent, whatever the missing value."""
    return all(name not in facts or facts[name] in words for name, words in rule.about)
