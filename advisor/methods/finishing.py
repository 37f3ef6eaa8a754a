"""What methods do at the end: raise the allowance for deflection, note the held feed, time the travel along a shoulder,
put the plan together.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from advisor.knowledge.conditions import Value
from advisor.mechanics.chip import chip_thickness
from advisor.mechanics.lengths import difference, pieces, reaches
from advisor.mechanics.speed import cutting_speed, feed_rate, spindle_speed
from advisor.mechanics.timing import one_way_travel
from advisor.methods.cut import Cut, Trial
from advisor.methods.method import Method
from advisor.methods.speeds import speed_for, speed_held
from advisor.methods.thin import thin_facts
from advisor.methods.trial import bend_share, covered, deflection_share, spindle_cause, spindle_share
from advisor.model.cause import Cause, Held, HeldBy, Limited, limited
from advisor.model.plan import Plan
from advisor.situation.derived import worked_out
from advisor.situation.facts import put, side_most, stays

OF_A_CUT = (
    "radial_share", "axial_ratio", "flute_use", "overload_width", "power_share", "worn_torque", "width_over_wall",
    "tooth_frequency", "width_over_edge",
    "marked_share", "chip_kept", "chip_over_least", "edge_chip_least", "chip_over_edge", "centre_chip",
    "centre_chip_over_edge", "push_over_wall", "floor_bend_share", "rim_left",
)  # fmt: skip
OF_LEVELS = ("last_depth", "under_last", "last_over_floor")


@dataclass(frozen=True, slots=True, kw_only=True)
class CutResult:
    """A cut that is final, beside the one that the tables want: levels, axial depth and radial width [mm], engagement
    [deg], the time in the cut and beside it over all levels [s], and what held its settings back.
    """

    trial: Trial
    wanted: Trial
    levels: int
    axial: float
    radial: float
    angle: float
    cut_time: float
    travel: float
    held: tuple[Held, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedBasis:
    """What speed and feed rest on: the factor by which the cutting speed rises at a small radial width, the feed that
    the tables want where the machine's may hold it back [mm/min], and the feed of the cutter's centre over it, where
    the chip follows from that.
    """

    gain: float = 1.0
    wanted_feed: float | None = None
    feed_share: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class MethodFacts:
    """Facts that a method adds to those of every cut, and its measures that follow from facts by their formulas."""

    facts: dict[str, float | None]
    names: tuple[str, ...] = ()


PLAIN_FEED = FeedBasis()


def finished(cut: Cut, method: Method, result: CutResult, added: MethodFacts, basis: FeedBasis = PLAIN_FEED) -> Plan:
    """The plan for a cut that is final, with what held its settings back."""
    trial = result.trial
    side, of_side = _allowance(cut, trial)
    plan = Plan(
        method=method.name,
        cutter=cut.cutter,
        levels=result.levels,
        axial_depth=result.axial,
        radial_width=result.radial,
        feed_per_tooth=trial.feed_per_tooth,
        spindle_speed=trial.speed,
        feed_rate=feed_rate(trial.feed_per_tooth, cut.cutter.ZEFP, trial.speed),
        engagement=result.angle,
        chip=chip_thickness(basis.feed_share * trial.feed_per_tooth, trial.edge, result.angle),
        side_allowance=side,
        load=trial.load,
        cut_time=result.cut_time,
        travel_time=result.travel,
        rate=trial.rate,
        held=(*result.held, *_held_feed(cut, trial, basis), *of_side),
        facts={},
    )
    return replace(plan, facts=_facts(cut, method, plan, result, added, basis))


def _held_feed(cut: Cut, trial: Trial, basis: FeedBasis) -> tuple[Held, ...]:
    """What held speed and feed back beside the load: cutter and spindle, the machine's feed, the chip that is kept."""
    held, wanted, machine_feed = speed_held(cut, basis.gain), basis.wanted_feed, cut.bench.machine.feed_max
    if wanted is not None and wanted > machine_feed:
        held += limited("feed_rate", wanted, min(trial.feed, machine_feed), Cause(HeldBy.MACHINE_FEED)).held
    before = speed_for(cut, basis.gain)
    if trial.speed < before:
        why = Cause(HeldBy.HELD_FEED) if trial.speed_most is None else spindle_cause(cut, trial)
        held += limited("spindle_speed", before, trial.speed, Cause(HeldBy.CHIP_KEPT, since=why)).held
    return held


