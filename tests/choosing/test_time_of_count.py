"""The time of several features alike: each cutter is changed in once, all else is done for each of them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.choosing.advice import advise_feature
from advisor.choosing.time_of_count import whole_time
from advisor.choosing.time_parts import time_parts
from advisor.model.region import regions_of
from advisor.situation.bench import bench_of
from advisor.situation.facts import feature_facts
from tests.jobs.small import job, solid

POCKET = {
    "kind": "closed_pocket", "length": 80, "width": 50, "depth": 15, "floor": True, "corner_radius": 4,
}  # fmt: skip
CRIB = [solid(6, 18), solid(12, 26)]
seconds = st.floats(0.0, 1e4)


@given(st.integers(1, 500), seconds, seconds, seconds)
def test_of_so_many_all_but_the_changes_is_so_often(count: int, each: float, change: float, rest: float) -> None:
    one, several = (whole_time(number, each, change, rest) for number in (1, count))
    once = change + min(change, rest)
    assert one == pytest.approx(each + change + rest)
    assert several - once == pytest.approx(count * (one - once), abs=1e-6)


@pytest.mark.parametrize("count", [1, 2, 7])
def test_the_facts_say_how_many_and_the_parts_of_the_time_sum_to_that_of_all(count: int) -> None:
    assignment = job(POCKET | {"count": count}, CRIB)
    bench, feature = bench_of(assignment), assignment.job.features[0]
    (region,) = regions_of(feature)
    assert (region.copies, feature_facts(region, bench)["count"]) == (count, count)
    found = [one for one in advise_feature(feature, assignment.crib, bench).candidates if one.time < float("inf")]
    assert any(float(one.facts["corner_rest_time"]) > 0 for one in found)
    for one in found:
        assert sum(time_parts(one).values()) == pytest.approx(one.time)
