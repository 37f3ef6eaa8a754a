"""Numbers that only arithmetic takes, seen in what they make of a small job: moved a hundredth part, they show.

Source of each: common practice, no source.
"""

from collections.abc import Sequence
from math import acos, ceil, hypot, pi, radians, sin, tan
from typing import Any

import pytest

from advisor.analysis.standard_cutters import on_offer
from advisor.choosing.advice import advise
from advisor.methods.feeds import EasedFeed, quicker
from advisor.methods.trial import cut_of, try_cut
from advisor.model.candidate import Candidate
from advisor.model.cause import HeldBy
from advisor.model.cutter import Cutter, make_cutter
from advisor.model.region import regions_of
from advisor.readers.materials import load_materials
from advisor.situation.bench import bench_of
from advisor.situation.facts import cutter_in, feature_facts
from tests.jobs.small import ALUMINIUM, EVERYDAY, STEEL, STRONG, asked, drill, inserted, job, solid

STAINLESS, TITANIUM, SUPERALLOY, IRON = "X5CrNi18-10", "Ti-6Al-4V", "UNS N07718", "EN-GJL-200"
HARD = "X38CrMoV5-1 hardened"
CLEARING, LAYERS, RAMPED = "engagement_limited_clearing", "layered_pocketing", "ramped_slotting"
POCKET: dict[str, Any] = {"kind": "closed_pocket", "length": 90, "width": 60, "depth": 30, "floor": True}
OPEN: dict[str, Any] = {"kind": "open_pocket", "length": 200, "width": 140, "depth": 30, "floor": True}
STEP: dict[str, Any] = {"kind": "step", "length": 200, "width": 80, "depth": 9.5}
SLOT_12: dict[str, Any] = {"kind": "slot", "length": 150, "width": 14, "floor": True, "open_ends": 1}
HIGH_FEED = make_cutter(
    id="HF25", body="inserted_high_feed_mill", DC=25, APMX=3, LU=50, LPR=60, DN=24, RMPX=4, ZEFP=3, KAPR=15
)
STACKED = make_cutter(id="S50", body="inserted_stacked_mill", DC=50, APMX=70, ZEFP=4, LU=76, LPR=105, DN=47)
MIGHTY = STRONG | {"spindle": {"speed": [300, 1000, 6000], "power": [200, 300, 300]}, "stiffness": 500}


def spindle(power: float) -> dict[str, Any]:
    """Return the everyday machine with the same small power [kW] at every speed."""
    return EVERYDAY | {"spindle": {"speed": [1000, 8000], "power": [power, power]}}


def way(
    method: str,
    feature: dict[str, Any],
    crib: Sequence[Cutter],
    material: str = ALUMINIUM,
    machine: dict[str, Any] = EVERYDAY,
    entry: str | None = None,
) -> Candidate:
    """Return the best way of a method, by one entry if that is said."""
    found = asked(feature, crib, material, machine).candidates
    return next(each for each in found if each.method == method and entry in (None, each.entry))


def number(found: Candidate, name: str) -> float:
    """Return a number that was worked out for a way."""
    return float(found.facts[name])


def by_bold_table(cutter: Cutter, feature: dict[str, Any]) -> float:
    """Return the radial width [mm] where the table asks for half the cutter and more, at any depth."""
    assignment = job(feature, [cutter], ALUMINIUM, MIGHTY)
    bench = bench_of(assignment)
    bench = bench._replace(data=bench.data.model_copy(update={"radial_share": (0.5, 0.6)}))
    found = advise(assignment, bench).features[0].candidates
    return number(next(each for each in found if each.method == CLEARING), "radial_width")


def test_two_diameters_deep_no_table_makes_the_cut_wider_than_four_tenths() -> None:
    wide = OPEN | {"width": 400, "length": 400}
    assert by_bold_table(solid(20, 46), wide | {"depth": 41}) == pytest.approx(8)
    assert by_bold_table(solid(20, 46), wide | {"depth": 39}) > 9


@pytest.mark.parametrize(("depth", "levels"), [(12.0, 2), (12.05, 3)])
def test_an_inserted_shoulder_cutter_takes_six_tenths_of_its_edge_in_a_level(depth: float, levels: int) -> None:
    """6 mm of an edge of 10 mm, where spindle and cutter bear it."""
    cutter = inserted(25, APMX=10, LU=50, LPR=60)
    found = way(LAYERS, STEP | {"depth": depth, "allowance_bottom": 0}, [cutter], ALUMINIUM, MIGHTY)
    assert number(found, "levels") == levels


