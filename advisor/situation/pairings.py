"""Which methods, bodies and ways in can be meant: the table ``shared/ways.yaml``."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from typing import NamedTuple

from advisor.knowledge.wording import in_words
from advisor.model.cutter import Cutter
from advisor.model.region import Region
from advisor.readers.ways import written_ways


class Way(NamedTuple):
    """One method of the table.

    ``borne`` are bodies that can cut so where a plan says it, ``else_as`` the methods that a plan by this one is judged
    as where cutter or feature is not listed.
    """

    method: str
    title: str
    features: frozenset[str]
    bodies: frozenset[str]
    strip: tuple[str, ...]
    open: tuple[str, ...]
    closed: tuple[str, ...]
    borne: frozenset[str] = frozenset()
    else_as: tuple[str, ...] = ()

    def entries(self, region: Region) -> tuple[str, ...]:
        """The ways in that can be meant for this region."""
        if region.strip_like or region.kind == "planar_face":
            return self.strip
        return self.open if region.open_side else self.closed


@cache
def ways() -> dict[str, Way]:
    """Every method of the table, in its order, by name."""
    return {
        method: Way(
            method,
            in_words(method),
            frozenset(entry["features"]),
            frozenset(entry["bodies"]),
            tuple(entry["strip"]),
            tuple(entry["open"]),
            tuple(entry["closed"]),
            frozenset(entry.get("borne", ())),
            tuple(entry.get("else_as", ())),
        )
        for method, entry in written_ways().items()
    }


def meant_for(region: Region, crib: Sequence[Cutter]) -> Iterator[tuple[Way, Cutter]]:
    """Every method with every cutter that can be meant for the region."""
    for way in ways().values():
        if region.kind in way.features:
            for cutter in crib:
                if cutter.body in way.bodies:
                    yield way, cutter
