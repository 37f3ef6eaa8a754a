"""What every miller knows, through the real advice, with small invented jobs.

Source of each: common practice, no source.
"""

from typing import Any

import pytest

from advisor.mechanics.engagement import engagement_angle, engagement_angle_corner
from advisor.methods.trial import cut_of, try_cut
from advisor.model.answer import FeatureAdvice
from advisor.model.candidate import Candidate
from advisor.model.cutter import make_cutter
from advisor.model.region import regions_of
from advisor.situation.bench import bench_of
from advisor.situation.facts import cutter_in, feature_facts
from tests.jobs.small import ALUMINIUM, EVERYDAY, STEEL, STRONG, asked, best, drill, inserted, job, solid

pytestmark = pytest.mark.outside
QUICK = EVERYDAY | {"spindle": {"speed": [2000, 10000, 20000], "power": [20, 30, 30]}}
TALL: dict[str, Any] = {
    "kind": "outside_profile",
    "length": 240,
    "width": 120,
    "depth": 75,
    "stock_side": 6,
    "clearance_below": 10,
}


def rules(found: FeatureAdvice | Candidate) -> set[str]:
    return {rule.id for rule in (found.cautions if isinstance(found, FeatureAdvice) else found.fired)}


def only(found: FeatureAdvice, method: str) -> Candidate:
    """Return the best candidate of a method."""
    return next(candidate for candidate in found.candidates if candidate.method == method)


FULL_FLUTE: dict[str, Any] = {"kind": "open_pocket", "length": 200, "width": 120, "depth": 32.5, "floor": True}


def test_a_sixteen_millimetre_cutter_at_full_flute_in_aluminium_steps_over_about_two_and_a_half() -> None:
    """Common practice, no source: two diameters deep, 0.15 to 0.2 of DC; four tenths (6.4 mm) is an overload."""
    found = asked(FULL_FLUTE, [solid(16, 32, LU=36)], ALUMINIUM, QUICK)
    assert found.best is not None
    assert found.best.plan is not None
    assert found.best.method == "engagement_limited_clearing"
    assert found.best.plan.axial_depth == pytest.approx(32)
    assert 2.0 <= found.best.plan.radial_width <= 3.0
    assert "overload-at-full-flute" in rules(found)


def test_six_point_four_millimetres_there_would_overload_an_everyday_spindle() -> None:
    """Common practice, no source: the load grows with the width, though the chip stays as thick."""
    assignment = job(FULL_FLUTE, [solid(16, 32, LU=36)], ALUMINIUM, EVERYDAY)
    bench, region = bench_of(assignment), regions_of(assignment.job.features[0])[0]
    cut = cut_of(cutter_in(region, assignment.crib[0], feature_facts(region, bench), bench), region, bench)
    assert cut is not None
    right, wide = (try_cut(cut, 32, width, engagement_angle(width, 16)) for width in (2.5, 6.4))
    assert wide.load.power > 1.5 * right.load.power
    assert wide.load.force > 1.5 * right.load.force
    assert wide.load.worn_power > wide.load.power_available


def test_a_wall_taller_than_the_flutes_but_within_the_neck_comes_down_in_two_levels() -> None:
    """Common practice, no source: 76 mm to cut with 40 mm of flute and 80 mm of usable length."""
    found = best(TALL, [solid(20, 40, LU=80, LPR=88, DN=19.4)])
    assert found.method == "engagement_limited_clearing"
    assert found.plan is not None
    assert found.plan.levels == 2
    assert 38 <= found.plan.axial_depth <= 40


def test_a_wall_taller_than_the_usable_length_is_rubbed_by_the_shank() -> None:
    """Common practice, no source: with 45 mm of usable length the shank rubs, and is forbidden."""
    found = asked(TALL, [solid(20, 40, LU=45, LPR=88, DN=19.4)])
    assert found.best is None
    assert all("shank-rubs" in rules(candidate) for candidate in found.candidates)


def test_a_slimmer_shank_would_not_rub() -> None:
    """Common practice, no source: what rubs is a shank as wide as the cutter."""
    found = asked(TALL, [solid(20, 40, LU=45, LPR=88, DCONMS=18, DN=18)])
    assert not any("shank-rubs" in rules(candidate) for candidate in found.candidates)


