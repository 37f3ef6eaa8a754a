"""Ratios and differences of a plan's numbers and of those it is held against."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.knowledge.conditions import Situation
from advisor.methods.registry import METHODS
from advisor.situation.derived import work_out

OF_CHIPS = ("straight_chip", "feed_of_table", "feed_over_plain")
RATIOS = (
    "load_share", "speed_over_spindle", "speed_over_marked", "speed_over_table", "speed_over_borne",
    "speed_over_cutting_speed", "speed_over_nearest", "torque_over_spindle", "feed_over_machine", "feed_over_borne",
    "feed_over_table", "feed_not_used", "chip_over_table", "chip_over_nearest", "descent_over_table",
    "descent_over_cutter", "descent_beyond_cutter", "angle_apart", "wall_bend_share", "side_over_wanted",
    "push_over_bare_wall", "width_beyond_stock",
    "bottom_over_wanted", "width_over_table", "width_over_borne", "side_room_share", "side_beyond_room",
    "depth_over_layers", "last_share", "last_over_most", "levels_over_wanted", "levels_spare", "overcut_short",
    "tip_wanted", "bore_beyond_twice", "wall_rest_unsaid", "time_over_advised", "time_lost",
)  # fmt: skip


def derive(facts: Situation, limits: Mapping[str, float]) -> None:
    """Put in every ratio and difference of the review whose parts are there."""
    if "load_angle" in facts:
        work_out(OF_CHIPS, facts, limits)
    work_out(RATIOS, facts, limits)
    along = "method" in facts and METHODS[str(facts["method"])].along_the_cut
    bent = facts | {"gap_spare": 0.0} if along and "gap_spare" not in facts else facts
    work_out(("bend_beyond_allowance",), bent, limits)
    if "bend_beyond_allowance" in bent:
        facts["bend_beyond_allowance"] = bent["bend_beyond_allowance"]
    if "loop_count" in facts:
        work_out(("feed_over_axes",), facts, limits)
    slower, levels, wanted = (facts.get(name) for name in ("time_over_advised", "levels", "levels_wanted"))
    if slower is not None:
        fewer = min(1.0, float(wanted) / float(levels)) if wanted and levels else 1.0
        facts["slower_but_for_levels"] = float(slower) * fewer
