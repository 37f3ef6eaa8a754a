"""What is known of an operation by plan, cutter and machine alone, whatever method it is in what feature."""

from __future__ import annotations

from advisor.knowledge.conditions import Situation, yes
from advisor.mechanics.engagement import engagement_angle
from advisor.mechanics.lengths import difference
from advisor.mechanics.speed import cutting_speed, spindle_speed
from advisor.methods.registry import METHODS
from advisor.methods.speeds import speed_for
from advisor.methods.trial import cut_of
from advisor.model.operations import OperationRow
from advisor.model.region import Region
from advisor.situation.bench import Bench
from advisor.situation.facts import InFeature


def speed_said(row: OperationRow, teeth: int) -> float | None:
    """The spindle speed that the plan says, or that follows from its feed rate and feed per tooth [1/min]."""
    if row.spindle_speed is None and row.feed_rate is not None and row.feed_per_tooth is not None:
        return row.feed_rate / (teeth * row.feed_per_tooth)
    return row.spindle_speed


def tooth_said(row: OperationRow, teeth: int, speed: float | None) -> float | None:
    """The feed per tooth that the plan says, or that follows from its feed rate at a speed [mm]."""
    if row.feed_per_tooth is None and row.feed_rate is not None and speed is not None:
        return row.feed_rate / (teeth * speed)
    return row.feed_per_tooth


def engagement_said(row: OperationRow, DC: float) -> float:
    """The engagement on a straight wall at the width of the plan; that of a full cut where it says none [deg]."""
    return engagement_angle(DC if row.radial_width is None else min(row.radial_width, DC), DC)


def plain_facts(row: OperationRow, item: InFeature, method: str, region: Region, bench: Bench) -> Situation:
    """Facts of speed, feed, chip, depth and clearance of an operation that no method works out.

    The chip is that of the width that the plan says, else of a wide cut. A speed that the plan does not say is that of
    the tables; where there are none for this edge and material, no fact rests on them.
    """
    facts, cut, cutter = overcut_room(item, method), cut_of(item, region, bench), item.cutter
    said, kind = speed_said(row, cutter.ZEFP), METHODS[method]
    facts["speed_said"] = yes(said is not None)
    if cut is not None:
        facts["table_speed"], facts["speed_factor"] = cut.v_c, cut.speed_factor
        facts["wanted_speed"] = spindle_speed(cut.v_c * cut.speed_factor, cutter.DC)
    speed = said if said is not None else speed_for(cut) if cut is not None else None
    if speed is None:
        return facts | _depth(row, item, method)
    facts |= {"spindle_speed": speed, "cutting_speed": cutting_speed(speed, cutter.DC)}
    if (tooth := tooth_said(row, cutter.ZEFP, speed)) is not None:
        facts |= {"feed_per_tooth": tooth, "feed_rate": tooth * cutter.ZEFP * speed}
        if cut is not None and not (kind.plunges or (kind.round_a_hole and row.entry_cutter)):
            facts |= {"table_chip": cut.chip, "load_angle": engagement_said(row, cutter.DC)}
    return facts | _depth(row, item, method)


def overcut_room(item: InFeature, method: str) -> Situation:
    """The free space beneath the cutter at its deepest [mm], where it goes past the bottom."""
    if item.overcut > 0 and not METHODS[method].by_drill:  # a drill goes further by its point: see point_room
        return {"overcut_room": difference(float(item.facts.get("clearance_below", 0.0)), item.overcut)}
    return {}


def _depth(row: OperationRow, item: InFeature, method: str) -> Situation:
    """How deep a level goes, where the plan says it."""
    axial = row.axial_depth
    if axial is None and row.levels is not None:
        axial = item.depth_to_cut / row.levels
    if axial is None or not (METHODS[method].in_levels or METHODS[method].in_turns):
        return {}
    return {"axial_depth": axial, "axial_ratio": axial / item.cutter.DC, "flute_use": axial / item.cutter.APMX}
