"""Cutting speed, spindle speed, feed rate and how often a tooth strikes."""

from math import pi


def spindle_speed(v_c: float, DC: float) -> float:
    r"""Return the spindle speed for a cutting speed [1/min].

    .. math:: n = \frac{1000 \, v_c}{\pi \, DC}

    v_c: cutting speed [m/min]; DC: cutting diameter [mm], above 0.
    Raises ValueError for a diameter that is not.

    >>> round(spindle_speed(314.16, 10))
    10000

    Reference: circumference times speed; symbols of ISO 3002.
    """
    if not DC > 0:
        raise ValueError(f"DC {DC} must be above 0")
    return 1000 * v_c / (pi * DC)


def cutting_speed(speed: float, DC: float) -> float:
    r"""Return the cutting speed at a spindle speed [m/min].

    .. math:: v_c = \pi \, DC \, n / 1000

    speed: n [1/min]; DC: cutting diameter [mm].

    >>> round(cutting_speed(10_000, 10), 2)
    314.16

    Reference: circumference times speed; symbols of ISO 3002.
    """
    return pi * DC * speed / 1000


def feed_rate(feed_per_tooth: float, teeth: int, speed: float) -> float:
    r"""Return the feed rate of the cutter's centre on a straight path [mm/min].

    .. math:: v_f = f_z \, z \, n

    feed_per_tooth: f_z [mm]; teeth: z [-]; speed: n [1/min].

    >>> feed_rate(0.125, 4, 8000)
    4000.0

    Reference: definition of f_z, ISO 3002.
    """
    return feed_per_tooth * teeth * speed
