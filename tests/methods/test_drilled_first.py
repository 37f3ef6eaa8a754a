"""Drills for the material, deep drilled holes, holes wider than need be, and bores opened round a drilled hole.

Source of each: common practice, no source.
"""

import math
from typing import Any

import pytest

from advisor.analysis.repair import repairs
from advisor.choosing.advice import advise, cautions_for
from advisor.knowledge.wording import fill
from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter
from advisor.situation.bench import bench_of
from advisor.text.repairs import repair_text
from tests.jobs.judged import (
    BORING,
    CLEARING,
    DRILLING,
    HARD,
    LAYERS,
    STAINLESS,
    SUPERALLOY,
    TITANIUM,
    hole,
    short_drill,
    through,
)
from tests.jobs.small import STEEL, STRONG, asked, drill, inserted, job, solid

POCKET: dict[str, Any] = {"kind": "closed_pocket", "length": 120, "width": 60, "depth": 36, "floor": True}
HARDEST = "X153CrMoV12 hardened"
HSS = short_drill(12, 70, substrate="hss")
WIDE_BORE = through(50, 40, 20) | {"allowance_side": 0.2}
I32 = inserted(32, LU=60, LPR=80, dead_centre=18)  # with its dead centre it needs a bore of 50 mm; this one has 49.6 mm


def best_of(feature: dict[str, Any], crib: list[Cutter], method: str, entry: str | None, material: str) -> Candidate:
    found = asked(feature, crib, material, STRONG).candidates
    return next(one for one in found if one.method == method and entry in (None, one.entry))


def cautions(feature: dict[str, Any], crib: list[Cutter], material: str, method: str = DRILLING) -> set[str]:
    assignment = job(feature, crib, material, STRONG)
    bench = bench_of(assignment)
    found = advise(assignment, bench).features[0].candidates
    return {one.id for one in cautions_for(next(each for each in found if each.method == method), bench)}


@pytest.mark.parametrize(
    ("material", "grade"),
    [(SUPERALLOY, "forbidden"), ("UNS N06625", "poor"), (TITANIUM, "good"), (STAINLESS, "good"), (HARD, "forbidden")],
)
def test_high_speed_steel_drills_no_aged_nickel_alloy_and_no_other_gladly(material: str, grade: str) -> None:
    assert best_of(hole(12, 20, purpose="clearance"), [HSS], DRILLING, None, material).grade == grade
    carbide = short_drill(12, 70, TMC1ISO="M S H")
    assert best_of(hole(12, 20, purpose="clearance"), [carbide], DRILLING, None, material).grade == "good"


@pytest.mark.parametrize(
    ("material", "grade"), [(SUPERALLOY, "forbidden"), ("UNS N06625", "poor"), (HARD, "forbidden")]
)
def test_nor_does_it_drill_the_way_in_there(material: str, grade: str) -> None:
    mill = solid(11, 40, ZEFP=6)
    assert best_of(POCKET, [mill, HSS], CLEARING, "predrilled_hole", material).grade == grade
    carbide = short_drill(12, 70, TMC1ISO="M S H")
    assert best_of(POCKET, [mill, carbide], CLEARING, "predrilled_hole", material).grade == "good"


def test_a_drill_in_titanium_of_high_speed_steel_is_told_to_keep_its_speed() -> None:
    slow = "high-speed-steel-drill-in-titanium"
    assert slow in cautions(hole(12, 20, purpose="clearance"), [HSS], TITANIUM)
    assert slow not in cautions(hole(12, 20, purpose="clearance"), [short_drill(12, 70)], TITANIUM)


@pytest.mark.parametrize(
    ("material", "groups", "grade"),
    [
        (STEEL, None, "good"),
        (HARD, None, "poor"),
        (HARD, "P M K", "poor"),
        (HARD, "P H", "good"),
        (HARDEST, None, "forbidden"),
        (HARDEST, "P M K", "forbidden"),
        (HARDEST, "P H", "good"),
    ],
)
def test_hardened_steel_takes_a_drill_that_is_named_for_it_for_a_hole_and_for_the_way_in(
    material: str, groups: str | None, grade: str
) -> None:
    """HARD is of 48 to 52 HRC, HARDEST of 58 to 60 HRC."""
    thread, made = hole(10.2, 20, purpose="thread"), short_drill(10.2, 60, TMC1ISO=groups)
    assert best_of(thread, [made], DRILLING, None, material).grade == grade
    mill, wide = solid(8, 20, ZEFP=6, TMC1ISO="P H"), short_drill(9, 60, TMC1ISO=groups)
    assert best_of(POCKET | {"depth": 12}, [mill, wide], CLEARING, "predrilled_hole", material).grade == grade


