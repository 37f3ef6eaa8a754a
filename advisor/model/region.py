"""A feature as the reasoning sees it: one shape of record for all seven kinds."""

from __future__ import annotations

from math import pi
from typing import NamedTuple

from advisor.mechanics.lengths import difference, reaches
from advisor.model.features import FeatureBase
from advisor.model.island import Island

OPEN_KINDS = frozenset({"planar_face", "open_pocket", "step", "outside_profile"})
BARE_KINDS = frozenset({"planar_face"})  # without a wall
WALLED_KINDS = frozenset({"closed_pocket", "slot", "round_hole"})
ONE_WAY_KINDS = frozenset({"planar_face", "step"})
STRIP_KINDS = frozenset({"step", "outside_profile"})


class Region(NamedTuple):
    """Lengths in mm. ``narrowest`` is the narrowest width between two walls that face each other, absent where none do;
    past an island it is the widest that the way round has: an island is an obstacle in the pocket, and only where the
    way round is nowhere wider than that is there nothing but the way.

    ``strip`` is the width of the stock beside a wall for a step or an outside profile (absent if not given);
    ``floor`` is whether something stays below; ``corner_radius``, ``clearance_below`` and the rest are absent where
    nobody gave them; so is ``corner_radius`` where no two walls meet, and ``idle_corner_radius`` holds it then.
    ``fit_width`` is what the cutter must fit into: the narrowest width that has walls on both sides, open ends not
    counted, of an island the narrowest way past it. ``open_at`` is which side of an open pocket was said to be open,
    ``open_ends`` how many ends of what lies between two walls are. ``island_length`` is that along the pocket, absent
    where nobody gave it: the island may be round then. ``copies`` is how many of it the part has.

    ``rough`` is, of a casting, forging or pre-machined part, what is cut of it: ``walls``, ``floor``, or ``whole``
    where a cutter too wide for the opening cuts it as from the solid. ``skin_wall`` is the stock on the walls where
    these alone are cut; the ``opening`` between them is so wide, and absent where no two walls face each other. Under
    the cut along its walls a ``cast_floor`` lies as it came.
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
    open_at: str | None = None
    island_length: float | None = None
    idle_corner_radius: float | None = None
    copies: int = 1
    rough: str | None = None
    skin_wall: float | None = None
    opening: float | None = None
    cast_floor: bool = False
    marked: str | None = None

    @property
    def along(self) -> float:
        """The length along the walls that face each other [mm]: of a pocket that is open at a long side its width."""
        return self.width if self.open_at == "long_side" else self.length

    @property
    def across(self) -> float:
        """The length from one of the walls that face each other to the other [mm], islands aside."""
        return self.length if self.open_at == "long_side" else self.width

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
        return self.kind in STRIP_KINDS or (self.cored and not self.round)

    @property
    def cored(self) -> bool:
        """Whether only stock on its walls is cut: the middle is open already."""
        return self.skin_wall is not None

    def admits(self, DC: float, clearance: float) -> bool:
        """Whether a cutter goes into the opening of what is cored, with a clearance [mm]; of a region cut as from the
        solid because of its opening, whether it is too wide for that.
        """
        if self.opening is None:
            return True
        return reaches(self.opening, DC + clearance) == self.cored

    @property
    def one_way(self) -> bool:
        """Whether passes along it all go the same way, each from one open end to the other."""
        return self.kind in ONE_WAY_KINDS

    @property
    def entry_width(self) -> float:
        """The width that a bore or a hole for getting in must fit into, before allowances: past an island where the
        most room is.
        """
        if (past := self.past_island) is not None:
            return past.room(self.walls_meet)[1]
        return self.width if self.narrowest is None else min(self.narrowest, self.width)

    @property
    def entry_place(self) -> str | None:
        """Where past an island the most room is for getting in: in a corner, at an end, or beside it."""
        return None if self.past_island is None else self.past_island.room(self.walls_meet)[0]

    @property
    def past_island(self) -> Island | None:
        """The ways past the island, where there is one."""
        if self.island is None:
            return None
        square = self.island_length is not None
        return Island(self.length, self.width, self.island_along, self.island, self.corner_radius or 0.0, square)

    def area(self, side: float) -> float:
        """The area to clear at one level with ``side`` left on the walls [mm²]: of what is cored without its middle."""
        if self.skin_wall is not None:
            return max(0.0, difference(self._within_walls(side), self._within_walls(self.skin_wall)))
        return self._within_walls(side)

    def _within_walls(self, side: float) -> float:
        """The area that lies so far within the walls and farther [mm²]."""
        if self.round:
            return pi / 4 * max(0.0, difference(self.width, 2 * side)) ** 2
        length, width, corners = self.length, self.width, 4
        if self.kind in ("closed_pocket", "slot", "open_pocket"):
            along, across = 2 - self.open_ends, 2 if self.faced else 1  # how many walls stand there
            length, width, corners = self.along, self.across, along * across
            length, width = difference(length, along * side), difference(width, across * side)
        elif self.kind == "step":
            width = difference(width, side)
        elif self.kind == "outside_profile":
            return 2 * (length + width) * max(0.0, difference(self.strip or 0.0, side))
        radius = max(0.0, difference(self.corner_radius, side)) if self.corner_radius else 0.0
        island = (self.island + 2 * side) * (self.island_along + 2 * side) if self.island else 0.0
        rounded = corners * (1 - pi / 4) * radius**2
        return max(0.0, difference(length * width, rounded, island))  # the hair, here of a mm², is as far from any area

    @property
    def faced(self) -> bool:
        """Whether two walls of the outline face each other, islands aside."""
        return self.kind in WALLED_KINDS or (self.kind == "open_pocket" and _faced(self.open_sides, self.open_at))

    @property
    def walls_meet(self) -> bool:
        """Whether two walls of a pocket meet: of an open one where a side is open, or two that meet themselves."""
        return self.kind == "closed_pocket" or (self.kind == "open_pocket" and self.open_ends < 2)

    @property
    def corner_hops(self) -> tuple[float, ...]:
        """The ways from each inside corner of a pocket to the next [mm], the shorter side first; one fewer than there
        are corners.
        """
        if self.kind == "closed_pocket":
            return self.width, self.length, self.width
        return (self.across,) if self.corners == 2 else ()

    @property
    def corners(self) -> int:
        """In how many inside corners two walls of a pocket meet: four where all its sides are walls, two at the wall
        across one open end, one where it is open at a corner. What is no pocket has none that its shape tells.
        """
        if self.kind == "closed_pocket":
            return 4
        return (2 - self.open_ends) * (2 if self.faced else 1) if self.kind == "open_pocket" else 0

    @property
    def island_along(self) -> float:
        """The side of the island along the pocket [mm], 0 where there is none."""
        return self.island_length or self.island or 0.0

    @property
    def falls_in_two(self) -> bool:
        """Whether it goes through between two walls from one open end to the other: nothing joins the walls then."""
        return not self.floor and self.faced and self.open_ends == 2

    @property
    def goes_round(self) -> bool:
        """Whether the way through the middle, between two walls, goes round an island."""
        return self.island is not None and self.faced

    def ring_way(self, side: float) -> float:
        """The length of the middle line of the way round an island [mm]: its area over its mean width, with arcs or
        corners.
        """
        past = self.past_island
        width = 0.0 if past is None else difference(past.mean, 2 * side)
        return self.area(side) / width if width > 0 else 0.0

    @property
    def walls_way(self) -> float:
        """Half the way along the walls of what lies between them [mm]: a slot's length, or a ring's middle line."""
        return self.ring_way(0.0) if self.goes_round else self.along

    def centre_way(self, side: float, DC: float) -> float:
        """How far the cutter's centre goes from end to end [mm]; at a wall it stops short by radius and allowance, and
        round an island it goes all the way.
        """
        if self.goes_round:
            return self.ring_way(side)
        return max(0.0, difference(self.along, (2 - self.open_ends) * (side + DC / 2)))

    def loops_way(self, side: float, DC: float) -> float:
        """How far loops go that are as wide as the narrowest width [mm]: round an island as far as the area asks."""
        width = difference(self.fit_width or 0.0, 2 * side)
        return self.area(side) / width if self.goes_round and width > 0 else self.centre_way(side, DC)

    def foot_way(self, DC: float, side: float) -> float:
        """How far it is along the foot of the walls of what has a floor [mm]."""
        if self.round:
            return pi * self.width
        if self.strip_like or self.cored:
            return self.wall_way(DC, side)
        return 2 * self.along + (2 - self.open_ends) * self.across

    def wall_way(self, DC: float, side: float) -> float:
        """How far the cutter goes along the wall of a strip [mm]: round a profile by its own girth more, along the
        walls of what is cored as far as the middle of the stock that is cut is long, with ``side`` left on them.
        """
        if self.kind == "outside_profile":
            return 2 * (self.length + self.width) + pi * DC
        if self.skin_wall is None:
            return self.length
        cut = difference(self.skin_wall, side)
        return self.area(side) / cut if cut > 0 else 0.0


def regions_of(feature: FeatureBase) -> tuple[Region, ...]:
    """The regions that a feature may be cut as; lengths in mm.

    One, but where its walls have stock and an opening between them: cutters that go into it cut the skin alone, wider
    ones the whole as from the solid.
    """
    whole, wall, floor = _solid(feature), feature.stock_wall, feature.stock_floor
    if wall is not None and whole.kind == "outside_profile":
        return (whole._replace(strip=wall, rough="walls"),)
    if feature.solid or wall is None:
        return (whole,)
    if wall == 0:
        above = difference(whole.depth, floor or 0.0)
        tallest = whole.tallest_wall or whole.depth
        return (whole._replace(depth=floor or 0.0, top=whole.top + above, tallest_wall=tallest, rough="floor"),)
    opening = None if whole.narrowest is None else difference(whole.narrowest, 2 * wall)
    whole = whole._replace(cast_floor=whole.floor)
    cored = whole._replace(
        rough="walls",
        skin_wall=wall,
        strip=wall,
        open_side=True,
        narrowest=whole.narrowest if whole.round else None,
        fit_width=whole.fit_width if whole.round else None,
        opening=opening,
    )
    return (cored,) if opening is None else (cored, whole._replace(rough="whole", opening=opening))


def _solid(feature: FeatureBase) -> Region:
    """The region of a feature that is cut from the solid."""

    def given(name: str) -> float | None:
        value = getattr(feature, name, None)
        return None if value is None else float(value)

    kind = feature.kind
    diameter = given("diameter")
    length, width = diameter or given("length") or 0.0, diameter or given("width") or 0.0
    island = given("island")
    flat_floor = getattr(feature, "flat_floor", None)
    open_sides = getattr(feature, "open_sides", None) if kind == "open_pocket" else None
    open_at = getattr(feature, "open_at", None)
    open_ends = _open_ends(open_sides, open_at) if kind == "open_pocket" else int(getattr(feature, "open_ends", 0) or 0)
    across = length if open_at == "long_side" else width
    island_length = given("island_length")
    narrowest = fit_width = _narrowest(kind, across, open_sides, open_at)
    region = Region(
        id=feature.id,
        kind=kind,
        length=length,
        width=width,
        depth=feature.depth,
        top=feature.top,
        open_side=kind in OPEN_KINDS or open_ends > 0,
        floor=bool(getattr(feature, "floor", kind != "outside_profile")),
        narrowest=narrowest,
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
        fit_width=fit_width,
        open_sides=open_sides,
        purpose=getattr(feature, "purpose", None),
        open_at=open_at,
        island_length=island_length,
        copies=feature.count,
        marked=feature.marked,
    )
    if region.kind == "open_pocket" and not region.walls_meet:
        region = region._replace(corner_radius=None, idle_corner_radius=region.corner_radius)
    return region if region.past_island is None else _past(region, region.past_island)


def _past(region: Region, past: Island) -> Region:
    """The region with the widths past its island: the way round where it is widest, if it lies between walls, and the
    narrowest that has a wall on its other side.
    """
    shut = region.open_ends < 2
    gap = past.gap if shut or region.open_at != "long_side" else past.end
    end = past.end if shut or region.open_at == "long_side" else past.gap
    widest = None if region.narrowest is None else min(region.narrowest, past.widest)
    return region._replace(narrowest=widest, fit_width=min(gap, end, past.corner))


def _faced(open_sides: int | None, open_at: str | None) -> bool:
    """Whether two walls of an open pocket face each other: not where three sides are open, or two that meet."""
    return open_sides != 3 and open_at != "corner"


def _open_ends(open_sides: int | None, open_at: str | None) -> int:
    """How many ends of an open pocket are open; one open side is taken where nobody gave them, of three open sides two
    are ends, and of two that meet one.
    """
    return 1 if open_at == "corner" else min(open_sides or 1, 2)


def _narrowest(kind: str, across: float, open_sides: int | None, open_at: str | None) -> float | None:
    """The width between two walls that face each other [mm], islands aside; nothing where no two do."""
    return across if kind in WALLED_KINDS or (kind == "open_pocket" and _faced(open_sides, open_at)) else None
