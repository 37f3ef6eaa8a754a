"""What boring takes off the wall of a hole after the drill or the mill of a plan."""

from __future__ import annotations

from advisor.knowledge.conditions import Facts, Situation
from advisor.mechanics.lengths import difference
from advisor.situation.bench import Bench
from advisor.situation.facts import InFeature


def to_bore(cut: Facts, side: float, item: InFeature, bench: Bench) -> Situation:
    """Facts of the stock on the wall of a hole that is bored later; ``side`` is what a mill leaves there [mm].

    The advice takes a drill that one pass of the boring tool follows. A plan may as well leave what a rough pass and a
    fine one take, so that a drill counts as too narrow only beyond that.
    """
    if item.facts.get("hole_purpose") != "bore":
        return {}
    width, limits = float(item.facts["width"]), bench.limits
    takes = max(limits["bore_rough_least"], min(limits["bore_rough_most"], limits["bore_rough_share"] * width))
    if "wall_rest" not in cut:
        return {"rest_over_bore": side / takes}
    rest, most = float(cut["wall_rest"]), max(item.side, limits["hole_left_most_bore"], takes)
    over = {"left_over": difference(rest, most), "drill_size_least": width - 2 * most}
    return {"rest_over_bore": max(0.0, rest) / takes, **over}
