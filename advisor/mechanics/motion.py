"""Loops, arcs and what the axes can follow."""

from math import pi, sqrt

from advisor.mechanics.lengths import difference, pieces, reaches


def loops(length: float, step: float) -> int:
    r"""Return how many loops take the cutter along a length.

    .. math:: N = \lceil l / s \rceil

    length: l that the loops' centre travels [mm]; step: s forward at each loop [mm]. Range: l >= 0, s > 0.
    Raises ValueError outside the range.

    >>> loops(48, 1.2)
    40

    Reference: counting.
    """
    if not (length >= 0 and step > 0):
        raise ValueError(f"length {length} must not be negative, and step {step} above 0")
    return pieces(length, step)


def loop_length(radius: float, step: float) -> float:
    r"""Return the way of the cutter's centre for one loop: a full circle and the step to the next [mm].

    .. math:: l = 2 \pi \rho + s

    radius: rho of the loop [mm]; step: s forward at each loop [mm].

    >>> round(loop_length(4, 1.2), 2)
    26.33

    Reference: geometry.
    """
    return 2 * pi * radius + step


def loop_cut_width(step: float, radius: float, DC: float) -> float:
    r"""Return how wide a straight cut removes as much as a loop does in the half of its way in which it cuts [mm].

    .. math:: a = s \frac{2 \rho + D_c}{\pi \rho}

    step: s forward at each loop [mm]; radius: rho of the loop, above 0 [mm]; DC: cutting diameter [mm]. The feed is
    that of the cutter's centre. A loop takes the step over the width that it clears, 2 rho + DC, and cuts on half its
    way.
    Raises ValueError for a loop of no radius.

    >>> round(loop_cut_width(1, 5, 20), 2)
    1.91

    Reference: volume of a loop over half its way; tests/outside compares it with a drawing.
    """
    if not radius > 0:
        raise ValueError(f"radius {radius} of a loop must be above 0")
    return step * (2 * radius + DC) / (pi * radius)


def axis_limited_feed(acceleration: float, radius: float) -> float:
    r"""Return the greatest feed of the cutter's centre on an arc that the axes can follow [mm/min].

    .. math:: v = \sqrt{a \rho}

    acceleration: a of the slower axis [m/s²]; radius: rho of the centre's path [mm]. Range: neither negative.
    Raises ValueError outside the range.

    4 m/s² on 4 mm: the root of 4000 mm/s² x 4 mm is 126.5 mm/s.

    >>> round(axis_limited_feed(4, 4))
    7589

    Reference: acceleration towards the middle of a circle, a = v²/rho.
    """
    if not (acceleration >= 0 and radius >= 0):
        raise ValueError(f"acceleration {acceleration} and radius {radius} must not be negative")
    return 60 * sqrt(1000 * acceleration * radius)


def hop_time(distance: float, rapid: float, acceleration: float) -> float:
    r"""Return the time of one move in rapid, from rest to rest [s].

    .. math:: t = \begin{cases} 2 \sqrt{l / a} & l \le v_r^2 / a \\ l / v_r + v_r / a & \text{else} \end{cases}

    distance: l [mm]; rapid: v_r [mm/min]; acceleration: a of the axis [m/s²]. Range: l >= 0, the others above 0.
    Raises ValueError outside the range.

    Up to 500 mm/s at 4 m/s² and down again takes 62.5 mm:

    >>> round(hop_time(25, 30000, 4), 3), round(hop_time(100, 30000, 4), 3)
    (0.158, 0.325)

    Reference: uniform acceleration; jerk is left out.
    """
    if not (distance >= 0 and rapid > 0 and acceleration > 0):
        raise ValueError(f"distance {distance}, rapid {rapid} or acceleration {acceleration} is out of range")
    speed, gain = rapid / 60, 1000 * acceleration
    return 2 * sqrt(distance / gain) if distance <= speed**2 / gain else distance / speed + speed / gain


def arc_feed(feed: float, D: float, DC: float) -> float:
    r"""Return the feed of the cutter's centre on an inside arc that keeps the feed at the wall [mm/min].

    .. math:: v_{f,c} = v_f (D - DC) / D

    feed: v_f at the wall [mm/min]; D: diameter of the bore, or of the arc at the wall [mm]; DC: cutting diameter [mm].
    Range: D >= DC.
    Raises ValueError outside the range.

    A third at D = 1.5 DC:

    >>> arc_feed(3000, 15, 10)
    1000.0

    Reference: geometry; centre and wall turn about the same point in the same time.
    """
    if not (DC > 0 and reaches(D, DC)):
        raise ValueError(f"arc {D} must be at least as wide as the cutter {DC}")
    return feed * difference(D, DC) / D


def wall_feed(centre: float, D: float, DC: float) -> float:
    r"""Return the feed at the wall of an inside arc on which the cutter's centre runs at a feed [mm/min].

    .. math:: v_f = v_{f,c} D / (D - DC)

    centre: v_fc [mm/min]; D: diameter of the bore, or of the arc at the wall [mm]; DC: cutting diameter [mm].
    Range: D > DC.
    Raises ValueError outside the range.

    >>> wall_feed(1000, 15, 10)
    3000.0

    Reference: geometry; the inverse of arc_feed.
    """
    if not 0 < DC < D:
        raise ValueError(f"arc {D} must be wider than the cutter {DC}")
    return centre * D / (D - DC)
