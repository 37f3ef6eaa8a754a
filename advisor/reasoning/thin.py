"""Thin walls and floors: how far they give way under a cut, and how deep a level beside a thin wall may be."""

from __future__ import annotations

from math import cos, radians
from typing import TYPE_CHECKING

from advisor.mechanics.lengths import exceeds
from advisor.mechanics.plates import floor_deflection, wall_deflection, wall_strip

if TYPE_CHECKING:
    from advisor.reasoning.cut import Cut, Trial


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
    """The deepest level that the edge of the cutter and a thin wall allow [mm]."""
    ratio, thickness = cut.inside.facts.get("wall_level_ratio"), cut.region.thinnest_wall
    if ratio is None or thickness is None:
        return cut.cutter.APMX
    return min(cut.cutter.APMX, float(ratio) * thickness)


def note_level(cut: Cut, usual: float, axial: float) -> None:
    """Note that a level was made shallower for a thin wall, if the usual one is deeper than that allows [mm]."""
    if (
        exceeds(min(usual, cut.cutter.APMX), level_cap(cut))
        and exceeds(usual, axial)
        and cut.pinned.axial_depth is None
    ):
        ratio = float(cut.inside.facts["wall_level_ratio"])
        cut.hold("axial_depth", usual, axial, f"at most {ratio:g} times the thin wall's thickness")


def thin_facts(cut: Cut, trial: Trial, axial: float) -> dict[str, float | None]:
    """How far wall and floor give way under a cut, where their thickness is known: measures of a candidate."""
    region, limits, load, bottom = cut.region, cut.bench.limits, trial.load, cut.inside.bottom
    facts: dict[str, float | None] = {"tip_deflection": load.deflection}
    if region.thinnest_wall is not None:
        bent = wall_bend(cut, axial, load.force)
        facts["wall_deflection"] = bent
        facts["tip_deflection"] = max(0.0, load.deflection - bent)
        facts["wall_part"] = min(1.0, bent / load.deflection) if load.deflection else None
    if "wall_level_ratio" in cut.inside.facts and region.thinnest_wall:
        facts["level_over_wall"] = axial / region.thinnest_wall
    if region.floor_thickness is not None:
        lift = max(limits["axial_force_share"], cos(radians(cut.cutter.KAPR))) * load.force  # by helix or slanting edge
        thick = region.floor_thickness + bottom
        bent = min(region.width, floor_deflection(lift, region.width, thick, cut.bench.data.modulus))
        facts["floor_deflection"] = bent
        if bottom > 0:
            facts["floor_bend_share"] = limits["allowance_deflections"] * bent / bottom
    return facts
