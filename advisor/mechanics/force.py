"""Cutting forces after Kienzle, as means over a revolution."""

from math import pi, radians, sin

from advisor.mechanics.lengths import reaches


def specific_cutting_force(
    k_c11: float, m_c: float, mean_chip: float, factor: float = 1.0, thin: float = 0.0, thin_rise: float = 1.0
) -> float:
    r"""Return the specific cutting force [N/mm²].

    .. math:: k_c = K \, k_{c1.1} \, \max(h_m, h_0)^{-m_c} \, (\max(h_m, h_0) / h_m)^{\min(m_c, m_0)}

    k_c11: specific force at a chip of 1 mm by 1 mm [N/mm²]; m_c: its rise [-]; mean_chip: h_m, taken in mm [mm];
    factor: K, product of the corrections for method, speed and wear [-]; thin: h_0, thinnest chip that the tables were
    measured with, 0 for none [mm]; thin_rise: m_0, greatest rise below it [-]. Range: h_m up to 2.5 mm; the tables end
    at 0.05 to 0.08 mm, and thinner chips are an extrapolation.
    Raises ValueError if the chip is not above 0.

    >>> round(specific_cutting_force(2000, 0.25, 0.0625))
    4000
    >>> specific_cutting_force(2220, 0.14, 1.0)
    2220.0
    >>> round(specific_cutting_force(2000, 0.25, 0.0625 / 32, 0.8, thin=0.0625, thin_rise=0.2))
    6400

    Reference: Kienzle, VDI-Z 94 (1952), from memory; values of König & Essel, Spezifische Schnittkraftwerte (1973);
    the slower rise of thin chips after the feed factors of Machinery's Handbook, from memory.
    """
    if not mean_chip > 0:
        raise ValueError(f"mean chip thickness {mean_chip} must be above 0")
    measured = max(mean_chip, thin)
    return float(factor * k_c11 * measured**-m_c * (measured / mean_chip) ** min(m_c, thin_rise))


def slow_speed_factor(cutting_speed: float, plain: float, exponent: float) -> float:
    r"""Return the factor on the specific cutting force for a low cutting speed [-].

    .. math:: K_v = \max(1, (v_0 / v_c)^{x})

    cutting_speed: v_c [m/min]; plain: v_0, speed from which on the tables hold as they stand [m/min]; exponent: x [-].
    Range: v_c above 0; a speed above v_0 is given no credit.
    Raises ValueError if the speed is not above 0.

    >>> [round(slow_speed_factor(v_c, 100, 0.1), 2) for v_c in (25, 60, 100, 400)]
    [1.15, 1.05, 1.0, 1.0]

    Reference: trade tables of correction factors, from memory.
    """
    if not cutting_speed > 0:
        raise ValueError(f"cutting speed {cutting_speed} must be above 0")
    return float(max(1.0, (plain / cutting_speed) ** exponent))


def mean_normal_force(
    k_c: float,
    axial_depth: float,
    feed_per_tooth: float,
    KAPR: float,
    angle: float,
    teeth: int,
    radial_share: float,
) -> float:
    r"""Return the force that pushes the cutter off the wall in climb milling, mean over a revolution [N].

    .. math:: \bar F_n = \frac{z \, k_c \, a_p f_z}{2\pi}
        \left[ \frac{\varphi}{2} - \frac{\sin 2\varphi}{4} + c \sin\kappa \, \frac{\sin^2\varphi}{2} \right],
        \quad \varphi \text{ in rad}

    k_c: specific cutting force [N/mm²]; axial_depth: a_p [mm]; feed_per_tooth: f_z [mm]; KAPR: cutting edge angle kappa
    [deg]; angle: engagement phi [deg]; teeth: z [-]; radial_share: force square to the edge as a share c of the
    tangential one [-]. At kappa = 90 all of that share is radial; a slanting edge turns the rest of it along the
    spindle. Range: 0 <= phi <= 180, climb milling: there both parts push the same way.
    Raises ValueError outside the range.

    Half the cutter in the cut, 1 tooth, k_c a_p f_z = 200 pi N: 100 (pi/4 + 0.4/2) N.

    >>> round(mean_normal_force(1000, 6.283185, 0.1, 90, 90, 1, 0.4), 1)
    98.5

    Reference: the mean over a revolution of F_t sin(theta) + F_r cos(theta) with F_t = k_c a_p f_z sin(theta),
    integrated exactly with k_c at the mean chip.
    """
    _check_angle(angle)
    phi = radians(angle)
    square_to_wall = phi / 2 - sin(2 * phi) / 4 + radial_share * sin(radians(KAPR)) * sin(phi) ** 2 / 2
    return teeth * k_c * axial_depth * feed_per_tooth / (2 * pi) * square_to_wall


def plunge_side_force(k_c: float, section: float, bite: float, DC: float, feed_per_tooth: float, teeth: int) -> float:
    r"""Return the force sideways on a cutter that plunges beside material, mean over a revolution [N].

    .. math:: \bar F_t = \frac{z \, k_c \, A \, f_z}{\pi (DC - b)}

    k_c: specific cutting force [N/mm²]; section: A, area that a plunge takes [mm²]; bite: b, radial width of it [mm];
    DC: cutting diameter [mm]; feed_per_tooth: f_z, straight down [mm]; teeth: z [-]. Range: 0 < b <= DC/2. It is the
    tangential force; on one side of the cutter only nothing balances it, and it pushes along the row of plunges.
    Raises ValueError outside the range.

    A full bore with one edge to the centre, A = pi DC²/4 and b = DC/2: the edge cuts DC/2 wide all the time.

    >>> round(plunge_side_force(2000, 78.54, 5, 10, 0.1, 1))
    1000

    Reference: a ring of the section at radius r is cut over the share dA / (2 pi r dr) of a revolution; all of it is
    taken at the middle of the bite, r = (DC - b)/2. tests/outside integrates it.
    """
    if not (bite > 0 and reaches(DC / 2, bite)):
        raise ValueError(f"bite {bite} must lie above 0 and up to half of the cutter {DC}")
    return teeth * k_c * section * feed_per_tooth / (pi * (DC - bite))


def _check_angle(angle: float) -> None:
    if not 0 <= angle <= 180:
        raise ValueError(f"engagement angle {angle} must lie between 0 and 180 degrees")
