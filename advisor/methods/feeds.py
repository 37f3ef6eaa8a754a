"""The feed that spindle and cutter bear in a cut of a given depth and width: a thinner chip, or a slower spindle."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial, reduce
from typing import NamedTuple, Protocol

from advisor.methods.cut import Cut, Trial
from advisor.methods.speeds import handy_speed
from advisor.methods.trial import bending_cause, deflection_share, ease, greatest, spindle_cause, spindle_share
from advisor.model.cause import Cause, Held, limited


class FeedAt(Protocol):
    """Tries a cut with a chip thickness [mm], the spindle no faster than a speed [1/min] if one is given."""

    def __call__(self, chip: float, speed_most: float | None = None) -> Trial:
        """The trial."""


class EasedFeed(NamedTuple):
    """A cut with the feed that suits it, its share of what is borne, whether nothing held the feed back, and the speed
    that the spindle was held to for its power [1/min].
    """

    trial: Trial
    share: float
    free: bool = False
    speed_most: float | None = None

    @property
    def slow(self) -> bool:
        """Whether the spindle turns slower for its power."""
        return self.speed_most is not None


def load_share(cut: Cut, trial: Trial) -> float:
    """What the cut asks of spindle and stiffness, whichever is more, as a share of what they bear."""
    return max(spindle_share(cut, trial), deflection_share(cut, trial))


def load_cause(cut: Cut, trial: Trial) -> Cause:
    """What holds a cut back that is not borne."""
    return bending_cause(cut) if deflection_share(cut, trial) > spindle_share(cut, trial) else spindle_cause(cut, trial)


def once(feed_at: FeedAt) -> FeedAt:
    """The same trials, each worked out once."""
    known: dict[tuple[float, float | None], Trial] = {}

    def again(chip: float, speed_most: float | None = None) -> Trial:
        found = known.get((chip, speed_most))
        if found is None:
            found = known[chip, speed_most] = feed_at(chip, speed_most)
        return found

    return again


def lightest(cut: Cut) -> float:
    """The chip thickness [mm] that a little less feed leaves, no thinner than the edge can cut."""
    return max(min(cut.chip_least, cut.chip), cut.bench.limits["feed_eased_least"] * cut.chip)


def light_chip(cut: Cut, feed_at: FeedAt) -> float:
    """The chip thickness [mm] down to which the feed is eased before anything else is; the whole chip where a thinner
    one asks no less, as where the machine's feed holds the cut back.
    """
    if cut.pinned.feed_per_tooth is not None:
        return cut.chip
    light = lightest(cut)
    return light if load_share(cut, feed_at(light)) < load_share(cut, feed_at(cut.chip)) else cut.chip


def slower_speeds(cut: Cut, whole: Trial) -> Iterator[float]:
    """The speeds below that of a cut at which the spindle's curve bends, down to the slowest that the cutting data are
    good for [1/min], the fastest first; none where a slower spindle cannot ease the cut.
    """
    slowest = min(whole.speed, cut.bench.limits["speed_slowest_share"] * whole.table_speed)
    if cut.keeps_speed or cut.pinned.feed_per_tooth is not None or deflection_share(cut, whole) > 1:
        return
    bends = sorted((at for at in cut.bench.machine.spindle.speed if slowest < at < whole.speed), reverse=True)
    yield from (handy_speed(at) for at in (*bends, slowest))


def thinned(cut: Cut, least: float, feed_at: FeedAt, speed_most: float | None = None) -> EasedFeed:
    """The cut with the thickest chip, down to a least one [mm], that is borne."""
    chip = greatest(lambda thin: load_share(cut, feed_at(thin, speed_most)), least, cut.chip)
    trial = feed_at(chip, speed_most)
    return EasedFeed(trial, load_share(cut, trial), speed_most=speed_most)


def slowed(cut: Cut, whole: Trial, feed_at: FeedAt) -> EasedFeed | None:
    """The cut with the whole chip at the greatest speed that the spindle has power for, with a thinner one where there
    is none, at the speed where that is quickest; nothing where a slower spindle cannot ease the cut.
    """
    above = whole.speed
    for below in slower_speeds(cut, whole):
        if load_share(cut, feed_at(cut.chip, below)) <= 1:
            speed = handy_speed(greatest(lambda at: load_share(cut, feed_at(cut.chip, at)), below, above))
            trial = feed_at(cut.chip, speed)
            return EasedFeed(trial, load_share(cut, trial), speed_most=speed)
        above = below
    thin = [thinned(cut, lightest(cut), feed_at, at) for at in slower_speeds(cut, whole)]
    return reduce(partial(quicker, cut), thin) if thin else None


def quicker(cut: Cut, one: EasedFeed, other: EasedFeed | None) -> EasedFeed:
    """Of two feeds the one that is borne; of two that are, the first unless the second is noticeably quicker; where
    neither is, the one that asks less.
    """
    if other is None:
        return one
    if other.share > 1:
        return other if other.share < one.share else one
    near = 1 + cut.bench.limits["eased_feed_near"]
    return other if one.share > 1 or other.trial.feed > near * one.trial.feed else one


def eased_feed(cut: Cut, feed_at: FeedAt) -> EasedFeed:
    """The cut with the greatest feed that is borne: the chip down to the light one, or the spindle slower, so that the
    chip keeps its thickness, where that is noticeably quicker.
    """
    whole = feed_at(cut.chip)
    if (share := load_share(cut, whole)) <= 1:
        return EasedFeed(whole, share, free=True)
    return quicker(cut, thinned(cut, light_chip(cut, feed_at), feed_at), slowed(cut, whole, feed_at))


def least_share(cut: Cut, feed_at: FeedAt) -> float:
    """The least share of what is borne to which easing the feed a little brings a cut."""
    whole = feed_at(cut.chip)
    if (share := load_share(cut, whole)) <= 1:
        return share
    slow = (
        min(load_share(cut, feed_at(chip, at)) for chip in (cut.chip, lightest(cut)))
        for at in slower_speeds(cut, whole)
    )
    return min(load_share(cut, feed_at(light_chip(cut, feed_at))), *slow, share)


def ease_feed(cut: Cut, feed_at: FeedAt) -> tuple[Trial, tuple[Held, ...]]:
    """The cut with the feed at which spindle and cutter bear it, the chip no thinner than the edge can cut; and what
    held the feed per tooth back.
    """
    feed_at = once(feed_at)
    whole = feed_at(cut.chip)
    found = eased_feed(cut, feed_at)
    if found.free or cut.pinned.feed_per_tooth is not None:
        return whole, ()
    short = found.share > 1  # a little less feed does not do
    if found.slow or short:
        found = quicker(cut, found, thinned(cut, cut.chip_least, feed_at))
    if short:
        for at in slower_speeds(cut, whole):
            found = quicker(cut, found, thinned(cut, cut.chip_least, feed_at, at))
    if not found.slow:
        return _thinned(cut, whole, feed_at)
    before, after = whole.feed_per_tooth, found.trial.feed_per_tooth
    return found.trial, limited("feed_per_tooth", before, after, spindle_cause(cut, whole)).held


def _thinned(cut: Cut, whole: Trial, feed_at: FeedAt) -> tuple[Trial, tuple[Held, ...]]:
    """The cut with as thin a chip as is borne, and each thing that held its feed per tooth back."""
    chip, held, before = ease(cut, "feed_per_tooth", cut.chip, cut.chip_least, feed_at), [], whole
    for one in chip.held:  # limits of a chip; told as the feed per tooth that is typed
        after = feed_at(one.after)
        held.append(one._replace(before=before.feed_per_tooth, after=after.feed_per_tooth))
        before = after
    return feed_at(chip.value), tuple(held)
