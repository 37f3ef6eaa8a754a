"""Whether a shorter cutter of the crib does what a long one of the plan does."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.choosing.candidates import RegionSearch, cutter_in_region
from advisor.choosing.ranking import standing
from advisor.knowledge.conditions import Situation
from advisor.knowledge.measures import JUDGING
from advisor.mechanics.deflection import cutter_segments, tip_deflection
from advisor.mechanics.lengths import exceeds, reaches
from advisor.model.cutter import Cutter
from advisor.review.finding import suits
from advisor.situation.facts import InFeature


def beside_shorter(
    cutter: Cutter, axial_depth: float, item: InFeature, crib: Sequence[Cutter], search: RegionSearch
) -> Situation:
    """How much more the cutter bends than the shortest alike that reaches, and how far that one stands out [mm].

    Alike are cutters of the same body, diameter, teeth, edge angle and substrate that suit the material as well.
    Nothing where none is shorter. The cutter alone is compared, without holder and spindle.
    """
    depth, limits = item.depth_to_cut + float(item.facts.get("top", 0.0)), search.bench.limits
    own = _unsuited(cutter, search)
    alike = [
        other
        for other in crib
        if (other.body, other.DC, other.ZEFP, other.KAPR, other.substrate)
        == (cutter.body, cutter.DC, cutter.ZEFP, cutter.KAPR, cutter.substrate)
        and exceeds(cutter.LPR, other.LPR)
        and reaches(other.LPR, depth + limits["holder_clearance_least"])
        and reaches(other.LU, depth)
        and reaches(other.APMX, axial_depth)
        and _unsuited(other, search) <= own
    ]
    if cutter.kind.drill or not alike:
        return {}
    shortest = min(alike, key=lambda other: _compliance(other, limits["flute_diameter_share"]))
    ratio = _compliance(cutter, limits["flute_diameter_share"]) / _compliance(shortest, limits["flute_diameter_share"])
    return {"stiffer_by": ratio, "shorter_projection": shortest.LPR}


def _unsuited(cutter: Cutter, search: RegionSearch) -> frozenset[str]:
    """The rules that speak against a cutter for its edge in this material."""
    fired = search.bench.inference.every(JUDGING, ("cutter",), cutter_in_region(cutter, search).facts)
    return frozenset(rule.id for rule in standing(fired) if suits(rule) and rule.verdict in ("against", "forbids"))


def _compliance(cutter: Cutter, flute_share: float) -> float:
    """How far the tip gives way, as a multiple that holds for any material of the cutter."""
    share = flute_share if cutter.kind.fluted else 1.0
    shape = cutter_segments(cutter.APMX, cutter.DC, cutter.DN, cutter.LU, cutter.LPR, cutter.body_diameter, share)
    return tip_deflection(1.0, shape, 1.0, 0.0)
