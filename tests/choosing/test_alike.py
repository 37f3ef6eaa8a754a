"""Several features alike are one answer: each cutter is changed in once, all else is done as often as there are."""

from typing import Any
from unittest.mock import patch

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.choosing import advice
from advisor.choosing.advice import advise_feature
from advisor.choosing.time_parts import time_parts
from advisor.choosing.whole_part import whole_part
from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter
from advisor.service import advise
from tests.jobs.small import EVERYDAY, QUICK_EXAMPLES, asked, drill, job, solid
from tests.jobs.strategies import Question, questions

POCKET: dict[str, Any] = {
    "kind": "closed_pocket",
    "length": 60,
    "width": 40,
    "depth": 20,
    "floor": True,
    "corner_radius": 8,
}
CRIB: list[Cutter] = [solid(12, 30), solid(8, 22), drill(13)]


def way(candidate: Candidate) -> tuple[Any, ...]:
    """Return what a candidate is, its drill too."""
    drilled = candidate.drill.id if candidate.drill else None
    return candidate.method, candidate.cutter.id, candidate.entry, drilled


def changes(candidate: Candidate) -> float:
    """Return the time of a candidate's tool changes."""
    return time_parts(candidate)["change"]


@pytest.mark.parametrize("count", [2, 6, 500])
def test_so_many_alike_take_so_many_times_the_time_and_each_change_once(count: int) -> None:
    one = {way(found): found for found in asked(POCKET, CRIB).candidates if found.plan is not None}
    several = {
        way(found): found for found in asked(POCKET | {"count": count}, CRIB).candidates if found.plan is not None
    }
    assert set(one) == set(several)
    assert sum(found.time < float("inf") for found in one.values()) > 5
    for name, found in several.items():
        single = one[name]
        if single.time < float("inf"):
            assert found.time == pytest.approx(count * (single.time - changes(single)) + changes(single))
            assert changes(found) == changes(single)


@settings(max_examples=QUICK_EXAMPLES, deadline=None)
@given(questions(4))
def test_two_alike_are_in_the_cut_twice_as_long_as_one(question: Question) -> None:
    feature, cutters, bench = question.made()
    answers = [advise_feature(feature.model_copy(update={"count": count}), cutters, bench) for count in (1, 2)]
    ways = [sorted(answer.candidates, key=lambda one: str(way(one))) for answer in answers]
    for single, both in zip(*ways, strict=True):
        if single.time < float("inf"):
            parts, of_both = time_parts(single), time_parts(both)
            assert of_both["change"] == pytest.approx(parts["change"])
            for name in ("cut", "entry", "travel"):
                assert of_both[name] == pytest.approx(2 * parts[name])
            assert sum(of_both.values()) == pytest.approx(both.time)


@settings(max_examples=QUICK_EXAMPLES, deadline=None)
@given(questions(30), st.integers(2, 500))
def test_a_large_crib_gives_the_same_answer_for_several(question: Question, count: int) -> None:
    feature, cutters, bench = question.made()
    several = feature.model_copy(update={"count": count})
    whole = advise_feature(several, cutters, bench).best
    with patch.object(advice, "MANY", 0):
        narrow = advise_feature(several, cutters, bench, whole=False).best
    assert (whole is None) == (narrow is None)
    if whole is not None and narrow is not None:
        assert (way(narrow), narrow.time) == (way(whole), pytest.approx(whole.time))


def test_a_drilled_entry_hole_is_worth_its_drill_the_sooner_the_more_there_are() -> None:
    """One pocket does not pay for the change; of a row of them each saves a little."""
    one, many = (
        asked(POCKET | {"count": count}, CRIB, machine=EVERYDAY | {"tool_change": 60}).best for count in (1, 50)
    )
    assert one is not None
    assert many is not None
    assert one.drill is None
    assert many.drill is not None


def test_the_time_of_a_part_has_each_cutter_changed_in_once() -> None:
    found = advise(job(POCKET | {"count": 4}, [solid(12, 30)]), quick=True)
    best, part = found.features[0].best, whole_part(found)
    assert best is not None
    assert part.time == pytest.approx(best.time)
    assert changes(best) == EVERYDAY["tool_change"]
