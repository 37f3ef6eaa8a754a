"""The table ``shared/ways.yaml``: which methods there are, and for which features, bodies and ways in each is meant."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any, NamedTuple

from advisor.files.yaml_reader import read_yaml
from advisor.knowledge.wording import in_words
from advisor.model.cutter import Cutter
from advisor.model.features import FeatureBase
from advisor.model.job import Job
from advisor.model.region import Region, regions_of
from advisor.paths import shared_dir

Parts = Mapping[str, Mapping[str, frozenset[str]]]


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

    @property
    def every_kind(self) -> frozenset[str]:
        """The kinds of feature that it suits, from the solid or of castings."""
        return self.features | self.cored

    @property
    def every_entry(self) -> tuple[str, ...]:
        """The ways in that can be meant with it, in whatever region."""
        return tuple(dict.fromkeys((*self.strip, *self.open, *self.closed, *self.cored_entries)))

    def entries(self, region: Region) -> tuple[str, ...]:
        """The ways in that can be meant for this region."""
        if region.cored:
            return self.cored_entries
        if region.strip_like or region.kind == "planar_face":
            return self.strip
        return self.open if region.open_side else self.closed

    def suits(self, region: Region) -> bool:
        """Whether it can be meant for a region, by some cutter: one for these kinds from the solid, and for those of
        castings, of whatever width the opening is.
        """
        if region.cored:
            return region.kind in self.cored
        return region.kind in self.features and not (region.rough == "whole" and self.any_width)

    def takes(self, region: Region, cutter: Cutter, clearance: float) -> bool:
        """Whether it can be meant for a region that it suits, with a cutter; an opening keeps a ``clearance`` [mm]."""
        whatever = cutter.kind.drill or (region.cored and self.any_width)
        return cutter.body in self.bodies and (whatever or region.admits(cutter.DC, clearance))


@cache
def ways() -> dict[str, Way]:
    """Every method of the table, in its order, by name; read once in a process."""
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
        for method, entry in read_yaml(shared_dir() / "ways.yaml").value.items()
    }


def _cored(entry: Mapping[str, Any]) -> tuple[frozenset[str], tuple[str, ...], bool]:
    return frozenset(entry.get("features", ())), tuple(entry.get("entries", ())), bool(entry.get("any_width", False))


def parts_with_methods(job: Job) -> Parts:
    """The ids of walls and floor by the id of the feature that is answered as these two, each with the methods that can
    be meant for it.
    """
    features = {feature.id: feature for feature in job.features}
    return {name: {part: _methods(features[part]) for part in parts} for name, parts in job.parts.items()}


def _methods(feature: FeatureBase) -> frozenset[str]:
    return frozenset(way.method for way in ways().values() if any(map(way.suits, regions_of(feature))))