def test_stacked_inserts_never_take_more_than_three_tenths_of_their_width() -> None:
    assert by_bold_table(STACKED, OPEN | {"width": 400, "length": 400, "depth": 40}) == pytest.approx(15)


@pytest.mark.parametrize(("reach", "share"), [(11.9, 1.0), (12.1, 0.7), (17.9, 0.7), (18.1, 0.5)])
def test_a_slender_cutter_takes_a_narrower_cut(reach: float, share: float) -> None:
    """A 3 mm cutter with a neck as thick as its flutes carry and no shank outside the holder is as slender as it is
    long. The table's width in austenitic steel is under half a millimetre, and so is not rounded.
    """
    cutter = solid(3, 9, LU=reach, LPR=reach, DN=2.4)
    found = way(CLEARING, OPEN | {"depth": 5}, [cutter], STAINLESS, MIGHTY)
    assert number(found, "slenderness") == pytest.approx(reach / 3)
    assert number(found, "radial_width") == pytest.approx(share * number(found, "table_radial_share") * 3)


@pytest.mark.parametrize(("material", "thinnest"), [(STEEL, 0.01), (STAINLESS, 0.02)])
def test_a_spindle_much_too_weak_leaves_the_thinnest_chip_that_still_cuts(material: str, thinnest: float) -> None:
    found = way(LAYERS, STEP, [solid(20, 26)], material, spindle(0.01))
    assert found.plan is not None
    assert found.plan.chip == pytest.approx(thinnest)


def test_a_spindle_too_weak_thins_layers_and_never_narrows_them_below_half_the_cutter() -> None:
    found = way(LAYERS, STEP, [solid(12, 26)], STEEL, spindle(0.6))
    assert number(found, "radial_width") >= 6
    assert 1 < number(found, "axial_depth") < 2


@pytest.mark.parametrize(("DC", "depth", "levels"), [(12, 9.5, 25), (12, 9.52, 26), (25, 9.5, 18), (25, 9.52, 19)])
def test_no_level_is_made_thinner_than_three_hundredths_of_the_cutter_nor_than_need_be(
    DC: float, depth: float, levels: int
) -> None:
    """9 mm to cut are 25 levels of 0.36 mm, or 18 of 0.5 mm, the thinnest of a wide cutter; a hair more is one more."""
    assert number(way(LAYERS, STEP | {"depth": depth}, [solid(DC, 26)], STEEL, spindle(0.05)), "levels") == levels


def test_a_spindle_much_too_weak_narrows_a_deep_cut_to_three_hundredths_of_the_cutter_and_no_further() -> None:
    """66 mm to clear are 110 passes of 0.6 mm."""
    found = way(CLEARING, STEP | {"width": 66.5, "depth": 20}, [solid(20, 30)], STEEL, spindle(0.05))
    assert number(found, "radial_width") == pytest.approx(0.6)
    assert number(found, "passes") == 110


@pytest.mark.parametrize(("feed", "slower_spindle"), [(1049.7, False), (1050.3, True)])
def test_a_slower_spindle_must_be_quicker_by_a_twentieth_than_a_thinner_chip(feed: float, slower_spindle: bool) -> None:
    assignment = job(STEP, [solid(12, 26)], STEEL)
    bench, region = bench_of(assignment), regions_of(assignment.job.features[0])[0]
    cut = cut_of(cutter_in(region, assignment.crib[0], feature_facts(region, bench), bench), region, bench)
    assert cut is not None
    trial = try_cut(cut, 3, 6, 90.0)
    thin, slow = (EasedFeed(trial._replace(feed=each), 0.9) for each in (1000.0, feed))
    assert (quicker(cut, thin, slow) is slow) is slower_spindle


@pytest.mark.parametrize(("depth", "thin"), [(36, False), (36.01, True)])
def test_a_slot_deeper_than_three_diameters_is_cut_in_thin_levels(depth: float, thin: bool) -> None:
    found = way(RAMPED, SLOT_12 | {"depth": depth}, [solid(12, 40)], STEEL)
    assert number(found, "axial_depth") == pytest.approx(1.19 if thin else 4.5, abs=0.005)


