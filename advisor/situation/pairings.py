"""Which methods and cutters can be meant for a region."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from advisor.model.cutter import Cutter
from advisor.model.region import Region
from advisor.readers.ways import Way, ways

__all__ = ["Way", "meant_for", "ways"]


def meant_for(region: Region, crib: Sequence[Cutter], clearance: float) -> Iterator[tuple[Way, Cutter]]:
    """Every method with every cutter that can be meant for the region; ``clearance`` is kept in an opening [mm]."""
    for way in ways().values():
        if way.suits(region):
            for cutter in crib:
                if way.takes(region, cutter, clearance):
                    yield way, cutter
