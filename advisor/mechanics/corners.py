"""What a round cutter leaves in a square corner, and the way of a narrower one that takes it."""

from math import pi, sqrt

from advisor.mechanics.lengths import difference, exceeds, pieces


def _check(wide: float, narrow: float) -> None:
    if not (narrow >= 0 and exceeds(wide, narrow)):
        raise ValueError(f"radius {narrow} must not be negative, and be less than {wide}")


def corner_rest_area(wide: float, narrow: float) -> float:
    r"""Return the area that stays in one corner between two radii [mm²].

    .. math:: A = (1 - \pi/4)(R^2 - r^2)

    wide: R of the cutter that was there [mm]; narrow: r of the corner [mm]. Range: 0 <= r < R.
    Raises ValueError outside the range.

    >>> round(corner_rest_area(10, 7.5), 2)
    9.39

    Reference: geometry; a square less a quarter of a circle, twice.
    """
    _check(wide, narrow)
    return (1 - pi / 4) * (wide**2 - narrow**2)


def corner_rest_thickness(wide: float, narrow: float) -> float:
    r"""Return how thick that rest is, measured out of the corner [mm].

    .. math:: t = (\sqrt{2} - 1)(R - r)

    wide: R of the cutter that was there [mm]; narrow: r of the corner [mm]. Range: 0 <= r < R.
    Raises ValueError outside the range.

    >>> round(corner_rest_thickness(10, 7.5), 3)
    1.036

    Reference: geometry; along the diagonal.
    """
    _check(wide, narrow)
    return (sqrt(2) - 1) * difference(wide, narrow)


def corner_wall_way(wide: float, narrow: float) -> float:
    r"""Return the way along the walls of a corner from where the rest begins to where it ends [mm].

    .. math:: l = 2 (R - r) + \frac{\pi}{2} r

    wide: R of the cutter that was there [mm]; narrow: r of the corner [mm]. Range: 0 <= r < R.
    Raises ValueError outside the range.

    >>> round(corner_wall_way(10, 7.5), 2)
    16.78

    Reference: geometry; two straight ends and a quarter of a circle.
    """
    _check(wide, narrow)
    return 2 * difference(wide, narrow) + pi / 2 * narrow


def corner_passes(wide: float, narrow: float, radial_width: float) -> int:
    r"""Return in how many passes the rest of a corner is taken.

    .. math:: N = \lceil t / a_e \rceil

    wide: R of the cutter that was there [mm]; narrow: r of the corner [mm]; radial_width: a_e [mm], above 0.
    Range: 0 <= r < R.
    Raises ValueError outside the range.

    >>> corner_passes(10, 7.5, 1.25), corner_passes(10, 5.5, 0.92)
    (1, 3)

    Reference: counting; see corner_rest_thickness.
    """
    if not radial_width > 0:
        raise ValueError(f"radial width {radial_width} must be above 0")
    return max(1, pieces(corner_rest_thickness(wide, narrow), radial_width))


def corner_way(wide: float, narrow: float, passes: int) -> float:
    r"""Return the way in the cut of even passes that take the rest of a corner [mm].

    .. math:: l = \max\left(l_w,\; \frac{l_w}{2} + N \frac{A}{t}\right)

    wide: R of the cutter that was there [mm]; narrow: r of the corner [mm]; passes: N, at least 1. Range: 0 <= r < R.
    The last pass goes the whole way l_w along the walls, each before it is shorter: the trapezoid rule over the area A.
    The way is that at the wall; on the arc the centre goes slower than the wall.
    Raises ValueError outside the range.

    >>> round(corner_way(10, 7.5, 1), 2), round(corner_way(10, 7.5, 3), 2)
    (17.46, 35.59)

    Reference: geometry; see corner_rest_area, corner_rest_thickness and corner_wall_way.
    """
    if passes < 1:
        raise ValueError(f"passes {passes} must be at least 1")
    mean = corner_rest_area(wide, narrow) / corner_rest_thickness(wide, narrow)
    walls = corner_wall_way(wide, narrow)
    return max(walls, walls / 2 + passes * mean)
