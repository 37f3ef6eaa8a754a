"""How many levels spindle and stiffness bear, for the cuts whose depth gives way first."""

from __future__ import annotations

from typing import NamedTuple, Protocol

from advisor.mechanics import levels as level_rules
from advisor.reasoning.cut import Cut, Trial, down_to, ease, spindle_share


class TrialAt(Protocol):
    """Tries a cut at an axial depth [mm], with the chip thickness of the tables unless one is given [mm]."""

    def __call__(self, axial: float, /, chip: float | None = None) -> Trial:
        """The trial."""


class Borne(NamedTuple):
    """The cut that the tables want, how many levels are borne and how deep each is, and the depth allowed [mm]."""

    wanted: Trial
    levels: int
    axial: float
    allowed: float


def pinned_levels(cut: Cut) -> tuple[int, float] | None:
    """The levels that somebody else chose, and how deep each is [mm]; nothing where that was left open."""
    count, axial = cut.pinned.levels, cut.pinned.axial_depth
    if axial is None:
        return None if count is None else (count, cut.inside.depth_to_cut / count)
    return count or pieces_of(cut, cut.inside.depth_to_cut, axial), axial


def pieces_of(cut: Cut, whole: float, piece: float) -> int:
    """How many levels or passes it takes [mm]; of numbers that somebody else chose and rounded, not one for the
    rounding.
    """
    chosen = cut.pinned.axial_depth is not None or cut.pinned.radial_width is not None
    return level_rules.levels(whole, piece * cut.bench.limits["over_the_limit"] if chosen else piece)


def even_depth(cut: Cut, count: int, step: float, allowed: float) -> float:
    """How deep each of ``count`` levels of at most ``allowed`` is, so that it can be typed as it stands [mm].

    Rounded up to a handy ``step`` (0: none), else as finely as a depth is typed; the last level takes what is left.
    """
    depth = cut.inside.depth_to_cut
    for grid in (step, cut.bench.limits["typed_depth"]):
        if grid > 0:
            found = level_rules.level_depth(depth, count, grid, allowed)
            if found > depth / count and (count - 1) * found < depth:
                return found
    return depth / count


def thinnest(cut: Cut, start: float, trial_at: TrialAt) -> float:
    """The thinnest level that a cut may be brought down to from ``start`` [mm].

    A share of DC: below it the feed is lowered instead. Where the spindle does not bear that with the thinnest chip
    either, a wide cutter goes down further. ``trial_at`` tries the cut at an axial depth with a chip thickness.
    """
    limits = cut.bench.limits
    usual = min(start, limits["axial_share_floor"] * cut.cutter.DC)
    if usual <= limits["axial_floor_wide"] or spindle_share(cut, trial_at(usual, cut.chip_least)) <= 1:
        return usual
    return limits["axial_floor_wide"]


def borne(cut: Cut, most: float, trial_at: TrialAt, step: float = 0.0) -> Borne:
    """The levels of at most ``most`` [mm] that spindle and stiffness bear, equal, rounded up to a handy ``step``."""
    depth = cut.inside.depth_to_cut
    if (said := pinned_levels(cut)) is not None:
        return Borne(trial_at(said[1]), *said, said[1])
    start = min(most, depth)
    eased = ease(cut, "axial_depth", start, thinnest(cut, start, trial_at), trial_at)
    allowed = most if eased == start else down_to(eased, cut.bench.limits["typed_depth"])
    count = level_rules.levels(depth, allowed)
    axial = even_depth(cut, count, step if allowed > step else 0.0, allowed)
    if eased < start:
        cut.hold("axial_depth", eased, axial, f"{count} equal levels")
    return Borne(trial_at(start), count, axial, max(allowed, axial) if count == 1 else axial)
