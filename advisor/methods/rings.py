"""Rings in a round hole: the cutter's centre runs on circles, slower than the wall that it cuts."""

from __future__ import annotations

from advisor.mechanics.lengths import difference
from advisor.mechanics.motion import arc_feed, axis_limited_feed, wall_feed
from advisor.mechanics.timing import rings_beside_path, rings_path
from advisor.methods.cut import Cut
from advisor.methods.easing import pieces_of


def ring_radius(cut: Cut) -> float | None:
    """The radius of the centre's path on the last ring of a round hole [mm]; nothing in any other region."""
    if not cut.region.round:
        return None
    return difference(cut.region.width, 2 * cut.inside.side, cut.cutter.DC) / 2


def ring_stock(cut: Cut, radius: float) -> float:
    """How much lies beside the hole that the cutter stands in [mm], with the radius of its centre's last ring: as much
    as that in the solid, in a casting's hole the stock on its wall.
    """
    skin = cut.region.skin_wall
    return radius if skin is None else min(radius, max(0.0, difference(skin, cut.inside.side)))


def wall_feed_most(cut: Cut, radius: float) -> float:
    """The greatest feed at the wall with which the axes can follow the last ring [mm/min]."""
    axes, DC = axis_limited_feed(cut.bench.machine.axis_acceleration, radius), cut.cutter.DC
    return wall_feed(axes, 2 * radius + DC, DC)


def ring_facts(cut: Cut, radius: float, width: float, levels: int, feed: float) -> dict[str, float | None]:
    """What the rings of all levels rest on: their count, the way along the wall [mm], and the feed of the centre on the
    last one [mm/min] that gives ``feed`` at the wall.
    """
    DC, stock = cut.cutter.DC, ring_stock(cut, radius)
    count = max(1, pieces_of(cut, stock, width))
    bore = 2 * radius + DC
    return {
        "ring_count": float(count),
        "ring_stock": stock if cut.region.cored else None,
        "path_length": levels
        * (rings_beside_path(bore, stock, count) if cut.region.cored else rings_path(radius, DC, count)),
        "path_radius": radius,
        "bore": bore,
        "centre_feed": arc_feed(feed, bore, DC),
    }