@pytest.mark.parametrize(("groups", "entry"), [(None, "helical_ramp"), ("P", "helical_ramp"), ("H", "predrilled_hole")])
@pytest.mark.parametrize("material", [HARD, HARDEST])
def test_into_hardened_steel_a_helix_comes_before_a_drill_that_is_not_made_for_it(
    material: str, groups: str | None, entry: str
) -> None:
    mill, wide = solid(8, 20, ZEFP=6, TMC1ISO="P H"), short_drill(9, 60, TMC1ISO=groups)
    best = asked(POCKET | {"depth": 12}, [mill, wide], material, STRONG).best
    assert best is not None
    assert (best.grade, best.entry) == ("good", entry)


def test_where_only_such_a_drill_makes_the_hole_the_answer_says_so_and_names_the_drill_to_buy() -> None:
    thread, unknown = hole(3.3, 12, purpose="thread"), short_drill(3.3, 30)
    assert asked(thread, [unknown], HARD, STRONG).grade == "poor"
    assignment = job(thread, [unknown], HARDEST, STRONG)
    assert advise(assignment).features[0].best is None
    told = repairs(assignment.job.features[0], assignment.crib, bench_of(assignment))
    good = [repair_text(way) for way in told if way.then.grade == "good"]
    assert any(text.startswith("With a 3.3\xa0mm carbide drill for group H") for text in good)


def test_a_thread_in_hardened_steel_is_cut_before_or_milled() -> None:
    made = short_drill(10.2, 60, TMC1ISO="H P")
    assert "thread-in-hardened-steel" in cautions(hole(10.2, 20, purpose="thread"), [made], HARD)
    assert "thread-in-hardened-steel" not in cautions(hole(10.2, 20, purpose="clearance"), [made], HARD)
    assert "thread-in-hardened-steel" not in cautions(hole(10.2, 20, purpose="thread"), [made], STEEL)


@pytest.mark.parametrize(("depth", "deep"), [(39.9, False), (40.0, True), (64.0, True)])
def test_from_four_diameters_on_a_drill_is_lifted_or_has_coolant_through_it(depth: float, deep: bool) -> None:
    found = cautions(hole(10, depth, purpose="clearance"), [short_drill(10, 80)], STEEL)
    assert ("deep-hole-packs-chips" in found) is deep
    assert "chips-packed" not in found


@pytest.mark.parametrize(("DC", "suits"), [(12.2, False), (13.0, True), (16.0, True), (19.0, True), (19.5, False)])
def test_a_hole_up_to_1_6_times_the_cutter_lets_it_in(DC: float, suits: bool) -> None:
    found = best_of(POCKET, [solid(12, 40, ZEFP=4), short_drill(DC, 90)], CLEARING, "predrilled_hole", STEEL)
    assert (found.drill is not None) is suits
    assert (found.grade == "good") is suits


def test_a_wide_hole_that_cuts_into_the_allowance_is_forbidden() -> None:
    mill, wide = solid(12, 40, ZEFP=4), short_drill(18, 90)
    assert best_of(POCKET | {"width": 19.1}, [mill, wide], CLEARING, "predrilled_hole", STEEL).drill is not None
    tight = best_of(POCKET | {"width": 18.5}, [mill, wide], CLEARING, "predrilled_hole", STEEL)
    assert "hole-too-narrow" in {rule.id for rule in tight.fired}


def test_of_many_wider_drills_only_the_nearest_three_that_reach_are_looked_at() -> None:
    short, long = [short_drill(15, 20)], [short_drill(DC, 90) for DC in (15.5, 16, 17, 18)]
    found = asked(POCKET, [solid(12, 40, ZEFP=4), *short, *long], STEEL, STRONG).candidates
    used = sorted({one.cutter.DC for one in (each.drill and each for each in found) if one})
    assert used == [12]
    assert sorted({one.drill.DC for one in found if one.drill and one.method == CLEARING}) == [15.5, 16, 17]


@pytest.mark.parametrize(
    ("crib", "entry", "grade"),
    [([I32], "helical_ramp", "forbidden"), ([I32], "predrilled_hole", "forbidden"), ([I32, drill(20)], None, "good")],
)
def test_a_hole_drilled_first_takes_out_the_core_under_a_dead_centre(
    crib: list[Cutter], entry: str | None, grade: str
) -> None:
    """Bore 49.6 mm, cutter 32 mm and dead centre 18 mm: a core of 0.4 mm."""
    found = best_of(WIDE_BORE, crib, BORING, entry, STEEL)
    assert found.grade == grade
    if grade == "good":
        assert found.entry == "predrilled_hole"
        assert found.facts["bore_core"] == pytest.approx(0.4)
        assert found.facts["core_height"] == 0
        assert found.plan is not None
        alone = found.plan.cut_time + found.plan.travel_time
        assert found.time == pytest.approx(alone + float(found.facts["hole_time"]) + found.way_in.change)