@pytest.mark.parametrize(("depth", "levels"), [(38.9, 16), (38.91, 17)])
def test_thin_levels_in_a_slot_are_a_fifth_of_the_cutter(depth: float, levels: int) -> None:
    """Half a millimetre stays at the bottom: 38.4 mm are 16 levels of 2.4 mm."""
    necked = solid(12, 12, LU=60, LPR=64, DN=11.5)
    assert number(way(RAMPED, SLOT_12 | {"depth": depth}, [necked], STEEL), "levels") == levels


@pytest.mark.parametrize(("material", "chip"), [(HARD, 0.08), (SUPERALLOY, 0.07), (STAINLESS, 0.1), (IRON, 0.16)])
def test_a_high_feed_mill_feeds_and_goes_as_deep_as_the_material_bears_a_thick_chip(material: str, chip: float) -> None:
    """0.3 mm a tooth and 0.2 mm deep where the tables give 0.05 mm of chip, 1.2 and 1.5 mm where they give 0.16; in
    proportion between: hardened steel gets 0.3 to 0.7 mm a tooth and 0.2 to 0.6 mm of depth.
    """
    assert load_materials()[material].h_insert == chip
    reach = (chip - 0.05) / (0.16 - 0.05)
    tooth, deep = 0.3 + reach * 0.9, 0.2 + reach * 1.3
    found = way(LAYERS, STEP | {"depth": 0.6}, [HIGH_FEED], material, MIGHTY)
    assert number(found, "feed_per_tooth") == pytest.approx(tooth, rel=1e-3)
    assert number(found, "levels") == ceil(0.45 / deep)
    once = way(LAYERS, STEP | {"depth": 0.3}, [HIGH_FEED], material, MIGHTY)
    assert number(once, "allowed_depth") == pytest.approx(deep)


@pytest.mark.parametrize("width", [1.0, 1.5, 3.0, 6.0])
def test_a_high_feed_mill_on_a_strip_keeps_its_chip(width: float) -> None:
    """On a strip narrower than its edge the edge angle is that of depth by width; thinning by the engagement raises
    the feed to 1.5 times at most. Source: chip area over edge length, by hand.
    """
    found = way(LAYERS, STEP | {"width": width, "depth": 12}, [HIGH_FEED], STEEL, MIGHTY)
    deep, wide = number(found, "axial_depth"), number(found, "radial_width")
    steep = max(sin(radians(15)), deep / hypot(deep, wide))
    plain = number(found, "table_chip") / steep
    swept = acos(1 - 2 * wide / 25)
    wanted = plain * min(1.5, 1 / sin(min(swept, pi / 2)))
    assert number(found, "feed_per_tooth") == pytest.approx(wanted, rel=0.01)
    assert number(found, "chip") <= number(found, "table_chip") * 1.001
    against = {rule.id for rule in found.fired}
    assert ("slanting-edge-on-a-narrow-strip" in against) == (wide * tan(radians(15)) < 0.7 * deep)


def test_small_inserts_of_a_high_feed_mill_feed_less() -> None:
    """0.6 mm of edge takes half of what 1.2 mm takes a tooth, and more edge no more than 1.2 mm."""
    fed = {}
    for edge in (0.6, 1.2, 1.5):
        mill = make_cutter(**(HIGH_FEED.model_dump(exclude={"assumed"}) | {"APMX": edge}))
        found = way(LAYERS, STEP | {"depth": 0.6}, [mill], IRON, MIGHTY)
        fed[edge] = number(found, "feed_per_tooth")
    assert fed[0.6] == pytest.approx(fed[1.2] / 2, rel=1e-3)
    assert fed[1.5] == pytest.approx(fed[1.2], rel=1e-3)


@pytest.mark.parametrize(
    ("width", "passes", "each"), [(37.5, 1, 37.5), (37.6, 2, 35), (58.6, 2, 35), (59, 2, 29.5), (70, 2, 35)]
)
def test_a_face_is_cut_in_even_passes_where_these_stay_near_the_usual_width(
    width: float, passes: int, each: float
) -> None:
    """50 mm of cutter: one pass up to 0.75 of it; even ones from 1/1.7 of it on; else the usual 0.7."""
    face = {"kind": "planar_face", "length": 200, "width": width, "depth": 2}
    mill = make_cutter(id="F50", body="inserted_face_mill", DC=50, APMX=6, ZEFP=5, LU=40, LPR=50)
    found = way("face_milling", face, [mill], STEEL, STRONG)
    assert number(found, "passes") == passes
    assert number(found, "radial_width") == pytest.approx(each)