@pytest.mark.parametrize("radius", [0.2, 0.5])
def test_an_outline_with_nothing_beneath_is_cut_a_millimetre_past_the_bottom(radius: float) -> None:
    """Common practice, no source: past the bottom by about 1 mm, nothing left there, half a millimetre on the walls."""
    found = best(TALL | {"depth": 30}, [solid(16, 40, RE=radius)])
    assert found.facts["overcut"] == pytest.approx(1.0)
    assert found.facts["bottom_allowance"] == 0
    assert found.facts["planned_side_allowance"] == pytest.approx(0.5)
    assert found.facts["depth_to_cut"] == pytest.approx(31)


def test_a_corner_radius_goes_past_the_bottom_whole() -> None:
    """Common practice, no source: else the radius leaves a burr; RE + 0.5 mm."""
    assert best(TALL | {"depth": 30}, [solid(16, 40, RE=2)]).facts["overcut"] == pytest.approx(2.5)


def test_a_floor_keeps_half_a_millimetre_too() -> None:
    """Common practice, no source: walls and floor of a pocket are finished later."""
    found = best({"kind": "closed_pocket", "length": 90, "width": 60, "depth": 25, "floor": True}, [solid(12, 30)])
    assert found.facts["bottom_allowance"] == pytest.approx(0.5)
    assert found.facts["planned_side_allowance"] == pytest.approx(0.5)
    assert found.facts["overcut"] == 0


POCKET: dict[str, Any] = {"kind": "open_pocket", "length": 200, "width": 140, "depth": 36, "floor": True}


def test_in_aluminium_a_solid_cutter_deep_and_narrow_beats_inserts_shallow_and_wide() -> None:
    """Common practice, no source: more metal a minute, less torque for as much metal, and the quicker answer."""
    solid_cutter, inserts = solid(20, 40, LU=44), inserted(32, LU=44)
    deep, shallow = best(POCKET, [solid_cutter]).plan, best(POCKET, [inserts]).plan
    assert deep is not None
    assert shallow is not None
    assert deep.axial_depth > 1.5 * 20
    assert deep.radial_width < 0.2 * 20
    assert shallow.axial_depth < 0.3 * 32
    assert shallow.radial_width > 0.5 * 32
    assert deep.rate > shallow.rate
    assert deep.load.torque / deep.rate < shallow.load.torque / shallow.rate
    assert best(POCKET, [solid_cutter, inserts]).cutter.id == "E20"


def test_an_inserted_cutter_never_runs_its_short_edges_at_full_depth() -> None:
    """Common practice, no source."""
    found = asked(POCKET, [inserted(32, LU=44)], STEEL, STRONG)
    assert only(found, "engagement_limited_clearing").grade == "forbidden"
    assert found.best is not None
    assert found.best.method == "layered_pocketing"


STEEL_POCKET: dict[str, Any] = {"kind": "closed_pocket", "length": 90, "width": 60, "depth": 30, "floor": True}


def test_a_helix_into_steel_takes_long_and_a_drilled_hole_saves_that_time() -> None:
    """Common practice, no source: some minutes down a helix, some seconds down a hole, the change of tools included."""
    cutter = solid(12, 32, ZEFP=4, RMPX=3)
    helix, hole = best(STEEL_POCKET, [cutter], STEEL), best(STEEL_POCKET, [cutter, drill(13)], STEEL)
    assert (helix.entry, hole.entry) == ("helical_ramp", "predrilled_hole")
    assert float(helix.facts["helix_time"]) > 60
    assert float(hole.facts["hole_time"]) < 0.5 * float(helix.facts["helix_time"])
    assert helix.time - hole.time > 30
    assert helix.plan is not None
    assert hole.plan is not None
    assert (helix.plan.radial_width, helix.plan.feed_rate) == (hole.plan.radial_width, hole.plan.feed_rate), (
        "the cut is the same"
    )


def test_a_drill_narrower_than_the_cutter_makes_no_way_in() -> None:
    """Common practice, no source: the cutter goes straight down only where the hole is a little wider than it."""
    assert best(STEEL_POCKET, [solid(12, 32, ZEFP=4, RMPX=3), drill(10)], STEEL).entry == "helical_ramp"


