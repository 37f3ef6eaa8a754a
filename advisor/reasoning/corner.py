"""What a wide cutter leaves in the corners, and what it costs to take that out with a smaller one."""

from __future__ import annotations

from dataclasses import replace
from math import pi
from typing import NamedTuple

from advisor.mechanics.chip import feed_per_tooth_for_chip
from advisor.mechanics.engagement import engagement_angle, radial_width_for_angle
from advisor.mechanics.lengths import difference
from advisor.mechanics.speed import spindle_speed
from advisor.mechanics.timing import path_time
from advisor.reasoning.bench import Bench
from advisor.reasoning.cut import Cut, Trial, try_cut
from advisor.reasoning.feeds import ease_feed
from advisor.reasoning.firmness import leaves_rest
from advisor.reasoning.plan import FREE
from advisor.reasoning.region import Region
from advisor.reasoning.situation import InFeature


def rest_diameter(region: Region, side: float, bench: Bench) -> float | None:
    """The widest cutter that turns the corners without stopping [mm]; nothing where no corner radius is given."""
    if region.corner_radius is None:
        return None
    return 2 * (region.corner_radius - side) / bench.limits["corner_ratio_easy"]


class RestCut(NamedTuple):
    """The cut for the rest in the corners: time with the change of tools [s], way [mm], feed [mm/min]; 0 where no rest
    is left.
    """

    time: float
    path: float
    feed: float


NO_REST = RestCut(0.0, 0.0, 0.0)


def rest_cut(region: Region, inside: InFeature, bench: Bench) -> RestCut:
    """The cut for the rest in the corners.

    It is reckoned for a cutter of the widest diameter that turns the corners, whatever the crib holds, so that a
    richer crib never makes an answer look slower.
    """
    if not leaves_rest(inside.facts):
        return NO_REST
    limits, material = bench.limits, bench.material
    wide = max(limits["rest_cutter_least"], rest_diameter(region, inside.side, bench) or 0.0)
    corner = max(0.0, difference(region.corner_radius or 0.0, inside.side))
    area = limits[f"corners_{region.kind}"] * (1 - pi / 4) * ((inside.cutter.DC / 2) ** 2 - corner**2)
    radial = bench.data.radial_share[0] * wide
    tooth = feed_per_tooth_for_chip(material.h_share * wide, 90, engagement_angle(radial, wide))
    speed = min(spindle_speed(material.v_c_solid, wide), bench.speed_most)
    feed = min(bench.machine.feed_max, speed * limits["rest_cutter_teeth"] * tooth)
    volume = max(0.0, area) * inside.depth_to_cut
    path = volume / (radial * wide)
    return RestCut(bench.machine.tool_change + path_time(path, feed) / limits["cut_share_pocket"], path, feed)


def corner_feed(cut: Cut, axial: float) -> float:
    """The feed per tooth that spindle, cutter and machine bear in a corner that a wider cutter has left [mm].

    ``axial`` is the depth of the cut [mm]. There a cutter is engaged far, however narrow it cuts on the straight.
    """
    free, angle, DC = replace(cut, held=[], pinned=FREE), cut.bench.limits["rest_engagement"], cut.cutter.DC

    def feed_at(chip: float, speed_most: float | None = None) -> Trial:
        return try_cut(free, axial, radial_width_for_angle(angle, DC), angle, chip=chip, speed_most=speed_most)

    return ease_feed(free, feed_at).feed_per_tooth
