"""A feature in a few lines of characters, cut across its width, with its sizes and no cutter: nothing of the answer."""

from __future__ import annotations

from advisor.knowledge.wording import given
from advisor.model.region import Region
from advisor.text.blocks import Sketch

STOCK, AIR = "▒", " "
WALL, WIDE = 6, 14
DRAWN = ("slot", "closed_pocket", "open_pocket", "outside_profile")  # where it shows what stands beside


def feature_sketch(region: Region) -> Sketch | None:
    """The section of a feature: stock hatched, sizes beside it; nothing where its words show as much."""
    if region.kind not in DRAWN:
        return None
    left, right = STOCK * WALL, "" if region.strip_like else STOCK * WALL
    wide = len(left) + WIDE + len(right)
    lines = [
        f"{left}{f'├ {given(_across(region), bare=True)} ┤'.center(WIDE)}{right}",
        *_bottom(region, left, right, wide),
    ]
    return Sketch((tuple(line.rstrip() for line in lines),))


def _across(region: Region) -> float:
    """The width of what is to be cut [mm]."""
    return region.strip or region.width if region.kind == "outside_profile" else region.width


def _bottom(region: Region, left: str, right: str, wide: int) -> list[str]:
    depth = f"  {given(region.depth, bare=True)} deep"
    if region.floor:
        return [f"{STOCK * wide}{depth}"]
    return [f"{left}{AIR * WIDE}{right}{depth}, through"]
