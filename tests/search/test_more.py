"""More never hurts, held against a few random jobs: ``more_report.py`` asks them by the thousand."""

from functools import cache

import pytest

from advisor.model.candidate import Candidate
from tests.jobs.random_jobs import random_job
from tests.search.more import WHAT, Compared, answer, compared, factor, with_more

SEEDS = range(50_000, 50_060)
# Jobs that got slower with more of something once, by what and how many times as much of it.
FOUND = {
    (337, "feed", 1.05): "a thinner chip at a faster spindle, 1751 s to 1819 s",
    (357, "feed", 2.14): "212 s to 244 s",
    (414, "feed", 2.08): "levels too many, 2227 s to 2397 s",
    (970, "power", 1.32): "the search for the feed stopped at the thinnest chip, 357 s to 719 s",
    (1041, "stiffness", 2.16): "a cut at full width was held to be narrowed, 55 s to 94 s",
    (636, "stiffness", 2.69): "the same, 27 s to 30 s",
    (475, "speed", 2.69): "2440 s to 2847 s",
}


def way(seed: int, method: str, cutter: str, what: str = "", times: float = 1.0) -> Candidate:
    """Return a way of a random job, on a machine with so many times as much of something."""
    asked = random_job(seed)
    if what:
        asked = asked._replace(machine=with_more(asked.machine, what, times))
    ways = answer(asked).candidates
    return next(found for found in ways if (found.method, found.cutter.id) == (method, cutter))


@cache
def every(what: str) -> list[Compared]:
    """Return each of the jobs beside the same with more of something."""
    return [compared(seed, what) for seed in SEEDS]


@pytest.mark.parametrize("what", WHAT)
def test_more_of_anything_makes_no_way_and_no_answer_slower(what: str) -> None:
    found = every(what)
    assert [str(one) for each in found for one in each.slower] == []
    assert sum(each.ways for each in found) > 200


@pytest.mark.parametrize("what", [what for what in WHAT if what != "acceleration"])
def test_more_of_anything_makes_some_ways_quicker(what: str) -> None:
    """Else the relation would hold of machines that are never at their limit."""
    assert sum(each.quicker for each in every(what)) > 3


@pytest.mark.parametrize(("seed", "what", "times"), FOUND)
def test_what_got_slower_once_does_so_no_more(seed: int, what: str, times: float) -> None:
    assert compared(seed, what, times).slower == ()


def test_with_more_stiffness_plunging_is_no_more_needed() -> None:
    soft, stiff = (way(126, "plunge_roughing", "C3", "stiffness", times) for times in (1.0, 2.07))
    assert (soft.grade, stiff.grade) == ("poor", "forbidden")


def test_a_greater_feed_may_ask_for_more_power_than_the_spindle_has_and_is_quicker_then() -> None:
    slow, quick = (way(1684, "layered_pocketing", "C3", "feed", times) for times in (1.0, 2.0))
    assert float(quick.facts["load_kept"]) < 0.7 <= float(slow.facts["load_kept"])
    assert quick.time < slow.time


def test_a_faster_spindle_turns_no_slower_than_half_of_what_the_cutting_data_ask_for() -> None:
    found = way(475, "engagement_limited_clearing", "C1", "speed", 1.85)
    assert found.plan is not None
    assert found.plan.spindle_speed >= 0.5 * 7400


def test_a_job_of_a_number_is_asked_with_the_same_factor_every_time() -> None:
    assert factor(3, "feed") == factor(3, "feed")
    assert factor(3, "feed") != factor(4, "feed")
