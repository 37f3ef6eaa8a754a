"""More never hurts, held against a few random jobs: ``more_report.py`` asks them by the thousand."""

from collections.abc import Callable
from functools import cache
from typing import Any

import pytest

from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter, make_cutter
from advisor.model.features import FEATURE_KINDS
from advisor.model.machine import make_machine
from advisor.readers.materials import load_materials
from tests.jobs.random_jobs import Asked, random_job
from tests.search.more import WHAT, Compared, Slower, answer, beside, compared, factor, with_more

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
    (1301207, "power", 1.4): "a deeper level bent the face mill more than it may",
    (1300125, "stiffness", 1.64): "the narrow pass that the spindle has power for was passed over",
    (1601270, "power", 1.69): "thin levels were tried only where the spindle is weak, 1713 s to 3179 s",
    (1400026, "stiffness", 2.15): "a ramp to and fro as deep as the spindle has no power for, 186 s to 305 s",
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


def face_mill_on_a_light_spindle(power: float) -> Asked:
    """A 63 mm face mill on a spindle of some 2 kW [kW]; an attacker's job, 327 s to 389 s once."""
    cutter = make_cutter(
        id="A63", body="inserted_face_mill", DC=63, APMX=6, LU=40, LPR=40, DN=50, DCONMS=22, RE=0.8, KAPR=45, ZEFP=6,
        RMPX=2, RPMX=13000, dead_centre=50, holder_diameter=48,
    )  # fmt: skip
    spindle = {"speed": [3000, 8000, 24000], "power": [0.8 * power, power, power]}
    given = {"length": 81.6, "width": 17.1, "depth": 5.4}
    return _asked("planar_face", given, "42CrMo4", cutter, spindle, feed_max=5000, rapid=6000, stiffness=60)


def pocket_on_a_light_spindle(power: float) -> Asked:
    """A 25 mm cutter with inserts on a spindle of under 1 kW [kW]; an attacker's job, zigzag 869 s to 1350 s once."""
    cutter = make_cutter(
        id="I25", body="inserted_end_mill", DC=25, APMX=10, LU=38, LPR=55, DN=24, RE=0.8, ZEFP=3, RMPX=3.2, RPMX=28000,
        dead_centre=12, holder_diameter=44,
    )  # fmt: skip
    spindle = {"speed": [750, 2000, 6000], "power": [0.8 * power, power, power]}
    given = {"length": 192.8, "width": 32.9, "depth": 6.6, "floor": True, "corner_radius": 9.8}
    return _asked("closed_pocket", given, "EN AW-7075-T651", cutter, spindle, feed_max=20000, rapid=20000, stiffness=20)


def _asked(
    kind: str, given: dict[str, Any], material: str, cutter: Cutter, spindle: dict[str, list[float]], **others: float
) -> Asked:
    machine = make_machine(
        name="light", spindle=spindle, axis_acceleration=1, tool_change=5, coolant=["flood"], **others
    )
    feature = FEATURE_KINDS[kind].model_validate({"id": "F1", "kind": kind, **given})
    stuff = next(each for each in load_materials().all if each.name == material)
    return Asked(0, feature, stuff, machine, (cutter,))


@pytest.mark.parametrize(
    ("asked", "power"), [(face_mill_on_a_light_spindle, 1.97), (pocket_on_a_light_spindle, 0.70128)]
)
def test_a_light_spindle_with_a_little_more_power_slows_no_way(asked: Callable[[float], Asked], power: float) -> None:
    found = beside(answer(asked(power)), answer(asked(1.07 * power)), lambda *told: Slower(0, "power", 1.07, *told))
    assert found.ways > 0
    assert found.slower == ()


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
    slow, quick = (way(1684, "layered_pocketing", "C3", "feed", times) for times in (1.0, 2.5))
    assert float(quick.facts["load_kept"]) < 0.7 <= float(slow.facts["load_kept"])
    assert quick.time < slow.time


def test_a_faster_spindle_turns_no_slower_than_half_of_what_the_cutting_data_ask_for() -> None:
    found = way(475, "engagement_limited_clearing", "C1", "speed", 1.85)
    assert found.plan is not None
    assert found.plan.spindle_speed >= 0.5 * 7400


def test_a_job_of_a_number_is_asked_with_the_same_factor_every_time() -> None:
    assert factor(3, "feed") == factor(3, "feed")
    assert factor(3, "feed") != factor(4, "feed")


def test_a_spindle_is_judged_by_the_level_that_the_fewest_levels_need() -> None:
    """9.8 mm take two levels of 5, where the tables allow 8: a faster spindle once was too weak for these."""
    slow = way(700257, "layered_pocketing", "C1")
    quick = way(700257, "layered_pocketing", "C1", "speed", 1.05)
    assert (slow.grade, quick.grade) == ("good", "good")
    assert quick.plan is not None
    assert quick.plan.levels == 2
    assert quick.facts["load_kept"] == 1
