"""Speed and chip of a plan beside the nearest data of the group, where the tables have none for these inserts."""

from __future__ import annotations

from advisor.knowledge.conditions import Situation
from advisor.mechanics.chip import chip_thickness
from advisor.mechanics.speed import cutting_speed, spindle_speed
from advisor.methods.drills import has_inserts
from advisor.model.operations import OperationRow
from advisor.review.operation_facts import engagement_said, speed_said, tooth_said
from advisor.situation.bench import Bench
from advisor.situation.facts import InFeature


def nearest_facts(row: OperationRow, item: InFeature, bench: Bench) -> Situation:
    """Facts of speed [1/min] and chip [mm] of a plan whose inserts have no data in this material; else nothing.

    The speed stands beside that of solid carbide, the chip beside the thickest that inserts bear in hardened steel.
    """
    cutter, material = item.cutter, bench.material
    if (cutter.kind.solid and not has_inserts(cutter)) or material.v_c_inserted is not None:
        return {}
    speed = speed_said(row, cutter.ZEFP)
    tooth = tooth_said(row, cutter.ZEFP, speed)
    facts: Situation = {}
    if speed is not None:
        facts |= {"spindle_speed": speed, "cutting_speed": cutting_speed(speed, cutter.DC)}
        facts["nearest_speed"] = spindle_speed(material.v_c_solid, cutter.DC)
    if tooth is not None:
        chip = chip_thickness(tooth, cutter.KAPR, engagement_said(row, cutter.DC))
        facts |= {"feed_per_tooth": tooth, "chip_said": chip}
    return facts
