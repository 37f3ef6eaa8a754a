"""Removal rate, power and torque of a cut, and what the spindle can give at a speed."""

from bisect import bisect_left
from collections.abc import Sequence
from math import pi


def removal_rate(axial_depth: float, radial_width: float, feed_rate: float) -> float:
    r"""Return the volume cut in a minute [mm³/min].

    .. math:: Q = a_p a_e v_f

    axial_depth: a_p [mm]; radial_width: a_e [mm]; feed_rate: v_f [mm/min].

    >>> removal_rate(10, 2, 3000)
    60000

    Reference: geometry.
    """
    return axial_depth * radial_width * feed_rate


def cutting_power(removal: float, k_c: float, efficiency: float) -> float:
    r"""Return the power that the cut draws from the motor [kW].

    .. math:: P = \frac{Q k_c}{60 \cdot 10^6 \, \eta}

    removal: Q [mm³/min]; k_c: specific cutting force [N/mm²]; efficiency: eta from motor to edge [-], above 0 up to 1.
    Raises ValueError for an efficiency outside that.

    60 cm³/min is 1 cm³/s; at 2000 N/mm² that is 2 kW at the edge:

    >>> cutting_power(60_000, 2000, 1.0)
    2.0
    >>> cutting_power(60_000, 2000, 0.8)
    2.5

    Reference: work is force times way; 60 x 10^6 turns N mm/min into kW.
    """
    if not 0 < efficiency <= 1:
        raise ValueError(f"efficiency {efficiency} must lie above 0 and up to 1")
    return removal * k_c / (60e6 * efficiency)


def torque(power: float, speed: float) -> float:
    r"""Return the torque of a power at a speed [Nm].

    .. math:: M = \frac{60\,000 \, P}{2 \pi n} = 9549 \, P / n

    power: P [kW]; speed: n [1/min], above 0.
    Raises ValueError for a speed that is not.

    >>> round(torque(1, 1000), 3)
    9.549

    Reference: P = M omega.
    """
    if not speed > 0:
        raise ValueError(f"speed {speed} must be above 0")
    return 30_000 / pi * power / speed


def spindle_power(speeds: Sequence[float], powers: Sequence[float], speed: float) -> float:
    """Return the power that the spindle gives at a speed [kW].

    Straight lines between the given points; below the first, constant torque, so that power falls in proportion.

    speeds: rising speeds of the curve [1/min]; powers: continuous power at each [kW]; speed: n [1/min].
    Range: 0 <= n <= the last speed.
    Raises ValueError outside the range.

    >>> [spindle_power((1200, 6000, 12000), (12, 15, 15), n) for n in (600, 1200, 3600, 12000)]
    [6.0, 12.0, 13.5, 15.0]

    Reference: common practice; machine makers publish the curve as straight pieces.
    """
    if not 0 <= speed <= speeds[-1]:
        raise ValueError(f"speed {speed} must lie between 0 and the spindle's greatest {speeds[-1]}")
    if speed <= speeds[0]:
        return powers[0] * (speed / speeds[0])
    above = bisect_left(speeds, speed)
    share = (speed - speeds[above - 1]) / (speeds[above] - speeds[above - 1])
    return powers[above - 1] + share * (powers[above] - powers[above - 1])


def spindle_torque(speeds: Sequence[float], powers: Sequence[float], speed: float) -> float:
    """Return the torque that the spindle gives at a speed [Nm].

    It follows from spindle_power, and is constant from standstill to the first speed of the curve.

    speeds: rising speeds of the curve [1/min]; powers: continuous power at each [kW]; speed: n [1/min].
    Range: 0 <= n <= the last speed.
    Raises ValueError outside the range.

    >>> [round(spindle_torque((1200, 6000), (12, 15), n), 1) for n in (0, 300, 1200, 6000)]
    [95.5, 95.5, 95.5, 23.9]

    Reference: M = P / omega.
    """
    if 0 <= speed <= speeds[0]:
        return torque(powers[0], speeds[0])
    return torque(spindle_power(speeds, powers, speed), speed)
