"""Numbers that only the review of plans takes: what they are is read off a small plan, or turns its findings at a hair.

Source of each: common practice, no source.
"""

from math import atan, degrees, pi
from typing import Any

import pytest

from advisor.choosing.corner import corner_feed
from advisor.methods.cut import Trial
from advisor.methods.feeds import ease_feed
from advisor.methods.trial import cut_of, try_cut
from advisor.model.cutter import Cutter
from advisor.model.operations import OperationRow
from advisor.model.region import regions_of
from advisor.review.verdict import Review, review
from advisor.situation.bench import bench_of
from advisor.situation.facts import cutter_in, feature_facts
from tests.jobs.judged import HIGH_FEED
from tests.jobs.small import ALUMINIUM, EVERYDAY, STEEL, STRONG, drill, inserted, job, solid
from tests.review.planning import changed, plan_of

CLEARING, LAYERS, RAMPED = "engagement_limited_clearing", "layered_pocketing", "ramped_slotting"
STAINLESS, VERY_HARD = "X5CrNi18-10", "X153CrMoV12 hardened"
POCKET: dict[str, Any] = {"kind": "closed_pocket", "length": 90, "width": 60, "depth": 20, "floor": True}
STEP: dict[str, Any] = {"kind": "step", "length": 200, "width": 80, "depth": 10}
SLOT: dict[str, Any] = {
    "kind": "slot", "length": 150, "width": 10, "depth": 20, "floor": True, "open_ends": 1, "allowance_side": 0
}  # fmt: skip


def row(cutter: Cutter, feature: str = "F1", **said: Any) -> OperationRow:
    """Return an operation with one cutter."""
    return changed(OperationRow.model_construct(feature=(feature,), cutter=cutter.id), **said)


def reviewed(
    feature: dict[str, Any],
    cutter: Cutter,
    material: str = STEEL,
    machine: dict[str, Any] = EVERYDAY,
    **said: Any,
) -> Review:
    """Return the review of a plan of one operation."""
    return review(plan_of(row(cutter, **said)), job(feature, [cutter], material, machine))


def number(found: Review, name: str) -> float:
    """Return a number that was worked out for the first operation of a plan."""
    return float(found.operations[0].candidate.facts[name])


def findings(found: Review) -> set[str]:
    return {one.rule.id for one in found.findings}


@pytest.mark.parametrize(("diameter", "off"), [(12, 0.5), (30, 0.036 * 30), (80, 2.0)])
def test_boring_takes_half_a_millimetre_to_two_and_between_these_36_thousandths_of_the_hole(
    diameter: float, off: float
) -> None:
    """In a rough cut and a fine one; a drill is to leave no more on the wall."""
    hole = {"kind": "round_hole", "diameter": diameter, "depth": 20, "floor": False, "clearance_below": 20}
    found = reviewed(hole | {"purpose": "bore"}, drill(round(0.85 * diameter)), method="drilling")
    assert number(found, "drill_size_least") == pytest.approx(diameter - 2 * off)


def test_in_a_level_however_thin_the_corner_of_a_cutter_thins_the_chip_to_half() -> None:
    """The sine of 30 degrees is a half."""
    said = {"method": LAYERS, "axial_depth": 0.05, "radial_width": 6.0}
    assert number(reviewed(POCKET, solid(12, 26, RE=3), **said), "top_edge_angle") == pytest.approx(30)


@pytest.mark.parametrize(("length", "share"), [(71.6, 0.502), (71.8, 1.0)])
def test_a_feed_that_a_plan_leaves_open_is_eased_to_half_of_the_tables_and_no_further(
    length: float, share: float
) -> None:
    """A cut too deep and wide for a cutter of 12 mm so long, which would bear 0.502 of the feed, or 0.498."""
    said = {"method": LAYERS, "axial_depth": 9.5, "radial_width": 8.0}
    limp, stiff = (reviewed(STEP, solid(12, 26, LU=long, LPR=long), STEEL, STRONG, **said) for long in (length, 40))
    assert number(limp, "feed_per_tooth") / number(stiff, "feed_per_tooth") == pytest.approx(share, abs=0.001)


