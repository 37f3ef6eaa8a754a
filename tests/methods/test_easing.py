"""Where the spindle is short of power: a little less feed first, then a narrower cut, then one more level.

Source: common practice, no source. One more level costs far more than a little feed.
"""

from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest

from advisor.knowledge.shipped import rule_base
from advisor.methods.helix import borne_at_full_width
from advisor.methods.trial import cut_of, greatest
from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter
from advisor.model.plan import FREE
from advisor.model.region import regions_of
from advisor.situation.bench import bench_of
from advisor.situation.facts import cutter_in, feature_facts
from advisor.text.causes import cause_text
from tests.jobs.small import EVERYDAY, STEEL, asked, inserted, job, solid

Way = tuple[dict[str, Any], Cutter, str]
FACE = inserted(63, id="F63", body="inserted_face_mill", KAPR=45)
POCKET = {"kind": "closed_pocket", "length": 90, "width": 60, "depth": 30, "floor": True, "corner_radius": 8}
STEP = {"kind": "step", "length": 200, "width": 12.5, "depth": 20}
SLOT = {"kind": "slot", "length": 80, "width": 13.2, "depth": 14, "floor": True, "open_ends": 1}
BORE = {"kind": "round_hole", "diameter": 33, "depth": 31, "floor": True}
WAYS: dict[str, Way] = {
    "a step at full flute": (STEP, solid(16, 32), "engagement_limited_clearing"),
    "a pocket at full flute": (POCKET, solid(12, 30), "engagement_limited_clearing"),
    "a pocket in layers": (POCKET, solid(12, 30), "layered_pocketing"),
    "a pocket with inserts": (POCKET | {"length": 74}, inserted(25), "layered_pocketing"),  # on a helix
    "a slot": (SLOT, solid(12, 30), "ramped_slotting"),
    "a face": ({"kind": "planar_face", "length": 200, "width": 90, "depth": 4}, FACE, "face_milling"),
    "a bore": (BORE, solid(20, 40), "helical_boring"),
}
FEW = ("a pocket at full flute", "a slot", "a face", "a bore")  # few levels, or a width that nothing divides
PLENTY = 80.0  # kW


def at_power(way: Way, power: float, feed_max: float = 20000) -> Candidate:
    """Return the way on a machine that has the same power [kW] at every speed, with a greatest feed [mm/min]."""
    feature, cutter, method = way
    spindle = {"speed": [1000, 12000], "power": [power, power]}
    machine = EVERYDAY | {"spindle": spindle, "stiffness": 500, "feed_max": feed_max}
    return next(each for each in asked(feature, [cutter], STEEL, machine).candidates if each.method == method)


def settings(found: Candidate) -> Mapping[str, float]:
    names = ("levels", "axial_depth", "radial_width", "feed_per_tooth", "spindle_speed", "chip", "worn_power")
    return {name: float(found.facts[name]) for name in names}


def enough(way: Way) -> float:
    """Return the power [kW] of which a cut that nothing holds back is just borne."""
    return settings(at_power(way, PLENTY))["worn_power"] / rule_base().limits["power_share_most"]


@pytest.mark.parametrize("name", FEW)
@pytest.mark.parametrize("short", [0.02, 0.08, 0.14])
def test_short_of_power_by_a_little_the_feed_alone_is_eased(name: str, short: float) -> None:
    free = settings(at_power(WAYS[name], PLENTY))
    eased = settings(at_power(WAYS[name], (1 - short) * enough(WAYS[name])))
    assert eased["levels"] == free["levels"]
    assert eased["axial_depth"] == pytest.approx(free["axial_depth"])
    assert eased["radial_width"] == pytest.approx(free["radial_width"])
    assert 0.8 * free["feed_per_tooth"] <= eased["feed_per_tooth"] < free["feed_per_tooth"]


@pytest.mark.parametrize("name", WAYS)
@pytest.mark.parametrize("short", [0.02, 0.08, 0.14])
def test_short_of_power_by_a_little_no_more_time_is_lost_than_by_feed_alone(name: str, short: float) -> None:
    """The power falls slower than the feed, as a thinner chip costs more: by the power 1 - m_c, 0.81 at most."""
    free, eased = at_power(WAYS[name], PLENTY), at_power(WAYS[name], (1 - short) * enough(WAYS[name]))
    assert eased.time <= free.time / (1 - short) ** (1 / 0.81) * 1.005


@pytest.mark.parametrize("name", WAYS)
def test_with_just_enough_power_nothing_is_eased(name: str) -> None:
    free = settings(at_power(WAYS[name], PLENTY))
    assert settings(at_power(WAYS[name], 1.001 * enough(WAYS[name]))) == pytest.approx(free)


