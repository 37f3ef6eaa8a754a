"""A feature as the reasoning sees it: one shape of record for all seven kinds."""

from __future__ import annotations

from math import pi
from typing import NamedTuple

from advisor.inputs.features import FeatureBase
from advisor.mechanics.lengths import difference

OPEN_KINDS = frozenset({"planar_face", "open_pocket", "step", "outside_profile"})
BARE_KINDS = frozenset({"planar_face"})  # without a wall
WALLED_KINDS = frozenset({"closed_pocket", "slot", "round_hole"})
ONE_WAY_KINDS = frozenset({"planar_face", "step"})
STRIP_KINDS = frozenset({"step", "outside_profile"})


class Region(NamedTuple):
    """Lengths in mm. ``narrowest`` is the narrowest width between two walls, absent where a side is open.

    ``strip`` is the width of the stock beside a wall for a step or an outside profile (absent if not given);
    ``floor`` is whether something stays below; ``corner_radius``, ``clearance_below`` and the rest are absent where
    nobody gave them. ``fit_width`` is the width that has walls on both sides, open ends not counted.
    """

    id: str
    kind: str
    length: float
    width: float
    depth: float
    top: float
    open_side: bool
    floor: bool
    narrowest: float | None
    strip: float | None
    corner_radius: float | None
    clearance_below: float | None
    island: float | None
    flat_floor: bool | None
    tallest_wall: float | None
    thinnest_wall: float | None
    floor_thickness: float | None
    allowance_side: float | None
    allowance_bottom: float | None
    open_ends: int
    fit_width: float | None
    open_sides: int | None
    purpose: str | None = None

    @property
    def has_walls(self) -> bool:
        """Whether a wall is cut, which a cutter that bends would spoil."""
        return self.kind not in BARE_KINDS

    @property
    def round(self) -> bool:
        """Whether the region is a round hole."""
        return self.kind == "round_hole"

    @property
    def strip_like(self) -> bool:
        """Whether the cutter runs along one wall rather than between walls."""
        return self.kind in STRIP_KINDS

    @property
    def one_way(self) -> bool:
        """Whether passes along it all go the same way, each from one open end to the other."""
        return self.kind in ONE_WAY_KINDS

    @property
    def entry_width(self) -> float:
        """The width that a bore or a hole for getting in must fit into, before allowances."""
        return self.narrowest if self.narrowest is not None else self.width

    def area(self, side: float) -> float:
        """The area to clear at one level with ``side`` left on the walls [mm²]."""
        if self.round:
            return pi / 4 * max(0.0, difference(self.width, 2 * side)) ** 2
        length, width = self.length, self.width
        if self.kind in ("closed_pocket", "slot"):
            length, width = difference(length, (2 - self.open_ends) * side), difference(width, 2 * side)
        elif self.kind == "open_pocket":
            length, width = difference(length, 2 * side), difference(width, side)
        elif self.kind == "step":
            width = difference(width, side)
        elif self.kind == "outside_profile":
            return 2 * (length + width) * max(0.0, difference(self.strip or 0.0, side))
        corners = (4 - pi) * max(0.0, difference(self.corner_radius or 0.0, side)) ** 2 if self.corner_radius else 0.0
        island = (self.island + 2 * side) ** 2 if self.island else 0.0
        return max(0.0, difference(length * width, corners, island))  # the hair, here of a mm², is as far from any area

    @property
    def ring(self) -> bool:
        """Whether the region goes round an island."""
        return self.island is not None and self.narrowest is not None

    def ring_way(self, side: float) -> float:
        """The length of the middle line of a ring [mm]: its area over its width, which is the same for every ring of
        even width, with arcs or corners; where the ends are wider than the sides it is longer by what they hold.
        """
        width = difference(self.narrowest or 0.0, 2 * side)
        return self.area(side) / width if width > 0 else 0.0

    @property
    def walls_way(self) -> float:
        """Half the way along the walls of what lies between them [mm]: a slot's length, a ring's middle line."""
        return self.ring_way(0.0) if self.ring else self.length

    def centre_way(self, side: float, DC: float) -> float:
        """How far the cutter's centre goes from end to end [mm]; at a wall it stops short by radius and allowance, and
        round an island it goes the whole ring.
        """
        if self.ring:
            return self.ring_way(side)
        return max(0.0, difference(self.length, (2 - self.open_ends) * (side + DC / 2)))

    def wall_way(self, DC: float) -> float:
        """How far the cutter's centre goes along the wall of a strip [mm]: round a profile by its own girth more."""
        return 2 * (self.length + self.width) + pi * DC if self.kind == "outside_profile" else self.length


def region_of(feature: FeatureBase) -> Region:
    """The region of a feature as read; lengths in mm."""

    def given(name: str) -> float | None:
        value = getattr(feature, name, None)
        return None if value is None else float(value)

    kind = feature.kind
    diameter = given("diameter")
    length, width = diameter or given("length") or 0.0, diameter or given("width") or 0.0
    open_ends = int(getattr(feature, "open_ends", 0) or 0)
    island = given("island")
    narrowest = (width - island) / 2 if island else width
    flat_floor = getattr(feature, "flat_floor", None)
    open_sides = getattr(feature, "open_sides", None) if kind == "open_pocket" else None
    return Region(
        id=feature.id,
        kind=kind,
        length=length,
        width=width,
        depth=feature.depth,
        top=feature.top,
        open_side=kind in OPEN_KINDS or open_ends > 0,
        floor=bool(getattr(feature, "floor", kind != "outside_profile")),
        narrowest=narrowest if kind in WALLED_KINDS else (narrowest if island and kind == "open_pocket" else None),
        strip={"step": width, "outside_profile": given("stock_side")}.get(kind),
        corner_radius=given("corner_radius"),
        clearance_below=given("clearance_below"),
        island=island,
        flat_floor=flat_floor,
        tallest_wall=given("tallest_wall"),
        thinnest_wall=given("thinnest_wall"),
        floor_thickness=given("floor_thickness"),
        allowance_side=given("allowance_side"),
        allowance_bottom=given("allowance_bottom"),
        open_ends=open_ends,
        fit_width=_fit_width(kind, width, narrowest, open_sides),
        open_sides=open_sides,
        purpose=getattr(feature, "purpose", None),
    )


def _fit_width(kind: str, width: float, narrowest: float, open_sides: int | None) -> float | None:
    """The width that has walls on both sides; an open pocket is taken to have one open side unless it says more."""
    if kind in WALLED_KINDS:
        return narrowest
    return width if kind == "open_pocket" and open_sides in (None, 1) else None