@pytest.mark.parametrize("share", [0.05, 0.15, 0.4, 0.5])
def test_a_sharp_inside_corner_raises_the_engagement_above_the_straight(share: float) -> None:
    """Common practice, no source: stepped into a corner, the cutter is wrapped by up to a right angle more."""
    straight, corner = engagement_angle(share * 12, 12), engagement_angle_corner(share * 12, 12)
    assert straight + 30 < corner <= straight + 90 + 1e-9


def test_the_advice_for_a_pocket_with_sharp_corners_says_so() -> None:
    """Common practice, no source."""
    given: dict[str, Any] = STEEL_POCKET | {"corner_radius": 6.5}
    found = asked(given, [solid(12, 32, ZEFP=4)], STEEL)
    assert found.best is not None
    assert found.best.method == "engagement_limited_clearing"
    assert {"corner-raises-engagement", "cutter-stops-in-the-corner"} <= rules(found)
    layers = only(found, "layered_pocketing").plan
    assert layers is not None
    assert layers.engagement > engagement_angle(layers.radial_width, 12)


@pytest.mark.parametrize("width", [13.1, 14, 16])
@pytest.mark.parametrize("ends", [0, 1, 2])
def test_a_long_slot_hardly_wider_than_the_cutter_is_ramped(width: float, ends: int) -> None:
    """Common practice, no source: loops there would be tiny, many and slow."""
    slot: dict[str, Any] = {
        "kind": "slot",
        "length": 150,
        "width": width,
        "depth": 14,
        "floor": True,
        "open_ends": ends,
    }
    found = asked(slot, [solid(12, 26)])
    assert found.best is not None
    assert (found.best.method, found.grade) == ("ramped_slotting", "good")
    assert only(found, "engagement_limited_clearing").grade in ("poor", "forbidden")


@pytest.mark.parametrize(("width", "method"), [(25, "layered_pocketing"), (30, "engagement_limited_clearing")])
def test_a_slot_twice_as_wide_is_not(width: float, method: str) -> None:
    """Common practice, no source: the check above could fail.

    Hardly twice as wide as the cutter, a slot is cleared in two levels in half the time that loops of 13 mm need; once
    the cutter can go round it along its walls, one level at full depth is as quick.
    """
    slot: dict[str, Any] = {"kind": "slot", "length": 150, "width": width, "depth": 14, "floor": True, "open_ends": 0}
    found = asked(slot, [solid(12, 26)])
    assert found.best is not None
    assert (found.best.method, only(found, "ramped_slotting").grade) == (method, "forbidden")
    assert only(found, "engagement_limited_clearing").grade == "good"


SHORT = solid(16, 26, ZEFP=4)


@pytest.mark.parametrize("width", [15, 80])
def test_where_no_flute_is_long_enough_inserts_work_in_layers(width: float) -> None:
    """Common practice, no source: a step in steel 50 mm deep, 26 mm of flute at most."""
    step: dict[str, Any] = {"kind": "step", "length": 200, "width": width, "depth": 50}
    found = best(step, [SHORT, inserted(25, LU=60, LPR=70)], STEEL, STRONG)
    assert (found.method, found.cutter.id, found.grade) == ("layered_pocketing", "I25", "good")
    assert found.plan is not None
    assert found.plan.levels > 50 / 10  # the inserts are 10 mm long


def test_where_no_flute_is_long_enough_stacked_inserts_take_the_tall_wall() -> None:
    """Common practice, no source: with torque and in steel, in one level."""
    stacked = make_cutter(id="S50", body="inserted_stacked_mill", DC=50, APMX=70, ZEFP=4, LU=76, LPR=105, DN=47)
    found = best(TALL | {"depth": 60, "stock_side": 10}, [SHORT, stacked], STEEL, STRONG)
    assert (found.method, found.cutter.id, found.grade) == ("engagement_limited_clearing", "S50", "good")
    assert found.plan is not None
    assert found.plan.levels == 1
    assert found.plan.radial_width <= 0.3 * 50


def test_stacked_inserts_are_not_for_a_weak_spindle() -> None:
    """Common practice, no source."""
    stacked = make_cutter(id="S50", body="inserted_stacked_mill", DC=50, APMX=70, ZEFP=4, LU=76, LPR=105, DN=47)
    weak = EVERYDAY | {"spindle": {"speed": [2000, 8000], "power": [2, 2.2]}}
    assert asked(TALL | {"depth": 60}, [stacked], STEEL, weak).grade in ("poor", "forbidden")
