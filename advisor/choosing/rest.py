"""Which cutter of the crib takes what the advised one leaves in the corners."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import inf

from advisor.choosing.candidates import grade_of
from advisor.choosing.corner import corner_feed
from advisor.choosing.rigidity import leaves_rest
from advisor.knowledge.conditions import Situation
from advisor.knowledge.measures import JUDGING
from advisor.mechanics.lengths import difference, exceeds, reaches
from advisor.mechanics.levels import levels
from advisor.methods.easing import even_depth
from advisor.methods.registry import METHODS
from advisor.methods.skin import planned
from advisor.methods.trial import cut_of, down_to
from advisor.model.answer import Rest, RestSettings
from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter
from advisor.model.plan import Pinned
from advisor.model.region import Region
from advisor.situation.bench import Bench
from advisor.situation.facts import Left, corner_rest, cutter_in
from advisor.situation.pairings import ways

BESIDE = (
    "width_ratio",
    "corner_ratio",
    "corner_rest",
    "corner_rest_beyond",
)  # how wide the region is beside the cutter
# The method by which a narrower cutter clears corners; cutters of the bodies that can be meant for it are looked at.
SIDE_CUTTING = next(method.name for method in METHODS.values() if method.takes_corners)


GROUND = ("ground_here", "ground_soft", "ground_blunt")  # what the crib says of the groups that the edge is for


def rest_of_corners(
    best: Candidate, region: Region, shared: Situation, crib: Sequence[Cutter], bench: Bench
) -> Rest | None:
    """The cutter for the rest that a way leaves in the corners; nothing where it leaves no more than finishing takes.

    It cuts with its side, or in thin levels with an edge for high feeds where no square one will do. It turns the
    corners with their allowance on, reaches the depth, and no rule speaks against it in this feature and material; or,
    where there is none so good, none forbids it. How narrow it is beside the whole region is no matter: it only cuts
    the corners.
    """
    if METHODS[best.method].whole_hole or float(best.facts.get("corner_rest_beyond", 0.0)) <= 0:
        return None
    bodies, limits = ways()[SIDE_CUTTING].bodies, bench.limits
    side = float(best.facts.get("planned_side_allowance", best.facts["side_allowance"]))
    room = 2 * difference(region.corner_radius or 0.0, side) / limits["rest_corner_ratio_least"]
    narrower = [cutter for cutter in crib if cutter.body in bodies and exceeds(best.cutter.DC, cutter.DC)]
    fitting = [cutter for cutter in narrower if reaches(room, cutter.DC)]
    square = [one for one in fitting if limits["shoulder_edge_angle_least"] <= one.KAPR]
    flat = [one for one in fitting if limits["flat_edge_angle_most"] >= one.KAPR]  # leaves a low slope at the foot
    known = {cutter: _in_corners(region, cutter, shared, bench) for cutter in (*square, *flat)}
    wrongly_ground = second_best = None
    for cutter in (*_quickest_first(square, known), *_quickest_first(flat, known)):
        facts = known[cutter]
        if will_do(facts, bench):
            return Rest(cutter, widest=room, settings=rest_settings(best, region, cutter, shared, bench))
        if second_best is None and facts.get("ground_here") != "no" and may_do(facts, bench):
            second_best = cutter
        if wrongly_ground is None and facts.get("ground_here") == "no":
            otherwise = {name: value for name, value in facts.items() if name not in GROUND} | {"ground_here": "yes"}
            wrongly_ground = cutter if will_do(otherwise, bench) else None
    if second_best is not None:
        return Rest(second_best, widest=room, settings=rest_settings(best, region, second_best, shared, bench))
    steep, flat_most = limits["shoulder_edge_angle_least"], limits["flat_edge_angle_most"]
    nearly = [one for one in narrower if one not in fitting and not flat_most < one.KAPR < steep]
    for cutter in sorted(nearly, key=lambda item: (item.DC, item.LPR, item.id)):
        if leaves_rest(corner_rest(cutter.DC, region.corner_radius or 0.0, side, limits)):
            break
        if will_do(_in_corners(region, cutter, shared, bench), bench):
            return Rest(None, stopping=cutter, widest=room)
    return Rest(None, wrongly_ground, widest=room)


def rest_settings(
    best: Candidate, region: Region, cutter: Cutter, shared: Situation, bench: Bench
) -> RestSettings | None:
    """How a cutter takes the rest in the corners: in levels as deep as its diameter, or as thin as its own way in
    layers asks, in passes as narrow as the table has them, at the feed that it bears in the corner, leaving what the
    advised way leaves; nothing where there are no data or the way does not work out.
    """
    method, limits = METHODS[SIDE_CUTTING], bench.limits
    side = float(best.facts.get("planned_side_allowance", best.facts["side_allowance"]))
    left = Left(side, float(best.facts["bottom_allowance"]), float(best.facts["overcut"]))
    inside = cutter_in(region, cutter, shared, bench, left)
    plain = cut_of(inside, region, bench)
    if plain is None:
        return None
    usual = planned(method, method.prepared(plain))
    deepest = min(limits["rest_depth_ratio"] * cutter.DC, cutter.APMX, inf if usual is None else usual.axial_depth)
    count = levels(inside.depth_to_cut, deepest)
    axial = even_depth(plain, count, 0.0, deepest)
    narrow = down_to(bench.data.radial_share[0] * cutter.DC, limits["handy_width"])
    cut = method.prepared(replace(plain, pinned=Pinned(levels=count, axial_depth=axial, radial_width=narrow)))
    try:
        plan = planned(method, cut)
    except (ValueError, ArithmeticError):  # a cut that geometry does not know
        return None
    if plan is None:
        return None
    tooth = min(plan.feed_per_tooth, corner_feed(cut, axial)) if region.corners else plan.feed_per_tooth
    speed = plan.spindle_speed
    return RestSettings(axial, count, narrow, speed, tooth, tooth * cutter.ZEFP * speed)


def _in_corners(region: Region, cutter: Cutter, shared: Situation, bench: Bench) -> Situation:
    """The facts of a cutter for the corners alone: none of how wide the region is beside it."""
    facts = cutter_in(region, cutter, shared, bench).facts
    return {name: value for name, value in facts.items() if name not in BESIDE}


def _quickest_first(cutters: Sequence[Cutter], known: Mapping[Cutter, Situation]) -> list[Cutter]:
    """Those that clear most in a time before the others: the widest, at the speed that its edge is made for."""

    def pace(cutter: Cutter) -> float:
        return cutter.DC * float(known[cutter].get("substrate_speed_factor", 1.0))

    return sorted(cutters, key=lambda item: (-pace(item), item.LPR, -item.ZEFP, item.id))


def may_do(facts: Situation, bench: Bench) -> bool:
    """Whether no rule about feature and cutter forbids it."""
    return grade_of(bench.inference.every(JUDGING, ("cutter",), facts)) != "forbidden"


def will_do(facts: Situation, bench: Bench) -> bool:
    """Whether no rule about feature and cutter speaks against it."""
    return grade_of(bench.inference.every(JUDGING, ("cutter",), facts)) not in ("forbidden", "poor")
