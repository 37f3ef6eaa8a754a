"""A lower bound of the time of a method with a cutter: quick to work out, and never above what the method finds.

Each method has its own, at a pace that nothing has held back. A method that overloads the spindle with even the
thinnest chip keeps that chip; so the bound is the lesser of two: that of a cut which the spindle bears, and that of the
thinnest chip, at any power. What the way in takes is bounded by itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import radians, tan

from advisor.mechanics.timing import roll_in_time
from advisor.methods.cut import Cut
from advisor.methods.helix import entry_share, helix_room, on_the_corner, turn_of
from advisor.methods.method import Method
from advisor.methods.pace import MINUTE, NEVER, Pace, greatest_gain, rate_most
from advisor.methods.slotting import ramp_angle
from advisor.model.cutter import Cutter
from advisor.model.entry import entry_kind


def least_time(method: Method, cut: Cut, by_power: bool = True) -> float:
    """A time [s], without that for corners and tool change, that no candidate of a method with this cutter stays below.

    ``cut`` is as the method prepares it. Infinite where there is no such candidate at all. Without asking what the
    spindle has power for it is sooner known, and shorter.
    """
    share = cut.bench.limits["plunge_feed_share"] if method.plunges else 1.0
    at, chip = method.lower_bound(cut), share * cut.chip
    free = at(Pace(cut, chip, NEVER))
    borne = at(Pace(cut, chip, rate_most(cut, chip, method.straight_down, method.narrow))) if by_power else free
    if borne <= free or not cut.chip_least:
        return free
    return min(borne, at(Pace(cut, share * cut.chip_least, NEVER)))


def least_entry(method: Method, cut: Cut, entries: Sequence[str], drills: Sequence[Cutter]) -> float:
    """A time [s] that no way in of these stays below; 0 where the way in may be part of the cut."""
    if not method.entry_bounded:
        return 0.0
    pace = Pace(cut, cut.chip, NEVER)
    return min((_entry(pace, entry, drills) for entry in entries), default=0.0)


def _entry(pace: Pace, entry: str, drills: Sequence[Cutter]) -> float:
    cut, limits, cutter, kind = pace.cut, pace.cut.bench.limits, pace.cut.cutter, entry_kind(entry)
    feed = pace.feed(cutter.DC)
    if kind.from_the_side:
        fastest = pace.feed(0.0, greatest_gain(cut)) * entry_share(cut)
        return roll_in_time(cutter.DC, limits["approach"], fastest)
    if kind.ramps:
        slope = tan(radians(ramp_angle(cut)))
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
