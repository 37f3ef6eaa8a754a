"""The facts of a feature and of a cutter in it: flat, registered measures, numbers and words only."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import inf
from typing import NamedTuple

from advisor.knowledge.conditions import Situation, yes
from advisor.knowledge.schema import Rule
from advisor.mechanics import levels as level_rules
from advisor.mechanics.deflection import cutter_segments, equivalent_projection
from advisor.mechanics.entry import drill_point
from advisor.mechanics.lengths import difference, exceeds, reaches
from advisor.model.beneath import BottomPolicy
from advisor.model.cutter import Cutter
from advisor.model.region import Region
from advisor.readers.materials import load_materials
from advisor.situation.bench import Bench
from advisor.situation.clearance_below import raise_to_drill
from advisor.situation.derived import work_out, worked_out

AS_DRILLED = ("clearance", "thread")  # purposes of holes that nothing finishes
OF_THE_FEATURE = ("aspect_ratio", "wall_slenderness", "floor_slenderness", "table_ramp_angle")
OF_THE_CUTTER = (
    "depth_ratio", "reach_ratio", "projection_ratio", "edge_ratio", "full_width_factor",
    "rim_ratio", "fit_ratio", "width_spare", "width_ratio", "fill_share",
)  # fmt: skip
OF_A_CORNER = ("corner_rest", "corner_rest_beyond")
OF_WHAT_IS_LEFT = (
    "depth_to_cut", "flute_cover", "length_needed", "reach_margin", "reach_short", "holder_margin",
    "shank_gap", "neck_gap", "corner_ratio", *OF_A_CORNER, "helix_core_margin", "length_ratio",
    "gap_spare", "loop_radius", "wall_spare", "wall_spare_ratio", "fillet_left", "sharp_share",
    "radius_over_stock", "radius_of_depth", "room_beneath", "foot_height", "foot_width", "foot_share",
    "skin_to_cut",
)  # fmt: skip
TRAITS = ("burns", "work_hardens", "builds_up_edge", "abrasive", "hard_skin", "age_hardened", "pre_hardened")


def put(facts: Situation, values: Mapping[str, float | None]) -> None:
    """Add the numbers that are there; an absent one stays absent."""
    facts.update({name: value for name, value in values.items() if value is not None})


class Contradiction(RuntimeError):
    """Two rules conclude different values for one fact and neither overrides the other."""


def conclude(facts: Situation, fired: tuple[Rule, ...]) -> None:
    """Add what the fired rules conclude, for later stages to read.

    Raises:
        Contradiction: two rules conclude different values for one fact and neither overrides the other.
    """
    overridden = {other for rule in fired for other in rule.overrides}
    by: dict[str, Rule] = {}
    for rule in fired:
        if rule.concludes is None or rule.id in overridden:
            continue
        fact, value, _ = rule.concludes
        if fact in by and facts[fact] != value:
            raise Contradiction(f"{by[fact].id} and {rule.id} conclude different values for {fact}")
        by[fact], facts[fact] = rule, value


def feature_facts(region: Region, bench: Bench) -> Situation:
    """What is known of a feature before any cutter is looked at."""
    material, machine = bench.material, bench.machine
    facts: Situation = {
        "feature": region.kind,
        "group": material.group,
        "material_class": material.cutting_class,
        "floor": yes(region.floor),
        "open_side": yes(region.open_side),
        "falls_in_two": yes(region.falls_in_two),
        "depth": region.depth,
        "length": region.length,
        "width": region.width,
        "top": region.top,
        "count": float(region.copies),
        "sharp_diameter": 0.0,  # of a crib: ``fillet_cutter.with_sharper``
        "k_c11": material.k_c11,
        "m_c": material.m_c,
        "radial_share_low": bench.data.radial_share[0],
        "radial_share_high": bench.data.radial_share[1],
        "ramp_angle_low": bench.data.ramp_angle[0],
        "ramp_angle_high": bench.data.ramp_angle[1],
        "torque_most": bench.torque_most,
        "tool_change": machine.tool_change,
        "axis_acceleration": machine.axis_acceleration,
        "rapid": machine.rapid,
    }
    facts |= {f"material_{trait}": yes(getattr(material, trait)) for trait in TRAITS}
    cooled_by = () if bench.data.cut_dry else machine.coolant
    facts |= {f"coolant_{kind}": yes(kind in cooled_by) for kind in ("flood", "air", "mist", "through")}
    put(
        facts,
        {
            "narrowest_width": region.narrowest,
            "fit_width": region.fit_width,
            "open_sides": None if region.open_sides is None else float(region.open_sides),
            "corner_radius": region.corner_radius,
            "clearance_below": region.clearance_below,
            "raise_to_drill": raise_to_drill(region, bench),
            "island": region.island,
            "island_length": region.island_length,
            "thinnest_wall": region.thinnest_wall,
            "floor_thickness": region.floor_thickness,
            "wall_stock": region.strip,
            "stock_side": region.strip if region.kind == "outside_profile" else None,
            "wall_height": region.tallest_wall or region.depth,
            "skin_wall": region.skin_wall,
            "opening": region.opening,
        },
    )
    if region.rough is not None:
        facts["rough"] = region.rough
        facts["cast_floor"] = yes(region.cast_floor)
    work_out(OF_THE_FEATURE, facts, bench.limits)
    if region.flat_floor is not None:
        facts["flat_floor"] = yes(region.flat_floor)
    words = {name: getattr(region, name) for name in ("purpose", "open_at", "entry_place")}
    facts |= {name: str(word) for name, word in words.items() if word is not None}
    conclude(facts, bench.inference.fired("appraisal", "feature", facts))
    conclude(facts, bench.inference.fired("settings", "feature", facts))
    return facts


class Left(NamedTuple):
    """What a cut leaves on walls and floor, and how far it goes past the bottom [mm]."""

    side: float
    bottom: float
    overcut: float


@dataclass(frozen=True, slots=True)
class InFeature:
    """One cutter in one region: its facts, and the allowances and depth that follow. Lengths in mm."""

    cutter: Cutter
    facts: Situation
    side: float
    bottom: float
    overcut: float
    depth_to_cut: float


def segments_of(cutter: Cutter, bench: Bench) -> list[tuple[float, float]]:
    """The pieces of a cutter from its tip to the holder, each (length, diameter that carries) [mm]: flutes of a solid
    cutter carry as a share of DC, the body of an inserted one in full.
    """
    share = bench.limits["flute_diameter_share"] if cutter.kind.solid else 1.0
    return cutter_segments(cutter.APMX, cutter.DC, cutter.DN, cutter.LU, cutter.LPR, cutter.body_diameter, share)


def slenderness(cutter: Cutter, bench: Bench) -> float:
    """How long, in DC, a plain bar of the flutes' share of DC is that bends as much as the cutter does [-]."""
    bar = bench.limits["flute_diameter_share"] * cutter.DC
    return equivalent_projection(segments_of(cutter, bench), bar) / cutter.DC