@pytest.mark.parametrize("name", WAYS)
def test_short_of_power_by_much_the_cut_is_made_smaller_and_the_feed_kept_above_eight_tenths(name: str) -> None:
    """Or the spindle slower, where the same power then takes as much off in fewer passes along a shoulder."""
    free = settings(at_power(WAYS[name], PLENTY))
    eased = settings(at_power(WAYS[name], 0.6 * enough(WAYS[name])))
    smaller = eased["levels"] > free["levels"] or eased["radial_width"] < free["radial_width"]
    slower = WAYS[name][0]["kind"] == "step" and eased["spindle_speed"] < free["spindle_speed"]
    assert smaller or slower
    assert eased["chip"] >= 0.79 * free["chip"]


@pytest.mark.parametrize("name", WAYS)
def test_more_power_is_never_slower(name: str) -> None:
    powers = [enough(WAYS[name]) * share / 40 for share in range(6, 50)]
    times = [at_power(WAYS[name], power).time for power in powers]
    for slow, quick in pairwise(times):
        assert quick <= slow * 1.005, (slow, quick)  # sizes are rounded to what is typed


@pytest.mark.parametrize("name", WAYS)
@pytest.mark.parametrize("share", [0.3, 0.5, 0.7, 0.9])
def test_a_greater_feed_limit_is_never_slower(name: str, share: float) -> None:
    """With a greater feed the spindle turns faster and may be short of power; it can still turn as slowly as before."""
    power = share * enough(WAYS[name])
    free = settings(at_power(WAYS[name], PLENTY))
    wanted = free["feed_per_tooth"] * free["spindle_speed"] * WAYS[name][1].ZEFP
    times = [at_power(WAYS[name], power, wanted * part / 20).time for part in range(11, 24)]
    quickest = times[0]
    for time in times:
        assert time <= quickest * (1 + rule_base().limits["eased_feed_near"] + 0.01)
        quickest = min(quickest, time)


def test_far_short_of_power_the_spindle_turns_slower_and_the_chip_stays() -> None:
    """Power falls with the speed, the force on the edge does not; a thinner chip would cost more of it."""
    free = settings(at_power(WAYS["a bore"], PLENTY))
    shown = [at_power(WAYS["a bore"], enough(WAYS["a bore"]) * share / 40) for share in range(10, 20)]
    slowed = [found for found in shown if found.plan and found.plan.spindle_speed < free["spindle_speed"]]
    assert slowed
    for found in slowed:
        assert found.plan is not None
        assert found.plan.chip == pytest.approx(free["chip"])
        (held,) = [held for held in found.plan.held if held.setting == "spindle_speed"]
        assert cause_text(held.cause).startswith("spindle power")


def test_a_cut_as_wide_as_the_cutter_is_not_narrowed_but_made_shallower() -> None:
    """In a slot 2 mm wider than the cutter the cut that opens each level takes the whole cutter."""
    slot = {"kind": "slot", "length": 90, "width": 27.5, "depth": 6, "floor": True, "open_ends": 0}
    way: Way = (slot, inserted(25), "layered_pocketing")
    free, eased = (settings(at_power(way, share * enough(way))) for share in (1.1, 0.5))
    assert free["radial_width"] == eased["radial_width"] == 25
    assert eased["levels"] > free["levels"] or eased["chip"] < free["chip"]


@pytest.mark.parametrize("limit", [0.2, 0.5, 1.0, 3.0])
def test_the_greatest_value_is_found_where_the_load_does_not_rise_as_a_power(limit: float) -> None:
    """As where a thinner chip lets the spindle turn faster, so that the load hardly falls at first."""
    found = greatest(lambda value: min(value, 1 + value / 1000) / (limit if limit < 1 else 1), 0.01, 10)
    assert found == pytest.approx(min(limit, 1), rel=0.02)


@pytest.mark.parametrize("name", FEW)
def test_what_limits_a_way_is_told_with_its_settings(name: str) -> None:
    found = at_power(WAYS[name], 0.9 * enough(WAYS[name]))
    assert found.plan is not None
    assert any(
        held.setting == "feed_per_tooth" and cause_text(held.cause).startswith("spindle") for held in found.plan.held
    )


def test_a_ramp_to_and_fro_is_as_deep_as_is_borne_but_as_steep_as_somebody_else_chose() -> None:
    weak = EVERYDAY | {"spindle": {"speed": [1200, 12000], "power": [0.1, 1.0]}}
    assignment = job(POCKET, [solid(20, 45)], STEEL, weak)
    bench, region = bench_of(assignment), regions_of(assignment.job.features[0])[0]
    cut = cut_of(cutter_in(region, solid(20, 45), feature_facts(region, bench), bench), region, bench)
    assert cut is not None
    eased = borne_at_full_width(cut, 5.0)
    assert 0.5 <= eased < 5
    assert borne_at_full_width(replace(cut, pinned=FREE._replace(ramp_angle=2.0)), 5.0) == 5
