"""The features of a job, a frozen model a kind. Lengths are in mm once read, whatever the file's units."""

from collections.abc import Iterator, Mapping
from typing import Annotated, ClassVar, Literal, Self

from pydantic import Field, model_validator

from advisor.files.problems import Fault, Misfit
from advisor.files.unit_scales import plain_length
from advisor.mechanics.lengths import difference, exceeds, reaches
from advisor.model.fields import (
    Frozen,
    LengthSchema,
    RadiusSignLeftOut,
    SignLeftOut,
    Spelt,
    UpTo,
    WholeNumber,
    Word,
    YesNo,
    hole_schema,
    length,
    one_of,
    signed,
    toleranced_schema,
    whole,
)

Purpose = Literal["clearance", "thread", "ream", "bore", "mill"]
OpenAt = Literal["short_side", "long_side", "corner"]
FeatureKind = Literal["planar_face", "closed_pocket", "open_pocket", "slot", "step", "outside_profile", "round_hole"]

Size = Annotated[float, length("feature_length_most", "feature_length_least"), LengthSchema]
Depth = Annotated[float, length("feature_depth_most", "feature_depth_least"), LengthSchema]
Gap = Annotated[float, length("feature_depth_most", above_zero=False), LengthSchema]  # may be 0
Radius = Annotated[float, length("feature_length_most", above_zero=False), RadiusSignLeftOut, signed("Rr")]
Across = Annotated[float, length("feature_length_most", "feature_length_least"), SignLeftOut, hole_schema()]
Between = Annotated[float, length("feature_length_most", "feature_length_least"), toleranced_schema()]
OpenAtWord = Annotated[OpenAt, one_of("sides", OpenAt), Spelt("sides", OpenAt)]
PurposeWord = Annotated[Purpose, one_of("purposes", Purpose), Spelt("purposes", Purpose)]
Count = Annotated[int, whole("count_most"), UpTo("count_most")]
Allowance = Annotated[float, length("allowance_most", above_zero=False), LengthSchema]


def _half(name: str, width: float) -> tuple[float, str]:
    """Half of a width between two walls [mm], and in words what it is."""
    return width / 2, f"half the {name} ({plain_length(width)})"