HOLE: dict[str, Any] = {"kind": "round_hole", "diameter": 13.5, "depth": 30, "floor": False}


def test_a_drill_goes_through_by_its_point_and_a_millimetre() -> None:
    found = way("drilling", HOLE | {"clearance_below": 10}, [drill(12)])
    assert number(found, "drill_depth") == pytest.approx(30 + number(found, "drill_point") + 1)


def test_beyond_four_diameters_a_drill_is_lifted_which_takes_three_tenths_longer() -> None:
    blind = HOLE | {"floor": True, "flat_floor": False, "allowance_bottom": 0.5}
    quick = EVERYDAY | {"rapid": 200_000}
    full = 48.5 - 6 / tan(radians(70))  # its tip is then four diameters deep, half a millimetre left at the bottom
    short, deep = (way("drilling", blind | {"depth": at}, [drill(12)], machine=quick) for at in (full, full + 0.01))
    assert (number(short, "drill_depth"), number(deep, "drill_depth")) == pytest.approx((48, 48.01))
    assert number(deep, "cut_time") / number(short, "cut_time") == pytest.approx(1.3, rel=3e-3)


@pytest.mark.parametrize(
    ("cutter", "width"), [(solid(12, 32), 12 * 1.3 + 1), (inserted(20, LU=50, RE=0.4), 20 * 1.6 + 1)]
)
def test_a_helix_is_worked_out_from_the_narrowest_bore_on_and_not_below(cutter: Cutter, width: float) -> None:
    """1.3 DC for a cutter that cuts to its centre, 1.6 DC for one with inserts; the allowances are left out."""
    tight, roomy = (
        way(LAYERS, POCKET | {"depth": 8, "width": wide}, [cutter], STEEL, entry="helical_ramp")
        for wide in (width - 0.02, width + 0.02)
    )
    assert "helix_bore" not in tight.facts
    assert number(roomy, "helix_bore") > cutter.DC
    assert roomy.time < float("inf")


def test_a_ramp_to_and_fro_is_worked_out_from_two_diameters_of_length_on_and_not_below() -> None:
    tight, roomy = (
        way(LAYERS, POCKET | {"length": long, "width": 14, "depth": 8}, [solid(12, 32)], entry="zigzag_ramp")
        for long in (24.98, 25.02)
    )
    assert "entry_strokes" not in tight.facts
    assert number(roomy, "entry_strokes") > 0


def test_a_hole_for_the_cutter_is_wider_than_it_by_a_fiftieth_to_three_fifths() -> None:
    drills = [drill(DC) for DC in (20.3, 20.4, 24, 32, 32.1)]
    found = asked(POCKET | {"width": 80}, [solid(20, 44), *drills], STEEL).candidates
    assert {each.drill.DC for each in found if each.drill} == {20.4, 24, 32}


@pytest.mark.parametrize(
    ("diameter", "purpose", "width"),
    [(20, {}, 20), (19.995, {}, 19.9), (20, {"purpose": "mill"}, 19.5), (26, {}, 25.5)],
)
def test_a_drill_to_buy_leaves_what_the_hole_is_to_keep(diameter: float, purpose: dict[str, str], width: float) -> None:
    assignment = job(HOLE | {"diameter": diameter} | purpose, [])
    drills = [each for each in on_offer(assignment.job.features[0], bench_of(assignment)) if each.body == "drill"]
    assert [each.DC for each in drills] == [width]


def test_a_small_cutter_leaves_a_quarter_of_a_millimetre_on_a_floor_too() -> None:
    assert number(way(CLEARING, POCKET, [solid(8, 32)]), "bottom_allowance") == 0.25
    assert number(way(CLEARING, POCKET, [solid(10, 32)]), "bottom_allowance") == 0.5


def test_of_a_shallow_feature_no_more_than_a_quarter_stays_on_the_floor() -> None:
    assert number(way(LAYERS, POCKET | {"depth": 1.2}, [solid(12, 32)]), "bottom_allowance") == pytest.approx(0.3)


@pytest.mark.parametrize("left", [0, 0.08])
def test_a_wall_cut_to_size_bears_a_bend_of_three_hundredths_of_a_millimetre(left: float) -> None:
    found = way(LAYERS, STEP | {"allowance_side": left}, [solid(12, 26)], STEEL)
    assert number(found, "deflection_share") == pytest.approx(number(found, "deflection") / 0.03)


