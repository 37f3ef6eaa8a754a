"""How far round the cutter lies in the material: the engagement angle, and the radial width that gives a wanted one.

All of it is plane geometry of circles and straight walls. The angle phi runs from the point where the cutter touches
the finished wall, forward round its leading side, to the edge of the uncut material.
"""

from math import acos, cos, degrees, radians, sqrt

from advisor.mechanics.lengths import reaches


def engagement_angle(radial_width: float, DC: float) -> float:
    r"""Return the engagement angle along a straight wall [deg].

    .. math:: \cos\varphi = 1 - 2 a_e / DC

    radial_width: radial width a_e [mm]; DC: cutting diameter [mm]. Range: 0 <= a_e <= DC.
    Raises ValueError outside the range.

    >>> [round(engagement_angle(share * 10, 10), 2) for share in (0.05, 0.10, 0.25, 0.50)]
    [25.84, 36.87, 60.0, 90.0]

    Reference: exact geometry; a_e after ISO 3002.
    """
    _check_width(radial_width, DC)
    return _angle(1 - 2 * radial_width / DC)


def engagement_angle_inside_arc(radial_width: float, DC: float, path_radius: float) -> float:
    r"""Return the engagement angle on an inside arc, as in loops and round pockets [deg].

    .. math:: \cos\varphi = \frac{(\rho + r - a_e)^2 - \rho^2 - r^2}{2 \rho r}

    radial_width: a_e [mm]; DC: cutting diameter, r = DC/2 [mm]; path_radius: radius rho of the path of the cutter's
    centre [mm], infinite for a straight wall. The wall before the pass is concentric with the path. Range:
    a_e <= 2 min(rho, r); beyond, the cutter is buried and 180 is returned. Always more than on a straight wall.
    Raises ValueError for a negative width or path radius, or a DC that is not above 0.

    With rho = r the old wall lies at DC - a_e from the middle; for a_e = r that is r, and cos phi = -1/2:

    >>> round(engagement_angle_inside_arc(5, 10, 5), 1)
    120.0
    >>> round(engagement_angle_inside_arc(5, 10, float("inf")), 1)
    90.0

    Reference: exact geometry (law of cosines).
    """
    if not (radial_width >= 0 and path_radius >= 0 and DC > 0):
        raise ValueError(f"width {radial_width} and path radius {path_radius} must not be negative, DC {DC} above 0")
    if radial_width == 0:
        return 0.0
    if reaches(radial_width, min(DC, 2 * path_radius)):
        return 180.0
    # The equation above, multiplied out: it keeps its digits, and its sense, as rho grows without end.
    return _angle(1 - 2 * radial_width / DC - radial_width * (DC - radial_width) / (DC * path_radius))


def engagement_angle_corner(radial_width: float, DC: float) -> float:
    r"""Return the greatest engagement angle in a square pocket corner that the path turns in sharply [deg].

    .. math:: \varphi = \min(\varphi_{straight} + 90°, 180°)

    radial_width: a_e along the walls [mm]; DC: cutting diameter [mm]. Range: 0 <= a_e <= DC; the pass before went round
    the same corner. It holds as the upper bound for blunter corners and for paths that round the corner.
    Raises ValueError outside the range.

    >>> round(engagement_angle_corner(2.5, 10), 1)
    150.0
    >>> engagement_angle_corner(8, 10)
    180.0

    Reference: exact geometry; the growth of the load in corners is the subject of Choy & Chan, CAD 35 (2003) 155.
    """
    return min(engagement_angle(radial_width, DC) + 90, 180.0)


def radial_width_for_angle(angle: float, DC: float) -> float:
    r"""Return the radial width that engages the cutter by an angle along a straight wall [mm].

    .. math:: a_e = \frac{DC}{2} (1 - \cos\varphi)

    angle: engagement phi [deg]; DC: cutting diameter [mm]. Range: 0 <= phi <= 180.
    Raises ValueError outside the range.

    >>> round(radial_width_for_angle(60, 10), 3)
    2.5

    Reference: exact geometry, the inverse of engagement_angle.
    """
    _check_angle(angle)
    return DC / 2 * (1 - cos(radians(angle)))


def radial_width_for_angle_inside_arc(angle: float, DC: float, path_radius: float) -> float:
    r"""Return the radial width that engages the cutter by an angle on an inside arc [mm].

    .. math:: \rho + r - a_e = \sqrt{\rho^2 + r^2 + 2 \rho r \cos\varphi}

    angle: engagement phi [deg]; DC: cutting diameter, r = DC/2 [mm]; path_radius: radius rho of the path of the
    cutter's centre [mm], infinite for a straight wall. Range: 0 <= phi <= 180, rho >= 0. At 180 it is 2 min(rho, r).
    Raises ValueError outside the range.

    >>> round(radial_width_for_angle_inside_arc(120, 10, 5), 3)
    5.0

    Reference: exact geometry, the inverse of engagement_angle_inside_arc.
    """
    _check_angle(angle)
    if not path_radius >= 0:
        raise ValueError(f"path radius {path_radius} must not be negative")
    if path_radius == 0:
        return 0.0
    # Rationalised and divided by rho: no difference of large numbers, and the straight wall for an infinite rho.
    ratio, cosine = DC / 2 / path_radius, cos(radians(angle))
    return DC * (1 - cosine) / (1 + ratio + sqrt(max(1 + ratio * (ratio + 2 * cosine), 0.0)))


def _angle(cosine: float) -> float:
    return degrees(acos(min(max(cosine, -1.0), 1.0)))


def _check_width(radial_width: float, DC: float) -> None:
    if not (DC > 0 and radial_width >= 0 and reaches(DC, radial_width)):
        raise ValueError(f"radial width {radial_width} must lie between 0 and DC {DC}, which must be above 0")


def _check_angle(angle: float) -> None:
    if not 0 <= angle <= 180:
        raise ValueError(f"engagement angle {angle} must lie between 0 and 180 degrees")
