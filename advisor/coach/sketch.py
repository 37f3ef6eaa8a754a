"""A feature in characters, cut across its width, with its sizes and no cutter: nothing of the answer is in it."""

from __future__ import annotations

from advisor.knowledge.wording import given
from advisor.model.region import Region
from advisor.text.blocks import Sketch

STOCK, AIR, GONE, BENEATH = "▒", " ", "·", "▓"
WALL, WIDE, BEHIND = 6, 14, 2
ROWS = 4


def feature_sketch(region: Region) -> Sketch:
    """The section of a feature: stock hatched, what is to be cut dotted, sizes beside it."""
    left = STOCK * WALL if _walls(region) else ""
    right = STOCK * WALL if _walls(region) == 2 else ""
    across = f"{'⌀' if region.round else ''}{given(_across(region), bare=True)}"
    lines = [f"{' ' * len(left)}{f'├ {across} ┤'.center(WIDE)}"]
    lines += [f"{left}{GONE * WIDE}{right}" for _ in range(ROWS)]
    lines[1] += "  0 top"
    lines += _bottom(region, len(left) + WIDE + len(right))
    if region.corner_radius:
        lines.append(f"corners R{given(region.corner_radius, bare=True)}")
    if region.island:
        lines.append(f"a middle {given(region.island, bare=True)} wide stays")
    return Sketch((tuple(line.rstrip() for line in lines),))


def _walls(region: Region) -> int:
    """How many walls stand beside the cut in this section."""
    if region.kind == "planar_face":
        return 0
    return 1 if region.strip_like or region.narrowest is None else 2


def _across(region: Region) -> float:
    """The width of what is to be cut [mm]."""
    return region.strip or region.width if region.kind == "outside_profile" else region.width


def _bottom(region: Region, wide: int) -> list[str]:
    depth = f"  {given(region.depth, bare=True)} deep"
    if region.floor:
        return [f"{STOCK * wide}{depth}"]
    if region.clearance_below is None:
        return [f"{'─' * wide}{depth}, through"]
    free = f"  free below: {given(region.clearance_below, bare=True)}"
    return [f"{AIR * wide}{depth}, through", f"{BENEATH * wide}{free}"]
