"""A feature as seen from above, before anyone draws it: its outline, which sides are open, where the cutter gets in.

Lengths in mm; x to the right and y downwards from the upper left corner of the finished outline.
"""

from __future__ import annotations

from typing import NamedTuple

from advisor.mechanics.lengths import difference
from advisor.methods.registry import METHODS
from advisor.model.candidate import Candidate
from advisor.model.entry import EntryKind
from advisor.model.region import Region

SIDES = ("top", "right", "bottom", "left")
OPEN: dict[str, tuple[tuple[str, ...], ...]] = {  # which sides are drawn open, by how many are
    "open_pocket": ((), ("right",), ("right", "left"), ("bottom", "right", "left")),
    "slot": ((), ("right",), ("right", "left")),
}
OPEN_AT = {"long_side": ((), ("bottom",), ("bottom", "top")), "corner": ((), (), ("bottom", "right"))}
ALL_OPEN = {"step": ("right", "bottom", "left"), "planar_face": SIDES}
WALL = 0.06  # of the outline's longer side: stock shown beyond a wall
FREE, RUN_IN = 0.3, 1.15  # of DC: free space shown beside an open side, and where the cutter comes in


class Box(NamedTuple):
    """A rectangle; ``radii`` are those of its corners, from the upper left one clockwise."""

    x: float
    y: float
    wide: float
    high: float
    radii: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)


class Roll(NamedTuple):
    """A quarter turn from outside to where the cutter is drawn: centre, radius, angles [deg]."""

    x: float
    y: float
    r: float
    start: float
    end: float


class Outline(NamedTuple):
    """The view. ``finished`` is the outline of the feature, ``cleared`` what is left of it within the allowance;
    ``paper`` what is shown, ``island`` what stays in its middle, ``opening`` what a casting has open. ``around`` is
    true for a part cut from outside, with ``strip`` of stock beside it. ``rest`` is the radius of the corners less the
    allowance where the cutter does not get into them. ``at`` is where the cutter stands; ``roll`` how it was rolled in;
    ``straight`` from where it came, if it came straight.
    """

    finished: Box
    cleared: Box
    paper: Box
    open: frozenset[str]
    around: bool
    strip: float
    left: float
    island: Box | None
    rest: float | None
    at: tuple[float, float]
    roll: Roll | None
    straight: tuple[float, float] | None
    opening: Box | None = None


def outline_of(candidate: Candidate, region: Region) -> Outline:
    """The view of a feature from above with the cutter of a candidate where it gets in."""
    plan, DC = candidate.plan, candidate.cutter.DC
    left = plan.side_allowance if plan else float(candidate.facts.get("side_allowance", 0.0))
    if METHODS[candidate.method].by_drill or region.kind == "planar_face":
        left = 0.0
    around = region.kind == "outside_profile"
    strip = (region.strip or 0.0) if around else 0.0
    opened = frozenset(_open_sides(region))
    finished = Box(0.0, 0.0, region.length, region.width, _radii(region, opened))
    at, roll, straight = _entered(candidate, region, strip)
    return Outline(
        finished,
        finished if around else within(finished, left, opened),
        _paper(finished, opened, around, strip, DC, _comes_from(region, candidate.entry_kind)),
        opened,
        around,
        strip,
        left,
        _island(region),
        _rest(candidate, region, left),
        at,
        roll,
        straight,
        _opening(region, finished, opened),
    )


def _island(region: Region) -> Box | None:
    """The island in the middle; one whose two sides are not both known is shown round."""
    if region.island is None:
        return None
    long, wide = region.island_along, region.island
    radius = 0.0 if region.island_length else wide / 2
    return Box((region.length - long) / 2, (region.width - wide) / 2, long, wide, (radius,) * 4)


def _opening(region: Region, finished: Box, opened: frozenset[str]) -> Box | None:
    """What is open already of a casting, forging or pre-machined feature; nothing where that is not known."""
    skin = region.skin_wall
    if skin is None and region.opening is not None and region.narrowest is not None:
        skin = difference(region.narrowest, region.opening) / 2
    return None if skin is None else within(finished, skin, opened)


