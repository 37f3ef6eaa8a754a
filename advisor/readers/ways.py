"""The table ``shared/ways.yaml`` as it is written: which methods there are, and what is said of each."""

from __future__ import annotations

from collections.abc import Container, Mapping
from functools import cache
from typing import Any

from advisor.files.yaml_reader import read_yaml
from advisor.model.features import FeatureBase
from advisor.model.job import Job
from advisor.model.region import Region, regions_of
from advisor.paths import shared_dir

Parts = Mapping[str, Mapping[str, frozenset[str]]]


def suited(region: Region, features: Container[str], cored: Container[str], any_width: bool) -> bool:
    """Whether a method can be meant for a region, by some cutter: one for these kinds from the solid, and for those of
    castings, of whatever width the opening is.
    """
    if region.cored:
        return region.kind in cored
    return region.kind in features and not (region.rough == "whole" and any_width)


def parts_with_methods(job: Job) -> Parts:
    """The ids of walls and floor by the id of the feature that is answered as these two, each with the methods that can
    be meant for it.
    """
    features = {feature.id: feature for feature in job.features}
    return {name: {part: _methods(features[part]) for part in parts} for name, parts in job.parts.items()}


def _methods(feature: FeatureBase) -> frozenset[str]:
    cored: dict[str, dict[str, Any]] = {name: way.get("cored", {}) for name, way in written_ways().items()}
    return frozenset(
        name
        for name, way in written_ways().items()
        for region in regions_of(feature)
        if suited(region, way["features"], cored[name].get("features", ()), cored[name].get("any_width", False))
    )


@cache
def written_ways() -> dict[str, dict[str, Any]]:
    """Every method of the table, in its order, by name; read once in a process."""
    found: dict[str, dict[str, Any]] = read_yaml(shared_dir() / "ways.yaml").value
    return found
