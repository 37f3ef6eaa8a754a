"""The feed rate of a plan on circles: the control drives the cutter's centre, the teeth cut at the wall."""

from __future__ import annotations

from advisor.mechanics.motion import wall_feed
from advisor.model.operations import OperationRow
from advisor.model.plan import Plan


def centre_feed_said(row: OperationRow, plan: Plan) -> float | None:
    """The feed of the cutter's centre on circles that a plan says [mm/min]: a feed rate alone is what the control is
    given; beside a feed per tooth it is the feed of the teeth, at the wall.
    """
    return row.feed_rate if "centre_feed" in plan.facts and row.feed_per_tooth is None else None


def wall_feed_said(row: OperationRow, plan: Plan) -> float | None:
    """The feed of the teeth that a plan says [mm/min]: in a round hole that at the wall."""
    said = centre_feed_said(row, plan)
    if said is None:
        return row.feed_rate
    return wall_feed(said, float(plan.facts["bore"]), plan.cutter.DC)
