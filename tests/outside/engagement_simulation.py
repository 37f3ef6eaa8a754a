"""Cutting in the plane with polygons, to measure what the formulas say. Imports nothing of the house on purpose.

The stock is a polygon, the cutter a disc (or, in a section along a ramp, a box). What the path has swept is taken off
the stock; the engagement is then the part of the cutter's circle that lies in what is left. Lengths in mm, angles deg.
"""

from itertools import pairwise
from math import cos, degrees, radians, sin, sqrt

from shapely import LineString, MultiPoint, Point, Polygon, box
from shapely.geometry.base import BaseGeometry

ROUND = 256  # chords in a quarter of a circle
JUST_INSIDE = 1e-5  # the circle is measured a shade small, so that it does not run along its own swept edge
BACK = 0.005  # share of the radius by which the sweep lags: what is cut this instant still counts as stock

Place = tuple[float, float]


def arc(radius: float, start: float, end: float, centre: Place = (0.0, 0.0), pieces: int = 720) -> list[Place]:
    """Return places on an arc, from the start to the end angle [deg], anticlockwise if end is the greater."""
    angles = [radians(start + (end - start) * step / pieces) for step in range(pieces + 1)]
    return [(centre[0] + radius * cos(a), centre[1] + radius * sin(a)) for a in angles]


def swept(path: BaseGeometry, radius: float) -> BaseGeometry:
    """Return what a disc sweeps on a path of its centre."""
    return path.buffer(radius, quad_segs=ROUND)


def engagement_at(stock: BaseGeometry, centre: Place, radius: float) -> float:
    """Return the angle of the cutter's circle that lies in the stock [deg]."""
    circle = LineString(arc(radius * (1 - JUST_INSIDE), 0, 360, centre, 3600))
    return degrees(float(circle.intersection(stock).length) / radius)


def engagement_along(stock: BaseGeometry, path: list[Place], radius: float, samples: int, skip: float) -> list[float]:
    """Return the engagement [deg] at evenly spaced places of a path, the stock being cut on the way.

    The first skip mm of the path are cut but not measured: there the cutter is still coming in.
    """
    line = LineString(path)
    measured = []
    for step in range(samples + 1):
        reached = skip + (line.length - skip) * step / samples
        behind = LineString([line.interpolate(s) for s in _stations(line, reached - BACK * radius)])
        here = line.interpolate(reached)
        measured.append(engagement_at(stock.difference(swept(behind, radius)), (here.x, here.y), radius))
    return measured


def straight_cut(width: float, diameter: float) -> float:
    """Return the engagement on a straight wall."""
    r = diameter / 2
    stock = box(-10 * r, -10 * r, 10 * r, width - r)  # the finished wall lies at y = -r
    behind = LineString([(-9 * r, 0), (-BACK * r, 0)])
    return engagement_at(stock.difference(swept(behind, r)), (0.0, 0.0), r)


def inside_arc_cut(width: float, diameter: float, path_radius: float) -> float:
    """Return the engagement on an inside arc, the wall before being concentric with the path."""
    r = diameter / 2
    whole = Point(0, 0).buffer(path_radius + 3 * r, quad_segs=4 * ROUND)
    stock = whole.difference(Point(0, 0).buffer(path_radius + r - width, quad_segs=4 * ROUND))
    return _on_arc(stock, path_radius, r)


def corner_cut(width: float, diameter: float, path_corner: float, turn: float = 90.0, samples: int = 60) -> list[float]:
    """Return the engagements on the way through an inside corner of a pocket.

    The pass before went parallel, a width further from the walls, and turned sharply. This pass turns by the angle turn
    on a radius path_corner, 0 for a sharp turn.
    """
    r, way = diameter / 2, 4 * diameter
    bend = radians(180 - turn)  # angle between the walls, on the side of the pocket

    def legs(off: float) -> list[Place]:
        """Return the path at the distance off from the walls: in along x, out along the other wall."""
        corner = -off / (sin(bend) / (1 + cos(bend)))  # off / tan(bend / 2) from the corner of the walls
        away = (corner - way * cos(bend), off + way * sin(bend))
        return [(corner - way, off), (corner, off), away]

    before = swept(LineString(legs(r + width)), r)
    stock = Point(0, 0).buffer(3 * way).difference(before)
    path = LineString(legs(r))
    if path_corner:
        # Widened towards the middle of the pocket and back again, the path's corner becomes an arc.
        path = LineString(_rounded(legs(r), path_corner, turn))
    near = way - 2 * r
    cut = _part(path, 0, path.length - near)
    return engagement_along(stock, list(cut.coords), r, samples, near)