def test_however_far_a_cutter_bends_no_more_than_a_millimetre_and_a_half_is_left_on_the_wall() -> None:
    step = {"kind": "step", "length": 150, "width": 5, "depth": 80}
    found = way(LAYERS, step, [solid(2, 84, RE=0.1)], STEEL)
    assert 3 * number(found, "deflection") > 1.5
    assert number(found, "planned_side_allowance") == 1.5


def test_no_more_is_left_on_the_walls_of_a_slot_than_a_cut_in_one_width_leaves() -> None:
    slot = {"kind": "slot", "length": 150, "width": 2.5, "depth": 50, "floor": True, "open_ends": 1}
    found = way(RAMPED, slot, [solid(2, 54, RE=0.1)], STEEL)
    assert 3 * number(found, "deflection") > 0.25
    assert number(found, "planned_side_allowance") == 0.25


def test_a_cutter_past_the_bottom_keeps_half_a_millimetre_from_what_lies_beneath() -> None:
    through = POCKET | {"floor": False, "clearance_below": 1.5}
    assert number(way(CLEARING, through, [solid(12, 36, RE=1.5)]), "overcut") == pytest.approx(1.0)


@pytest.mark.parametrize(("clearance", "overcut"), [(3, 1.5), (1.9, 1.0), (10, 3.5)])
def test_a_rounded_cutter_takes_no_more_than_half_of_the_room_for_its_radius(clearance: float, overcut: float) -> None:
    """What is set wrong by half a millimetre must not cut what the part lies on."""
    through = POCKET | {"floor": False, "clearance_below": clearance}
    assert number(way(CLEARING, through, [solid(12, 36, RE=3)]), "overcut") == pytest.approx(overcut)


@pytest.mark.parametrize(("radius", "rest"), [(6.5, False), (6, False), (5.9, False), (5.89, True)])
def test_a_rest_of_less_than_half_the_allowance_in_a_corner_is_no_rest(radius: float, rest: bool) -> None:
    """Of 0.5 mm half is 0.25 mm: (sqrt 2 - 1) times 0.604 mm, by which the radius of 6 mm is more than R - 0.5 mm."""
    found = way(CLEARING, POCKET | {"corner_radius": radius}, [solid(12, 32)])
    assert (number(found, "corner_rest_time") > 6) is rest, "with its change of tools"


def rest(feature: dict[str, Any], radius: float, material: str = TITANIUM) -> float:
    """Return the way [mm] at feed of the smaller cutter that takes the rest in the corners."""
    found = way(CLEARING, feature | {"corner_radius": radius}, [solid(12, 36)], material)
    return number(found, "corner_rest_path")


def test_a_profile_has_one_inside_corner_an_open_pocket_two_a_closed_one_four() -> None:
    beneath = {"depth": 30, "clearance_below": 10}
    profile = {"kind": "outside_profile", "length": 200, "width": 100, "stock_side": 10} | beneath
    at_a_corner = {"open_sides": 2, "open_at": "corner"}
    every = (profile, OPEN | beneath | NO_FLOOR | at_a_corner, OPEN | beneath | NO_FLOOR, POCKET | beneath | NO_FLOOR)
    one, open_at_a_corner, two, four = (rest(given, 3) for given in every)
    assert (open_at_a_corner, two, four) == pytest.approx((one, 2 * one, 4 * one))


NO_FLOOR = {"floor": False}


def test_the_rest_in_the_sharpest_corners_is_reckoned_for_a_cutter_of_three_millimetres() -> None:
    """Levels as deep as the cutter is wide: 30 mm to cut are ten for one of 3 mm, and one more below that."""
    to_depth = POCKET | {"allowance_bottom": 0}
    assert rest(to_depth | {"depth": 30.0}, 1) / 10 == pytest.approx(rest(to_depth | {"depth": 30.01}, 1) / 11)
    assert rest(to_depth | {"depth": 29.99}, 1) == pytest.approx(rest(to_depth | {"depth": 30.0}, 1))
    assert rest(to_depth | {"depth": 27.0}, 1) / 9 == pytest.approx(rest(to_depth | {"depth": 30.0}, 1) / 10)


def test_where_no_corner_is_given_the_path_turns_on_a_quarter_of_the_cutter() -> None:
    assert number(way(CLEARING, OPEN, [solid(12, 32)]), "path_radius") == pytest.approx(3)


