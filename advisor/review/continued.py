"""An operation that goes on where one before it stopped above the bottom: only what is left there is its own to cut."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from advisor.knowledge.conditions import Situation
from advisor.mechanics.lengths import difference, exceeds, reaches
from advisor.model.answer import FeatureAdvice
from advisor.model.cutter import Cutter
from advisor.model.features import FeatureBase
from advisor.model.operations import Operation, OperationRow, Plan
from advisor.model.region import Region
from advisor.situation.bench import Bench
from advisor.situation.facts import feature_facts


def reached_by(facts: Situation, begun: float) -> float:
    """How deep an operation gets in its feature that began at a depth [mm]: to its allowance, or as its levels go."""
    if not {"levels", "axial_depth", "depth_to_cut"} <= facts.keys():
        return 0.0
    levels, axial, depth = (float(facts[name]) for name in ("levels", "axial_depth", "depth_to_cut"))
    return begun + min(depth, levels * axial)


def goes_on(row: OperationRow, region: Region, reached: Sequence[float], staged: bool, bench: Bench) -> float:
    """How deep a feature is already cut where an operation begins, by the operations before that clear it [mm].

    That is said by its own numbers: levels no deeper than what is left, and not as many as the whole depth needs. One
    that says no depth begins at the top, unless those before are a stage that leaves more than finishing takes; one
    that goes down from the top again begins there.
    """
    done, rounding = max(reached, default=0.0), bench.limits["over_the_limit"]
    bottom, axial = row.allowance_bottom, row.axial_depth
    if staged and bottom is None:
        bottom = region.allowance_bottom or 0.0
    if bottom is None or not exceeds(difference(region.depth, done), region.allowance_bottom or 0.0):
        return 0.0
    left = difference(region.depth, bottom, done)
    if left <= 0 or (axial is None and not staged) or exceeds(axial or 0.0, left * rounding):
        return 0.0
    levels, deep = row.levels or 0, axial or 0.0
    return 0.0 if levels and reaches(levels * deep * rounding, difference(region.depth, bottom)) else done


def in_stages(
    plan: Plan, features: Mapping[str, FeatureBase], crib: Mapping[str, Cutter], limits: Mapping[str, float]
) -> Plan:
    """The plan with what stays below an operation as its allowance on the floor, where its own levels end well above
    the bottom of its one feature and those of a later one are as many as what is left there needs.
    """
    told, most = [], limits["allowance_most"]
    for place, operation in enumerate(plan.operations):
        left = _left_below(operation, plan.operations[place + 1 :], features, crib, most)
        if left is not None:
            operation = operation._replace(row=operation.row.model_copy(update={"allowance_bottom": left}))
        told.append(operation)
    return plan._replace(operations=tuple(told))


def _left_below(
    operation: Operation,
    later: Sequence[Operation],
    features: Mapping[str, FeatureBase],
    crib: Mapping[str, Cutter],
    most: float,
) -> float | None:
    """What the levels of an operation leave for a later one [mm], more than ``most`` that finishing may take, where
    those of the later one clear that but for as much, and not the whole depth, or where it gives none and alone has a
    cutter long enough; nothing where the two do not say so.
    """
    row = operation.row
    if row.levels is None or row.axial_depth is None or row.allowance_bottom is not None or crib[row.cutter].kind.drill:
        return None
    if len(operation.features) != 1 or operation.features[0] not in features:
        return None
    name = operation.features[0]
    depth = features[name].depth
    left = difference(depth, row.levels * row.axial_depth)
    if not exceeds(left, most):
        return None
    for one in later:
        if name not in one.features or crib[one.row.cutter].kind.drill:
            continue
        if one.row.levels is None and exceeds(depth, crib[row.cutter].LU) and reaches(crib[one.row.cutter].LU, depth):
            return left
        if one.row.levels is None or one.row.axial_depth is None:
            continue
        goes = one.row.levels * one.row.axial_depth
        if reaches(goes + most, left) and exceeds(difference(depth, goes), most):
            return left
    return None


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