@pytest.mark.parametrize(("axial_depth", "usual"), [(4.99, True), (5.01, False)])
def test_along_a_slot_half_a_diameter_a_little_beyond_the_tables_is_borne(axial_depth: float, usual: bool) -> None:
    """5 mm of a 10 mm cutter, where the tables give 3 mm."""
    cutter = solid(10, 26, LU=30, LPR=32)
    found = findings(reviewed(SLOT, cutter, STAINLESS, STRONG, method=RAMPED, axial_depth=axial_depth))
    told = {"wide-level-a-little-deep", "deeper-than-layers-bear"}
    assert found & told == ({"wide-level-a-little-deep"} if usual else {"deeper-than-layers-bear"})


@pytest.mark.parametrize(("width", "full"), [(16.19, True), (16.21, False)])
def test_a_plan_that_says_neither_method_nor_width_cuts_with_the_whole_cutter_below_1_35_times_its_width(
    width: float, full: bool
) -> None:
    """16.2 mm for a cutter of 12 mm."""
    found = reviewed(SLOT | {"width": width}, solid(12, 26), axial_depth=19.5)
    assert (number(found, "radial_width") == 12) is full


def test_in_steel_too_hard_for_inserts_their_chip_is_held_against_a_tenth_of_a_millimetre() -> None:
    said = {"method": LAYERS, "axial_depth": 1.0, "radial_width": 20.0, "feed_per_tooth": 0.23, "spindle_speed": 1000.0}
    assert number(reviewed(POCKET, inserted(20, LU=50), VERY_HARD, **said), "chip_over_nearest") == pytest.approx(2.3)


@pytest.mark.parametrize(("thickness", "flat"), [(2.005, False), (2.01, True)])
def test_a_floor_comes_out_flat_where_three_times_its_bending_is_less_than_its_allowance(
    thickness: float, flat: bool
) -> None:
    """1.002 and 0.995 of an allowance of 0.15 mm."""
    said = {"method": LAYERS, "axial_depth": 5.0, "radial_width": 8.0}
    floor = POCKET | {"floor_thickness": thickness, "allowance_bottom": 0.15}
    found = reviewed(floor, solid(12, 26), ALUMINIUM, **said)
    assert number(found, "floor_bend_share") == pytest.approx(1, abs=0.008)
    assert ("last-level-thick-over-a-stiff-floor" in findings(found)) is flat


@pytest.mark.parametrize(("axial_depth", "left"), [(9.401, 0.599), (9.399, 0.5)])
def test_what_one_level_leaves_up_to_six_tenths_of_a_millimetre_is_for_finishing(
    axial_depth: float, left: float
) -> None:
    """Of 10 mm; with more the usual half a millimetre is taken, for which a level is missing."""
    found = reviewed(POCKET | {"depth": 10}, solid(12, 26), method=CLEARING, axial_depth=axial_depth)
    assert number(found, "bottom_allowance") == pytest.approx(left)
    assert ("level-just-too-shallow" in findings(found)) is (left == 0.5)


@pytest.mark.parametrize(("axial_depth", "left"), [(4.5, 1.0), (4.49, 0.5)])
def test_what_the_levels_of_a_plan_leave_up_to_a_millimetre_is_for_finishing(axial_depth: float, left: float) -> None:
    """Two levels of 4.5 mm in 10 mm are meant so: they were said not to reach, and the shank to rub where none goes."""
    found = reviewed(POCKET | {"depth": 10}, solid(12, 26), method=CLEARING, axial_depth=axial_depth, levels=2)
    assert number(found, "bottom_allowance") == pytest.approx(left)
    assert ("levels-do-not-reach" in findings(found)) is (left == 0.5)


