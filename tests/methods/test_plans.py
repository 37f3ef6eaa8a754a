"""Each method by itself: the plan that it makes of one cut, worked out again by search.

Source: geometry and arithmetic alone (a way over a speed, a width over a step); the speeds and chips are the tables'.
"""

from math import ceil, pi
from typing import Any

import pytest

from advisor.choosing.candidates import cutter_in_region, region_search
from advisor.methods.bounds import least_time
from advisor.methods.cut import Cut
from advisor.methods.method import Method
from advisor.methods.registry import METHODS
from advisor.methods.trial import cut_of
from advisor.model.cutter import Cutter
from advisor.model.plan import FREE, Plan
from advisor.model.region import regions_of
from advisor.situation.bench import bench_of
from advisor.situation.facts import feature_facts
from tests.jobs.small import ALUMINIUM, EVERYDAY, STEEL, STRONG, drill, inserted, job, solid

SQUARE: dict[str, Any] = {"kind": "closed_pocket", "length": 80, "width": 50, "depth": 20, "floor": True}
FACE: dict[str, Any] = {"kind": "planar_face", "length": 200, "width": 120, "depth": 3}
SLOT: dict[str, Any] = {"kind": "slot", "length": 100, "width": 12.6, "depth": 12, "floor": True, "open_ends": 0}
STEP: dict[str, Any] = {"kind": "step", "length": 150, "width": 20, "depth": 30}
BORE: dict[str, Any] = {"kind": "round_hole", "diameter": 30, "depth": 20, "floor": True}
HOLE: dict[str, Any] = {"kind": "round_hole", "diameter": 10, "depth": 25, "floor": True, "purpose": "clearance"}
WEAK = EVERYDAY | {"name": "weak", "spindle": {"speed": [300, 6000], "power": [0.4, 0.9]}}

EVERY: dict[str, tuple[dict[str, Any], Cutter]] = {
    "engagement_limited_clearing": (SQUARE, solid(12, 26)),
    "layered_pocketing": (SQUARE, solid(12, 26)),
    "ramped_slotting": (SLOT, solid(12, 26)),
    "plunge_roughing": (STEP, inserted(25, APMX=10)),
    "face_milling": (FACE, inserted(50, APMX=5, ZEFP=4)),
    "drilling": (HOLE, drill(10)),
    "helical_boring": (BORE, solid(16, 32)),
}


def prepared(method: Method, feature: dict[str, Any], cutter: Cutter, material: str, machine: dict[str, Any]) -> Cut:
    """The cut of a cutter in a feature, as the method works with it; nothing else of the reasoning is asked."""
    assignment = job(feature, [cutter], material, machine)
    bench, region = bench_of(assignment), regions_of(assignment.job.features[0])[0]
    cut = cut_of(
        cutter_in_region(cutter, region_search(region, feature_facts(region, bench), [cutter], bench)), region, bench
    )
    assert cut is not None
    return method.prepared(cut)


def planned(name: str, material: str = STEEL, machine: dict[str, Any] = STRONG) -> tuple[Cut, Plan]:
    cut = prepared(METHODS[name], *EVERY[name], material, machine)
    plan = METHODS[name].plan(cut)
    assert plan is not None
    return cut, plan


def test_every_method_has_its_cut_here() -> None:
    assert EVERY.keys() == METHODS.keys()


@pytest.mark.parametrize("material", [ALUMINIUM, STEEL])
@pytest.mark.parametrize("name", sorted(EVERY))
def test_a_plan_is_of_its_method_and_cutter_and_its_settings_belong_together(name: str, material: str) -> None:
    cut, plan = planned(name, material)
    assert (plan.method, plan.cutter) == (name, EVERY[name][1])
    assert plan.levels * plan.axial_depth >= cut.inside.depth_to_cut - 1e-9 or METHODS[name].in_turns
    assert plan.feed_rate <= cut.bench.machine.feed_max
    assert plan.spindle_speed <= cut.bench.machine.spindle.speed[-1]
    assert plan.cut_time > 0
    assert plan.load.power <= plan.load.power_available


