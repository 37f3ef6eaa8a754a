"""The least time that a method with a cutter can take: quick to work out, and never above what the method finds.

It is the time of the method's own path with every setting where nothing has held it back: the greatest radial width,
the deepest level and the greatest feed of the tables, and no greater removal rate than the spindle has power for. What
the way in takes is left out. A method that overloads the spindle with even the thinnest chip keeps that chip; so the
least time is the lesser of two: that of a cut which the spindle bears, and that of the thinnest chip, at any power.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import pi, radians, sin, sqrt, tan
from typing import NamedTuple

from advisor.mechanics import levels as level_rules
from advisor.mechanics.engagement import engagement_angle, radial_width_for_angle_inside_arc
from advisor.mechanics.lengths import difference, exceeds, pieces
from advisor.mechanics.motion import axis_limited_feed
from advisor.mechanics.timing import roll_in_time
from advisor.methods import engagement, facing, holes, layers, plunging, rings, slotting
from advisor.methods.cut import Cut, specific_force
from advisor.methods.easing import even_depth
from advisor.methods.helix import entry_share, helix_room, on_the_corner, turn_of
from advisor.methods.speeds import gain_most, speed_for, speed_gain
from advisor.methods.thin import last_cap, level_cap, levels_over_floor
from advisor.model.cutter import Cutter
from advisor.model.entry import entry_kind

NEVER = float("inf")
LAYERED = (layers.METHOD, slotting.METHOD, facing.METHOD)
MINUTE = 60.0  # s
MEAN_MOST = (
    0.7247  # of the greatest chip thickness: the most that (1 - cos x) / x, the mean over the engagement, can be
)
ROUNDED = 1.01  # a handy speed has three figures, so a held feed may jump by so much where the chip does not
EASED = 0.9  # of a width that was held back: as much stays at least when it is rounded down to a handy one
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


At = Callable[[Pace], float]


def least_time(method: str, cut: Cut, by_power: bool = True) -> float:
    """A time [s], without that for corners and tool change, that no candidate of a method with this cutter stays below.

    ``cut`` is as ``prepared`` gives it. Infinite where there is no such candidate at all. Without asking what the
    spindle has power for it is sooner known, and shorter.
    """
    share = cut.bench.limits["plunge_feed_share"] if method == plunging.METHOD else 1.0
    at, chip = LEAST[method](cut), cut.chip
    cut.held.clear()
    free = at(Pace(cut, share * chip, NEVER))
    borne = at(Pace(cut, share * chip, _rate_most(cut, method, share * chip))) if by_power else free
    if borne <= free or not cut.chip_least:
        return free
    return min(borne, at(Pace(cut, share * cut.chip_least, NEVER)))


def prepared(method: str, cut: Cut) -> Cut:
    """The cut with the chip that such a method works with."""
    if method not in LAYERED:
        return cut
    return replace(cut, chip=layers.layer_chip(cut))


def least_entry(method: str, cut: Cut, entries: Sequence[str], drills: Sequence[Cutter]) -> float:
    """A time [s] that no way in of these stays below; 0 where the way in is part of the cut."""
    if method not in (engagement.METHOD, layers.METHOD):
        return 0.0
    pace = Pace(cut, cut.chip, NEVER)
    return min((_entry(pace, entry, drills) for entry in entries), default=0.0)


def _entry(pace: Pace, entry: str, drills: Sequence[Cutter]) -> float:
    cut, limits, cutter = pace.cut, pace.cut.bench.limits, pace.cut.cutter
    feed = pace.feed(cutter.DC)
    kind = entry_kind(entry)
    if kind.from_the_side:
        fastest = pace.feed(0.0, _gain_most(cut)) * entry_share(cut)
        return roll_in_time(cutter.DC, limits["approach"], fastest)
    if kind.ramps:
        slope = tan(radians(slotting.ramp_angle(cut)))
        bore = helix_room(cut) if kind.helix else NEVER
        if bore is None:
            return NEVER
        if bore != NEVER:
            feed = pace._replace(cut=on_the_corner(cut, turn_of(cut, bore)[0])).feed(cutter.DC)
            feed *= (bore - cutter.DC) / bore
        feed *= entry_share(cut)
        return MINUTE * cut.inside.depth_to_cut / slope / feed
    if kind.needs_drill:
        return cut.bench.machine.tool_change if drills else NEVER
    return MINUTE * cut.inside.depth_to_cut / (feed * limits["plunge_feed_share"])


def _rate_most(cut: Cut, method: str, chip: float) -> float:
    """The greatest removal rate that the spindle has power for, with the thickest chip, which asks least [mm³/min]."""
    bench, limits = cut.bench, cut.bench.limits
    steady = method in (plunging.METHOD, holes.DRILLING)
    mean = chip * (1.0 if steady else MEAN_MOST)
    speed = speed_for(cut, _gain_most(cut) if method == engagement.METHOD else 1.0)
    k_c = limits["wear_factor"] * specific_force(cut, mean, speed)
    spindle = bench.machine.spindle
    below = [power for at, power in zip(spindle.speed, spindle.power, strict=True) if at < speed]
    power = max(*below, bench.power_at(speed)) if below else bench.power_at(speed)
    return ROUNDED * limits["power_share_most"] * power * 60e6 * limits["drive_efficiency"] / k_c


def _gain_most(cut: Cut) -> float:
    return max(1.0, gain_most(cut))


def _widths(pace: Pace, least: float, most: float, gains: bool = False) -> list[tuple[float, float]]:
    """Radial widths up to the greatest [mm], each with a feed that no width down to the one before exceeds."""
    found, below, DC = [], least, pace.cut.cutter.DC
    for share in SHARES:
        width = least + share * (most - least)
        gain = 1.0 if not gains else speed_gain(pace.cut, below / DC) if below else _gain_most(pace.cut)
        found.append((width, pace.feed(below, gain)))
        below = width
    return found


def _engaged(cut: Cut) -> At:
    limits, region, side = cut.bench.limits, cut.region, cut.inside.side
    count = levels_over_floor(cut, level_cap(cut))
    axial = even_depth(cut, count, limits["handy_depth"], level_cap(cut))
    radial = engagement.table_width(cut, axial)
    back = 0.0
    if region.strip_like:
        (way, share), strip = _pass_way(cut), difference(region.strip or 0.0, side)
        if strip <= 0:
            path, back = MINUTE * way * count / share, _back(cut, count)
            return lambda pace: path / pace.feed(0.0, _gain_most(cut)) + back
        passes = level_rules.levels(strip, radial)
        radial, back = strip / passes, _back(cut, count * passes)
        area = way * strip * count
    elif (loop := engagement.loop_radius_of(cut)) is not None:
        return _looped(cut, loop, radial, axial, count)
    elif (ring := rings.ring_radius(cut)) is not None:
        area, share = _beside(cut, ring) * count, limits["cut_share_pocket"]
    else:
        area, share = region.area(side) * count, limits["cut_share_pocket"]

    def at(pace: Pace) -> float:
        swept = max(width * feed for width, feed in _widths(pace, 0.0, radial, gains=True))
        return MINUTE * max(area / swept, area * axial / pace.rate) / share + back

    return at


def _pass_way(cut: Cut) -> tuple[float, float]:
    """The way of a pass along a strip [mm], and the share of the path that cuts: see ``layers.strip_travel``."""
    way = cut.region.wall_way(cut.cutter.DC)
    return (way + cut.cutter.DC / 2, 1.0) if cut.region.one_way else (way, cut.bench.limits["cut_share_profile"])


def _back(cut: Cut, passes: int) -> float:
    """The time in rapid between so many passes along an open shoulder or face [s]."""
    if not cut.region.one_way:
        return 0.0
    return MINUTE * (passes - 1) * (cut.region.length + cut.cutter.DC / 2) / cut.bench.machine.rapid


def _beside(cut: Cut, ring: float) -> float:
    """What rings take away beside a hole as wide as the cutter [mm²]; their own way is longer than this by their width,
    since none is less wide than what is left for it.
    """
    return NEVER if ring <= 0 else pi * ring * (ring + cut.cutter.DC)


def _looped(cut: Cut, loop: float, radial: float, axial: float, count: int) -> At:
    DC, axes = cut.cutter.DC, axis_limited_feed(cut.bench.machine.axis_acceleration, loop)
    travelled, round_way = cut.region.centre_way(cut.inside.side, DC) * count, 2 * pi * loop

    def at(pace: Pace) -> float:
        best = 0.0  # how far along the slot in a minute
        for width, feed in _widths(pace, 0.0, radial, gains=True):
            step = radial_width_for_angle_inside_arc(engagement_angle(width, DC), DC, loop)
            best = max(best, step * min(feed, axes) / (round_way + step))
        return MINUTE * max(travelled / best, travelled * round_way * axial / pace.rate)

    return at


def _layered(cut: Cut) -> At:
    limits, region = cut.bench.limits, cut.region
    DC, depth, side = cut.cutter.DC, cut.inside.depth_to_cut, cut.inside.side
    most = min(layers.level_most(cut), layers.full_width_most(cut) if layers.opens_wide(cut) else depth, level_cap(cut))
    count, radial = levels_over_floor(cut, most), layers.table_width(cut)
    least = EASED * min(radial, limits["layer_radial_share_least"] * DC)
    back = 0.0
    if region.strip_like:
        (way, share), strip = _pass_way(cut), max(0.0, difference(region.strip or 0.0, side))
        opening, rest, back = 0.0, way * strip, _back(cut, count * (level_rules.levels(strip, radial) if strip else 1))
        if not rest:
            return lambda pace: pace.time(way * count, width=least) / share + back
    elif (ring := rings.ring_radius(cut)) is not None:
        share, opening, rest = limits["cut_share_pocket"], 0.0, _beside(cut, ring)
    else:
        area, share = region.area(side), limits["cut_share_pocket"]
        opening = min(region.centre_way(side, DC), area / DC)
        opening, rest = opening / limits["opening_feed_share"], max(0.0, difference(area, opening * DC))

    def at(pace: Pace) -> float:
        swept = min((opening + rest / width) / feed for width, feed in _widths(pace, least, radial))
        return MINUTE * max(swept * count, (opening * least + rest) * depth / pace.rate) / share + back

    return at


def _ramped(cut: Cut) -> At:
    limits, region = cut.bench.limits, cut.region
    DC, depth, side = cut.cutter.DC, cut.inside.depth_to_cut, cut.inside.side
    length = region.along - (2 - region.open_ends) * side - DC
    way = max(0.0, min(length, region.centre_way(side, DC)))
    count = level_rules.levels(depth, min(slotting.slot_level_most(cut), level_cap(cut), last_cap(cut)))
    walls = 0.0
    if float(cut.inside.facts.get("wall_spare", 0.0)) > 0:
        fastest = speed_for(cut) * cut.cutter.ZEFP * limits["thinning_factor_most"] * cut.chip
        walls = MINUTE * 2 * region.walls_way * levels_over_floor(cut, level_cap(cut))
        walls /= min(cut.bench.machine.feed_max, fastest)
    return lambda pace: pace.time(way * count, way * DC * depth) / limits["cut_share_profile"] + walls


def _plunged(cut: Cut) -> At:
    limits, region = cut.bench.limits, cut.region
    radial, step = plunging.steps(cut)
    area = region.area(cut.inside.side) or region.wall_way(cut.cutter.DC) * radial
    plunges, deep = max(1, pieces(area, radial * step)), cut.inside.depth_to_cut + limits["approach"]
    lifted = MINUTE * (deep + step) / cut.bench.machine.rapid
    return lambda pace: plunges * (pace.time(deep, deep * radial * step) + lifted)


def _faced(cut: Cut) -> At:
    depth, half = cut.inside.depth_to_cut, cut.cutter.DC / 2
    passes, radial = facing.pass_width(cut)
    count = level_rules.levels(depth, min(layers.level_most(cut), level_cap(cut)))
    along = passes * (cut.region.length + half)
    back = _back(cut, count * passes)
    return lambda pace: pace.time(count * along, depth * radial * along, radial) + back


def _bored(cut: Cut) -> At:
    DC, depth = cut.cutter.DC, cut.inside.depth_to_cut
    bore = cut.region.width - 2 * cut.inside.side
    if not exceeds(bore, DC):
        return lambda pace: NEVER
    way = pi * (bore - DC)
    pitch = min(way * tan(radians(slotting.ramp_angle(cut))), layers.full_width_most(cut), depth)
    path, slower = (level_rules.levels(depth, pitch) + 1) * way, (bore - DC) / bore
    axes = axis_limited_feed(cut.bench.machine.axis_acceleration, way / (2 * pi))
    held = MINUTE * path / axes
    angles = slotting.ramp_angle(cut), cut.bench.data.ramp_angle[1], cut.bench.limits["bore_helix_angle_most"]
    beside = max(layers.full_width_most(cut), layers.level_most(cut))
    open_ = (level_rules.levels(depth, min(way * tan(radians(max(angles))), beside, depth)) + 1) * way
    change = cut.bench.machine.tool_change

    def at(pace: Pace) -> float:
        solid = max(pace.time(path / slower, depth * DC * way / slower), held)
        return min(solid, change + max(pace.time(open_, width=0.0), MINUTE * open_ / axes))  # round a drilled hole

    return at


def _drilled(cut: Cut) -> At:
    DC = cut.cutter.DC
    depth = holes.drill_depth(cut)
    return lambda pace: holes.drilling_time(cut, depth, min(pace.feed(DC), pace.rate / (DC / 4 * DC * pi)))


LEAST: dict[str, Callable[[Cut], At]] = {
    engagement.METHOD: _engaged,
    layers.METHOD: _layered,
    slotting.METHOD: _ramped,
    plunging.METHOD: _plunged,
    facing.METHOD: _faced,
    holes.BORING: _bored,
    holes.DRILLING: _drilled,
}
