"""As what an operation cuts a casting, forging or pre-machined feature: the stock on its walls, or the whole."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.choosing.advice import places_of
from advisor.methods.registry import METHODS
from advisor.model.answer import FeatureAdvice
from advisor.model.cutter import Cutter
from advisor.model.features import FeatureBase
from advisor.model.operations import OperationRow
from advisor.model.region import Region
from advisor.review.coverage import Part
from advisor.review.stand_in import borne
from advisor.situation.bench import Bench
from advisor.situation.pairings import Way, ways


def as_it_is_cut(
    answer: FeatureAdvice, feature: FeatureBase, part: Part, crib: Sequence[Cutter], bench: Bench
) -> FeatureAdvice:
    """The advice of a feature, with the region that the cutter of an operation cuts there and its facts."""
    if answer.region.opening is None:
        return answer
    cored, whole = places_of(feature, crib, bench)
    place = cored if _in_the_opening(part, cored.region, bench) else whole
    return answer if place.region == answer.region else answer._replace(region=place.region, facts=place.facts)


def _in_the_opening(part: Part, region: Region, bench: Bench) -> bool:
    """Whether an operation can cut the stock on the walls alone, by its method and the width of its cutter."""
    named = part.operation.row.method
    meant = [way for way in ways().values() if way.suits(region) and named in (None, way.method)]
    clearance, row = bench.limits["opening_clearance_least"], part.operation.row
    return any(way.takes(region, part.cutter, clearance) or _borne(way, row, part.cutter, region) for way in meant)


def _borne(way: Way, row: OperationRow, cutter: Cutter, region: Region) -> bool:
    """Whether a cutter that is not listed for a method that bores round the opening can do so."""
    return METHODS[way.method].round_a_hole and borne(way, row, cutter, region)