def test_in_a_corner_that_a_wider_cutter_left_a_cutter_is_engaged_by_a_right_angle() -> None:
    """What its feed is held against is told with that angle: it bears no more there than with half of it in a wall."""
    wide, narrow = solid(20, 30), solid(7, 24, ZEFP=4)
    assignment = job(POCKET | {"corner_radius": 5}, [wide, narrow], STEEL)
    rest = row(narrow, method=LAYERS, axial_depth=5.0, radial_width=0.5, feed_per_tooth=0.2)
    found = review(plan_of(row(wide), rest), assignment)
    told = next(one.text for one in found.findings if one.rule.id == "feed-too-much-in-the-corners")
    assert "has an engagement of 90° or more" in told

    bench, region = bench_of(assignment), regions_of(assignment.job.features[0])[0]
    cut = cut_of(cutter_in(region, narrow, feature_facts(region, bench), bench), region, bench)
    assert cut is not None

    def with_half(chip: float, speed_most: float | None = None) -> Trial:
        return try_cut(cut, 5, narrow.DC / 2, 90, chip=chip, speed_most=speed_most)

    assert corner_feed(cut, 5) == pytest.approx(ease_feed(cut, with_half)[0].feed_per_tooth)


@pytest.mark.parametrize(("length", "does"), [(51.8, True), (52.2, False)])
def test_a_cutter_takes_the_place_of_one_that_stands_out_three_tenths_less(length: float, does: bool) -> None:
    """40 mm times 1.3 are 52 mm."""
    short, long = solid(12, 26, LU=30, LPR=40, id="short"), solid(12, 26, LU=30, LPR=length, id="long")
    alone = job(STEP, [short, long], STEEL)
    first = alone.job.features[0]
    both = alone.job.model_copy(update={"features": (first, first.model_copy(update={"id": "F2"}))})
    found = review(plan_of(row(short), row(long, "F2")), alone.model_copy(update={"job": both}))
    assert ("saved_by_one_cutter" in found.operations[0].candidate.facts) is does


def test_a_plan_that_leaves_no_slope_at_the_foot_may_take_longer_for_it() -> None:
    """The quicker cutter leaves a slope, and the second cutter for it takes longer than is saved along a short step."""
    square, step = solid(16, 32, ZEFP=5), {"kind": "step", "length": 110, "width": 15, "depth": 8}
    found = review(plan_of(row(square)), job(step, [square, HIGH_FEED], STEEL, STRONG))
    assert number(found, "time_over_advised") == 1
    assert "slower-than-advised" not in findings(found)
    assert "slower-than-advised" in findings(
        review(plan_of(row(square)), job(step | {"length": 1500}, [square, HIGH_FEED], STEEL, STRONG))
    )


def test_a_width_beyond_the_stock_is_judged_as_the_stock() -> None:
    step, cutter = {"kind": "step", "length": 200, "width": 3, "depth": 10}, solid(16, 32, ZEFP=5)
    wider, whole = (reviewed(step, cutter, radial_width=width, axial_depth=10, levels=1) for width in (8, 3))
    assert number(wider, "radial_width") == number(whole, "radial_width") == 3
    assert number(wider, "force") == number(whole, "force")
    assert ("wider-than-the-stock" in findings(wider), "wider-than-the-stock" in findings(whole)) == (True, False)


@pytest.mark.parametrize("pitch", [1.0, 2.0, 3.0, 4.5])
def test_a_bore_is_judged_by_the_pitch_of_the_plan(pitch: float) -> None:
    """The helix goes down by that much in every turn, and ends within the last one: it is not spread evenly.

    Source: the developed helix; its angle by hand.
    """
    bore = {"kind": "round_hole", "diameter": 30, "depth": 20, "floor": True, "flat_floor": True, "purpose": "mill"}
    found = reviewed(
        bore, solid(16, 32), method="helical_boring", entry="helical_ramp", axial_depth=pitch, allowance_side=0,
        allowance_bottom=0,
    )  # fmt: skip
    assert number(found, "descent_angle") == pytest.approx(degrees(atan(pitch / (pi * (30 - 16)))))
    assert number(found, "levels") == -(-20 // pitch)