@pytest.mark.parametrize(("width", "loops"), [(27, True), (27.1, False)])
def test_up_to_two_and_a_quarter_diameters_a_slot_is_looped_and_beyond_its_walls_are_followed(
    width: float, loops: bool
) -> None:
    """A 12 mm cutter. A wider channel is opened once and then peeled along its walls, not looped all across."""
    slot = {"kind": "slot", "length": 150, "width": width, "depth": 14, "floor": True, "open_ends": 1}
    assert ("loop_count" in way(CLEARING, slot, [solid(12, 32)]).facts) is loops


def test_a_machine_that_crawls_never_slows_the_spindle_to_less_than_half() -> None:
    crawling = EVERYDAY | {"feed_max": 500}
    quick, slow = (way(LAYERS, STEP, [solid(12, 26)], machine=machine).plan for machine in (EVERYDAY, crawling))
    assert quick is not None
    assert slow is not None
    assert ceil(quick.spindle_speed / 100) * 100 == quick.spindle_speed, "so that half of it is not rounded"
    assert slow.spindle_speed == pytest.approx(0.5 * quick.spindle_speed)


@pytest.mark.parametrize("feature", [STEP | {"width": 0.6}, {"kind": "outside_profile", "stock_side": 0.6}])
def test_of_little_stock_beside_a_wall_half_is_left(feature: dict[str, Any]) -> None:
    found = way(CLEARING, STEP | feature, [solid(12, 30)])
    assert number(found, "planned_side_allowance") == pytest.approx(0.3)
    told = asked(STEP | feature, [solid(12, 30)], ALUMINIUM, EVERYDAY).cautions
    assert "little-stock-to-rough" in {rule.id for rule in told}


@pytest.mark.parametrize(
    ("material", "low", "high"),
    [("C45", 20, 35), ("EN-GJL-250", 20, 30), ("EN AW-6082-T6", 60, 120), ("EN AW-2007-T4", 60, 120)],
)
def test_high_speed_steel_runs_at_a_fifth_of_carbide_and_no_faster_in_a_narrow_cut(
    material: str, low: float, high: float
) -> None:
    quick = EVERYDAY | {"spindle": {"speed": [300, 24000], "power": [15, 15]}}
    found = way(CLEARING, OPEN, [solid(20, 40, substrate="hss", ZEFP=2)], material, quick)
    assert low <= number(found, "cutting_speed") <= high
    # A narrow cut, in which carbide would run 1.3 times as fast.
    assert number(found, "speed_factor") == pytest.approx(0.15 if material.startswith("EN AW") else 0.2)


@pytest.mark.parametrize(
    ("material", "DC", "left"), [(HARD, 10, 0.2), (HARD, 9.9, 0.1), (STEEL, 10, 0.5), (STEEL, 9.9, 0.25)]
)
def test_a_finishing_cutter_finds_little_stock_in_hardened_steel(material: str, DC: float, left: float) -> None:
    pocket = {"kind": "closed_pocket", "length": 90, "width": 60, "depth": 10, "floor": True}
    found = way(CLEARING, pocket, [solid(DC, 22, ZEFP=6)], material, STRONG)
    assert number(found, "side_allowance") == number(found, "bottom_allowance") == left


@pytest.mark.parametrize(("reach", "thin"), [(23.9, False), (24.1, True)])
def test_a_cutter_too_slender_for_the_side_still_takes_thin_layers(reach: float, thin: bool) -> None:
    """A 3 mm cutter as slender as it is long, along a wall of a soft alloy, where nothing is cut at full width; the
    spindle is stiff and strong.
    """
    cutter = solid(3, 6, LU=reach, LPR=reach, DN=2.4, ZEFP=2)
    found = asked({"kind": "step", "length": 60, "width": 40, "depth": 20}, [cutter], "EN AW-1050A-H14", MIGHTY)
    layers = next(each for each in found.candidates if each.method == LAYERS)
    fired = {rule.id for rule in layers.fired}
    assert (number(layers, "axial_ratio") <= 0.1) == thin
    if thin:
        step = {"kind": "step", "length": 60, "width": 40, "depth": 0.3}
        once = way(LAYERS, step, [cutter], "EN AW-1050A-H14", MIGHTY)
        assert number(once, "allowed_depth") == pytest.approx(0.3), "a tenth of the cutter"
    assert "too-long-for-wide-cuts" not in fired
    assert layers.grade != "forbidden"


