"""What a way leaves on the walls: its allowance, or less where the cutter is as wide as the slot."""

from __future__ import annotations

from advisor.model.candidate import Candidate
from advisor.model.plan import Plan


def left_on_walls(way: Candidate, plan: Plan) -> float:
    """What stays on a wall [mm]; nothing where a slot is cut to size, whatever was to be left."""
    spare = way.facts.get("gap_spare")
    if spare is None or way.facts["feature"] == "round_hole":
        return plan.side_allowance
    room = float(way.facts["side_allowance"]) + float(spare)
    return max(0.0, min(plan.side_allowance, room))