def loop_cut(step: float, diameter: float, loop_radius: float, samples: int = 48) -> list[float]:
    """Return the engagements on one loop of looping in a slot, the loops before it having cleared the slot behind."""
    r = diameter / 2
    reach = loop_radius + r
    cleared = LineString([(-10 * reach, 0), (-step, 0)]).buffer(reach, quad_segs=4 * ROUND)
    stock = box(-3 * reach, -reach, 3 * reach, reach).difference(cleared)
    path = arc(loop_radius, -180, 180)
    return engagement_along(stock, path, r, samples, 0.01 * loop_radius)


def ramp_section(depths: list[float], length: float, diameter: float) -> tuple[list[float], BaseGeometry]:
    """Cut a slot in its long section, stroke by stroke, and return each stroke's greatest depth and the stock left.

    depths holds the depth at the end of every stroke; the first starts at the top. Strokes go to and fro. The stock
    lies from z = 0 down, and from x = 0 to the length.
    """
    r, top = diameter / 2, 2 * max(depths)
    stock: BaseGeometry = box(0, -2 * max(depths), length, 0)
    greatest, before = [], 0.0
    for number, depth in enumerate(depths):
        ends = [(r, -before), (length - r, -depth)]
        if number % 2:
            ends = [(length - r, -before), (r, -depth)]
        deepest = 0.0
        for share in [step / 40 for step in range(1, 40)] + [1.0]:
            x, z = (a + share * (b - a) for a, b in zip(*ends, strict=True))
            ahead = x + r if ends[1][0] > ends[0][0] else x - r
            ahead += -1e-6 if ahead > x else 1e-6
            deepest = max(deepest, float(LineString([(ahead, z), (ahead, top)]).intersection(stock).length))
        greatest.append(deepest)
        boxes = [box(x - r, z, x + r, z + 3 * top) for x, z in ends]
        stock = stock.difference(MultiPoint([p for b in boxes for p in b.exterior.coords]).convex_hull)
        before = depth
    return greatest, stock


def pocket(length: float, width: float, corner_radius: float) -> Polygon:
    """Return the outline of a pocket with round corners."""
    core = box(corner_radius, corner_radius, length - corner_radius, width - corner_radius)
    return core.buffer(corner_radius, quad_segs=ROUND) if corner_radius else box(0, 0, length, width)


def offset_passes(outline: Polygon, diameter: float, width: float) -> list[LineString]:
    """Return the paths of the cutter's centre that clear a pocket in passes parallel to its wall, outermost first."""
    passes, off = [], diameter / 2
    while not (ring := outline.buffer(-off, quad_segs=ROUND)).is_empty:
        passes.append(LineString(ring.exterior.coords))
        off += width
    return passes


def chips_between_teeth(radius: float, feed_per_tooth: float, end: float, samples: int = 400) -> list[float]:
    """Return chip thicknesses along the radius [mm], measured between the circles of two teeth one feed apart.

    They are taken at even angles from the wall (-y) forward (+x, the feed) to the end angle [deg]; the cutter's centre
    lies at the origin, and for the tooth before it lay at x = -feed_per_tooth.
    """
    chips = []
    for step in range(samples):
        angle = radians(end * (step + 0.5) / samples)
        back, aside = feed_per_tooth * sin(angle), feed_per_tooth * cos(angle)  # of the old centre, seen on this radius
        chips.append(radius - (sqrt(radius**2 - aside**2) - back))
    return chips


def _on_arc(stock: BaseGeometry, path_radius: float, r: float) -> float:
    lag = degrees(BACK * r / path_radius)
    behind = LineString(arc(path_radius, -90, -lag))
    return engagement_at(stock.difference(swept(behind, r)), (path_radius, 0.0), r)


def _rounded(legs: list[Place], radius: float, turn: float) -> list[Place]:
    """Return the two legs with an arc of the radius in place of their corner."""
    (x0, y0), (x1, y1), last = legs
    tangent = radius * sin(radians(turn)) / (1 + cos(radians(turn)))  # radius x tan(turn / 2)
    centre = (x1 - tangent, y1 + radius)
    return [(x0, y0), *arc(radius, -90, -90 + turn, centre, 180), last]


def _stations(line: LineString, reached: float) -> list[float]:
    """Return the lengths along a line at its own corners before reached, with its start and reached itself."""
    corners, so_far = [0.0], 0.0
    coords = list(line.coords)
    for (x0, y0), (x1, y1) in pairwise(coords):
        so_far += ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
        if so_far < reached:
            corners.append(so_far)
    return [*corners, max(reached, 1e-9)]


def _part(line: LineString, start: float, end: float) -> LineString:
    inner = [s for s in _stations(line, end) if s > start]
    return LineString([line.interpolate(s) for s in (start, *inner)])
