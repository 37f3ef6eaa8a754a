"""How deep a plan sends a drill: the depth that it gives is that of the tip."""

from __future__ import annotations

from typing import NamedTuple

from advisor.mechanics.lengths import difference
from advisor.methods.entries import tip_of
from advisor.methods.holes import point_of, tip_facts
from advisor.methods.registry import METHODS
from advisor.methods.trial import cut_of
from advisor.model.cutter import Cutter
from advisor.model.operations import OperationRow
from advisor.model.region import Region
from advisor.situation.bench import Bench
from advisor.situation.facts import InFeature


class Goes(NamedTuple):
    """How deep the ``tip`` of a drill goes by its plan [mm], where the plan says so.

    ``through`` tells that the hole is to come out at the bottom.
    """

    tip: float | None
    through: bool = False


def tip_said(row: OperationRow) -> float | None:
    """How deep a plan says that the tip of its drill goes [mm], in one go or in so many pecks."""
    return None if row.axial_depth is None else row.axial_depth * (row.levels or 1)


def depth_not_said(row: OperationRow) -> bool:
    """Whether a plan leaves open how deep its drill goes."""
    return row.axial_depth is None and row.overcut is None and row.allowance_bottom is None


def as_advised(method: str, usual: InFeature, region: Region, bench: Bench) -> Goes:
    """How deep the tip of a drill for the way in goes where the plan does not say it: as the advice drills it.

    Through where point and gap have room beneath, else short of the bottom; nothing where there is a floor.
    """
    cut = cut_of(usual, region, bench)
    if not METHODS[method].by_drill or not region.round or region.floor or cut is None:
        return Goes(None)
    return Goes(tip_of(usual.cutter, cut), True)


def drill_goes(row: OperationRow, method: str, usual: InFeature, region: Region) -> Goes:
    """How deep the tip of a drill goes.

    The depth of a plan is that of the tip. It is that of the full diameter only where the plan says so by its overcut:
    where it is the depth of the hole and the overcut together.
    """
    deep = tip_said(row)
    if deep is None or not METHODS[method].by_drill or not region.round or region.floor:
        return Goes(deep)
    past = difference(deep, region.depth)
    if row.overcut is not None and difference(past, row.overcut) == 0:
        return Goes(deep + point_of(usual.cutter), True)
    return Goes(deep, True)


def of_the_drill(
    row: OperationRow, cutter: Cutter, region: Region, tip: float | None, bench: Bench
) -> dict[str, float | None]:
    """How deep the tip of a drill for the way in goes, by what the plan says of it [mm]."""
    if not cutter.kind.drill:
        return {}
    point = point_of(cutter)
    past = None if row.overcut is None else region.depth + row.overcut + (point if row.overcut > 0 else 0.0)
    deep = tip or past
    return {} if deep is None else tip_facts(region, cutter, deep, bench)