def _facts(
    cut: Cut, method: Method, plan: Plan, result: CutResult, added: MethodFacts, basis: FeedBasis
) -> dict[str, Value]:
    """The facts of a plan: those of every cut, those that the method adds, and what follows from both."""
    own: dict[str, Value] = {"method": method.name}
    if (by := held_by(cut, result.wanted)) is not None:
        own["held_by"] = by
    put(own, _size_facts(cut, plan) | {"working_edge_angle": result.trial.edge})
    put(own, _load_facts(cut, plan, result.wanted))
    put(own, _speed_facts(cut, plan, basis))
    put(
        own, {"planned_side_allowance": plan.side_allowance, "cut_time": plan.cut_time, "travel_time": plan.travel_time}
    )
    # a plan may say more levels than there is depth for
    last = difference(cut.inside.depth_to_cut, (plan.levels - 1) * plan.axial_depth)
    leveled = method.spares_a_floor and last > 0
    put(own, thin_facts(cut, result.trial, plan.axial_depth, last if leveled else None))
    put(own, added.facts)
    names = added.names
    if not method.by_drill and last > 0:
        names += OF_LEVELS if leveled else ("last_depth",)
    if cut.region.rough is not None:
        names += ("skin_speed",)
    if "wall_level_ratio" in cut.inside.facts:
        names += ("level_over_wall",)
    return own | worked_out(OF_A_CUT + names, cut.inside.facts, own, limits=cut.bench.limits)


def _size_facts(cut: Cut, plan: Plan) -> dict[str, float | None]:
    """How deep, wide and fast a plan cuts, and its chip."""
    strip, overload = cut.region.strip, cut.bench.limits["overload_radial_share"] * cut.cutter.DC
    return {
        "levels": float(plan.levels),
        "axial_depth": plan.axial_depth,
        "radial_width": plan.radial_width,
        "feed_per_tooth": plan.feed_per_tooth,
        "spindle_speed": plan.spindle_speed,
        "feed_rate": plan.feed_rate,
        "engagement": plan.engagement,
        "chip": plan.chip,
        "overload_spare": None if strip is None else difference(strip, cut.inside.side, overload),
    }


def _load_facts(cut: Cut, plan: Plan, wanted: Trial) -> dict[str, float | None]:
    """The load of a plan, and how much of the load and the rate that the tables want is kept."""
    load, most = plan.load, cut.bench.limits["power_share_most"]
    return {
        "power": load.power,
        "power_available": load.power_available,
        "worn_power": load.worn_power,
        "torque": load.torque,
        "torque_available": load.torque_available,
        "force": load.force,
        "deflection": load.deflection,
        "specific_force": load.k_c,
        "mean_chip": load.mean_chip,
        "removal_rate": plan.rate / 1000,
        "wanted_power": wanted.load.worn_power,
        "load_kept": min(1.0, most * wanted.load.power_available / wanted.load.worn_power),
        "rate_kept": min(1.0, plan.rate / wanted.rate),
        "deflection_share": bend_share(cut, load.deflection, plan.side_allowance),
    }


def _speed_facts(cut: Cut, plan: Plan, basis: FeedBasis) -> dict[str, float | None]:
    """Chip and speed beside those of the tables, and how stiff the tip is."""
    load, DC = plan.load, cut.cutter.DC
    return {
        "chip_least_here": cut.chip_least,
        "cutting_speed": cutting_speed(plan.spindle_speed, DC),
        "table_speed": cut.v_c,
        "speed_factor": cut.speed_factor * basis.gain,
        "table_chip": cut.chip,
        "load_angle": plan.engagement,
        "wanted_speed": spindle_speed(cut.v_c * cut.speed_factor * basis.gain, DC),
        "tip_stiffness": load.force / load.deflection if load.deflection else None,
    }


def held_by(cut: Cut, wanted: Trial) -> str | None:
    """What the cut of the tables asks more of than it gives, the spindle or the stiffness of cutter and wall; nothing
    where both bear it.
    """
    turning, bending = spindle_share(cut, wanted), deflection_share(cut, wanted)
    if max(turning, bending) <= 1:
        return None
    return "bending" if bending > turning else "spindle"


def strip_travel(cut: Cut, passes: int, radial: float, feed: float) -> float | None:
    """The time beside the cut of passes along an open shoulder or face [s]; nothing where a share of the path is taken
    for it.
    """
    if not cut.region.strip_like or not cut.region.one_way:
        return None
    return one_way_travel(passes, cut.region.length, radial, cut.cutter.DC, feed, cut.bench.machine.rapid)


def _allowance(cut: Cut, trial: Trial) -> Limited:
    """The side allowance [mm], raised where the deflection asks for it and the shop has not set its own."""
    if cut.pinned.side_allowance is not None:
        return Limited(cut.pinned.side_allowance)
    side, limits, cutter = cut.inside.side, cut.bench.limits, cut.cutter
    needed = limits["allowance_deflections"] * trial.load.deflection
    own = cut.region.allowance_side
    if own is not None:
        thin = Cause(HeldBy.RUBBING_PASS, (limits["wall_pass_least"],))
        return limited("allowance_side", own, side, thin) if side > own else Limited(side)
    if side == 0 or reaches(covered(cut), needed):
        return Limited(side)
    handy = pieces(needed, limits["handy_width"]) * limits["handy_width"]
    raised = min(limits["allowance_most"], handy, side_most(cut.region, cut.bench), stays(cut.region, cutter))
    return limited(
        "allowance_side",
        side,
        max(side, round(raised, 6)),
        Cause(HeldBy.ALLOWANCE_COVERS, (limits["allowance_deflections"],)),
    )
