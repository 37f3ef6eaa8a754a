"""Ratios and differences of a plan's numbers and of those it is held against."""

from __future__ import annotations

from collections.abc import Mapping
from math import cos, radians, sin

from advisor.knowledge.conditions import Situation
from advisor.mechanics.power import torque
from advisor.methods.registry import METHODS
from advisor.situation.facts import put

RATIOS = {
    "speed_over_spindle": ("spindle_speed", "speed_most"),
    "speed_over_marked": ("spindle_speed", "RPMX"),
    "speed_over_table": ("spindle_speed", "wanted_speed"),
    "speed_over_borne": ("spindle_speed", "speed_borne"),
    "speed_over_cutting_speed": ("spindle_speed", "table_speed"),
    "torque_over_spindle": ("worn_torque", "torque_most"),
    "feed_over_machine": ("feed_rate", "feed_most"),
    "feed_over_borne": ("feed_per_tooth", "feed_borne"),
    "feed_over_table": ("feed_per_tooth", "feed_of_table"),
    "feed_not_used": ("feed_borne", "feed_per_tooth"),
    "descent_over_table": ("descent_angle", "ramp_angle_high"),
    "descent_over_cutter": ("descent_angle", "RMPX"),
    "wall_bend_share": ("wall_deflection", "planned_side_allowance"),
    "side_over_wanted": ("planned_side_allowance", "side_wanted"),
    "bottom_over_wanted": ("bottom_allowance", "bottom_wanted"),
    "chip_over_table": ("straight_chip", "table_chip"),
    "width_over_table": ("load_share", "table_radial_share"),
    "width_over_borne": ("width_over_table", "width_borne"),
    "side_room_share": ("side_room", "side_asked"),
    "depth_over_layers": ("axial_depth", "layer_depth_most"),
    "last_share": ("last_depth", "axial_depth"),
    "levels_over_wanted": ("levels", "levels_wanted"),
    "last_over_most": ("last_depth", "floor_level_most"),
}
BEYOND = {
    "descent_beyond_cutter": ("descent_angle", "RMPX"),
    "bend_beyond_allowance": ("deflection", "planned_side_allowance"),
    "overcut_short": ("overcut_wanted", "overcut"),
    "side_beyond_room": ("planned_side_allowance", "side_room"),
    "levels_spare": ("levels", "levels_wanted"),
    "time_lost": ("planned_time", "advised_time"),
}


def derive(facts: Situation) -> None:
    """Put in every ratio and difference of the review whose parts are there."""

    def number(name: str) -> float | None:
        value = facts.get(name)
        return None if value is None or isinstance(value, str) else value

    _chips(facts)
    worn, speed = number("worn_power"), number("spindle_speed")
    if worn is not None and speed:
        facts["worn_torque"] = torque(worn, speed)
    for name, (above, below) in RATIOS.items():
        one, other = number(above), number(below)
        if one is not None and other:
            facts[name] = min(1.0, one / other) if name == "last_share" else one / other
    for name, (one_name, other_name) in BEYOND.items():
        one, other = number(one_name), number(other_name)
        if one is not None and other is not None:
            facts[name] = one - other
    _spared(facts)
    deep = [number(name) for name in ("depth_to_cut", "drill_point", "overcut_short")]
    if "drill_depth" in facts and all(part is not None for part in deep):
        facts["tip_wanted"] = sum(part for part in deep if part is not None)
    slower, levels, wanted = number("time_over_advised"), number("levels"), number("levels_wanted")
    if slower is not None:
        facts["slower_but_for_levels"] = slower * min(1.0, wanted / levels) if wanted and levels else slower
    if (bore := number("bore")) is not None:
        facts["bore_beyond_twice"] = bore - 2 * float(facts["DC"])
    axes = number("axis_feed")
    if "loop_count" in facts and axes:
        facts["feed_over_axes"] = float(facts["feed_rate"]) / axes


def _spared(facts: Situation) -> None:
    """Along the middle of a slot the cutter bends into what stays on the wall beyond the allowance too."""
    if "bend_beyond_allowance" not in facts or "gap_spare" not in facts or "method" not in facts:
        return
    if METHODS[str(facts["method"])].along_the_cut:
        stays = float(facts["side_allowance"]) + max(0.0, float(facts["gap_spare"]))
        facts["bend_beyond_allowance"] = float(facts["deflection"]) - max(float(facts["planned_side_allowance"]), stays)


def width_borne(axial_ratio: float, limits: Mapping[str, float]) -> float:
    """How many times the radial width of the table a cut bears [-]: evenly less from a middling depth to a deep one."""
    middling, deep = limits["width_depth_ratio_middling"], limits["engagement_depth_ratio_least"]
    much, most = limits["width_over_table_much"], limits["width_over_table_most"]
    return much - (much - most) * max(0.0, min(1.0, (axial_ratio - middling) / max(0.01, deep - middling)))


def _chips(facts: Situation) -> None:
    """Put in the chip on the straight at the feed and speed that the machine reaches, the feed that gives there the
    chip of the tables, and the width that engages so.
    """
    if "load_angle" not in facts:
        return
    cuts_at = facts.get("end_edge_angle", facts["top_edge_angle"])
    angle, edge = float(facts["load_angle"]), sin(radians(float(cuts_at)))
    speed = min(float(facts["spindle_speed"]), float(facts["speed_most"]))
    tooth = min(float(facts["feed_rate"]), float(facts["feed_most"])) / (float(facts["ZEFP"]) * speed)
    share = float(facts.get("arc_feed_share", 1.0))
    thinning = share * edge * sin(radians(min(90.0, angle)))
    facts["straight_chip"] = tooth * thinning
    if thinning > 0:
        facts["feed_of_table"] = float(facts["table_chip"]) / thinning
    facts["load_share"] = (1 - cos(radians(angle))) / 2
    put(facts, {"feed_over_plain": share * float(facts["feed_per_tooth"]) * edge / float(facts["table_chip"])})
