"""Chip thickness, and the feed per tooth that holds a wanted one."""

from math import acos, asin, atan2, cos, degrees, radians, sin


def chip_thickness(feed_per_tooth: float, KAPR: float, angle: float) -> float:
    r"""Return the greatest chip thickness over the engagement [mm].

    .. math:: h = f_z \sin\kappa \sin\varphi \;(\varphi < 90°), \quad h = f_z \sin\kappa \;(\varphi \ge 90°)

    feed_per_tooth: f_z [mm]; KAPR: cutting edge angle kappa [deg]; angle: engagement phi [deg], measured from the wall.
    Range: 0 < KAPR < 180, 0 < phi <= 180, f_z small against DC.
    Raises ValueError outside the range.

    >>> round(chip_thickness(0.1, 90, 30), 3)
    0.05
    >>> round(chip_thickness(0.1, 45, 120), 4)
    0.0707

    Reference: the circular-path approximation of milling handbooks; symbols of ISO 3002.
    """
    return feed_per_tooth * _chip_share(KAPR, angle)


def mean_chip_thickness(feed_per_tooth: float, KAPR: float, angle: float) -> float:
    r"""Return the mean chip thickness over the engagement [mm].

    .. math:: h_m = f_z \sin\kappa \frac{1 - \cos\varphi}{\varphi}, \quad \varphi \text{ in rad}

    feed_per_tooth: f_z [mm]; KAPR: cutting edge angle kappa [deg]; angle: engagement phi [deg], one end at the wall.
    Range: 0 < KAPR < 180, 0 < phi <= 180.
    Raises ValueError outside the range.

    In a full slot the mean is 2/pi of the feed per tooth:

    >>> round(mean_chip_thickness(0.1, 90, 180), 4)
    0.0637

    Reference: the mean of f_z sin(kappa) sin(theta) over theta from 0 to phi, integrated exactly.
    """
    _check(KAPR, angle)
    return feed_per_tooth * sin(radians(KAPR)) * (1 - cos(radians(angle))) / radians(angle)


def feed_per_tooth_for_chip(chip: float, KAPR: float, angle: float) -> float:
    r"""Return the feed per tooth that gives a wanted greatest chip thickness [mm].

    .. math:: f_z = h / (\sin\kappa \sin\varphi) \;(\varphi < 90°), \quad f_z = h / \sin\kappa \;(\varphi \ge 90°)

    chip: greatest chip thickness h [mm]; KAPR: cutting edge angle kappa [deg]; angle: engagement phi [deg].
    Range: 0 < KAPR < 180, 0 < phi <= 180; f_z grows without end as phi nears 0, so the caller sets its own limit.
    Raises ValueError outside the range.

    >>> round(feed_per_tooth_for_chip(0.05, 90, 30), 3)
    0.1

    Reference: the inverse of chip_thickness.
    """
    return chip / _chip_share(KAPR, angle)


def working_edge_angle(axial_depth: float, radial_width: float, KAPR: float) -> float:
    r"""Return the edge angle at which the chip forms, on the mean of the edge that cuts [deg].

    .. math:: \kappa_w = \max(\kappa,\; \arctan(a_p / a_e)) \;(\kappa < 90°), \quad \kappa_w = \kappa \;(\kappa \ge 90°)

    axial_depth: a_p [mm]; radial_width: a_e [mm]; KAPR: cutting edge angle kappa [deg]. A slanting edge lies in the cut
    over its width seen from above, a_p / tan(kappa). Of a strip narrower than that only the outermost part of the edge
    cuts, and a length of the edge with the sides a_p and a_e takes the whole area f_z a_p.
    Range: a_p > 0, a_e > 0, 0 < KAPR < 180. Raises ValueError outside the range.

    >>> round(working_edge_angle(1.09, 10, 17), 1), round(working_edge_angle(1.09, 0.7, 17), 1)
    (17, 57.3)

    Reference: the mean chip thickness as chip area over edge length, as in textbooks of metal cutting; from memory.
    """
    if not (axial_depth > 0 and radial_width > 0 and 0 < KAPR < 180):
        raise ValueError(f"depth {axial_depth} and width {radial_width} must lie above 0, KAPR {KAPR} within 180")
    return max(KAPR, min(90.0, degrees(atan2(axial_depth, radial_width))))


def corner_edge_angle(axial_depth: float, RE: float, KAPR: float) -> float:
    r"""Return the edge angle at the top of a cut that is thinner than the corner radius [deg].

    .. math:: \kappa = \arccos(1 - a_p / RE) \;(a_p < RE), \quad \kappa \le KAPR

    axial_depth: a_p [mm]; RE: corner radius [mm]; KAPR: cutting edge angle beyond the corner [deg]. There the chip is
    thickest, f_z sin(kappa); below, the corner thins it further. Range: a_p > 0, RE >= 0, 0 < KAPR < 180.
    Raises ValueError outside the range.

    >>> [round(corner_edge_angle(depth, 0.5, 90.0), 1) for depth in (0.067, 0.25, 0.5, 2)]
    [30.0, 60.0, 90.0, 90.0]
    >>> round(corner_edge_angle(0.25, 0.5, 45.0), 1), round(corner_edge_angle(0.25, 0, 90.0), 1)
    (45.0, 90.0)

    Reference: the tangent of the corner's arc.
    """
    if not (axial_depth > 0 and RE >= 0 and 0 < KAPR < 180):
        raise ValueError(f"depth {axial_depth} must lie above 0, corner radius {RE} not below, KAPR {KAPR} within 180")
    return KAPR if axial_depth >= RE else min(KAPR, degrees(acos(1 - axial_depth / RE)))


def top_edge_angle(axial_depth: float, RE: float, KAPR: float, most: float) -> float:
    r"""Return the edge angle that the chip of a level is reckoned with [deg]: at its top, where the chip is thickest.

    .. math:: \kappa' = \min(KAPR,\; \max(\kappa(a_p),\; \arcsin(1 / f_{most})))

    axial_depth: a_p [mm]; RE: corner radius [mm]; KAPR: cutting edge angle beyond the corner [deg]; most: f_most, how
    many times the feed may be raised at most for what the corner thins [-]. Range: as corner_edge_angle, and most >= 1.
    Raises ValueError outside the range.

    >>> [round(top_edge_angle(depth, 6, 90.0, 2), 1) for depth in (0.5, 1, 3, 6)]
    [30.0, 33.6, 60.0, 90.0]
    >>> round(top_edge_angle(0.5, 2, 18.0, 2), 1)
    18.0

    Reference: corner_edge_angle, bounded.
    """
    if not most >= 1:
        raise ValueError(f"factor {most} must be at least 1")
    return min(KAPR, max(degrees(asin(1 / most)), corner_edge_angle(axial_depth, RE, KAPR)))


def _chip_share(KAPR: float, angle: float) -> float:
    _check(KAPR, angle)
    return sin(radians(KAPR)) * (sin(radians(angle)) if angle < 90 else 1.0)


def _check(KAPR: float, angle: float) -> None:
    if not (0 < KAPR < 180 and 0 < angle <= 180):
        raise ValueError(f"KAPR {KAPR} must lie between 0 and 180 degrees, engagement {angle} above 0 and up to 180")