class FeatureBase(Frozen):
    """What every feature has. Lengths [mm]; contradictions raise a `Misfit` that names both fields."""

    meant_by: ClassVar[Mapping[str, str]] = dict.fromkeys(("through", "thru", "durchgehend"), "floor: false") | {
        "blind": "floor: true"
    }

    id: Word = Field(description="a short name of the feature, once in a job")
    kind: FeatureKind
    depth: Depth = Field(description="a length: how deep the feature is")
    count: Count = Field(
        default=1, description="how many of it the part has, all alike: a whole number; one answer is for all of them"
    )
    marked: Word | None = Field(
        default=None,
        description="what the drawing writes for its size, such as M8 or 12 H7: shown beside the size, not worked with",
    )
    top: Gap = Field(default=0.0, description="how far the feature's top lies below the stock's highest neighbour")
    allowance_side: Allowance | None = Field(
        default=None, description="stock left on the walls, if the shop wants its own"
    )
    allowance_bottom: Allowance | None = Field(
        default=None, description="stock left on the floor, if the shop wants its own"
    )

    stock_wall: Gap | None = Field(
        default=None,
        description="stock on the walls of a casting, forging or pre-machined part that has the feature already; "
        "left out, it is cut from the solid",
    )
    stock_floor: Gap | None = Field(
        default=None, description="the same for the stock on the floor, 0 where none is left there"
    )

    @model_validator(mode="after")
    def _fits_together(self) -> Self:
        faults = list(self._contradictions())
        if faults:
            raise Misfit(*faults)
        return self

    def _contradictions(self) -> Iterator[Fault]:
        if self.allowance_bottom is not None and reaches(self.allowance_bottom, self.depth):
            wanted = f"less than the depth ({plain_length(self.depth)})"
            yield Fault(wanted, plain_length(self.allowance_bottom), "allowance_bottom")
        yield from self.side_faults(self.allowance_side)
        yield from self._stock_faults()

    def _stock_faults(self) -> Iterator[Fault]:
        """Yield what is wrong with the stock that is said to be on walls and floor: a cut of nothing, or of more than
        there is.
        """
        wall, floor = self.stock_wall, self.stock_floor
        if wall is None and floor is None:
            return
        if not self._has_floor and floor:
            yield Fault("no stock_floor where the feature has no floor", plain_length(floor), "stock_floor")
        if self._has_floor and floor is None:
            yield Fault("stock_floor beside stock_wall: 0 where nothing is left on the floor", "nothing", "stock_floor")
        if wall is None:
            yield Fault("stock_wall beside stock_floor: 0 where nothing is left on the walls", "nothing", "stock_wall")
        elif wall == 0 and not floor:
            yield Fault(
                "more than 0, on the walls or on the floor: else nothing is left to rough", "0 mm", "stock_wall"
            )
        beside = self._beside_walls()
        if wall is not None and beside is not None and exceeds(wall, beside[0]):
            wanted = f"at most {beside[1]}: with that much it is cut from the solid"
            yield Fault(wanted, plain_length(wall), "stock_wall")
        if floor is not None and exceeds(floor, self.depth):
            wanted = f"at most the depth ({plain_length(self.depth)}): with that much it is cut from the solid"
            yield Fault(wanted, plain_length(floor), "stock_floor")
        for allowance, stock, name in (
            (self.allowance_side, wall, "allowance_side"),
            (self.allowance_bottom, floor, "allowance_bottom"),
        ):
            if allowance and stock and reaches(allowance, stock):
                where = "on the walls" if name == "allowance_side" else "on the floor"
                yield Fault(f"less than the stock {where} ({plain_length(stock)})", plain_length(allowance), name)

    @property
    def _has_floor(self) -> bool:
        """Whether it has a floor of its own."""
        return bool(getattr(self, "floor", True))

    @property
    def solid(self) -> bool:
        """Whether it is cut from the solid: nothing else is said, or what is said leaves no opening."""
        wall, floor, beside = self.stock_wall, self.stock_floor, self._beside_walls()
        if wall is None:
            return True
        shut = beside is not None and reaches(wall, beside[0])
        return shut or (floor is not None and reaches(floor, self.depth))

    def side_faults(self, allowance: float | None) -> Iterator[Fault]:
        """Yield a fault if a side allowance [mm] leaves nothing beside or between the walls to cut."""
        beside = self._beside_walls()
        if allowance is not None and beside is not None and reaches(allowance, beside[0]):
            yield Fault(f"less than {beside[1]}", plain_length(allowance), "allowance_side")

    def _beside_walls(self) -> tuple[float, str] | None:
        """The side allowance that leaves nothing to cut [mm], and what that is; none where there is no telling."""
        return None


class _Oblong(FeatureBase):
    """A feature with length and width [mm]."""

    length: Size = Field(description="a length: the longer side")
    width: Size = Field(description="a length: the shorter side")


class _Region(_Oblong):
    """A region between walls, with a floor of its own or through the part: the width must be the smaller side."""

    width: Between = Field(description="a length: the shorter side")
    floor: YesNo = Field(description="true with a floor of its own, false if it goes through")
    thinnest_wall: Size | None = Field(default=None, description="thickness of the thinnest wall beside it")
    floor_thickness: Size | None = Field(default=None, description="what is left under the floor")
    clearance_below: Gap | None = Field(
        default=None, description="free space under the part, for a feature that goes through"
    )

    def _contradictions(self) -> Iterator[Fault]:
        yield from super()._contradictions()
        if exceeds(self.width, self.length):
            wanted = f"at most the length ({plain_length(self.length)}): the width is the smaller side"
            yield Fault(wanted, plain_length(self.width), "width")
        yield from _floor_faults(self.floor, self.clearance_below, self.floor_thickness)


def _floor_faults(floor: bool, clearance_below: float | None, floor_thickness: float | None = None) -> Iterator[Fault]:
    if floor and clearance_below is not None:
        yield Fault("no clearance_below where floor is true", plain_length(clearance_below), "clearance_below")
    if not floor and floor_thickness is not None:
        yield Fault("no floor_thickness where floor is false", plain_length(floor_thickness), "floor_thickness")


