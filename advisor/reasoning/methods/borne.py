"""How many levels spindle and stiffness bear, for the cuts whose depth gives way first."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from advisor.mechanics import levels as level_rules
from advisor.reasoning.cut import Cut, Trial, ease


class Borne(NamedTuple):
    """The cut that the tables want, how many levels are borne and how deep each is, and the depth allowed [mm]."""

    wanted: Trial
    levels: int
    axial: float
    allowed: float


def borne(cut: Cut, most: float, trial_at: Callable[[float], Trial], step: float = 0.0) -> Borne:
    """The levels of at most ``most`` [mm] that spindle and stiffness bear, equal, rounded up to a handy ``step``.

    ``trial_at`` tries the cut at an axial depth.
    """
    depth, limits = cut.inside.depth_to_cut, cut.bench.limits
    start = min(most, depth)
    eased = ease(cut, "axial_depth", start, min(start, limits["axial_share_floor"] * cut.cutter.DC), trial_at)
    allowed = most if eased == start else eased
    count = level_rules.levels(depth, allowed)
    handy = step > 0 and allowed > step
    axial = level_rules.level_depth(depth, count, step, allowed) if handy else depth / count
    if eased < start:
        cut.hold("axial_depth", eased, axial, f"{count} equal levels")
    return Borne(trial_at(start), count, axial, max(allowed, axial) if count == 1 else axial)