@pytest.mark.parametrize(
    ("material", "under", "ratio"), [(ALUMINIUM, 2.0, 1.6), (STEEL, 2.0, 1.0), (TITANIUM, 2.0, 0.75), (IRON, 2.0, 0.75)]
)
def test_the_last_level_over_a_thin_floor_is_thin_and_the_others_are_not(
    material: str, under: float, ratio: float
) -> None:
    feature = POCKET | {"depth": 20, "floor_thickness": 1, "allowance_bottom": under - 1}
    found = advise(job(feature, [solid(12, 32)], material)).features[0]
    ways = [one for one in found.candidates if one.method in (CLEARING, LAYERS) and one.plan is not None]
    assert ways
    for one in ways:
        assert one.plan is not None
        last = 19 - (one.plan.levels - 1) * one.plan.axial_depth
        assert 0 < last <= ratio * under + 1e-6
    assert any(one.plan is not None and one.plan.axial_depth > 1.5 * ratio * under for one in ways)


@pytest.mark.parametrize(("bottom", "thin"), [(1.0, True), (1.04, False)])
def test_where_four_millimetres_stay_under_the_last_level_it_is_as_deep_as_the_others(
    bottom: float, thin: bool
) -> None:
    feature = OPEN | {"depth": 20, "floor_thickness": 3, "allowance_bottom": bottom}
    found = advise(job(feature, [solid(12, 32)], ALUMINIUM)).features[0]
    plans = [one.plan for one in found.candidates if one.method == CLEARING and one.plan is not None]
    assert {plan.levels > 1 for plan in plans} == {thin}


def facts_of(feature: dict[str, Any], cutter: Cutter, material: str = STEEL) -> dict[str, float | str]:
    """Return the facts of the first way with one cutter."""
    return asked(feature, [cutter], material).candidates[0].facts


@pytest.mark.parametrize(
    ("diameter", "least", "most"),
    [(5.49, 0.05, 0.15), (5.5, 0.1, 0.15), (11.99, 0.1, 0.15), (17.99, 0.1, 0.205), (18, 0.1, 0.25), (30, 0.1, 0.3)],
)
def test_a_hole_to_ream_keeps_by_its_width_what_a_reamer_takes(diameter: float, least: float, most: float) -> None:
    hole = {"kind": "round_hole", "diameter": diameter, "depth": 10, "floor": True, "purpose": "ream"}
    facts = facts_of(hole, drill(diameter - 0.3))
    assert (facts["hole_allowance"], facts["hole_left_most"]) == pytest.approx((least, most))


def test_along_a_slot_five_teeth_take_levels_of_fifteen_hundredths_of_the_cutter() -> None:
    assert facts_of(SLOT_12 | {"depth": 10}, solid(12, 26, ZEFP=5))["slot_level_share_most"] == pytest.approx(0.15)


@pytest.mark.parametrize(("material", "ratio"), [(ALUMINIUM, 1.6), (STEEL, 1.0), (IRON, 0.75), (TITANIUM, 0.75)])
def test_the_last_level_over_a_thin_floor_is_thinner_in_what_pushes_or_cracks(material: str, ratio: float) -> None:
    facts = facts_of(POCKET | {"floor_thickness": 2}, solid(12, 30), material)
    assert facts["floor_level_ratio"] == pytest.approx(ratio)


def test_a_thread_over_a_thin_floor_is_cut_to_its_depth_and_keeps_nothing_on_the_floor() -> None:
    hole = {"kind": "round_hole", "diameter": 10, "depth": 10, "floor": True, "purpose": "thread"}
    facts = facts_of(hole | {"floor_thickness": 1.5, "flat_floor": True}, solid(6, 16))
    assert facts["floor_kind"] == "thin"
    assert "bottom_allowance_thin" not in facts


def test_the_levels_of_a_long_face_mill_bend_it_by_less_than_leaves_steps() -> None:
    cutter = make_cutter(
        id="HF20", body="inserted_high_feed_mill", DC=20, APMX=1, LU=150, LPR=160, DN=16, RMPX=2, ZEFP=3, KAPR=15
    )
    found = asked({"kind": "planar_face", "length": 200, "width": 40, "depth": 3}, [cutter], STEEL)
    plan = next(one.plan for one in found.candidates if one.method == "face_milling")
    assert plan is not None
    assert plan.facts["tip_deflection"] == pytest.approx(0.14, rel=0.005)
    assert HeldBy.BENDING_ON_FACE in {held.cause.since.by for held in plan.held if held.cause.since}
