"""Thin walls and floors: how far they give way under a cut, how deep a level beside a thin wall or in tight corners may
be, and how deep
the last one over a thin floor.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import cos, inf, radians

from advisor.mechanics import levels as level_rules
from advisor.mechanics.lengths import difference, exceeds, reaches
from advisor.mechanics.plates import floor_deflection, wall_deflection, wall_strip
from advisor.methods.cut import Cut, Trial
from advisor.model.cause import Cause, Held, HeldBy, limited


def wall_bend(cut: Cut, axial: float, force: float) -> float:
    """How far the thinnest wall gives way beside a level ``axial`` deep [mm] under a side force [N]: in mm.

    The wall stands on the bottom of the level: below it there is still stock. As roughed it carries the side allowance
    of this side; the other side may be finished already. The force acts in the middle of the level, and what counts is
    the top of it. A wall that would bend further than the level is deep has folded, and goes no further.
    """
    region, thickness = cut.region, cut.region.thinnest_wall
    if thickness is None or axial <= 0:
        return 0.0
    thick, strip = thickness + cut.inside.side, wall_strip(axial, region.length)
    return min(axial, wall_deflection(force, axial, thick, cut.bench.data.modulus, axial / 2, strip))


def level_cap(cut: Cut) -> float:
    """The deepest level that the edge of the cutter, a thin wall and a tight corner allow [mm]."""
    return min(cut.cutter.APMX, _wall_cap(cut), _corner_cap(cut))


def _wall_cap(cut: Cut) -> float:
    """The deepest level that a thin wall bears [mm]; infinite beside any other."""
    ratio, thickness = cut.inside.facts.get("wall_level_ratio"), cut.region.thinnest_wall
    return inf if ratio is None or thickness is None else float(ratio) * thickness


def _corner_cap(cut: Cut) -> float:
    """The deepest level of a cutter that fills the corners, as the settings rules conclude for the material [mm];
    infinite where they are rounder, or where it leaves them to a smaller one.
    """
    facts, limits = cut.inside.facts, cut.bench.limits
    share, ratio, rest = (facts.get(name) for name in ("corner_level_share", "corner_ratio", "corner_rest_beyond"))
    if share is None or ratio is None or rest is None:
        return inf
    fills = exceeds(limits["corner_ratio_hard"], float(ratio)) and reaches(limits["corner_rest_little"], float(rest))
    return difference(float(share) * cut.cutter.DC, limits["typed_depth"]) if fills else inf


def held_by_cap(cut: Cut, usual: float, axial: float) -> tuple[Held, ...]:
    """What makes a level shallower beside a thin wall or in tight corners, if the usual one is deeper than these allow
    [mm].
    """
    if (
        exceeds(min(usual, cut.cutter.APMX), level_cap(cut))
        and exceeds(usual, axial)
        and cut.pinned.axial_depth is None
    ):
        by_wall = _wall_cap(cut) <= _corner_cap(cut)
        ratio = float(cut.inside.facts["wall_level_ratio" if by_wall else "corner_level_share"])
        cause = Cause(HeldBy.THIN_WALL if by_wall else HeldBy.TIGHT_CORNER, (ratio,))
        return limited("axial_depth", usual, axial, cause).held
    return ()


def last_cap(cut: Cut) -> float:
    """The deepest last level that a thin floor bears [mm]: so many times what stays under it until it is finished;
    infinite over any other floor, and where so much stays that it is firm.
    """
    ratio, thickness = cut.inside.facts.get("floor_level_ratio"), cut.region.floor_thickness
    if ratio is None or thickness is None:
        return inf
    stays = thickness + cut.inside.bottom
    return inf if exceeds(stays, cut.bench.limits["floor_stays_firm"]) else float(ratio) * stays


def levels_over_floor(cut: Cut, most: float) -> int:
    """The least number of levels of at most ``most`` [mm], of which the last is no deeper than a thin floor bears."""
    depth, last = cut.inside.depth_to_cut, last_cap(cut)
    count = level_rules.levels(depth, most)
    return max(count, 1 + level_rules.levels(difference(depth, last), most)) if exceeds(depth, last) else count


def least_level(cut: Cut, count: int) -> float:
    """How deep each of so many levels is at least [mm]: as deep as all, or what the last leaves to the others where a
    thin floor makes that one thinner.
    """
    depth, last = cut.inside.depth_to_cut, last_cap(cut)
    return depth / count if count == 1 or not exceeds(depth, last) else max(depth / count, (depth - last) / (count - 1))


def leaves_a_last(cut: Cut, count: int, axial: float) -> bool:
    """Whether levels so deep [mm] leave something for the last that is worth a level, over a thin floor by its own
    measure.
    """
    last, cap = difference(cut.inside.depth_to_cut, (count - 1) * axial), last_cap(cut)
    thin = count > 1 and exceeds(cut.inside.depth_to_cut, cap)
    least = cut.bench.limits["last_share_least"] * cap if thin else cut.bench.limits["last_sliver_share"] * axial
    return last > 0 and reaches(last, least)


def wanted_level(cut: Cut, most: float) -> float:
    """The level that is wanted [mm] where the tables allow ``most``: as deep as it takes for the fewest levels."""
    return least_level(cut, levels_over_floor(cut, most))


def held_by_floor(cut: Cut, usual: float, axial: float, held: Iterable[Held]) -> tuple[Held, ...]:
    """What makes levels shallower than the usual ones over a thin floor [mm], unless it was ``held`` so before."""
    free, usual = cut.pinned.axial_depth is None and cut.pinned.levels is None, min(usual, cut.inside.depth_to_cut)
    told = any(one.setting == "axial_depth" and one.after == axial for one in held)
    if free and not told and exceeds(cut.inside.depth_to_cut, last_cap(cut)) and exceeds(usual, axial):
        why = Cause(HeldBy.THIN_FLOOR, (last_cap(cut),))
        return limited("axial_depth", usual, axial, why).held
    return ()


def thin_facts(cut: Cut, trial: Trial, axial: float, last: float | None = None) -> dict[str, float | None]:
    """How far wall and floor give way under a cut, where their thickness is known: measures of a candidate.

    ``last`` is how deep the last level is, where levels are cut one by one [mm]: the floor is pushed most by that one,
    or by the one before, which still has the last under it.
    """
    region, limits, load, bottom = cut.region, cut.bench.limits, trial.load, cut.inside.bottom
    facts: dict[str, float | None] = {"tip_deflection": load.deflection}
    if region.thinnest_wall is not None:
        bent = wall_bend(cut, axial, load.force)
        facts["wall_deflection"] = bent
        facts["tip_deflection"] = max(0.0, load.deflection - bent)
        facts["wall_part"] = min(1.0, bent / load.deflection) if load.deflection else None
    if region.floor_thickness is not None:
        lift = max(limits["axial_force_share"], cos(radians(cut.cutter.KAPR))) * load.force  # by helix or slanting edge
        thick, width, modulus = region.floor_thickness + bottom, region.width, cut.bench.data.modulus
        bent = floor_deflection(lift, width, thick, modulus)
        if last is not None and exceeds(axial, last):
            bent = max(bent * last / axial, floor_deflection(lift, width, thick + last, modulus))
        bent = min(width, bent)
        facts["floor_deflection"] = bent
    return facts
