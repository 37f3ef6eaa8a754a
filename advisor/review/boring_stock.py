"""What boring takes off the wall of a hole after the drill or the mill of a plan."""

from __future__ import annotations

from advisor.knowledge.conditions import Facts, Situation
from advisor.mechanics.lengths import difference
from advisor.situation.bench import Bench
from advisor.situation.derived import worked_out
from advisor.situation.facts import InFeature


def to_bore(cut: Facts, item: InFeature, bench: Bench) -> Situation:
    """Facts of the stock on the wall of a hole that is bored later.

    The advice takes a drill that one pass of the boring tool follows. A plan may as well leave what a rough pass and a
    fine one take, so that a drill counts as too narrow only beyond that.
    """
    if item.facts.get("hole_purpose") != "bore":
        return {}
    width, limits = float(item.facts["width"]), bench.limits
    found = worked_out(("rest_over_bore",), item.facts, cut, limits=limits)
    if "wall_rest" not in cut:
        return found
    takes = max(limits["bore_rough_least"], min(limits["bore_rough_most"], limits["bore_rough_share"] * width))
    rest, most = float(cut["wall_rest"]), max(item.side, limits["hole_left_most_bore"], takes)
    return found | {"left_over": difference(rest, most), "drill_size_least": width - 2 * most}