@pytest.mark.parametrize("material", [ALUMINIUM, STEEL])
@pytest.mark.parametrize("name", sorted(EVERY))
def test_no_plan_is_quicker_than_the_least_time_of_its_method(name: str, material: str) -> None:
    cut, plan = planned(name, material)
    assert 0 < least_time(METHODS[name], cut) <= (plan.cut_time + plan.travel_time) * (1 + 1e-9)


@pytest.mark.parametrize("name", sorted(EVERY))
def test_a_plan_made_twice_is_the_same(name: str) -> None:
    """A cut is a value: no plan leaves anything in it."""
    cut, plan = planned(name, machine=WEAK)
    assert plan.held, "a spindle so weak holds something back"
    assert METHODS[name].plan(cut) == plan
    assert cut.pinned == FREE


@pytest.mark.parametrize("name", ["engagement_limited_clearing", "layered_pocketing"])
def test_a_pocket_is_cleared_in_equal_levels_as_deep_together_as_it_is_to_be(name: str) -> None:
    cut, plan = planned(name)
    assert plan.levels * plan.axial_depth == pytest.approx(20 - cut.inside.bottom)
    if METHODS[name].whole_depth:
        assert plan.levels == 1
    area = (80 - 2 * plan.side_allowance) * (50 - 2 * plan.side_allowance)
    assert plan.rate * plan.cut_time / 60 >= 0.9 * area * plan.levels * plan.axial_depth  # no quicker than the volume


def test_a_face_is_milled_in_passes_side_by_side() -> None:
    """120 mm with a cutter of 50 mm, of which a pass takes three quarters at most: four of 30 mm, each 200 mm long."""
    cut, plan = planned("face_milling")
    assert cut.bench.limits["face_radial_share_most"] == 0.75
    passes = float(plan.facts["passes"])
    assert passes == 4
    assert plan.radial_width == pytest.approx(30)
    assert plan.cut_time == pytest.approx(60 * plan.levels * passes * 200 / plan.feed_rate)
    assert plan.rate == pytest.approx(plan.axial_depth * plan.radial_width * plan.feed_rate)


def test_a_slot_is_cut_at_the_whole_width_of_the_cutter() -> None:
    cut, plan = planned("ramped_slotting")
    assert plan.radial_width == 12
    assert plan.engagement == pytest.approx(180)
    assert plan.levels == ceil(cut.inside.depth_to_cut / plan.axial_depth - 1e-9)


def test_a_step_is_plunged_in_as_many_plunges_as_its_area_holds() -> None:
    cut, plan = planned("plunge_roughing")
    area = cut.region.area(cut.inside.side)
    step = float(plan.facts["plunge_step"])
    assert plan.levels == 1
    assert plan.facts["plunges"] == ceil(area / (plan.radial_width * step) - 1e-9)
    down = cut.inside.depth_to_cut + cut.bench.limits["approach"]
    assert plan.cut_time == pytest.approx(float(plan.facts["plunges"]) * 60 * down / plan.feed_rate)


def test_a_hole_is_drilled_in_one_go_as_wide_as_the_drill() -> None:
    """Two lips: the removal rate is the area of the hole by the feed."""
    cut, plan = planned("drilling")
    assert plan.levels == 1
    assert plan.rate == pytest.approx(pi / 4 * 10**2 * plan.feed_rate)
    assert plan.feed_rate == pytest.approx(plan.spindle_speed * 2 * plan.feed_per_tooth)
    assert plan.cut_time >= 60 * cut.inside.depth_to_cut / plan.feed_rate


def test_a_bore_is_cut_in_turns_of_a_helix_on_the_circle_of_the_centre() -> None:
    cut, plan = planned("helical_boring")
    circle = pi * (30 - 2 * plan.side_allowance - 16)
    turns, centre = cut.inside.depth_to_cut / plan.axial_depth, float(plan.facts["centre_feed"])
    assert plan.cut_time >= 60 * turns * circle / centre * 0.99
