"""How fast a cut can go at the most: what the lower bounds of the methods' times rest on.

A lower bound is the time of the method's own path with every setting where nothing has held it back: the greatest
radial width, the deepest level and the greatest feed of the tables, and no greater removal rate than the spindle has
power for.
"""

from __future__ import annotations

from collections.abc import Callable
from math import pi, radians, sin, sqrt
from typing import NamedTuple

from advisor.methods.cut import Cut
from advisor.methods.rings import ring_stock
from advisor.methods.speeds import gain_most, speed_for, speed_gain
from advisor.methods.trial import specific_force

NEVER = float("inf")
MINUTE = 60.0  # s
MEAN_MOST = (
    0.7247  # of the greatest chip thickness: the most that (1 - cos x) / x, the mean over the engagement, can be
)
ROUNDED = 1.01  # a handy speed has three figures, so a held feed may jump by so much where the chip does not
SHARES = (0.6, 0.8, 1.0)  # of the way to the greatest width: the pieces in which the greatest swept area is looked for


class Pace(NamedTuple):
    """How fast a cut can go: greatest chip [mm], and the greatest removal rate [mm³/min] by the spindle's power."""

    cut: Cut
    chip: float
    rate: float

    def feed(self, width: float, gain: float = 1.0) -> float:
        """The greatest feed at a radial width [mm/min]; the narrower the cut, the greater."""
        cutter, limits = self.cut.cutter, self.cut.bench.limits
        share = width / cutter.DC
        thinning = 2 * sqrt(share * (1 - share)) if share < 0.5 else 1.0
        tooth = self.chip / sin(radians(cutter.KAPR)) / max(thinning, 1 / limits["thinning_factor_most"])
        return min(self.cut.bench.machine.feed_max, speed_for(self.cut, gain) * cutter.ZEFP * tooth)

    def time(self, length: float, volume: float = 0.0, width: float | None = None) -> float:
        """The least time for a path [mm] at a radial width, or at full width, on which a volume [mm³] is cut [s]."""
        feed = self.feed(self.cut.cutter.DC if width is None else width)
        return MINUTE * max(length / feed, volume / self.rate)


TimeAt = Callable[[Pace], float]
"""A time [s] at a pace, which a method does not stay below at that pace."""


def rate_most(cut: Cut, chip: float, steady: bool, gains: bool) -> float:
    """The greatest removal rate that the spindle has power for, with the thickest chip, which asks least [mm³/min].

    A ``steady`` cut, straight down, has one chip thickness all the way round; ``gains`` tells that the cutting speed
    may rise for a narrow cut.
    """
    bench, limits = cut.bench, cut.bench.limits
    mean = chip * (1.0 if steady else MEAN_MOST)
    speed = speed_for(cut, greatest_gain(cut) if gains else 1.0)
    k_c = limits["wear_factor"] * specific_force(cut, mean, speed)
    spindle = bench.machine.spindle
    below = [power for at, power in zip(spindle.speed, spindle.power, strict=True) if at < speed]
    power = max(*below, bench.power_at(speed)) if below else bench.power_at(speed)
    return ROUNDED * limits["power_share_most"] * power * 60e6 * limits["drive_efficiency"] / k_c


def greatest_gain(cut: Cut) -> float:
    """The greatest factor by which the cutting speed may rise, at least 1."""
    return max(1.0, gain_most(cut))


def widths(pace: Pace, least: float, most: float, gains: bool = False) -> list[tuple[float, float]]:
    """Radial widths up to the greatest [mm], each with a feed that no width down to the one before exceeds."""
    found, below, DC = [], least, pace.cut.cutter.DC
    for share in SHARES:
        width = least + share * (most - least)
        gain = 1.0 if not gains else speed_gain(pace.cut, below / DC) if below else greatest_gain(pace.cut)
        found.append((width, pace.feed(below, gain)))
        below = width
    return found


def pass_way(cut: Cut) -> tuple[float, float]:
    """The way of a pass along a strip [mm], and the share of the path that cuts: see ``finishing.strip_travel``."""
    way = cut.region.wall_way(cut.cutter.DC, cut.inside.side)
    return (way + cut.cutter.DC / 2, 1.0) if cut.region.one_way else (way, cut.bench.limits["cut_share_profile"])


def way_back(cut: Cut, passes: int) -> float:
    """The time in rapid between so many passes along an open shoulder or face [s]."""
    if not cut.region.one_way:
        return 0.0
    return MINUTE * (passes - 1) * (cut.region.length + cut.cutter.DC / 2) / cut.bench.machine.rapid


def beside_a_hole(cut: Cut, ring: float) -> float:
    """What rings take away beside a hole as wide as the cutter, or beside that of a casting [mm²]; their own way is
    longer than this by their width, since none is less wide than what is left for it.
    """
    stock = ring_stock(cut, ring)
    return NEVER if ring <= 0 else pi * stock * (2 * ring + cut.cutter.DC - stock)
