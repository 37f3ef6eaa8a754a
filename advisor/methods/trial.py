"""Trying out a cut: feed, speed and load of one cutter at a given depth, width and engagement."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache, partial
from math import log
from typing import NamedTuple

from advisor.knowledge.conditions import Situation
from advisor.mechanics.chip import (
    chip_thickness,
    feed_per_tooth_for_chip,
    mean_chip_thickness,
    working_edge_angle,
)
from advisor.mechanics.force import mean_normal_force, slow_speed_factor, specific_cutting_force
from advisor.mechanics.lengths import exceeds, reaches, steps
from advisor.mechanics.power import cutting_power, removal_rate, torque
from advisor.mechanics.speed import cutting_speed
from advisor.methods.cut import Cut, Trial
from advisor.methods.drills import drill_chip, drill_speed, has_inserts
from advisor.methods.speeds import handy_speed, speed_for
from advisor.methods.thin import wall_bend
from advisor.model.cause import Cause, HeldBy, Limited, limited
from advisor.model.cutter import Cutter
from advisor.model.plan import Drilled, Load
from advisor.model.region import Region
from advisor.situation.bench import Bench
from advisor.situation.facts import InFeature, conclude, segments_of

STEPS = 12
CLOSE = 1e-3


def down_to(value: float, step: float) -> float:
    """A length rounded down to a handy step, or left alone when it is smaller than ten of them [mm]."""
    return round(steps(value, step) * step, 6) if reaches(value, 10 * step) else value


def greatest(share: Callable[[float], float], low: float, high: float) -> float:
    """The greatest value between two whose share of a limit is at most 1; ``low`` where no value above it is.

    ``share`` rises with the value, roughly as a power of it, so the search steps along that power, and halves what is
    left once such a step brought little; it ends at most one part in a thousand below the limit.
    """
    above = share(high)
    if above <= 1:
        return high
    if low >= high or (below := share(low)) > 1:
        return min(low, high)
    halve = False
    for _ in range(STEPS):
        if below > 1 - CLOSE:
            break
        part = 0.5 if halve else log((1 - CLOSE / 2) / below) / log(above / below)
        between, wide = low * (high / low) ** part, high / low
        found = share(between)
        if found <= 1:
            low, below = between, found
        else:
            high, above = between, found
        halve = halve or (high / low) ** 2 > wide
    return low


def cut_of(inside: InFeature, region: Region, bench: Bench) -> Cut | None:
    """The cutting data of a cutter in a region; nothing where the tables have none (inserts in hardened steel)."""
    cutter, material, limits = inside.cutter, bench.material, bench.limits
    solid = cutter.kind.solid
    v_c = material.v_c_solid if solid else material.v_c_inserted
    chip = solid_chip(cutter, bench) if solid else material.h_insert
    if cutter.kind.drill:
        v_c, chip = drill_speed(cutter, bench), drill_chip(cutter, bench)
    if v_c is None or chip is None:
        return None
    factor = float(inside.facts.get("substrate_speed_factor", 1.0))
    factor *= float(inside.facts.get("coolant_speed_factor", 1.0))
    carbide = solid and cutter.substrate != "hss" and not has_inserts(cutter)
    hole = None
    if region.cored and region.round:  # it is bored round the opening as round a drilled hole
        hole = Drilled(region.opening or 0.0, region.depth)
    stiffness = 1000 / (1 / bench.machine.stiffness + 1 / limits["holder_stiffness"])
    return Cut(
        inside,
        region,
        bench,
        v_c,
        factor,
        chip,
        min(chip, float(inside.facts.get("chip_floor", 0.0)), limits["chip_least_share"] * cutter.DC),
        limits["modulus_carbide" if carbide else "modulus_steel"],
        stiffness,
        segments_of(cutter, bench),
        drilled=hole,
    )


def flat_edged(cutter: Cutter, bench: Bench) -> bool:
    """Whether a solid end mill is one for high feeds, by its edge angle."""
    return cutter.kind.fluted and bench.limits["flat_edge_angle_most"] >= cutter.KAPR


def solid_chip(cutter: Cutter, bench: Bench) -> float:
    """The chip thickness of a solid cutter [mm]: a share of DC, with a high-feed edge so many times as much."""
    factor = bench.limits["flat_edge_chip_factor"] if flat_edged(cutter, bench) else 1.0
    return factor * bench.material.h_share * cutter.DC


def slender_cause(cut: Cut) -> Cause:
    """How slender the cutter is, as a cause that held a cut back."""
    return Cause(HeldBy.SLENDER, (float(cut.inside.facts["slenderness"]),))


def settled(cut: Cut, method: str, axial: float) -> Situation:
    """The facts of the cutter with what the settings rules conclude for this method at an axial depth [mm]."""
    facts = cut.inside.facts | {"method": method, "planned_axial_ratio": axial / cut.cutter.DC}
    conclude(facts, cut.bench.inference.every(("settings",), ("method", "candidate"), facts, method))
    return facts


def specific_force(cut: Cut, mean_chip: float, speed: float) -> float:
    """The specific cutting force of an edge that is not worn, at a mean chip [mm] and a spindle speed [N/mm²]."""
    limits, material = cut.bench.limits, cut.bench.material
    slow = slow_speed_factor(
        cutting_speed(speed, cut.cutter.DC), limits["force_speed_plain"], limits["force_speed_exponent"]
    )
    factor = slow * limits["drilling_force_factor" if cut.cutter.kind.drill else "milling_force_factor"]
    thin, rise = limits["chip_table_least"], limits["chip_thin_exponent"]
    return specific_cutting_force(material.k_c11, material.m_c, mean_chip, factor, thin, rise)


class TrialBasis(NamedTuple):
    """What the trials of a method rest on: the factor by which the cutting speed rises, the greatest feed with which
    the axes follow [mm/min], and whether the cut is ``steady``: straight down, one chip thickness all the way round.
    ``across`` is the width of the stock that the edge lies in [mm], where it is not the radial width of the trial: that
    is the one on a straight wall for a cut that an arc engages further.
    """

    gain: float = 1.0
    feed_most: float | None = None
    steady: bool = False
    across: float | None = None


PLAIN = TrialBasis()
STEADY = TrialBasis(steady=True)


def try_cut(
    cut: Cut,
    axial: float,
    radial: float,
    angle: float,
    *,
    basis: TrialBasis = PLAIN,
    chip: float | None = None,
    speed_most: float | None = None,
) -> Trial:
    """The load of a cut ``axial`` deep and ``radial`` wide [mm] at an engagement [deg].

    The feed holds the chip thickness; it is cut down to what the machine, or the axes on their path, can do. The
    spindle turns no faster than ``speed_most`` [1/min].
    """
    gain, feed_most, steady, across = basis
    cutter, limits = cut.cutter, cut.bench.limits
    wanted = cut.chip if chip is None else chip
    edge = cutter.KAPR if steady else working_edge_angle(axial, across or radial, cutter.KAPR)
    plain = feed_per_tooth_for_chip(wanted, edge, 90)
    thinned = plain if angle >= 90 else feed_per_tooth_for_chip(wanted, edge, angle)
    tooth = min(thinned, limits[_thinning_most(cutter)] * plain)
    table_speed = speed_for(cut, gain)
    speed = table_speed if speed_most is None else min(table_speed, speed_most)
    machine_most = cut.bench.machine.feed_max
    most = machine_most if feed_most is None else min(machine_most, feed_most)
    feed = speed * cutter.ZEFP * tooth
    if feed > most:
        slowest = min(speed, limits["speed_slowest_share"] * table_speed)
        speed = handy_speed(max(speed * most / feed, slowest))
        feed = min(most, speed * cutter.ZEFP * tooth)
        tooth = feed / (speed * cutter.ZEFP)
    if cut.pinned.feed_per_tooth is not None and cut.pinned.spindle_speed is not None:
        tooth, speed = cut.pinned.feed_per_tooth, cut.pinned.spindle_speed
        feed = speed * cutter.ZEFP * tooth
    mean = chip_thickness(tooth, edge, 90) if steady else mean_chip_thickness(tooth, edge, angle)
    k_c = specific_force(cut, mean, speed)
    rate = removal_rate(axial, radial, feed)
    power = cutting_power(rate, k_c, limits["drive_efficiency"])
    available = cut.bench.power_at(speed)
    worn = limits["wear_factor"]
    force = worn * mean_normal_force(k_c, axial, tooth, edge, angle, cutter.ZEFP, limits["radial_force_share"])
    bent = force * cut.tip_compliance(axial / 2) + wall_bend(cut, axial, force)
    turning, most = torque(power, speed), torque(available, speed)
    load = Load(power, available, turning, most, force, bent, k_c, mean, worn * power)
    return Trial(tooth, speed, feed, rate, load, table_speed, edge, speed_most)


def _thinning_most(cutter: Cutter) -> str:
    """The name of the threshold for the greatest factor by which the feed is raised for a thin chip."""
    if cutter.kind.high_feed:
        return "high_feed_thinning_most"
    return "thinning_factor_most" if cutter.kind.solid else "insert_thinning_most"


def unbent(trial: Trial) -> Trial:
    """The trial of a cut whose force goes along the spindle or balances: nothing pushes the cutter aside."""
    return trial._replace(load=trial.load._replace(force=0.0, deflection=0.0))


def spindle_share(cut: Cut, trial: Trial) -> float:
    """What the cut asks of the spindle, as a share of what it is planned to give."""
    return trial.load.worn_power / (cut.bench.limits["power_share_most"] * trial.load.power_available)


def deflection_share(cut: Cut, trial: Trial) -> float:
    """What the deflection, as many times as the allowance must cover it, takes of the side allowance, or once of the
    greatest that the method allows, whichever is more.
    """
    bent = trial.load.deflection
    of_method = bent / cut.bend_most if cut.bend_most is not None else 0.0
    return max(of_method, bend_share(cut, bent, cut.inside.side) or 0.0)


def bend_share(cut: Cut, deflection: float, side: float) -> float | None:
    """A deflection [mm], as many times as it must be covered, over what covers it: the allowance on the wall [mm] with
    what stays there beyond it, or the tolerance of a wall that is cut to size; nothing where there is no wall.
    """
    limits = cut.bench.limits
    if not cut.region.has_walls:
        return None
    return limits["allowance_deflections"] * deflection / max(side, covered(cut), limits["to_size_cover"])


def covered(cut: Cut) -> float:
    """What covers the bending on the wall beside the cut [mm]: the allowance, with what a later pass takes there as far
    as a cutter may bend into both.
    """
    side = cut.inside.side
    return max(side, min(side + cut.spare, cut.bench.limits["slot_cover_most"]))


def bending_cause(cut: Cut) -> Cause:
    """What the bending is held against: the side allowance, the tolerance of a wall that keeps less than that, or the
    steps that it leaves on a face.
    """
    if cut.bend_most is not None and not cut.region.has_walls:
        return Cause(HeldBy.BENDING_ON_FACE, (cut.bend_most,))
    at_size = exceeds(cut.bench.limits["to_size_cover"], cut.inside.side)
    return Cause(HeldBy.BENDING_AT_SIZE if at_size else HeldBy.BENDING)


def spindle_cause(cut: Cut, trial: Trial) -> Cause:
    """What of the spindle held the cut back: torque below the speed of full power, power above."""
    spindle = cut.bench.machine.spindle
    full = spindle.speed[spindle.power.index(max(spindle.power))]
    return Cause(HeldBy.SPINDLE_TORQUE if trial.speed < full else HeldBy.SPINDLE_POWER, (trial.speed,))


def ease(
    cut: Cut,
    setting: str,
    start: float,
    least: float,
    trial_at: Callable[[float], Trial],
) -> Limited:
    """A setting brought down from ``start`` until spindle and cutter bear the cut, but not below ``least``.

    ``trial_at`` tries the cut with a value of the setting.
    """
    found = Limited(start)
    if getattr(cut.pinned, setting) is not None:
        return found
    trial_at = cache(trial_at)  # both limits begin with the same trial
    for share, cause in ((spindle_share, None), (deflection_share, bending_cause(cut))):
        eased = greatest(partial(_share_at, cut, share, trial_at), least, found.value)
        if eased < found.value:
            step = limited(setting, found.value, eased, cause or spindle_cause(cut, trial_at(found.value)))
            found = Limited(step.value, (*found.held, *step.held))
    return found


def _share_at(
    cut: Cut, share: Callable[[Cut, Trial], float], trial_at: Callable[[float], Trial], value: float
) -> float:
    return share(cut, trial_at(value))
