"""Which methods, bodies and ways in can be meant: the table ``shared/ways.yaml``."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from typing import Any, NamedTuple

from advisor.knowledge.wording import in_words
from advisor.model.cutter import Cutter
from advisor.model.region import Region
from advisor.readers.ways import suited, written_ways


class Way(NamedTuple):
    """One method of the table.

    ``borne`` are bodies that can cut so where a plan says it, ``else_as`` the methods that a plan by this one is judged
    as where cutter or feature is not listed. ``cored`` are the features that it suits where only stock on their walls
    is cut, by ``cored_entries``, and with ``any_width`` also by cutters that the opening has no room for.
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
    cored: frozenset[str] = frozenset()
    cored_entries: tuple[str, ...] = ()
    any_width: bool = False

    def entries(self, region: Region) -> tuple[str, ...]:
        """The ways in that can be meant for this region."""
        if region.cored:
            return self.cored_entries
        if region.strip_like or region.kind == "planar_face":
            return self.strip
        return self.open if region.open_side else self.closed

    def suits(self, region: Region) -> bool:
        """Whether it can be meant for a region, by some cutter."""
        return suited(region, self.features, self.cored, self.any_width)

    def takes(self, region: Region, cutter: Cutter, clearance: float) -> bool:
        """Whether it can be meant for a region that it suits, with a cutter; an opening keeps a ``clearance`` [mm]."""
        whatever = cutter.kind.drill or (region.cored and self.any_width)
        return cutter.body in self.bodies and (whatever or region.admits(cutter.DC, clearance))


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
            *_cored(entry.get("cored", {})),
        )
        for method, entry in written_ways().items()
    }


def _cored(entry: Mapping[str, Any]) -> tuple[frozenset[str], tuple[str, ...], bool]:
    return frozenset(entry.get("features", ())), tuple(entry.get("entries", ())), bool(entry.get("any_width", False))


def meant_for(region: Region, crib: Sequence[Cutter], clearance: float) -> Iterator[tuple[Way, Cutter]]:
    """Every method with every cutter that can be meant for the region; ``clearance`` is kept in an opening [mm]."""
    for way in ways().values():
        if way.suits(region):
            for cutter in crib:
                if way.takes(region, cutter, clearance):
                    yield way, cutter
