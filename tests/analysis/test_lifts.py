"""A way that is forbidden is worked out again with the facts that the advice had."""

from typing import Any

import pytest

from advisor.analysis.blockers import LiftSearch
from advisor.choosing.advice import advise_feature
from advisor.choosing.ranking import against
from advisor.situation.bench import bench_of
from tests.jobs.small import job, solid

THROUGH: dict[str, Any] = {
    "kind": "closed_pocket", "length": 120, "width": 90, "depth": 20, "floor": False, "corner_radius": 12,
}  # fmt: skip
ROUND = solid(16, 12).model_copy(update={"RE": 4.0})


@pytest.mark.parametrize("more", [{}, {"stock_wall": 3}])
def test_with_nothing_changed_it_meets_the_same_facts(more: dict[str, Any]) -> None:
    assignment = job(THROUGH | more, [ROUND, solid(12, 30)])
    bench, feature = bench_of(assignment), assignment.job.features[0]
    answer = advise_feature(feature, assignment.crib, bench)
    forbidden = [item for item in answer.candidates if item.grade == "forbidden" and item.cutter.id == ROUND.id]
    assert forbidden
    assert {item.facts["sharp_diameter"] for item in forbidden} == {12.0}
    for rival in forbidden:
        again = LiftSearch(rival, against(rival), feature, assignment.crib, bench).again(feature, rival.cutter, ())
        assert again is not None
        assert again.facts["sharp_diameter"] == 12.0