def cutter_in(region: Region, cutter: Cutter, shared: Situation, bench: Bench, left: Left | None = None) -> InFeature:
    """A cutter in a region: geometry, then what the settings rules conclude for it, then what follows from that.

    ``left`` is what somebody else chose to leave, in place of what the rules conclude.
    """
    facts = dict(shared)
    DC = cutter.DC
    facts |= {
        "cutter_id": cutter.id,
        "body": cutter.body,
        "substrate": cutter.substrate,
        "end_cutting": yes(cutter.end_cutting),
        "DC": DC,
        "APMX": cutter.APMX,
        "LU": cutter.LU,
        "LPR": cutter.LPR,
        "DCONMS": cutter.DCONMS,
        "RE": cutter.RE,
        "KAPR": cutter.KAPR,
        "ZEFP": float(cutter.ZEFP),
        "dead_centre": cutter.dead_centre,
        "holder_diameter": cutter.holder_diameter,
        "slenderness": slenderness(cutter, bench),
    }
    for name in ("FHA", "RMPX", "RPMX", "DN", "point_angle"):
        if (given := getattr(cutter, name)) is not None:
            facts[name] = given
    if any(one.name == "LU" for one in cutter.assumed):
        facts["assumed_reach"] = cutter.LU
    facts |= _ground_for(cutter, (str(facts["group"]), *bench.data.ground_for))
    work_out(OF_THE_CUTTER, facts, bench.limits)
    if region.round:
        facts["hole_purpose"] = hole_purpose(region, cutter, bench)
    fits = reaches(bench.limits["drill_wider_most"], difference(DC, region.width))
    facts["drilled_to_size"] = yes(cutter.kind.drill and facts.get("hole_purpose") in AS_DRILLED and fits)
    conclude(facts, bench.inference.fired("appraisal", "cutter", facts))
    conclude(facts, bench.inference.fired("settings", "cutter", facts))
    side, bottom, overcut = left or Left(_side(region, cutter, facts, bench), *_bottom(region, cutter, facts, bench))
    facts |= {"side_allowance": side, "bottom_allowance": bottom, "overcut": overcut}
    room = difference(region.entry_width, 2 * side)
    facts |= {"entry_room": room, "helix_room_ratio": min(room, 2 * (DC - cutter.RE)) / DC}
    work_out(OF_WHAT_IS_LEFT, facts, bench.limits)
    edged = region.floor and region.has_walls and (not region.round or region.flat_floor is True)
    rounded = exceeds(cutter.RE - side, bench.limits["floor_fillet_usual"])
    sloped = exceeds(float(facts.get("foot_width", 0.0)), bench.limits["foot_width_told"])
    facts["foot_fillet"] = yes(edged and (rounded or sloped))
    return InFeature(cutter, facts, side, bottom, overcut, float(facts["depth_to_cut"]))


