"""The feeds that are typed: for the cut, and for the way into the material."""

from __future__ import annotations

from advisor.methods.registry import METHODS
from advisor.model.candidate import Candidate
from advisor.model.plan import Plan


def typed_feed(best: Candidate, plan: Plan) -> float:
    """The feed of the cut as the control is given it [mm/min]: on a helix that of the cutter's centre."""
    return float(best.facts.get("centre_feed", plan.feed_rate))


def entry_feed(best: Candidate) -> float | None:
    """The feed on the way in [mm/min]: of a helix that of the cutter's centre, from the side that of the roll-in.

    Nothing where the cut itself goes down, as on the helix of a bore, or along a slot, or straight down.
    """
    facts, plan = best.facts, best.plan
    if plan is None or METHODS[best.method].by_drill or METHODS[best.method].plunges:
        return None
    for name in ("helix_feed", "entry_way_feed"):
        if name in facts:
            return float(facts[name])
    if best.entry_kind.from_the_side and "entry_feed_share" in facts:
        return float(facts["entry_feed_share"]) * plan.feed_rate
    return None