class _Pocket(_Region):
    corner_radius: Radius | None = Field(default=None, description="smallest radius of the inside corners")
    island: Size | None = Field(default=None, description="diameter of an island, or its side across the width")
    island_length: Size | None = Field(
        default=None, description="side of the island along the length; without it the island may be round"
    )
    tallest_wall: Depth | None = Field(default=None, description="height of the tallest wall")

    def _contradictions(self) -> Iterator[Fault]:
        yield from super()._contradictions()
        if self.corner_radius is not None and exceeds(self.corner_radius, min(self.width, self.length) / 2):
            yield Fault(
                f"at most half the width ({plain_length(self.width)})",
                plain_length(self.corner_radius),
                "corner_radius",
            )
        if self.island is not None and self.stock_wall:
            wanted = (
                "no stock_wall where an island is given: skins on walls that face outwards and inwards are not worked "
                "out together; write the pocket without island, and the island as an outside_profile with stock_side"
            )
            yield Fault(wanted, plain_length(self.stock_wall), "stock_wall")
        if self.island is not None and reaches(self.island, self.width):
            yield Fault(f"less than the width ({plain_length(self.width)})", plain_length(self.island), "island")
        if self.island_length is not None:
            if self.island is None:
                yield Fault(
                    "no island_length where no island is given", plain_length(self.island_length), "island_length"
                )
            if reaches(self.island_length, self.length):
                yield Fault(
                    f"less than the length ({plain_length(self.length)})",
                    plain_length(self.island_length),
                    "island_length",
                )


class PlanarFace(_Oblong):
    """A flat face that is milled all over. `width` may be the longer side."""

    kind: Literal["planar_face"] = "planar_face"

    def _stock_faults(self) -> Iterator[Fault]:
        for name in ("stock_wall", "stock_floor"):
            if (given := getattr(self, name)) is not None:
                yield Fault(f"no {name}: the depth of a face is the stock on it", plain_length(given), name)


class ClosedPocket(_Pocket):
    """A pocket with walls all round."""

    kind: Literal["closed_pocket"] = "closed_pocket"
    open_sides: Annotated[Literal[0], WholeNumber] | None = Field(
        default=None, description="0: a closed pocket has no open side"
    )

    def _beside_walls(self) -> tuple[float, str]:
        return _half("width", self.width)


class OpenPocket(_Pocket):
    """A pocket with 1 to 3 open sides; one is assumed where `open_sides` is left out, and where `open_at` is left out
    that a short side is open, of two both.
    """

    kind: Literal["open_pocket"] = "open_pocket"
    open_sides: Annotated[Literal[1, 2, 3], WholeNumber] | None = Field(default=None, description="1, 2 or 3")
    open_at: OpenAtWord | None = Field(
        default=None,
        description="which side is open: short_side, long_side, or corner (of two, one of each); of two open sides "
        "short_side is both short ones, long_side both long ones",
    )

    def _contradictions(self) -> Iterator[Fault]:
        yield from super()._contradictions()
        if self.open_at is not None and self.open_sides == 3:
            yield Fault("no open_at where three sides are open", self.open_at, "open_at")
        if self.open_at == "corner" and self.open_sides in (None, 1):
            yield Fault("short_side or long_side: a pocket open at a corner has open_sides: 2", "corner", "open_at")

    def _beside_walls(self) -> tuple[float, str]:
        if self.open_sides == 3 or self.open_at == "corner":
            return self.width, f"the width ({plain_length(self.width)})"
        return _half("length", self.length) if self.open_at == "long_side" else _half("width", self.width)


class Slot(_Region):
    """A slot between two walls, open at 0, 1 or 2 ends."""

    kind: Literal["slot"] = "slot"
    open_ends: Annotated[Literal[0, 1, 2], WholeNumber] = Field(description="0, 1 or 2")

    def _beside_walls(self) -> tuple[float, str]:
        return _half("width", self.width)


class Step(_Oblong):
    """A step with one wall. `width` is measured away from the wall and may be the longer side."""

    kind: Literal["step"] = "step"
    thinnest_wall: Size | None = Field(default=None, description="thickness of the wall that the step leaves")

    def _beside_walls(self) -> tuple[float, str]:
        return self.width, f"the width ({plain_length(self.width)})"


