"""The spindle speed of a cut: that of the tables, within what cutter and spindle allow."""

from __future__ import annotations

from math import floor, log10

from advisor.mechanics.speed import spindle_speed
from advisor.methods.cut import Cut
from advisor.model.cause import Cause, Held, HeldBy, limited


def handy_speed(speed: float) -> float:
    """A spindle speed rounded down to three figures, as it would be typed [1/min]."""
    step = 10.0 ** max(0, floor(log10(speed)) - 2) if speed >= 1 else 1.0
    return max(1.0, floor(speed / step + 1e-9) * step)


def speed_for(cut: Cut, gain: float = 1.0) -> float:
    """The spindle speed for the cutting speed, within what cutter and spindle allow [1/min]."""
    found = cut._speeds.get(gain)
    if found is None:
        speed = spindle_speed(cut.v_c * cut.speed_factor * gain, cut.cutter.DC)
        found = cut._speeds[gain] = handy_speed(min(speed, cut.bench.speed_most, cut.cutter.RPMX or speed))
    return found


def speed_held(cut: Cut, gain: float = 1.0) -> tuple[Held, ...]:
    """What held the spindle speed of the tables back, if anything did."""
    wanted = spindle_speed(cut.v_c * cut.speed_factor * gain, cut.cutter.DC)
    marked, most = cut.cutter.RPMX or wanted, cut.bench.speed_most
    if min(marked, most) >= wanted:
        return ()
    by = HeldBy.SPINDLE_SPEED if most <= marked else HeldBy.MARKED_SPEED
    return limited("spindle_speed", wanted, handy_speed(min(marked, most)), Cause(by)).held


def gain_most(cut: Cut) -> float:
    """The greatest factor by which the cutting speed may rise at a small radial width, for what the edge is made of."""
    return float(cut.inside.facts.get("speed_gain_here", cut.bench.limits["speed_gain_most"]))


def speed_gain(cut: Cut, radial_share: float) -> float:
    """The factor by which the cutting speed may rise at a small radial width."""
    small, plain = cut.bench.limits["speed_gain_radial_share"], cut.bench.limits["speed_plain_radial_share"]
    reach = (plain - radial_share) / (plain - small)
    return 1 + (gain_most(cut) - 1) * max(0.0, min(1.0, reach))
