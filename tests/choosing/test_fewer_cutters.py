"""Cutters that a part could do without: what it takes then is added up anew."""

import pytest

from advisor.choosing.time_parts import time_parts
from advisor.choosing.whole_part import SparedCutter, whole_part
from advisor.model.candidate import Candidate
from tests.cases import worked

DEMO = "winch-side-plate"


def spared() -> list[tuple[str, SparedCutter]]:
    """Return every cutter that a worked case could do without, with the case."""
    names = dict.fromkeys(name for name, _ in worked.every_feature())
    return [(name, one) for name in names for one in whole_part(worked.advice(name)).spared]


def cutters_of(way: Candidate) -> set[str]:
    return {way.cutter.id} | ({way.drill.id} if way.drill else set())


def test_the_demo_part_does_without_a_cutter() -> None:
    found = {one.cutter.id: one for one in whole_part(worked.advice(DEMO)).spared}
    assert found["E16N3"].feature == "H2"
    assert found["E16N3"].more < 0


@pytest.mark.parametrize(("name", "one"), spared())
def test_what_the_part_takes_without_it_is_the_sum_of_its_cuts_and_changes(name: str, one: SparedCutter) -> None:
    advice = worked.advice(name)
    part, change = whole_part(advice), advice.assignment.machine.tool_change
    ways = {answer.region.id: answer.best for answer in advice.features if answer.best}
    assert one.then.grade == ways[one.feature].grade
    after = ways | {one.feature: one.then}
    rests = {answer.rest.cutter.id for answer in advice.features if answer.rest and answer.rest.cutter}
    used = set.union(*map(cutters_of, after.values())) | rests
    assert one.cutter.id not in used
    assert used < {use.cutter.id for use in part.cutters}
    cut = sum(way.time - time_parts(way)["change"] for way in after.values())
    assert cut + change * len(used) == pytest.approx(part.time + one.more)
    assert one.more <= advice.bench.limits["spared_cutter_time"]
