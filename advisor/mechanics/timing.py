"""How long a path takes, and how long a path an area needs."""

from math import pi

from advisor.mechanics.motion import arc_feed


def path_time(length: float, feed: float) -> float:
    r"""Return the time for a path [s].

    .. math:: t = 60 \, l / v_f

    length: l [mm]; feed: v_f, or the rapid [mm/min], above 0.
    Raises ValueError for a feed that is not.

    >>> path_time(1500, 3000)
    30.0

    Reference: way over speed; speeding up and slowing down are left out.
    """
    if not feed > 0:
        raise ValueError(f"feed {feed} must be above 0")
    return 60 * length / feed


def roll_in_time(DC: float, approach: float, feed: float) -> float:
    r"""Return the time for rolling in on a quarter of a circle from beside the material [s].

    .. math:: t = 60 \left( \frac{s}{v_f} + \frac{\pi \rho / 2}{v_{f,c}} \right), \quad \rho = DC/2, \quad
        v_{f,c} = v_f \frac{\rho}{\rho + DC/2}

    DC: cutting diameter [mm]; approach: s, way at feed before the arc [mm]; feed: v_f at the wall [mm/min], above 0.
    The cutter's centre runs on a radius of DC/2 and, as on every inside arc, slower than the wall.
    Raises ValueError for a feed that is not.

    >>> round(roll_in_time(20, 0, 600), 2)
    3.14

    Reference: geometry; see arc_feed.
    """
    return path_time(approach, feed) + path_time(pi * DC / 4, arc_feed(feed, 2 * DC, DC))


def one_way_travel(passes: int, length: float, radial_width: float, DC: float, feed: float, rapid: float) -> float:
    r"""Return the time beside the cut of straight passes that all go the same way [s].

    .. math:: t = 60 \left( N \frac{DC/2}{v_f} + (N - 1) \frac{L + DC/2 + a_e}{v_r} \right)

    passes: N, over all levels [-]; length: L of a pass [mm]; radial_width: a_e [mm]; DC: cutting diameter [mm]; feed:
    v_f, rapid: v_r [mm/min], above 0. In front of each pass the cutter goes DC/2 at feed, from where its rim can touch
    to where its centre enters; at its end the centre stands over the edge and the pass is cut. In between it goes back
    in rapid, and on by the width of a pass.
    Raises ValueError for a feed that is not above 0.

    >>> round(one_way_travel(3, 980, 10, 20, 600, 30000), 2)
    7.0

    Reference: geometry; speeding up, lifting and slowing down are left out.
    """
    return path_time(passes * DC / 2, feed) + path_time((passes - 1) * (length + DC / 2 + radial_width), rapid)


def clearing_path(area: float, radial_width: float) -> float:
    r"""Return the length of cutting path that clears an area of one level [mm].

    .. math:: l = A / a_e

    area: A to be cut [mm²]; radial_width: a_e [mm], above 0.
    Raises ValueError for a width that is not.

    >>> clearing_path(3000, 1.5)
    2000.0

    Reference: geometry; every millimetre of path sweeps a_e square millimetres.
    """
    if not radial_width > 0:
        raise ValueError(f"radial width {radial_width} must be above 0")
    return area / radial_width


def rings_path(radius: float, DC: float, rings: int) -> float:
    r"""Return the way along the wall of even rings that open a hole as wide as the cutter out to a bore [mm].

    .. math:: l = \pi \left( N \, DC + \rho (N + 1) \right)

    radius: rho of the path of the cutter's centre on the last ring, (D - DC)/2 [mm]; DC: cutting diameter [mm]; rings:
    N, each rho/N wide. Range: rho >= 0, DC > 0, N >= 1.
    Raises ValueError outside the range.

    Ring i cuts a wall of the diameter DC + 2 rho i/N. A 12 mm cutter on a radius of 1.5 mm goes once round a wall of
    15 mm; at the feed of the wall that takes as long as the centre's way at the centre's feed:

    >>> round(rings_path(1.5, 12, 1), 2)
    47.12

    Reference: geometry; the sum of the circumferences.
    """
    if not (radius >= 0 and DC > 0 and rings >= 1):
        raise ValueError(f"radius {radius} must not be negative, DC {DC} above 0, and rings {rings} at least 1")
    return pi * (rings * DC + radius * (rings + 1))


def rings_beside_path(bore: float, stock: float, rings: int) -> float:
    r"""Return the way along the wall of even rings that take the stock on the wall of an open hole [mm].

    .. math:: l = \pi \left( N \, D - s (N - 1) \right)

    bore: D at the last ring [mm]; stock: s on the wall, up to D/2 [mm]; rings: N, each s/N wide. Range: N >= 1.
    Raises ValueError outside the range.

    Ring i, from the wall inwards, cuts a wall of the diameter D - 2 i s/N. Two rings of 2 mm out to 60 mm:

    >>> round(rings_beside_path(60, 4, 2), 2)
    364.42

    Reference: geometry; the sum of the circumferences.
    """
    if not (0 <= 2 * stock <= bore and rings >= 1):
        raise ValueError(
            f"stock {stock} must lie between 0 and half of the bore {bore}, and rings {rings} be at least 1"
        )
    return pi * (rings * bore - stock * (rings - 1))


def share_time(cut_time: float, share: float) -> float:
    r"""Return the time of a whole path of which only a share cuts [s]; less the cutting, it is the travel between.

    .. math:: t = t_{cut} / s

    cut_time: time in the cut [s]; share: s of the path's time that cuts [-], above 0 up to 1.
    Raises ValueError for a share outside that.

    >>> share_time(30, 0.75)
    40.0

    Reference: definition; the share is the caller's, from the rule base.
    """
    if not 0 < share <= 1:
        raise ValueError(f"share {share} must lie above 0 and up to 1")
    return cut_time / share
