"""How long a path takes, and how long a path an area needs."""


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
