"""Speed and feed of a drill that only makes the way in, judged like those of any drill."""

from __future__ import annotations

from advisor.knowledge.conditions import Situation
from advisor.model.cutter import Cutter
from advisor.model.operations import OperationRow
from advisor.model.region import Region
from advisor.review.assumed import BY_DRILL, MethodHere, settled
from advisor.review.drilled import tip_said
from advisor.review.speeds import speed_facts
from advisor.situation.bench import Bench
from advisor.situation.facts import Left, cutter_in

# What rules read of speed, feed and load, and what follows from it or is told with it.
OF_RATES = (
    "spindle_speed", "wanted_speed", "table_speed", "speed_factor", "cutting_speed",
    "feed_per_tooth", "feed_rate", "feed_per_revolution", "load_angle", "engagement",
    "chip", "mean_chip", "table_chip", "chip_least_here", "chip_over_least", "chip_over_edge", "edge_chip_least",
    "power", "worn_power", "power_available", "power_share", "torque", "worn_torque", "torque_available", "thrust",
)  # fmt: skip
JUDGED_BY = frozenset(
    {
        "speed_over_table",
        "speed_over_borne",
        "speed_over_spindle",
        "speed_over_marked",
        "feed_over_machine",
        "feed_over_borne",
    }
    | {"chip_over_table", "chip_over_least", "power_share", "planned_coolant"}
)


def own_hole(region: Region, drill: Cutter) -> Region:
    """The hole that a drill makes in a region for the way in: round, as wide as the drill, and nothing left on it."""
    width = drill.DC
    round_ = region._replace(kind="round_hole", length=width, width=width, narrowest=width, fit_width=width)
    return round_._replace(
        strip=None, island=None, corner_radius=None, open_side=False, open_ends=0, purpose=None, open_at=None
    )


def rates_of(
    row: OperationRow, drill: Cutter, region: Region, shared: Situation, left: Left, bench: Bench
) -> Situation:
    """Facts of speed, feed and load of a drill for the way in; nothing where the plan gives neither speed nor feed."""
    if not drill.kind.drill or all(value is None for value in (row.spindle_speed, row.feed_per_tooth, row.feed_rate)):
        return {}
    hole = own_hole(region, drill)
    item = cutter_in(hole, drill, shared, bench, left._replace(side=0.0))
    found = settled(row, MethodHere(BY_DRILL, hole, bench), item, item, tip_said(row))
    if found is None:
        return {}
    facts = {name: found.plan.facts[name] for name in OF_RATES if name in found.plan.facts}
    return (
        facts | {"feed_borne": found.borne.feed_per_tooth} | speed_facts(row, {**item.facts, **found.plan.facts}, bench)
    )
