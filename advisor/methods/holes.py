"""Holes drilled in one go."""

from __future__ import annotations

from dataclasses import replace
from math import pi

from advisor.mechanics.drilling import drill_thrust, drilled_section
from advisor.mechanics.entry import drill_point
from advisor.mechanics.lengths import difference, exceeds, reaches
from advisor.mechanics.timing import path_time
from advisor.methods.cut import Cut, Trial
from advisor.methods.feeds import eased_feed, slower_speeds, thinned
from advisor.methods.finishing import CutResult, MethodFacts, finished
from advisor.methods.method import Method
from advisor.methods.pace import TimeAt
from advisor.methods.trial import STEADY, spindle_cause, try_cut, unbent
from advisor.model.cause import limited
from advisor.model.cutter import Cutter
from advisor.model.plan import Plan
from advisor.model.region import Region
from advisor.situation.bench import Bench
from advisor.situation.derived import worked_out
from advisor.situation.facts import InFeature

OF_A_DRILL = (
    "feed_per_revolution", "full_short", "full_short_ratio", "drill_length_needed", "drill_margin", "drill_spare",
    "shank_overhang",
    "drill_holder_margin", "wall_rest_share", "left_short", "drill_size_most",
    "pilot_width", "plate_margin",
)  # fmt: skip
OF_THE_TIP = ("full_depth", "tip_beyond", "free_for_the_tip", "under_tip", "under_tip_ratio")


def point_of(cutter: Cutter) -> float:
    """Length of a drill's point [mm]."""
    return drill_point(cutter.DC, cutter.point_angle or 180.0)


def drilled_to_size(item: InFeature) -> bool:
    """Whether a drill is so little wider than a hole for clearance or thread that it drills it to size."""
    return item.facts.get("drilled_to_size") == "yes"


def drill_depth(cut: Cut) -> float:
    """How deep the tip of a drill goes in a round hole [mm]: a drawing's depth is that at full diameter, so the point
    goes deeper, unless the floor must be flat.
    """
    if cut.pinned.axial_depth is not None:
        return cut.pinned.axial_depth
    flat = cut.region.floor and cut.region.flat_floor
    return cut.inside.depth_to_cut + (0.0 if flat else point_of(cut.cutter))


def opened(cut: Cut) -> float:
    """The diameter of the pilot hole that a drill opens [mm]: 0 in the solid, or where the pilot hole is shallower."""
    pilot = cut.pilot
    return pilot.diameter if pilot is not None and reaches(pilot.full_depth, cut.region.depth) else 0.0


def drilling_trial(cut: Cut, chip: float | None = None, speed_most: float | None = None) -> Trial:
    """The load of drilling: both lips together take the section of the hole a turn, as a cut pi DC wide and, in the
    solid, DC/4 deep would; that of the ring beside a pilot hole where there is one.

    The lips balance each other, so nothing pushes the drill aside.
    """
    wide = cut.cutter.DC * pi
    deep = drilled_section(cut.cutter.DC, opened(cut)) / wide
    return unbent(try_cut(cut, deep, wide, 90.0, basis=STEADY, chip=chip, speed_most=speed_most))


def eased_drilling(cut: Cut) -> Trial:
    """The load of drilling that the spindle has power and torque for.

    The speed is lowered first, since a thin chip does not break; a little less feed is given where that is quicker.
    Where neither is enough the feed falls, no lower than the edge can cut.
    """

    def feed_at(chip: float, speed_most: float | None = None) -> Trial:
        return drilling_trial(cut, chip, speed_most)

    found = eased_feed(cut, feed_at)
    if found.free or found.share <= 1 or cut.pinned.feed_per_tooth is not None:
        return found.trial
    near, found = 1 + cut.bench.limits["eased_feed_near"], thinned(cut, cut.chip_least, feed_at)
    for speed in slower_speeds(cut, feed_at(cut.chip)):
        slower = thinned(cut, cut.chip_least, feed_at, speed)
        thicker = slower.trial.feed_per_tooth > near * found.trial.feed_per_tooth
        if slower.share <= 1 and (found.share > 1 or thicker):
            found = slower
    return found.trial