def hole_purpose(region: Region, cutter: Cutter, bench: Bench) -> str:
    """What a round hole is for: as given, else a clearance hole for a drill of its size, and for all others one that is
    finished by milling.
    """
    if region.purpose is not None:
        return region.purpose
    limits, wider = bench.limits, difference(cutter.DC, region.width)
    fits = reaches(limits["drill_wider_most"], wider) and reaches(limits["hole_left_most_clearance"], -wider / 2)
    to_size = cutter.kind.drill and fits
    return "clearance" if to_size and not region.allowance_side else "mill"


def _ground_for(cutter: Cutter, fitting: Sequence[str]) -> Situation:
    """What the crib says of the edge: its coating, whether it is ground for one of the groups of ISO 513 that fit the
    material, and whether for soft or for hard material alone.
    """
    facts: Situation = {}
    if cutter.TMC1ISO is not None:
        groups = cutter.TMC1ISO.split()
        facts["ground_here"] = yes(not set(fitting).isdisjoint(groups))
        facts |= {name: yes(groups == [group]) for name, group in load_materials().edges_alone.items()}
    if cutter.COATING is not None:
        facts["coating"] = cutter.COATING
    return facts


def _side(region: Region, cutter: Cutter, facts: Situation, bench: Bench) -> float:
    """Side allowance [mm]: the shop's own, else the usual one, or that of a thin wall, of little stock a share of it;
    a face has no walls to keep it on. What a cutter as wide as its slot leaves is the allowance there, if it is enough
    to finish, and no pass is planned that is too thin to cut.
    """
    if region.kind == "planar_face":
        return 0.0
    limits, own, thin = bench.limits, region.allowance_side, float(facts.get("side_allowance_thin", 0.0))
    usual = float(facts.get("hole_allowance", facts.get("side_allowance_usual", 0.0)))
    side = min(max(usual, thin), side_most(region, bench)) if own is None else own
    finishable = min(limits["allowance_least"], limits["allowance_least_share"] * cutter.DC)
    least, left = side if own is not None or thin else finishable, stays(region, cutter)
    finishes = reaches(left, least) and exceeds(side + limits["wall_pass_least"], left)
    return left if side > 0 and finishes else side


def stays(region: Region, cutter: Cutter) -> float:
    """What a cut in one width leaves on each wall [mm]; infinite where there are not two walls, or a hole's."""
    return inf if region.fit_width is None or region.round else difference(region.fit_width, cutter.DC) / 2


def side_most(region: Region, bench: Bench) -> float:
    """The greatest side allowance that still leaves something to rough beside the wall [mm]."""
    return float("inf") if region.strip is None else bench.limits["allowance_stock_share"] * region.strip


def _bottom(region: Region, cutter: Cutter, facts: Situation, bench: Bench) -> tuple[float, float]:
    """Bottom allowance and overcut [mm], by the policy that the rules concluded."""
    limits, policy = bench.limits, facts.get("bottom_policy")
    if cutter.kind.drill and not region.floor:  # a rule forbids what would drill into what lies beneath
        return 0.0, drilled_through(region, cutter, bench) if region.round else 0.0
    if cutter.kind.drill and region.round and not region.flat_floor:
        return region.allowance_bottom or 0.0, 0.0  # drilled to its depth: nobody finishes a cone
    if policy == BottomPolicy.PAST_THE_BOTTOM:
        clearance, least = region.clearance_below or 0.0, limits["overcut_least"]
        wanted = level_rules.overcut(cutter.RE, least, limits["overcut_beyond_radius"])
        room = min(clearance - limits["clearance_beyond_overcut"], max(least, limits["overcut_room_share"] * clearance))
        return 0.0, min(wanted, room)
    most = limits["allowance_depth_share"] * region.depth
    usual = min(max(float(facts.get(f"bottom_allowance_{kind}", 0.0)) for kind in ("usual", "thin")), most)
    if policy == BottomPolicy.ABOVE_A_CAST_FLOOR:
        clear = min(limits["cast_floor_clearance"], most)
        return max(clear, usual if region.allowance_bottom is None else region.allowance_bottom), 0.0
    if policy == BottomPolicy.LEAVE_A_SKIN:
        return min(limits["skin"], most), 0.0
    if policy == BottomPolicy.TO_DEPTH:
        return region.allowance_bottom or 0.0, 0.0
    if region.allowance_bottom is not None:
        return region.allowance_bottom, 0.0
    return usual, 0.0


def drilled_through(region: Region, drill: Cutter, bench: Bench) -> float:
    """How far a drill's full diameter goes past the bottom [mm]: as usual, less where the gap to what lies beneath
    would not stay beneath the point, and never less than the least.
    """
    limits, point = bench.limits, drill_point(drill.DC, drill.point_angle or 180.0)
    room = difference(region.clearance_below or 0.0, point, limits["clearance_beyond_overcut"])
    return max(limits["drill_through_least"], min(limits["drill_through"], room))


def corner_rest(DC: float, corner_radius: float, side: float, limits: Mapping[str, float]) -> Situation:
    """What a cutter leaves in a corner beyond the allowance, measured out of it, and how far that is beyond what
    finishing takes anyway [mm].
    """
    return worked_out(OF_A_CORNER, {"DC": DC, "corner_radius": corner_radius, "side_allowance": side}, limits=limits)
