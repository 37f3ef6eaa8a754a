"""What methods do at the end: raise the allowance for deflection, note the held feed, time the travel along a shoulder,
put the plan together.
"""

from __future__ import annotations

from collections.abc import Iterable

from advisor.knowledge.conditions import Value
from advisor.mechanics.chip import chip_thickness
from advisor.mechanics.lengths import difference, pieces, reaches
from advisor.mechanics.speed import cutting_speed, feed_rate, spindle_speed
from advisor.mechanics.timing import one_way_travel
from advisor.methods.cut import Cut, Trial, bend_share, covered, deflection_share, spindle_cause, spindle_share
from advisor.methods.method import Method
from advisor.methods.speeds import speed_for, speed_held
from advisor.methods.thin import thin_facts
from advisor.model.cause import Cause, Held, HeldBy, Limited, limited
from advisor.model.plan import Plan
from advisor.situation.derived import worked_out
from advisor.situation.facts import put, side_most, stays

OF_A_CUT = (
    "radial_share", "axial_ratio", "flute_use", "overload_width", "power_share", "width_over_wall", "tooth_frequency",
    "marked_share", "chip_kept", "chip_over_least", "edge_chip_least", "chip_over_edge", "centre_chip",
    "centre_chip_over_edge", "push_over_wall", "floor_bend_share",
)  # fmt: skip
OF_LEVELS = ("last_depth", "under_last", "last_over_floor")


def finished(
    cut: Cut,
    method: Method,
    trial: Trial,
    *,
    levels: int,
    axial: float,
    radial: float,
    angle: float,
    cut_time: float,
    travel: float,
    wanted: Trial,
    gain: float = 1.0,
    wanted_feed: float | None = None,
    feed_share: float = 1.0,
    facts: dict[str, float | None] | None = None,
    names: tuple[str, ...] = (),
    held: Iterable[Held] = (),
) -> Plan:
    """The plan for a trial that is final, with what held its settings back. Lengths mm, times s, feed mm/min.

    ``feed_share`` is the feed of the cutter's centre over it, where the chip follows from that; ``names`` are measures
    of the method that follow from its facts by their formulas.
    """
    held = [*held, *speed_held(cut, gain)]
    machine_feed = cut.bench.machine.feed_max
    if wanted_feed is not None and wanted_feed > machine_feed:
        held += limited("feed_rate", wanted_feed, min(trial.feed, machine_feed), Cause(HeldBy.MACHINE_FEED)).held
    before = speed_for(cut, gain)
    if trial.speed < before:
        why = Cause(HeldBy.HELD_FEED) if trial.speed_most is None else spindle_cause(cut, trial)
        held += limited("spindle_speed", before, trial.speed, Cause(HeldBy.CHIP_KEPT, since=why)).held
    side, of_side = _allowance(cut, trial)
    held += of_side
    cutter, load, limits = cut.cutter, trial.load, cut.bench.limits
    last = difference(
        cut.inside.depth_to_cut, (levels - 1) * axial
    )  # a plan may say more levels than there is depth for
    tooth, feed = trial.feed_per_tooth, feed_rate(trial.feed_per_tooth, cutter.ZEFP, trial.speed)
    chip = chip_thickness(feed_share * tooth, cutter.KAPR, angle)
    own: dict[str, Value] = {"method": method.name}
    if (by := held_by(cut, wanted)) is not None:
        own["held_by"] = by
    put(
        own,
        {
            "levels": float(levels),
            "axial_depth": axial,
            "radial_width": radial,
            "feed_per_tooth": trial.feed_per_tooth,
            "spindle_speed": trial.speed,
            "feed_rate": feed,
            "engagement": angle,
            "chip": chip,
            "overload_spare": None
            if cut.region.strip is None
            else difference(cut.region.strip, cut.inside.side, limits["overload_radial_share"] * cutter.DC),
            "power": load.power,
            "power_available": load.power_available,
            "worn_power": load.worn_power,
            "torque": load.torque,
            "torque_available": load.torque_available,
            "force": load.force,
            "deflection": load.deflection,
            "specific_force": load.k_c,
            "mean_chip": load.mean_chip,
            "removal_rate": trial.rate / 1000,
            "wanted_power": wanted.load.worn_power,
            "load_kept": min(1.0, limits["power_share_most"] * wanted.load.power_available / wanted.load.worn_power),
            "rate_kept": min(1.0, trial.rate / wanted.rate),
            "deflection_share": bend_share(cut, load.deflection, side),
            "chip_least_here": cut.chip_least,
            "cutting_speed": cutting_speed(trial.speed, cutter.DC),
            "table_speed": cut.v_c,
            "speed_factor": cut.speed_factor * gain,
            "table_chip": cut.chip,
            "load_angle": angle,
            "wanted_speed": spindle_speed(cut.v_c * cut.speed_factor * gain, cutter.DC),
            "tip_stiffness": load.force / load.deflection if load.deflection else None,
            "planned_side_allowance": side,
            "cut_time": cut_time,
            "travel_time": travel,
        },
    )
    leveled = method.spares_a_floor and last > 0
    put(own, thin_facts(cut, trial, axial, last if leveled else None))
    if facts:
        put(own, facts)
    if not method.by_drill and last > 0:
        names += OF_LEVELS if leveled else ("last_depth",)
    if cut.region.rough is not None:
        names += ("skin_speed",)
    if "wall_level_ratio" in cut.inside.facts:
        names += ("level_over_wall",)
    own |= worked_out(OF_A_CUT + names, cut.inside.facts, own, limits=limits)
    return Plan(
        method=method.name,
        cutter=cutter,
        levels=levels,
        axial_depth=axial,
        radial_width=radial,
        feed_per_tooth=tooth,
        spindle_speed=trial.speed,
        feed_rate=feed,
        engagement=angle,
        chip=chip,
        side_allowance=max(0.0, min(side, stays(cut.region, cut.cutter))),  # of a slot cut to size nothing stays
        load=load,
        cut_time=cut_time,
        travel_time=travel,
        rate=trial.rate,
        held=tuple(held),
        facts=own,
    )


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
