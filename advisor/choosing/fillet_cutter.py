"""Which cutter of the crib leaves no fillet at the foot of a wall that goes through."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.choosing.rest import SIDE_CUTTING, will_do
from advisor.knowledge.conditions import Situation
from advisor.mechanics.lengths import exceeds, reaches
from advisor.model.cutter import Cutter
from advisor.model.region import Region
from advisor.situation.bench import Bench
from advisor.situation.facts import cutter_in
from advisor.situation.pairings import ways

HIGH_SPEED_STEEL = "hss"


def with_sharper(shared: Situation, region: Region, crib: Sequence[Cutter], bench: Bench) -> Situation:
    """The facts of a feature with the diameter of the widest cutter of a crib that leaves no fillet worth a word.

    It is asked for only where a wall goes through and some cutter of the crib is as round as a fillet that tells; it
    cuts with its side, no rule about feature and cutter speaks against it, and it is of high-speed steel only where all
    those round ones are.
    """
    limits, bodies = bench.limits, ways()[SIDE_CUTTING].bodies
    side_cutting = [one for one in crib if one.body in bodies]
    rounded = [one for one in crib if not one.kind.drill and reaches(one.RE, limits["fillet_most"])]
    all_slow = all(one.substrate == HIGH_SPEED_STEEL for one in rounded)
    if region.floor or region.round or not region.has_walls or not rounded:
        return shared
    for cutter in sorted(side_cutting, key=lambda one: -one.DC):
        if (cutter.KAPR or 90.0) < limits["shoulder_edge_angle_least"]:
            continue
        if cutter.substrate == HIGH_SPEED_STEEL and not all_slow:
            continue
        facts = cutter_in(region, cutter, shared, bench).facts
        if exceeds(limits["fillet_told"], float(facts["fillet_left"])) and will_do(facts, bench):
            return shared | {"sharp_diameter": cutter.DC}
    return shared