class OutsideProfile(_Oblong):
    """The outline of a part, cut from outside. `corner_radius` is that of its inside corners."""

    meant_by: ClassVar[Mapping[str, str]] = {  # stock_wall is what a casting has
        **FeatureBase.meant_by,
        "stock": "stock_side",
    }

    kind: Literal["outside_profile"] = "outside_profile"
    stock_side: Size | None = Field(default=None, description="stock beside the outline")
    corner_radius: Radius | None = Field(default=None, description="smallest radius of the outline's inside corners")
    clearance_below: Gap | None = Field(default=None, description="free space under the part")
    thinnest_wall: Size | None = Field(default=None, description="thickness of the thinnest wall beside it")

    @property
    def _has_floor(self) -> bool:
        return False

    @property
    def stock(self) -> float | None:
        """The stock beside the outline [mm], by either name; nothing where nobody gave it."""
        return self.stock_side if self.stock_wall is None else self.stock_wall

    def _stock_faults(self) -> Iterator[Fault]:
        yield from super()._stock_faults()
        if self.stock_wall is not None and self.stock_side is not None:
            wanted = (
                "stock_side alone, or for a casting or forging stock_wall alone: both are the stock beside the outline"
            )
            yield Fault(wanted, "both", "stock_wall")

    def _beside_walls(self) -> tuple[float, str] | None:
        stock = self.stock
        return None if stock is None else (stock, f"the stock beside the outline ({plain_length(stock)})")


class RoundHole(FeatureBase):
    """A round hole, blind (`floor`) or through; `flat_floor` where no drill point may stay.

    The depth of a blind hole is that at its full diameter; a drill point goes deeper.
    """

    kind: Literal["round_hole"] = "round_hole"
    diameter: Across = Field(description="a length: the finished diameter")
    floor: YesNo = Field(description="true with a floor of its own, false if it goes through")
    flat_floor: YesNo | None = Field(default=None, description="true where the floor must be flat")
    floor_thickness: Size | None = Field(
        default=None, description="what is left under the floor of a blind hole, measured from its depth"
    )
    clearance_below: Gap | None = Field(
        default=None, description="free space under the part, for a hole that goes through"
    )
    purpose: PurposeWord | None = Field(
        default=None,
        description="what the hole is for: clearance (drilled to size), thread (the diameter is the tapping size), "
        "ream, bore, or mill (finished by milling)",
    )

    def _beside_walls(self) -> tuple[float, str]:
        return _half("diameter", self.diameter)

    def _contradictions(self) -> Iterator[Fault]:
        yield from super()._contradictions()
        yield from _floor_faults(self.floor, self.clearance_below, self.floor_thickness)
        if self.flat_floor and not self.floor:
            yield Fault("no flat_floor where floor is false", "true", "flat_floor")


Feature = Annotated[
    PlanarFace | ClosedPocket | OpenPocket | Slot | Step | OutsideProfile | RoundHole, Field(discriminator="kind")
]
FEATURE_KINDS: dict[str, type[FeatureBase]] = {
    "planar_face": PlanarFace,
    "closed_pocket": ClosedPocket,
    "open_pocket": OpenPocket,
    "slot": Slot,
    "step": Step,
    "outside_profile": OutsideProfile,
    "round_hole": RoundHole,
}


def parts_of(feature: FeatureBase) -> tuple[FeatureBase, ...]:
    """A feature as it is answered: alone, or, where it is to be had out of a casting, forging or pre-machined part with
    stock on walls and floor, the walls and the floor one after the other, which are two cuts.
    """
    wall, floor = feature.stock_wall, feature.stock_floor
    if feature.solid or not wall or not floor:
        return (feature,)
    above = difference(feature.depth, floor)
    walls: dict[str, object] = {
        "id": f"{feature.id}-walls",
        "depth": above,
        "stock_floor": 0.0,
        "allowance_bottom": None,
    }
    if getattr(feature, "floor_thickness", None) is not None:
        walls["floor_thickness"] = None
    return (
        feature.model_copy(update=walls),
        feature.model_copy(update={"id": f"{feature.id}-floor", "stock_wall": 0.0}),
    )
