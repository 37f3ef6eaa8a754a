"""Which method a plan is judged as where the one that it names is not listed for its cutter or its feature."""

from __future__ import annotations

from advisor.methods.registry import METHODS
from advisor.model.cutter import Cutter
from advisor.model.operations import OperationRow
from advisor.model.region import Region
from advisor.situation.pairings import Way, ways

SQUARE = 90.0  # deg: from this edge angle on the wall comes out straight


def listed(way: Way, cutter: Cutter, region: Region) -> bool:
    """Whether the table lists a method for this cutter in this feature."""
    return cutter.body in way.bodies and way.suits(region)


def borne(way: Way, row: OperationRow, cutter: Cutter, region: Region) -> bool:
    """Whether a cutter that is not listed for a method can cut so: from the side, down at an angle that is said, or on
    a helix round the opening of a casting with edges that leave a straight wall.
    """
    if cutter.body not in way.borne or not way.suits(region):
        return False
    if METHODS[way.method].round_a_hole:
        return region.cored and cutter.KAPR >= SQUARE and (row.entry is None or row.entry_kind.ramps)
    aside = region.strip_like or region.kind == "planar_face" or region.open_side
    if aside and (row.entry is None or row.entry_kind.from_the_side):
        return True
    return row.ramp_angle is not None and (row.entry is None or row.entry_kind.ramps)


def stand_ins(row: OperationRow, cutter: Cutter, region: Region) -> list[OperationRow]:
    """The operation as it may be judged: by the method that it names if that is listed or not said, else by another.

    A method that cuts the whole depth has no other at a depth that is not said, and the whole cutter stays as wide.
    """
    if row.method is None or listed(way := ways()[row.method], cutter, region):
        return [row]
    fits = [ways()[name] for name in way.else_as if listed(ways()[name], cutter, region)]
    others = [ways()[name] for name in (row.method, *way.else_as) if borne(ways()[name], row, cutter, region)]
    if METHODS[row.method].whole_depth and row.axial_depth is None and row.levels is None:
        fits, others = [], []
    wide = cutter.DC if METHODS[row.method].full_width else row.radial_width
    told = [row.model_copy(update={"method": one.method, "radial_width": wide}) for one in (*fits, *others)]
    return [*told, row]
