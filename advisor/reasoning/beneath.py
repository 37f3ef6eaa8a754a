"""The room beneath a through hole, and how much of it a drill needs."""

from __future__ import annotations

from advisor.inputs.assumptions import assumed
from advisor.mechanics.entry import drill_point
from advisor.mechanics.lengths import difference
from advisor.reasoning.bench import Bench
from advisor.reasoning.region import Region


def raise_to_drill(region: Region, bench: Bench) -> float | None:
    """How much higher a part must lie for a drill as wide as a through hole [mm]: room for its point and for the least
    that its full diameter goes past the bottom, less what is free beneath; nothing for other features.
    """
    if not region.round or region.floor:
        return None
    limits, point = bench.limits, drill_point(region.width, assumed("cutter", "point_angle_carbide_drill"))
    return difference(point + limits["drill_through_least"], region.clearance_below or 0.0)