def thrust_of(cut: Cut, trial: Trial) -> float:
    """The force of a drill along the spindle, with a worn edge as all forces are [N]."""
    cutter, share = cut.cutter, cut.bench.limits["drill_thrust_share"]
    worn = cut.bench.limits["wear_factor"] * trial.load.k_c
    return drill_thrust(worn, cutter.DC, trial.feed_per_tooth * cutter.ZEFP, cutter.KAPR, share, opened(cut))


def drilling_time(cut: Cut, depth: float, feed: float) -> float:
    """Time for drilling to a depth [s], with lifting to clear chips where the hole is deep."""
    limits = cut.bench.limits
    lifting = limits["drill_peck_factor"] if exceeds(depth, limits["drill_peck_ratio"] * cut.cutter.DC) else 1.0
    return path_time(depth + limits["approach"], feed) * lifting + path_time(depth, cut.bench.machine.rapid)


def plan(cut: Cut) -> Plan:
    """The plan for this drill in this hole."""
    cutter = cut.cutter
    wanted, trial = drilling_trial(cut), eased_drilling(cut)
    before, after = wanted.feed_per_tooth, trial.feed_per_tooth
    depth = drill_depth(cut)
    result = CutResult(
        trial=trial,
        wanted=wanted,
        levels=1,
        axial=depth,
        radial=cutter.DC,
        angle=180.0,
        cut_time=drilling_time(cut, depth, trial.feed),
        travel=0.0,
        held=limited("feed_per_tooth", before, after, spindle_cause(cut, wanted)).held,
    )
    facts = {"thrust": thrust_of(cut, trial), **tip_facts(cut.region, cutter, depth, cut.bench), **_left(cut)}
    of_a_reamer = ("drilled_over_ream",) if cut.inside.facts["hole_purpose"] == "ream" else ()
    found = finished(cut, METHOD, result, MethodFacts(facts=facts, names=(*OF_A_DRILL, *of_a_reamer)))
    return found if cut.pinned.side_allowance is not None else _with_its_rest(found, cut)


def _with_its_rest(plan: Plan, cut: Cut) -> Plan:
    """The plan with what the drill leaves on the wall as its side allowance."""
    side = max(0.0, difference(cut.region.width, cut.cutter.DC) / 2)
    facts = {name: value for name, value in plan.facts.items() if name != "deflection_share"}
    facts["planned_side_allowance"] = side
    if side > 0:
        facts["deflection_share"] = 0.0
    return replace(plan, side_allowance=side, facts=facts)


def tip_facts(region: Region, drill: Cutter, depth: float, bench: Bench) -> dict[str, float | None]:
    """Where the tip and the full diameter of a drill end that goes ``depth`` [mm] deep, and what is beneath [mm]."""
    place = {"depth": region.depth, "DC": drill.DC, "drill_point": point_of(drill), "drill_depth": depth}
    if region.floor_thickness is not None:
        place["floor_thickness"] = region.floor_thickness
    found = worked_out(OF_THE_TIP, place, limits=bench.limits)
    beneath = difference(region.clearance_below or 0.0, float(found["tip_beyond"]))
    return {
        "drill_point": place["drill_point"],
        "drill_depth": depth,
        "point_room": None if region.floor else beneath,
        **{name: float(value) for name, value in found.items()},
    }


def _left(cut: Cut) -> dict[str, float | None]:
    """What the drill leaves on the wall, what the purpose of the hole asks for, and the drills that leave it [mm]."""
    width, side = cut.region.width, cut.inside.side
    rest, purpose = difference(width, cut.cutter.DC) / 2, cut.inside.facts["hole_purpose"]
    if rest < 0 and drilled_to_size(cut.inside):
        rest = 0.0
    most = max(side, float(cut.inside.facts.get("hole_left_most", cut.bench.limits[f"hole_left_most_{purpose}"])))
    return {"wall_rest": rest, "left_over": difference(rest, most), "drill_size_least": width - 2 * most}


def lower_bound(cut: Cut) -> TimeAt:
    """A time at each pace that no plan of it stays below [s]; ``cut`` is as ``METHOD`` prepares it."""
    DC = cut.cutter.DC
    depth = drill_depth(cut)
    return lambda pace: drilling_time(cut, depth, min(pace.feed(DC), pace.rate / (DC / 4 * DC * pi)))


METHOD = Method(
    name="drilling",
    plan=plan,
    lower_bound=lower_bound,
    straight_down=True,
    full_width=True,
    whole_hole=True,
    by_drill=True,
    pushed_aside=False,
)
