"""The skin of a casting or forging: a cut of which every pass goes through it runs at the speed for it."""

from __future__ import annotations

from dataclasses import replace

from advisor.methods.cut import Cut
from advisor.methods.method import Method
from advisor.model.plan import Plan

BESIDE_A_WALL = ("passes", "ring_count")  # side by side, along a wall or round a hole


def planned(method: Method, cut: Cut) -> Plan | None:
    """The plan of a prepared cut, at the speed for the skin where every pass of it goes through the skin."""
    plan, factor = method.plan(cut), cut.inside.facts.get("skin_speed_factor")
    if plan is None or factor is None or not _all_in_the_skin(method, cut, plan):
        return plan
    slow = method.plan(cut.slowed(float(factor)))
    if slow is None or not _all_in_the_skin(method, cut, slow):
        return plan
    facts = {name: value for name, value in slow.facts.items() if name != "skin_speed"}
    return replace(slow, facts=facts | {"skin_alone": "yes"})


def _all_in_the_skin(method: Method, cut: Cut, plan: Plan) -> bool:
    """Whether no pass lies beneath another: one pass along the wall in each level, or one level over the floor."""
    if cut.region.rough == "floor":
        return plan.levels == 1 or method.in_turns
    beside = [plan.facts[name] for name in BESIDE_A_WALL if name in plan.facts]
    return cut.region.rough == "walls" and (beside == [1.0] or (method.round_a_hole and cut.region.cored))
