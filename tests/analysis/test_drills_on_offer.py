"""The drill that a shop is told to buy for a hole leaves on its wall what the rules keep for its purpose."""

import pytest

from advisor.analysis.standard_cutters import drill_to_size
from advisor.choosing.advice import advise_feature
from advisor.situation.bench import bench_of
from tests.jobs.small import job

DIAMETERS = (3.2, 4.8, 5, 5.1, 6, 7.94, 8.5, 10, 12, 13.5, 17.5, 20, 24, 30, 39.9, 40, 42, 50, 60)


@pytest.mark.parametrize("purpose", [None, "clearance", "thread", "ream", "bore", "mill"])
def test_it_leaves_what_the_purpose_of_the_hole_asks_for(purpose: str | None) -> None:
    seen = 0
    for diameter in DIAMETERS:
        hole = {"kind": "round_hole", "diameter": diameter, "depth": 1.5 * diameter, "floor": True}
        asked = job(hole if purpose is None else hole | {"purpose": purpose}, [])
        feature, bench = asked.job.features[0], bench_of(asked)
        drill = drill_to_size(feature, bench)
        if drill is None:
            continue
        ways = advise_feature(feature, [drill], bench).candidates
        (way,) = (way for way in ways if way.method == "drilling")
        assert way.facts["left_short"] <= 0, diameter
        assert way.facts["left_over"] <= 0, diameter
        seen += 1
    assert seen > len(DIAMETERS) / 2


def test_a_hole_of_a_drill_in_inches_is_drilled_with_that_drill() -> None:
    for diameter in (5 / 16 * 25.4, 0.201 * 25.4, 0.257 * 25.4):  # 5/16 in, no. 7, letter F
        asked = job({"kind": "round_hole", "diameter": diameter, "depth": 15, "floor": True}, [])
        drill = drill_to_size(asked.job.features[0], bench_of(asked))
        assert drill is not None
        assert pytest.approx(diameter) == drill.DC