@pytest.mark.parametrize(("DC", "angle", "turns"), [(30.0, 0.3, 206), (31.0, 8.75, 7)])
def test_a_hole_as_wide_as_the_way_of_the_dead_centre_lets_the_cutter_go_steeper(
    DC: float, angle: float, turns: int
) -> None:
    """Bore 44.2 mm, cutter 32 mm, dead centre 18 mm: it goes over a circle of 30.2 mm.

    Along the rim of the 31 mm hole 5° are 8.5 mm a turn; 7 turns go 5.9 mm each, 8.75° on the circle of the centre.
    """
    mill = inserted(32, LU=60, LPR=80, dead_centre=18, RMPX=0.3)
    found = best_of(through(45, 40, 30) | {"allowance_side": 0.4}, [mill, drill(DC)], BORING, "predrilled_hole", STEEL)
    assert found.plan is not None
    assert found.facts["middle_margin"] == pytest.approx(DC - 30.2)
    assert (found.facts["ramp_angle"], found.plan.levels) == (pytest.approx(angle, rel=0.005), turns)


def test_over_a_floor_the_cone_of_the_hole_keeps_the_cutter_to_its_ramp_angle() -> None:
    blind = {"kind": "round_hole", "diameter": 45, "depth": 40, "floor": True, "allowance_side": 0.4}
    mill = inserted(32, LU=60, LPR=80, dead_centre=18, RMPX=0.3)
    found = best_of(blind, [mill, drill(34)], BORING, "predrilled_hole", STEEL)
    assert float(found.facts["cone_height"]) > 0
    assert found.facts["ramp_angle"] == pytest.approx(0.3, rel=0.001)


@pytest.mark.parametrize(("DC", "grade"), [(13.5, "forbidden"), (13.6, "good"), (22.0, "good")])
def test_a_hole_must_be_as_wide_as_the_core_inside_the_helix(DC: float, grade: str) -> None:
    """Bore 47.6 mm and cutter 17 mm without corner radius would leave 47.6 - 34 = 13.6 mm."""
    mill = solid(17, 40, ZEFP=4, RE=0)
    found = best_of(
        through(48, 20, 20) | {"allowance_side": 0.2}, [mill, short_drill(DC, 80)], BORING, "predrilled_hole", STEEL
    )
    assert found.facts["core_margin"] == pytest.approx(-13.6)
    assert found.grade == grade


def test_over_a_floor_the_cone_leaves_the_lower_end_of_the_core() -> None:
    blind = {"kind": "round_hole", "diameter": 40, "depth": 30, "floor": True, "allowance_side": 0.2}
    mill = solid(16, 40, ZEFP=4, RE=0)
    pointed = best_of(blind, [mill, short_drill(20, 60)], BORING, "predrilled_hole", STEEL)
    flat = best_of(blind, [mill, short_drill(20, 60, point_angle=180)], BORING, "predrilled_hole", STEEL)
    assert "hole-leaves-a-core" in {rule.id for rule in pointed.fired}
    assert pointed.facts["core_height"] == pytest.approx(3.64 * 7.6 / 20, abs=0.01)  # point of 140° on 20 mm: 3.64 mm
    assert flat.grade == "good"


@pytest.mark.parametrize(
    ("clearance", "tip", "stays"), [(3.16, 19.7, 2.78), (3.18, 22.68, 0), (4.7, 24.2, 0), (4.72, 24.22, 0), (9, 25, 0)]
)
def test_below_a_through_bore_no_core_stays_once_the_hole_is_as_wide_as_it_at_the_bottom(
    clearance: float, tip: float, stays: float
) -> None:
    """22 mm at 140 degrees: 4 mm of point, as wide as the core of 13.6 mm 2.475 mm above the tip. With 0.2 mm past the
    bottom and 0.5 mm kept beneath, 3.175 mm free are enough for the tip, 4.7 mm for the full diameter.
    """
    mill, hole_ = solid(17, 40, ZEFP=4, RE=0), through(48, 20, clearance) | {"allowance_side": 0.2}
    found = best_of(hole_, [mill, short_drill(22, 80)], BORING, "predrilled_hole", STEEL)
    assert found.facts["bore_core"] == pytest.approx(13.6)
    assert found.facts["hole_depth"] == pytest.approx(tip, abs=0.01)
    assert found.facts["core_height"] == pytest.approx(stays, abs=0.01)
    assert ("hole-leaves-a-core" in {rule.id for rule in found.fired}) is (stays > 0)


