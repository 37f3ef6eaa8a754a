"""Speed and chip of a plan beside the nearest data of the group, where the tables have none for these inserts."""

from __future__ import annotations

from math import acos, degrees, radians, sin

from advisor.inputs.plan import OperationRow
from advisor.mechanics.speed import cutting_speed, spindle_speed
from advisor.reasoning.bench import Bench
from advisor.reasoning.situation import SOLID, InFeature, Situation


def nearest_facts(row: OperationRow, item: InFeature, bench: Bench) -> Situation:
    """Facts of speed [1/min] and chip [mm] of a plan whose inserts have no data in this material; else nothing.

    The speed stands beside that of solid carbide, the chip beside the thickest that inserts bear in hardened steel.
    """
    cutter, material, limits = item.cutter, bench.material, bench.limits
    if cutter.body in SOLID or cutter.body == "drill" or material.v_c_inserted is not None:
        return {}
    speed, tooth = row.spindle_speed, row.feed_per_tooth
    if speed is None and row.feed_rate is not None and tooth is not None:
        speed = row.feed_rate / (cutter.ZEFP * tooth)
    if tooth is None and row.feed_rate is not None and speed is not None:
        tooth = row.feed_rate / (cutter.ZEFP * speed)
    facts: Situation = {}
    if speed is not None:
        nearest = spindle_speed(material.v_c_solid, cutter.DC)
        facts |= {"spindle_speed": speed, "cutting_speed": cutting_speed(speed, cutter.DC)}
        facts |= {"nearest_speed": nearest, "speed_over_nearest": speed / nearest}
    if tooth is not None:
        share = 0.5 if row.radial_width is None else min(0.5, row.radial_width / cutter.DC)
        chip = tooth * sin(radians(cutter.KAPR)) * sin(radians(min(90.0, degrees(acos(1 - 2 * share)))))
        facts |= {"feed_per_tooth": tooth, "chip_said": chip, "chip_over_nearest": chip / limits["hard_insert_chip"]}
    return facts
