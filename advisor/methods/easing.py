"""What spindle and cutter bear: a little less feed first, then a narrower cut, then one more level."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import NamedTuple, Protocol

from advisor.mechanics import levels as level_rules
from advisor.mechanics.lengths import exceeds, reaches
from advisor.methods.cut import Cut, Trial
from advisor.methods.feeds import (
    EasedFeed,
    FeedAt,
    eased_feed,
    least_share,
    light_chip,
    load_cause,
    load_share,
    once,
)
from advisor.methods.thin import least_level, leaves_a_last, levels_over_floor, wanted_level
from advisor.methods.trial import down_to, greatest
from advisor.model.cause import Cause, Held, HeldBy, limited

MANY = 24
TENTH = 10  # of the finest step that is typed as a rule: for levels so thin that it leaves the last one a sliver
SAME = 1e-6  # of a time: two ways of adding up the same path may differ in the last digits


class TrialAt(Protocol):
    """Tries a cut at an axial depth or a radial width [mm], with the table's chip thickness if none is given [mm], the
    spindle no faster than a speed [1/min] if one is given.
    """

    def __call__(self, size: float, /, chip: float | None = None, speed_most: float | None = None) -> Trial:
        """The trial."""


class Borne(NamedTuple):
    """The cut that the tables want, how many levels are borne and how deep each is, the depth allowed [mm], and what
    held the depth back.
    """

    wanted: Trial
    levels: int
    axial: float
    allowed: float
    held: tuple[Held, ...] = ()


class Option(NamedTuple):
    """So many levels or passes: how deep and wide each is [mm], what they ask of spindle and stiffness as a share of
    what these bear, a time to compare them by, whether nothing held them back, and whether the spindle turns slower for
    its power.
    """

    levels_or_passes: int
    axial: float
    radial: float
    share: float
    time: float
    free: bool
    slow: bool = False


def preferred(plain: Option, slow: Option | None, near: float) -> Option:
    """Of the quickest option at the tables' speed and that with a slower spindle the first, unless it is not borne or
    the other noticeably quicker; where neither is borne, the one that asks less.
    """
    if slow is None:
        return plain
    if slow.share > 1:
        return slow if slow.share < plain.share else plain
    return slow if plain.share > 1 or slow.time * (1 + near) < plain.time else plain


def counts(fewest: int, most: int) -> Iterator[int]:
    """The numbers of levels or passes to look at, from the fewest up to the most: every one, of very many only some."""
    count = fewest
    while count < most:
        yield count
        count += max(1, count // MANY)
    yield max(fewest, most)


def quickest(cut: Cut, options: Iterable[Option]) -> Option:
    """The quickest of the options that are borne; the last where none is.

    They come with more and more levels or passes: after the first that nothing holds back they are only slower.
    """
    best: dict[bool, Option] = {}
    for other in options:
        known = best.get(other.slow)
        if known is None or known.share > 1 or (other.share <= 1 and other.time < known.time * (1 - SAME)):
            best[other.slow] = other
        if other.share <= 1 and other.free:
            break
    plain, slow = best.get(False), best.get(True)
    return preferred(plain, slow, cut.bench.limits["eased_feed_near"]) if plain else best[True]


def at_size(trial_at: TrialAt, size: float) -> FeedAt:
    """The trials of a cut with an axial depth or a radial width [mm] in hand, each worked out once."""
    return once(lambda chip, speed_most=None: trial_at(size, chip, speed_most))


def narrowed(
    cut: Cut, width: float, least: float, trial_at: TrialAt, time_of: Callable[[float, Trial], float]
) -> tuple[float, EasedFeed]:
    """The radial width [mm], down to ``least``, and the feed with which the cut takes the least time of those that are
    borne: whole with the feed eased, or narrower. ``time_of`` is what a width with a trial takes.
    """
    found = eased_feed(cut, at_size(trial_at, width))
    if (found.share <= 1 and not found.slow) or reaches(least, width):
        return width, found
    eased = greatest(lambda wide: least_share(cut, at_size(trial_at, wide)), least, width)
    light = greatest(lambda wide: light_share(cut, at_size(trial_at, wide)), least, eased)
    widths = sorted({width, *(down_to(each, cut.bench.limits["handy_width"]) for each in (eased, light))}, reverse=True)
    feeds = {wide: eased_feed(cut, at_size(trial_at, wide)) for wide in widths}

    options = (
        Option(1, 0.0, wide, feed.share, time_of(wide, feed.trial), free=False, slow=feed.slow)
        for wide, feed in feeds.items()
    )
    best = quickest(cut, options)
    return best.radial, feeds[best.radial]


def light_share(cut: Cut, feed_at: FeedAt) -> float:
    """The share of what is borne that a cut asks with a little less feed, the spindle as fast as before."""
    return load_share(cut, feed_at(light_chip(cut, feed_at)))


def handy_level(cut: Cut, count: int, most: float, step: float, trial_at: TrialAt) -> float:
    """How deep each of so many levels of at most ``most`` is [mm]: rounded up to a handy step where that is borne with
    the whole chip, and leaves something for the last level; else as it can be typed.
    """
    least = least_level(cut, count)
    if step > 0 and exceeds(most, step):
        handy = level_rules.level_depth(count * least, count, step, most)
        if exceeds(handy, least) and leaves_a_last(cut, count, handy) and load_share(cut, trial_at(handy)) <= 1:
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
    least = least_level(cut, count)
    typed = cut.bench.limits["typed_depth"]
    for grid in (step, typed, typed / TENTH):
        if grid > 0:
            found = level_rules.level_depth(count * least, count, grid, allowed)
            if exceeds(found, least) and leaves_a_last(cut, count, found):
                return found
    return least


def thinnest(cut: Cut, start: float) -> float:
    """The thinnest level that a cut may be brought down to from ``start`` [mm]: a share of DC, of a wide cutter less;
    below it the feed is lowered instead.
    """
    limits = cut.bench.limits
    return min(start, limits["axial_share_floor"] * cut.cutter.DC, limits["axial_floor_wide"])


def borne(
    cut: Cut,
    most: float,
    trial_at: TrialAt,
    step: float = 0.0,
    time_of: Callable[[int, float, Trial], float] = lambda count, axial, trial: count / trial.feed,
) -> Borne:
    """The levels of at most ``most`` [mm] that take the least time of those that spindle and stiffness bear.

    Equal, rounded up to a handy ``step``. A little less feed comes before one more level, which costs far more.
    ``time_of`` is what so many levels so deep [mm] take with a trial.
    """
    depth = cut.inside.depth_to_cut
    if (said := pinned_levels(cut)) is not None:
        return Borne(trial_at(said[1]), *said, said[1])
    start = min(most, depth)
    wanted, fewest = trial_at(wanted_level(cut, most)), levels_over_floor(cut, most)

    def option(count: int) -> Option:
        axial = handy_level(cut, count, most, step, trial_at)
        found = eased_feed(cut, at_size(trial_at, axial))
        return Option(count, axial, 0.0, found.share, time_of(count, axial, found.trial), found.free, found.slow)

    least = thinnest(cut, start)
    easiest = greatest(lambda axial: least_share(cut, at_size(trial_at, axial)), least, start)
    first = fewest if easiest == start else levels_over_floor(cut, easiest)
    best = quickest(cut, map(option, counts(first, levels_over_floor(cut, least))))
    cause = Cause(HeldBy.EQUAL_LEVELS, (best.levels_or_passes,), load_cause(cut, wanted))
    held = limited("axial_depth", start, best.axial, cause).held if best.levels_or_passes > fewest else ()
    return Borne(
        wanted,
        best.levels_or_passes,
        best.axial,
        max(most, best.axial) if best.levels_or_passes == 1 else best.axial,
        held,
    )