@pytest.mark.parametrize(("clearance", "beneath"), [(5.3, True), (5.31, False)])
def test_past_the_bottom_of_a_window_there_is_no_cone_for_a_dead_centre_to_meet(
    clearance: float, beneath: bool
) -> None:
    """25.3 mm at 140 degrees: 4.604 mm of point, as wide as the dead centre of 20 mm 0.964 mm below the full diameter.

    The full diameter goes 0.2 mm past the bottom, the cutter 1.3 mm: with the cone it meets nothing but air.
    """
    mill = inserted(24, LU=60, LPR=80, dead_centre=20)
    found = best_of(
        POCKET | {"depth": 20, "floor": False, "clearance_below": clearance},
        [mill, short_drill(25.3, 80)], LAYERS, "predrilled_hole", STEEL,
    )  # fmt: skip
    assert found.facts["overcut"] > 0
    assert (found.facts["hole_helix_depth"] > 0) is beneath


def test_where_clearance_is_missing_the_way_out_is_a_good_one() -> None:
    reamed = {"kind": "round_hole", "diameter": 8, "depth": 40, "floor": False, "clearance_below": 1, "purpose": "ream"}
    crib = [short_drill(7.8, 53, LU=53, LPR=66), solid(5, 15, LU=45, LPR=60, DN=4.8)]
    assignment = job(reamed, crib[:1], STAINLESS, STRONG)
    told = repairs(assignment.job.features[0], assignment.crib, bench_of(assignment))
    assert any("2.2\xa0mm free below" in repair_text(way) and way.then.grade == "good" for way in told)


def test_a_round_hole_is_not_plunged() -> None:
    found = asked(hole(40, 60), [solid(12, 30, LU=70, LPR=80, DN=11)], STEEL, STRONG).candidates
    assert "plunge_roughing" not in {one.method for one in found}


def test_drills_up_to_a_fifth_wider_than_the_cutter_are_all_looked_at() -> None:
    """24 mm are 1.2 times the 20 mm cutter: of the wider ones the nearest three."""
    drills = [short_drill(DC, 90) for DC in (21, 22, 23, 24, 24.1, 24.2, 24.3, 24.4)]
    found = asked(POCKET | {"width": 80}, [solid(20, 44, ZEFP=4), *drills], STEEL, STRONG).candidates
    looked_at = sorted({one.drill.DC for one in found if one.drill and one.method == CLEARING})
    assert looked_at == [21, 22, 23, 24, 24.1, 24.2, 24.3]


@pytest.mark.parametrize(
    ("DC", "suits"), [(12.0, True), (14.0, True), (15.0, True), (15.1, False), (15.5, False), (20.0, False)]
)
def test_a_drill_nearly_as_wide_as_a_round_hole_is_no_way_in_for_clearing_it(DC: float, suits: bool) -> None:
    """Three quarters of 20 mm, less nothing on the wall, are 15 mm."""
    wide = through(20, 30, 20) | {"allowance_side": 0.0}
    found = best_of(wide, [solid(10, 40, ZEFP=4), short_drill(DC, 90)], CLEARING, "predrilled_hole", STEEL)
    assert (found.drill is not None) is suits


def test_the_hole_is_told_to_end_as_far_above_the_floor_as_it_does() -> None:
    """On a floor that keeps nothing the tip still stops a skin of 0.3 mm above it."""
    pocket = {"kind": "closed_pocket", "length": 90, "width": 60, "depth": 30, "floor": True, "allowance_bottom": 0}
    found = advise(job(pocket, [solid(12, 32), drill(13)]))
    way = next(each for each in found.features[0].candidates if each.entry == "predrilled_hole")
    rule = next(one for one in cautions_for(way, found.bench) if one.id == "no-end-teeth-in-the-hole")
    told = fill(found.bench.base, rule, rule.because, way.facts).replace("\N{NO-BREAK SPACE}", " ")
    assert told.startswith("The hole ends 0.3 mm above the floor at its tip")


@pytest.mark.parametrize("width", [26.0, 32.0, 45.0, 60.0])
def test_the_angle_of_a_helix_is_that_of_its_pitch(width: float) -> None:
    """tan(angle) = pitch / (pi (bore - DC)), also where the edge lets a turn go less deep than the ramp angle would."""
    mill = inserted(20, APMX=1, LU=60, LPR=80, dead_centre=8, RMPX=5)
    found = best_of(through(width, 30, 30) | {"allowance_side": 0.4}, [mill], BORING, None, STEEL)
    assert found.plan is not None
    circle = math.pi * (width - 0.8 - 20)
    assert found.facts["ramp_angle"] == pytest.approx(math.degrees(math.atan(found.plan.axial_depth / circle)))
