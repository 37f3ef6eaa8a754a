"""The room beneath a through hole, and how much of it a drill needs."""

from __future__ import annotations

from advisor.knowledge.assumptions import assumed
from advisor.mechanics.entry import drill_point
from advisor.mechanics.lengths import difference
from advisor.model.region import Region
from advisor.situation.bench import Bench


def raise_to_drill(region: Region, bench: Bench) -> float | None:
    """How much higher a part must lie for a drill as wide as a through hole [mm]: room for its point, for the least
    that its full diameter goes past the bottom and for the gap beneath, less what is free; nothing for other features.
    """
    if not region.round or region.floor:
        return None
    limits, point = bench.limits, drill_point(region.width, assumed("cutter", "point_angle_carbide_drill"))
    wanted = point + limits["drill_through_least"] + limits["clearance_beyond_overcut"]
    return difference(wanted, region.clearance_below or 0.0)
