"""What spindle and cutter bear: a little less feed first, then a narrower cut, then one more level."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple, Protocol

from advisor.mechanics import levels as level_rules
from advisor.mechanics.lengths import exceeds
from advisor.reasoning.cut import (
    BENDING,
    Cut,
    Trial,
    deflection_share,
    down_to,
    greatest,
    remembered,
    spindle_cause,
    spindle_share,
)

MANY = 24
SAME = 1e-6  # of a time: two ways of adding up the same path may differ in the last digits


class TrialAt(Protocol):
    """Tries a cut at an axial depth or a radial width [mm], with the table's chip thickness if none is given [mm]."""

    def __call__(self, size: float, /, chip: float | None = None) -> Trial:
        """The trial."""


class Borne(NamedTuple):
    """The cut that the tables want, how many levels are borne and how deep each is, and the depth allowed [mm]."""

    wanted: Trial
    levels: int
    axial: float
    allowed: float


class Option(NamedTuple):
    """So many levels or passes: how deep and wide each is [mm], what they ask of spindle and stiffness as a share of
    what these bear, a time to compare them by, and whether nothing held them back.
    """

    pieces: int
    axial: float
    radial: float
    share: float
    time: float
    free: bool


def load_share(cut: Cut, trial: Trial) -> float:
    """What the cut asks of spindle and stiffness, whichever is more, as a share of what they bear."""
    return max(spindle_share(cut, trial), deflection_share(cut, trial))


def load_cause(cut: Cut, trial: Trial) -> str:
    """What holds a cut back that is not borne."""
    return BENDING if deflection_share(cut, trial) > spindle_share(cut, trial) else spindle_cause(cut, trial)


def quickest(fewest: int, most: int, option: Callable[[int], Option]) -> Option:
    """The quickest of the options that are borne, from ``fewest`` pieces up to ``most``; the last where none is.

    More pieces than at the first that nothing holds back are only slower. Of very many only some are looked at.
    """
    best, count = option(fewest), fewest
    while count < most and not (best.share <= 1 and best.free):
        count = min(most, count + max(1, count // MANY))
        other = option(count)
        if best.share > 1 or (other.share <= 1 and other.time < best.time * (1 - SAME)):
            best = other
        if other.share <= 1 and other.free:
            break
    return best


def light_chip(cut: Cut, trial_at: Callable[[float], Trial]) -> float:
    """The chip thickness [mm] down to which the feed is eased before anything else is; the whole chip where a thinner
    one asks no less, as where the machine's feed holds the cut back.
    """
    light = max(min(cut.chip_least, cut.chip), cut.bench.limits["feed_eased_least"] * cut.chip)
    if cut.pinned.feed_per_tooth is not None:
        return cut.chip
    return light if load_share(cut, trial_at(light)) < load_share(cut, trial_at(cut.chip)) else cut.chip


def eased_chip(cut: Cut, trial_at: Callable[[float], Trial]) -> tuple[float, float]:
    """The greatest chip thickness [mm], down to the light one, that is borne, and the share of what is borne there."""
    trial_at = remembered(trial_at)
    if (share := load_share(cut, trial_at(cut.chip))) <= 1:
        return cut.chip, share
    chip = greatest(lambda thin: load_share(cut, trial_at(thin)), light_chip(cut, trial_at), cut.chip)
    return chip, load_share(cut, trial_at(chip))


def narrowed(cut: Cut, width: float, least: float, trial_at: TrialAt) -> tuple[float, float, float]:
    """The radial width [mm], down to ``least``, that is borne with the feed eased a little first; then the chip
    thickness [mm] there and the share of what is borne. ``trial_at`` tries a width with a chip.
    """
    chip, share = eased_chip(cut, lambda thin: trial_at(width, thin))
    if share <= 1 or least >= width:
        return width, chip, share
    light = light_chip(cut, lambda thin: trial_at(width, thin))
    eased = greatest(lambda wide: load_share(cut, trial_at(wide, light)), least, width)
    width = down_to(eased, cut.bench.limits["handy_width"])
    return width, *eased_chip(cut, lambda thin: trial_at(width, thin))


def handy_level(cut: Cut, count: int, most: float, step: float, trial_at: TrialAt) -> float:
    """How deep each of so many levels of at most ``most`` is [mm]: rounded up to a handy step where that is borne with
    the whole chip, and leaves something for the last level; else as it can be typed.
    """
    depth = cut.inside.depth_to_cut
    if step > 0 and exceeds(most, step):
        handy = level_rules.level_depth(depth, count, step, most)
        if (
            exceeds(handy, depth / count)
            and exceeds(depth, (count - 1) * handy)
            and load_share(cut, trial_at(handy)) <= 1
        ):
            return handy
    return even_depth(cut, count, 0.0, most)


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
            if exceeds(found, depth / count) and exceeds(depth, (count - 1) * found):
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
    """The levels of at most ``most`` [mm] that take the least time of those that spindle and stiffness bear.

    Equal, rounded up to a handy ``step``. A little less feed comes before one more level, which costs far more.
    """
    depth = cut.inside.depth_to_cut
    if (said := pinned_levels(cut)) is not None:
        return Borne(trial_at(said[1]), *said, said[1])
    start = min(most, depth)
    wanted, fewest = trial_at(start), level_rules.levels(depth, most)

    def option(count: int) -> Option:
        axial = handy_level(cut, count, most, step, trial_at)
        chip, share = eased_chip(cut, lambda thin: trial_at(axial, thin))
        return Option(count, axial, 0.0, share, count / trial_at(axial, chip).feed, chip == cut.chip)

    light = light_chip(cut, lambda thin: trial_at(start, thin))
    least = thinnest(cut, start, trial_at)
    easiest = greatest(lambda axial: load_share(cut, trial_at(axial, light)), least, start)
    best = quickest(
        fewest if easiest == start else level_rules.levels(depth, easiest), level_rules.levels(depth, least), option
    )
    if best.pieces > fewest:
        cut.hold("axial_depth", start, best.axial, f"{load_cause(cut, wanted)}: {best.pieces} equal levels")
    return Borne(wanted, best.pieces, best.axial, max(most, best.axial) if best.pieces == 1 else best.axial)
