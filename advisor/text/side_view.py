"""A cutter in its feature as seen from the side, before anyone draws it: heights, widths, and what touches what.

Heights of the feature count from its top, upwards [mm]; heights of the cutter from its tip.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from advisor.methods.registry import METHODS
from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter
from advisor.model.region import Region
from advisor.text.words import millimetres

SAME = 4  # places of a length within which two are the same, as the rules take it
STUB = 0.45  # how much of the holder is shown, of its diameter


class Piece(NamedTuple):
    """A piece of the cutter between two heights above its tip [mm]."""

    name: str
    low: float
    high: float
    diameter: float


class Contact(NamedTuple):
    """Something that touches where nothing may: between two heights above the tip [mm], and in words."""

    what: str
    low: float
    high: float
    text: str


class Side(NamedTuple):
    """The side view. ``tip`` is the height of the cutter's tip at the deepest; ``levels`` are the heights of the levels
    [mm]. ``left`` is what stays on the wall, ``bottom`` on the floor; ``near`` how far the cutter stands off the
    finished wall; ``between`` the width between two walls, absent where a side is open; ``edge`` what cuts is called.
    """

    pieces: tuple[Piece, ...]
    contacts: tuple[Contact, ...]
    tip: float
    point: float
    levels: tuple[float, ...]
    top: float
    depth: float
    floor: bool
    left: float
    bottom: float
    overcut: float
    clearance: float | None
    near: float
    between: float | None
    edge: str

    @property
    def buried(self) -> float:
        """How much of the cutter lies below the highest neighbour when it is at the deepest [mm]."""
        return self.top - self.tip


def side_of(candidate: Candidate, region: Region, limits: Mapping[str, float] | None = None) -> Side:
    """The side view of a candidate; ``limits`` are the thresholds it was judged by, those shipped if left out."""
    cutter, facts, plan = candidate.cutter, candidate.facts, candidate.plan
    drilled = METHODS[candidate.method].by_drill

    def fact(name: str, otherwise: float = 0.0) -> float:
        value = facts.get(name, otherwise)
        return float(value) if not isinstance(value, str) else otherwise

    tip = -fact("drill_depth", fact("depth_to_cut", region.depth)) if drilled else -fact("depth_to_cut", region.depth)
    left = 0.0 if drilled else plan.side_allowance if plan else fact("side_allowance")
    side = Side(
        pieces=tuple(pieces(cutter, region.top - tip)),
        contacts=(),
        tip=tip,
        point=fact("drill_point"),
        levels=() if plan is None or drilled else levels(plan.levels, plan.axial_depth, tip),
        top=region.top,
        depth=region.depth,
        floor=region.floor,
        left=left,
        bottom=max(0.0, region.depth + tip) if region.floor or tip > -region.depth else 0.0,
        overcut=max(0.0, -tip - region.depth),
        clearance=region.clearance_below,
        near=(region.width - cutter.DC) / 2 if drilled else left,
        between=region.width if region.round else region.narrowest,
        edge="flutes" if cutter.kind.solid else "edge",
    )
    known = _shipped() if limits is None else limits
    return side._replace(contacts=tuple(_contacts(side, candidate, region, known)))


def _shipped() -> Mapping[str, float]:
    from advisor.knowledge.shipped import rule_base

    return rule_base().limits


def pieces(cutter: Cutter, buried: float) -> Iterator[Piece]:
    """The pieces of a cutter from its tip: flutes, what is usable above them, shank, the beginning of the holder.

    ``buried`` is how deep it goes [mm]; the holder is shown to beyond that.
    """
    yield Piece("flutes", 0.0, cutter.APMX, cutter.DC)
    if cutter.LU > cutter.APMX:
        yield Piece("neck", cutter.APMX, cutter.LU, cutter.DN or min(cutter.DC, cutter.body_diameter))
    if cutter.LPR > cutter.LU:
        yield Piece("shank", cutter.LU, cutter.LPR, cutter.body_diameter)
    stub = STUB * cutter.holder_diameter
    yield Piece("holder", cutter.LPR, max(cutter.LPR, buried) + stub, cutter.holder_diameter)


def levels(count: int, depth: float, tip: float) -> tuple[float, ...]:
    """The heights of equal levels [mm], the last at the tip or wherever they end before it."""
    return tuple(max(tip, -depth * (place + 1)) for place in range(count))


def _contacts(side: Side, candidate: Candidate, region: Region, limits: Mapping[str, float]) -> Iterator[Contact]:
    """What touches, by the same lengths that the rules compare."""
    cutter, plan = candidate.cutter, candidate.plan
    if region.kind != "planar_face":
        yield from _beside_the_wall(side, cutter, limits)
    above = 0.0 if plan is None or len(side.levels) == 0 else plan.axial_depth - cutter.APMX
    if METHODS[candidate.method].in_levels and round(above, SAME) > 0:
        word = "neck" if cutter.LU > cutter.APMX else "shank"
        text = f"{word} meets {millimetres(above)} of each level above its {side.edge}"
        yield Contact("uncut", cutter.APMX, cutter.APMX + above, text)
    cone = side.point if METHODS[candidate.method].by_drill and not region.flat_floor else 0.0
    if side.floor and round(side.overcut - cone, SAME) > 0:  # a point below the depth of a drilled hole is meant
        yield Contact("floor", 0.0, side.overcut, f"the tip goes {millimetres(side.overcut)} below the floor")
    beyond = side.overcut - (side.clearance or 0.0)
    if not side.floor and side.clearance is not None and round(beyond, SAME) > 0:
        yield Contact("beneath", 0.0, beyond, f"the tip goes {millimetres(beyond)} into what is below the part")


def _beside_the_wall(side: Side, cutter: Cutter, limits: Mapping[str, float]) -> Iterator[Contact]:
    deep = side.buried - (side.top if cutter.kind.drill else 0.0)  # how far off the higher stock stands is not known
    short, gap = round(deep - cutter.LU, SAME), (cutter.DC - cutter.DCONMS) / 2
    least = limits["holder_clearance_least"]
    over = round(side.buried - cutter.LPR, SAME)
    if short > 0 and (cutter.kind.drill or gap < limits["shank_clearance_least"]):
        end = min(deep, max(cutter.LPR, cutter.LU))
        if end > cutter.LU:
            text = f"shank of {millimetres(cutter.DCONMS)} rubs the wall over {millimetres(end - cutter.LU)}"
            yield Contact("shank", cutter.LU, end, text)
    if over > -least:
        where = "deep in the stock" if cutter.holder_diameter > cutter.DC else "down in the cut, and wider above"
        told = f"is {millimetres(over)} {where}" if over > 0 else f"comes within {millimetres(-over)} of the stock"
        low, high = sorted((cutter.LPR, side.buried))
        held = f"holder of {millimetres(cutter.holder_diameter)}"
        yield Contact("holder", low, high, f"{held} {told}; at least {millimetres(least)} of clearance is needed")
