"""Drilling: feed of a revolution, thrust, and the section that is taken away."""

from math import pi, radians, sin


def drill_feed(feed_at: float, DC: float, diameter: float, exponent: float) -> float:
    r"""Return the feed of a drill in one revolution [mm].

    .. math:: f = f_0 \left( \frac{DC}{D_0} \right)^{e}

    feed_at: f_0, the feed of a drill of the diameter D_0 [mm]; DC: cutting diameter [mm]; diameter: D_0 [mm]; exponent:
    e [-], below 1: a wider drill takes more feed, but less than in proportion. Range: all above 0.
    Raises ValueError outside the range.

    >>> drill_feed(0.18, 10, 10, 0.65)
    0.18
    >>> round(drill_feed(0.18, 20, 10, 0.65), 2)
    0.28

    Reference: handbook tables of drill feeds fall near such a line between 3 and 40 mm; from memory.
    """
    if min(feed_at, DC, diameter) <= 0:
        raise ValueError(f"feed {feed_at}, diameter {DC} and reference {diameter} must be above 0")
    return float(feed_at * (DC / diameter) ** exponent)


def drill_thrust(k_c: float, DC: float, feed: float, KAPR: float, share: float, opened: float = 0.0) -> float:
    r"""Return the force of a drill along the spindle [N].

    .. math:: F_f = c \, k_c \, \frac{DC - d}{2} f \, \sin\kappa

    k_c: specific cutting force at the chip of a lip [N/mm²]; DC: cutting diameter [mm]; feed: f of one revolution [mm];
    KAPR: cutting edge angle kappa, half the point angle [deg]; share: c, force square to the lips as a share of the
    cutting force of both [-], about half for the lips alone; the chisel edge between them adds to it; opened: d, the
    hole that the drill opens [mm], 0 in the solid.

    >>> round(drill_thrust(2000, 10, 0.2, 90, 0.5))
    1000
    >>> round(drill_thrust(2000, 10, 0.2, 90, 0.5, opened=4))
    600

    Reference: Kienzle's force on two lips, as handbooks print it; the share from memory.
    """
    return share * k_c * (DC - opened) / 2 * feed * sin(radians(KAPR))


def drilled_section(DC: float, opened: float = 0.0) -> float:
    r"""Return the section that a drill takes away [mm²].

    .. math:: A = \frac{\pi}{4} (DC^2 - d^2)

    DC: cutting diameter [mm]; opened: d, the hole that it opens [mm], 0 in the solid.
    Raises ValueError where the hole is as wide as the drill.

    >>> round(drilled_section(30), 1), round(drilled_section(30, 14) / drilled_section(30), 3)
    (706.9, 0.782)

    Reference: geometry.
    """
    if not 0 <= opened < DC:
        raise ValueError(f"a drill of {DC} opens no hole of {opened}")
    return pi / 4 * (DC**2 - opened**2)
