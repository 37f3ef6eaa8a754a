"""What a wide cutter leaves in the corners, and what it costs to take that out with a smaller one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import NamedTuple

from advisor.choosing.rigidity import leaves_fillet, leaves_rest
from advisor.mechanics.chip import feed_per_tooth_for_chip
from advisor.mechanics.corners import corner_passes, corner_wall_way, corner_way
from advisor.mechanics.engagement import radial_width_for_angle
from advisor.mechanics.lengths import difference
from advisor.mechanics.levels import levels
from advisor.mechanics.motion import hop_time
from advisor.mechanics.speed import spindle_speed
from advisor.mechanics.timing import path_time
from advisor.methods.cut import Cut, Trial
from advisor.methods.feeds import ease_feed
from advisor.methods.trial import try_cut
from advisor.model.plan import FREE
from advisor.model.region import Region
from advisor.situation.bench import Bench
from advisor.situation.facts import InFeature


def rest_diameter(region: Region, side: float, bench: Bench) -> float | None:
    """The widest cutter that turns the corners without stopping [mm]; nothing where no corner radius is given."""
    if region.corner_radius is None:
        return None
    return 2 * (region.corner_radius - side) / bench.limits["corner_ratio_easy"]


class RestCut(NamedTuple):
    """The cut for the rest in the corners: time with the change of tools [s], way at feed [mm], feed [mm/min], and the
    time of the moves in rapid [s]; 0 where no rest is left.
    """

    time: float
    path: float
    feed: float
    moves: float = 0.0


NO_REST = RestCut(0.0, 0.0, 0.0)


def rest_cut(region: Region, inside: InFeature, bench: Bench) -> RestCut:
    """The cut for the rest in the corners, as it is run: corner by corner, and in each level by level.

    The cutter comes down in rapid where the wide one has been, goes the last of the way at feed, takes its passes along
    the walls, each from a little before the rest to a little behind it, and goes up again; after the last level of a
    corner it goes on to the next. In the corner it is engaged far, so its chip is that of the feed. It is reckoned for
    a cutter of the widest diameter that turns the corners, whatever the crib holds, so that a richer crib never makes
    an answer look slower.
    """
    if not leaves_rest(inside.facts):
        return NO_REST
    limits, machine, before = bench.limits, bench.machine, inside.cutter.DC / 2
    wide = max(limits["rest_cutter_least"], rest_diameter(region, inside.side, bench) or 0.0)
    corner = max(0.0, difference(region.corner_radius or 0.0, inside.side))
    hops = corner_hops(region, limits)
    count = levels(inside.depth_to_cut, limits["rest_depth_ratio"] * wide)
    radial = bench.data.radial_share[0] * wide
    passes = corner_passes(before, corner, radial)
    near = limits["approach"]
    path = (len(hops) + 1) * count * (corner_way(before, corner, passes) + (1 + 2 * passes) * near)
    deep = region.top + inside.depth_to_cut * (count + 1) / (2 * count)  # down to a level, on the average
    level = _hop(deep, bench) + _hop(deep + near, bench) + (passes - 1) * _hop(corner_wall_way(before, corner), bench)
    moves = (len(hops) + 1) * count * level + sum(_hop(hop, bench) for hop in hops)
    feed = _rest_feed(wide, bench)
    return RestCut(machine.tool_change + path_time(path, feed) + moves, path, feed, moves)


def foot_time(region: Region, inside: InFeature, bench: Bench) -> float:
    """The time of a second cutter that takes the fillet or slope along the foot of the walls, with the change of tools
    [s]; 0 where none is left that finishing does not take.

    It goes along the walls once, with the feed of the widest cutter that turns the corners. Where it takes the rest in
    the corners as well, its change is counted there.
    """
    if not leaves_fillet(inside.facts):
        return 0.0
    DC, machine = inside.cutter.DC, bench.machine
    wide = max(bench.limits["rest_cutter_least"], min(DC, rest_diameter(region, inside.side, bench) or DC))
    change = 0.0 if leaves_rest(inside.facts) else machine.tool_change
    return change + region.copies * path_time(region.foot_way(DC, inside.side), _rest_feed(wide, bench))


def corner_hops(region: Region, limits: Mapping[str, float]) -> tuple[float, ...]:
    """The ways from each inside corner to the next [mm], one fewer than there are corners; of a profile, whose shape
    nobody gives, as many as are reckoned with, half its length and width apart.
    """
    if region.kind != "outside_profile":
        return region.corner_hops
    return (int(limits["corners_outside_profile"]) - 1) * ((region.length + region.width) / 2,)


def _hop(distance: float, bench: Bench) -> float:
    """The time of one move in rapid [s]."""
    return hop_time(distance, bench.machine.rapid, bench.machine.axis_acceleration)


def _rest_feed(wide: float, bench: Bench) -> float:
    """The feed of a cutter for the rest [mm/min]; engaged far in the corner, it has no thinner chip than its feed."""
    limits, material = bench.limits, bench.material
    tooth = feed_per_tooth_for_chip(material.h_share * wide, 90, limits["rest_engagement"])
    speed = min(spindle_speed(material.v_c_solid, wide), bench.speed_most)
    return min(bench.machine.feed_max, speed * limits["rest_cutter_teeth"] * tooth)


def corner_feed(cut: Cut, axial: float) -> float:
    """The feed per tooth that spindle, cutter and machine bear in a corner that a wider cutter has left [mm].

    ``axial`` is the depth of the cut [mm]. There a cutter is engaged far, however narrow it cuts on the straight.
    """
    free, angle, DC = replace(cut, pinned=FREE), cut.bench.limits["rest_engagement"], cut.cutter.DC

    def feed_at(chip: float, speed_most: float | None = None) -> Trial:
        return try_cut(free, axial, radial_width_for_angle(angle, DC), angle, chip=chip, speed_most=speed_most)

    return ease_feed(free, feed_at)[0].feed_per_tooth
