"""An operation that goes on where one before it stopped above the bottom: only what is left there is its own to cut."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.knowledge.conditions import Situation
from advisor.mechanics.lengths import difference, exceeds, reaches
from advisor.model.answer import FeatureAdvice
from advisor.model.operations import OperationRow
from advisor.model.region import Region
from advisor.situation.bench import Bench
from advisor.situation.facts import feature_facts


def reached_by(facts: Situation, begun: float) -> float:
    """How deep an operation gets in its feature that began at a depth [mm]: to its allowance, or as its levels go."""
    if not {"levels", "axial_depth", "depth_to_cut"} <= facts.keys():
        return 0.0
    levels, axial, depth = (float(facts[name]) for name in ("levels", "axial_depth", "depth_to_cut"))
    return begun + min(depth, levels * axial)


def goes_on(row: OperationRow, region: Region, reached: Sequence[float], bench: Bench) -> float:
    """How deep a feature is already cut where an operation begins, by the operations before that clear it [mm].

    That is said by its own numbers: levels no deeper than what is left, and not as many as the whole depth needs. One
    that says no depth, or goes down from the top again, begins at the top.
    """
    done, rounding = max(reached, default=0.0), bench.limits["over_the_limit"]
    bottom, axial = row.allowance_bottom, row.axial_depth
    if bottom is None or axial is None or not exceeds(difference(region.depth, done), region.allowance_bottom or 0.0):
        return 0.0
    left = difference(region.depth, bottom, done)
    whole = row.levels is not None and reaches(row.levels * axial * rounding, difference(region.depth, bottom))
    return done if left > 0 and reaches(left * rounding, axial) and not whole else 0.0


def from_below(answer: FeatureAdvice, begun: float, bench: Bench) -> FeatureAdvice:
    """The advice of a feature that is cut down to a depth already [mm]: what is left lies so much lower."""
    if begun <= 0:
        return answer
    region = answer.region
    tallest = region.tallest_wall or region.depth
    left = region._replace(depth=difference(region.depth, begun), top=region.top + begun, tallest_wall=tallest)
    facts = feature_facts(left, bench) | {"sharp_diameter": answer.facts["sharp_diameter"]}
    return answer._replace(region=left, facts=facts)


def down_to_the_cleared_floor(walls: FeatureAdvice, floor: FeatureAdvice, bench: Bench) -> FeatureAdvice:
    """The advice of the walls of a casting whose floor was cleared before: they go down as deep as it lies then, and
    keep the allowance of a floor.
    """
    region, beneath = walls.region, floor.region
    deep = difference(beneath.top + beneath.depth, region.top)
    whole = region._replace(
        depth=deep,
        tallest_wall=region.tallest_wall or deep,
        allowance_bottom=beneath.allowance_bottom,
        floor_thickness=beneath.floor_thickness,
        cast_floor=False,
    )
    facts = feature_facts(whole, bench) | {"sharp_diameter": walls.facts["sharp_diameter"]}
    return walls._replace(region=whole, facts=facts)