def _open_sides(region: Region) -> tuple[str, ...]:
    if region.kind in ALL_OPEN:
        return ALL_OPEN[region.kind]
    if region.kind not in OPEN:
        return ()
    if region.kind == "slot":
        return OPEN["slot"][region.open_ends]
    return OPEN_AT.get(region.open_at or "", OPEN["open_pocket"])[region.open_sides or 1]


def _radii(region: Region, opened: frozenset[str]) -> tuple[float, float, float, float]:
    """The corner radii; a closed end of a slot is round, and a corner at an open side has none."""
    radius = region.width / 2 if region.kind in ("slot", "round_hole") else region.corner_radius or 0.0
    if region.kind == "outside_profile":
        return (0.0, 0.0, 0.0, 0.0)  # its radius is that of inside corners, wherever they are
    corners = (("top", "left"), ("top", "right"), ("bottom", "right"), ("bottom", "left"))
    first, second, third, fourth = (0.0 if opened & set(sides) else radius for sides in corners)
    return first, second, third, fourth


def within(box: Box, left: float, opened: frozenset[str]) -> Box:
    """The box less what is left on its walls; nothing is left at an open side."""
    top, right, bottom, near = (0.0 if side in opened else left for side in SIDES)
    first, second, third, fourth = (max(0.0, radius - left) for radius in box.radii)
    wide, high = max(0.0, box.wide - near - right), max(0.0, box.high - top - bottom)
    return Box(box.x + near, box.y + top, wide, high, (first, second, third, fourth))


def _comes_from(region: Region, entry: EntryKind) -> tuple[str, ...]:
    """The sides that the cutter reaches over when it comes in from beside."""
    if not entry.from_the_side or (region.cored and region.kind != "step"):
        return ()
    return {"planar_face": ("top", "left"), "slot": ("right",)}.get(region.kind, (_roll_side(region),))


def _roll_side(region: Region) -> str:
    """The open side that the cutter rolls in from: the lower one, or the right one where only ends are open."""
    return "right" if region.kind == "open_pocket" and "bottom" not in _open_sides(region) else "bottom"


def _paper(
    finished: Box, opened: frozenset[str], around: bool, strip: float, DC: float, coming: tuple[str, ...]
) -> Box:
    wall = WALL * max(finished.wide, finished.high)
    top, right, bottom, left = (
        strip + (RUN_IN if side in coming else FREE) * DC if around or side in opened else wall for side in SIDES
    )
    return Box(-left, -top, finished.wide + left + right, finished.high + top + bottom)


def _rest(candidate: Candidate, region: Region, left: float) -> float | None:
    """The radius of a corner less the allowance where the cutter's own is greater; nothing where it gets in."""
    if region.corner_radius is None or region.round:
        return None
    inside = max(0.0, region.corner_radius - left)
    return inside if inside < candidate.cutter.DC / 2 else None


def _entered(
    candidate: Candidate, region: Region, strip: float
) -> tuple[tuple[float, float], Roll | None, tuple[float, float] | None]:
    """Where the cutter stands, and how it was rolled in or came straight."""
    DC, plan = candidate.cutter.DC, candidate.plan
    wide = plan.radial_width if plan else DC / 2
    middle = region.length / 2
    if not candidate.entry_kind.from_the_side:
        if region.kind == "outside_profile":
            return (middle, region.width + strip / 2), None, None
        past = region.past_island
        at = (middle, region.width / 2) if past is None else past.middle(region.entry_place or "")
        return at, None, None
    if region.cored and region.kind != "step":
        at = (middle, region.width - (plan.side_allowance if plan else 0.0) - DC / 2)
        return at, Roll(at[0], at[1] - DC / 2, DC / 2, 180.0, 270.0), None
    if region.kind == "slot":
        at = (region.length, region.width / 2)
        return at, None, (region.length + DC, region.width / 2)
    if region.kind == "planar_face":
        at = (DC / 2, wide - DC / 2)
        return at, Roll(at[0], at[1] - DC / 2, DC / 2, 180.0, 270.0), None
    if _roll_side(region) == "right":
        at = (region.length + DC / 2 - wide, region.width / 2)
        return at, Roll(at[0] + DC / 2, at[1], DC / 2, 90.0, 180.0), None
    at = (middle, region.width + strip + DC / 2 - wide)
    return at, Roll(at[0], at[1] + DC / 2, DC / 2, 0.0, 90.0), None
