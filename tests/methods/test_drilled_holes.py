"""Drills in round holes and for the way in: how deep their points go, and what they leave for which purpose.

Source of each: geometry of the point (12 mm at 140°: 2.184 mm), and common practice, no source.
"""

from typing import Any

import pytest

from advisor.analysis.repair import improvements, repairs
from advisor.analysis.standard_cutters import drill_of, on_offer
from advisor.choosing.advice import advise, cautions_for
from advisor.knowledge.shipped import rule_base
from advisor.knowledge.wording import GAP
from advisor.model.answer import FeatureAdvice
from advisor.model.candidate import Candidate
from advisor.model.cutter import make_cutter
from advisor.model.features import FEATURE_KINDS
from advisor.situation.bench import bench_of
from advisor.text.missing import missing_text
from advisor.text.repairs import repair_text, to_buy
from tests.jobs.judged import BORING, CLEARING, DRILLING
from tests.jobs.small import EVERYDAY, STEEL, asked, drill, job, solid

D12, E8 = drill(12), solid(8, 30)
POINT = 2.184  # mm
THROUGH = {"kind": "round_hole", "diameter": 12, "depth": 20, "floor": False, "purpose": "clearance"}
BLIND = {"kind": "round_hole", "diameter": 12, "depth": 20, "floor": True, "purpose": "thread"}
POCKET: dict[str, Any] = {"kind": "closed_pocket", "length": 90, "width": 60, "depth": 30, "floor": True}
WINDOW = POCKET | {"floor": False}


def drilled(hole: dict[str, Any], *crib: Any, material: str = STEEL) -> Candidate:
    """Return the way of drilling with the first of a crib."""
    found = asked(hole, crib or (D12, E8), material)
    wanted = (crib or (D12,))[0].id
    return next(one for one in found.candidates if one.method == DRILLING and one.cutter.id == wanted)


def entered(feature: dict[str, Any], *drills: Any, machine: dict[str, Any] = EVERYDAY) -> Candidate:
    """Return the way of going down a drilled hole with a 12 mm cutter, by the first of the drills."""
    found = asked(feature, (solid(12, 36, ZEFP=4), *drills), STEEL, machine)
    return next(one for one in found.candidates if one.method == CLEARING and one.entry == "predrilled_hole")


def rules(found: Candidate) -> set[str]:
    """Return the rules that fired."""
    return {rule.id for rule in found.fired}


HITS, NEAR = "drill-point-hits-what-lies-beneath", "drill-point-has-little-room"


@pytest.mark.parametrize(
    ("clearance", "grade", "by"),
    [(2.38, "forbidden", HITS), (2.39, "forbidden", NEAR), (2.88, "forbidden", NEAR), (2.89, "good", None)],
)
def test_a_drill_point_that_would_reach_or_nearly_reach_the_table_is_forbidden(
    clearance: float, grade: str, by: str | None
) -> None:
    """2.184 mm of point, 0.2 mm of full diameter and 0.5 mm that stay beneath the tip."""
    found = drilled(THROUGH | {"clearance_below": clearance})
    assert found.grade == grade
    assert rules(found) & {HITS, NEAR} == ({by} if by else set())
    assert found.facts["free_for_the_tip"] == pytest.approx(float(found.facts["tip_beyond"]) + 0.5)


@pytest.mark.parametrize(("angle", "grade"), [(180, "good"), (178.2, "good"), (176, "poor"), (140, "poor")])
def test_a_drill_with_a_flat_end_makes_a_flat_floor(angle: float, grade: str) -> None:
    """12 mm: 0.094 mm of point at 178.2 degrees, 0.21 mm at 176."""
    flat = make_cutter(id="F", body="drill", DC=12, APMX=60, ZEFP=2, point_angle=angle)
    found = drilled(BLIND | {"flat_floor": True, "purpose": "clearance"}, flat)
    assert found.grade == grade
    assert ("drill-leaves-a-cone" in rules(found)) is (grade == "poor")


@pytest.mark.parametrize(
    ("clearance", "past", "warned"),
    [
        (2.87, 0.2, True),
        (2.89, 0.206, True),
        (3.2, 0.516, True),
        (3.69, 1.0, False),
        (9, 1.0, False),
    ],
)
def test_where_little_is_free_beneath_a_drill_goes_less_far_past_the_bottom(
    clearance: float, past: float, warned: bool
) -> None:
    """2.184 mm of point and 0.5 mm kept beneath it: of 3.2 mm stay 0.516 mm; from 0.2 to 1 mm of full diameter."""
    found = drilled(THROUGH | {"clearance_below": clearance})
    assert found.facts["overcut"] == pytest.approx(past, abs=1e-3)
    assert found.facts["drill_depth"] == pytest.approx(20 + POINT + past, abs=2e-3)
    assert found.facts["point_room"] == pytest.approx(clearance - POINT - past, abs=2e-3)
    bench = bench_of(job(THROUGH, [D12], STEEL))
    assert ("drill-breaks-through" in {rule.id for rule in cautions_for(found, bench)}) is warned


@pytest.mark.parametrize(("DC", "clearance"), [(8.5, 2.3), (14, 3.25)])
def test_a_through_hole_with_little_room_beneath_is_drilled(DC: float, clearance: float) -> None:
    """8.5 mm at 140 degrees: 1.547 mm of point + 0.2 + 0.5 mm = 2.247 mm; 14 mm: 2.548 + 0.7 = 3.248 mm."""
    found = drilled(THROUGH | {"diameter": DC, "clearance_below": clearance}, drill(DC))
    assert found.grade == "good"


def test_where_no_clearance_is_given_a_drill_cannot_go_through() -> None:
    assert drilled(THROUGH).grade == "forbidden"


def test_where_only_clearance_is_missing_the_answer_names_how_much_and_that_much_is_enough() -> None:
    assignment = job(THROUGH, [D12], STEEL)
    bench = bench_of(assignment)
    told = repairs(assignment.job.features[0], assignment.crib, bench)
    texts = [repair_text(one) for one in told]
    wanted = f"With 2.9{GAP}mm free below where no clearance was given: drilling, good"
    assert any(text.startswith(wanted) for text in texts)
    raised = FEATURE_KINDS["round_hole"].model_validate({"id": "F1", **THROUGH, "clearance_below": 2.9})
    again = advise(assignment.model_copy(update={"job": assignment.job.model_copy(update={"features": (raised,)})}))
    assert again.features[0].grade == "good"


def test_the_tip_goes_deeper_than_the_full_diameter_and_both_are_told() -> None:
    facts = drilled(BLIND).facts
    assert facts["full_depth"] == pytest.approx(20)
    assert facts["drill_depth"] == pytest.approx(20 + POINT, abs=1e-3)


@pytest.mark.parametrize(
    ("purpose", "diameter", "grade"),
    [
        ("thread", 11.999, "good"),
        ("thread", 11.98, "good"),
        ("thread", 11.9799, "forbidden"),
        ("clearance", 11.981, "good"),
        ("clearance", 11.979, "forbidden"),
        (None, 11.999, "good"),
        (None, 11.979, "forbidden"),
        ("ream", 11.999, "forbidden"),
        ("bore", 11.999, "forbidden"),
        ("mill", 11.999, "forbidden"),
    ],
)
def test_a_drill_may_be_two_hundredths_wider_than_a_hole_that_nothing_finishes(
    purpose: str | None, diameter: float, grade: str
) -> None:
    hole = BLIND | {"diameter": diameter, "purpose": purpose}
    found = drilled({name: value for name, value in hole.items() if value is not None}, D12)
    assert found.grade == grade
    wide = {"drill-wider-than-the-hole", "drill-wider-than-the-finished-hole"}
    assert bool(wide & rules(found)) is (grade == "forbidden")


def test_an_end_mill_is_never_wider_than_a_hole_for_thread() -> None:
    found = asked(BLIND | {"diameter": 11.999}, (solid(12, 36), drill(10)), STEEL)
    milled = [one for one in found.candidates if one.cutter.body != "drill"]
    assert milled
    assert all("cutter-does-not-fit" in rules(one) for one in milled)


def test_over_a_flat_floor_the_tip_itself_stops_at_the_allowance() -> None:
    found = drilled(BLIND | {"flat_floor": True, "allowance_bottom": 0.5})
    assert found.facts["drill_depth"] == pytest.approx(19.5)
    assert found.grade == "poor"


@pytest.mark.parametrize(
    ("DC", "thickness", "grade"),
    [(12, 4.58, "forbidden"), (12, 4.59, "good"), (4, 1.72, "forbidden"), (4, 1.73, "good")],
)
def test_a_drill_point_leaves_a_millimetre_and_a_fifth_of_its_diameter_under_it(
    DC: float, thickness: float, grade: str
) -> None:
    """12 mm: 2.184 + 0.2 x 12 = 4.584 mm; 4 mm: 0.728 + 1 = 1.728 mm."""
    found = drilled(BLIND | {"diameter": DC, "depth": 12, "floor_thickness": thickness}, drill(DC))
    assert found.grade == grade
    assert ("drill-point-comes-through-the-floor" in rules(found)) is (grade == "forbidden")


def test_a_drill_with_a_flatter_point_may_go_where_a_pointed_one_would_come_through() -> None:
    pointed = make_cutter(id="P", body="drill", DC=12, APMX=60, ZEFP=2, point_angle=118)
    hole = BLIND | {"floor_thickness": 5}
    assert (drilled(hole, pointed).grade, drilled(hole, D12).grade) == ("forbidden", "good")


@pytest.mark.parametrize(
    ("purpose", "diameter", "grade"),
    [
        ("clearance", 12, "good"),
        ("clearance", 12.05, "good"),
        ("clearance", 12.06, "poor"),
        ("thread", 12, "good"),
        ("thread", 12.06, "poor"),
        ("ream", 12, "forbidden"),
        ("ream", 12.09, "forbidden"),
        ("ream", 12.19, "poor"),
        ("ream", 12.2, "good"),
        ("ream", 12.4, "good"),
        ("ream", 12.41, "good"),
        ("ream", 12.42, "poor"),
        ("bore", 12.23, "poor"),
        ("bore", 12.24, "workable"),
        ("bore", 12.39, "workable"),
        ("bore", 12.4, "good"),
        ("bore", 12.8, "good"),
        ("bore", 12.81, "poor"),
        ("mill", 12.09, "forbidden"),
        ("mill", 12.39, "poor"),
        ("mill", 12.4, "good"),
        ("mill", 13.5, "good"),
        ("mill", 13.51, "poor"),
    ],
)
def test_what_a_drill_leaves_on_the_wall_suits_what_the_hole_is_for(purpose: str, diameter: float, grade: str) -> None:
    assert drilled(BLIND | {"diameter": diameter, "purpose": purpose}).grade == grade


@pytest.mark.parametrize(
    ("drilled_to", "reamed", "grade"),
    [
        (5.7, 6, "good"),
        (5.68, 6, "poor"),
        (11.69, 11.99, "good"),
        (11.68, 11.99, "poor"),
        (11.6, 12, "good"),
        (12.303, 12.7, "good"),  # 31/64 in before 1/2 in
        (12.2936, 12.7, "good"),  # the same, told as 0.484 in
        (12.28, 12.7, "poor"),
        (17.57, 17.99, "poor"),
        (17.5, 18, "good"),
        (29.4, 30, "good"),
        (29.39, 30, "poor"),
    ],
)
def test_a_reamer_takes_more_in_a_wider_hole(drilled_to: float, reamed: float, grade: str) -> None:
    hole = BLIND | {"diameter": reamed, "purpose": "ream", "floor_thickness": 30}
    assert drilled(hole, drill(drilled_to)).grade == grade


@pytest.mark.parametrize(
    ("diameter", "taken"), [(12, "clearance"), (12.05, "clearance"), (12.06, "mill"), (13, "mill")]
)
def test_a_purpose_that_nobody_gave_is_asked_for_and_a_drill_of_that_size_drills_to_size(
    diameter: float, taken: str
) -> None:
    hole = {name: value for name, value in BLIND.items() if name != "purpose"} | {"diameter": diameter}
    answer: FeatureAdvice = asked(hole, (D12, E8), STEEL)
    found = next(one for one in answer.candidates if one.method == DRILLING)
    assert found.facts["hole_purpose"] == taken
    told = [missing_text(one, rule_base()) for one in answer.not_asked if one.missing == "purpose"]
    assert len(told) == 1
    assert "give purpose: clearance, thread, ream, bore or mill" in told[0]


def test_what_stays_on_the_wall_is_what_the_drill_leaves() -> None:
    found = drilled(BLIND | {"diameter": 12.6, "purpose": "bore"})
    assert found.plan is not None
    assert found.plan.side_allowance == pytest.approx(0.3)


@pytest.mark.parametrize(
    ("purpose", "least", "most"),
    [
        ("clearance", 12.55, 12.6),
        ("thread", 12.55, 12.6),
        ("ream", 12.19, 12.4),
        ("bore", 11.8, 12.2),
        ("mill", 11.1, 12.2),
    ],
)
def test_the_missing_drill_is_named_by_its_size(purpose: str, least: float, most: float) -> None:
    """A hole of 12.6 mm less twice the most and the least that its purpose leaves on the wall."""
    facts = drilled(BLIND | {"diameter": 12.6, "purpose": purpose}).facts
    assert (facts["drill_size_least"], facts["drill_size_most"]) == (pytest.approx(least), pytest.approx(most))


@pytest.mark.parametrize(("diameter", "left"), [(39.99, 0.2), (40, 0.4)])
def test_a_wide_hole_to_bore_keeps_twice_as_much(diameter: float, left: float) -> None:
    found = asked(BLIND | {"diameter": diameter, "purpose": "bore", "flat_floor": True}, (solid(20, 30),), STEEL)
    assert {one.facts["side_allowance"] for one in found.candidates} == {left}


@pytest.mark.parametrize("purpose", ["clearance", "thread"])
def test_nothing_stays_on_the_wall_of_a_hole_that_is_cut_to_size(purpose: str) -> None:
    bored = [one for one in asked(BLIND | {"purpose": purpose}, (E8,), STEEL).candidates if one.method == BORING]
    assert {one.facts["side_allowance"] for one in bored} == {0}


@pytest.mark.parametrize(("diameter", "width"), [(12, 12), (11.99, 11.9)])
def test_a_drill_to_buy_for_a_hole_to_size_is_as_wide_as_the_hole_and_never_wider(
    diameter: float, width: float
) -> None:
    assignment = job(BLIND | {"diameter": diameter}, [])
    drills = [each for each in on_offer(assignment.job.features[0], bench_of(assignment)) if each.body == "drill"]
    assert [each.DC for each in drills] == [width]


def test_an_end_mill_leaves_a_reamed_hole_what_the_reamer_takes() -> None:
    found = asked(BLIND | {"purpose": "ream", "flat_floor": True}, (E8,), STEEL).best
    assert found is not None
    assert found.facts["side_allowance"] == 0.1


def test_above_a_floor_the_drill_for_the_way_in_stops_by_its_tip() -> None:
    found = entered(POCKET | {"allowance_bottom": 0.5}, drill(13))
    assert found.facts["hole_depth"] == pytest.approx(29.5)
    assert found.facts["hole_full_depth"] == pytest.approx(29.5 - 13 / 12 * POINT, abs=1e-3)


@pytest.mark.parametrize(
    ("clearance", "deep"), [(3.06, 30 - 0.3), (3.07, 30 + 13 / 12 * POINT + 0.204), (3.87, 30 + 13 / 12 * POINT + 1)]
)
def test_the_drill_for_the_way_in_goes_through_only_where_its_point_has_room(clearance: float, deep: float) -> None:
    """13 mm: 2.366 mm of point, 0.2 to 1 mm of full diameter and a gap of 0.5 mm; else it stops above the bottom."""
    found = entered(WINDOW | {"clearance_below": clearance}, drill(13))
    assert found.facts["hole_depth"] == pytest.approx(deep, abs=1e-3)


def test_the_drill_for_the_way_in_is_eased_as_any_cut() -> None:
    weak = EVERYDAY | {"spindle": {"speed": [1000, 8000], "power": [1.5, 6]}}
    strong, eased = entered(POCKET, drill(13)), entered(POCKET, drill(13), machine=weak)
    assert float(eased.facts["hole_feed"]) < 0.9 * float(strong.facts["hole_feed"])
    assert float(eased.facts["hole_power_share"]) <= 0.95 + 1e-6


@pytest.mark.parametrize(
    ("power", "feed", "speed"),
    [(6.0, (1.0, 1.0), (1.0, 1.0)), (1.6, (0.8, 1.0), (0.5, 0.75)), (0.9, (0.5, 0.8), (0.5, 0.5))],
)
def test_a_drill_short_of_power_turns_slower_and_keeps_its_feed_in_each_turn(
    power: float, feed: tuple[float, float], speed: tuple[float, float]
) -> None:
    """A spindle with the same power at all speeds: at half the speed a drill needs half of it for the same feed.

    The feed falls below 0.8 of the table's only where half of the table's speed is not slow enough.
    """
    machine = EVERYDAY | {"spindle": {"speed": [200, 12000], "power": [power, power]}}
    free = asked(BLIND | {"diameter": 6.8}, (drill(6.8),), STEEL).best
    held = asked(BLIND | {"diameter": 6.8}, (drill(6.8),), STEEL, machine).best
    assert free is not None
    assert held is not None
    kept = float(held.facts["feed_per_revolution"]) / float(free.facts["feed_per_revolution"])
    slower = float(held.facts["spindle_speed"]) / float(free.facts["spindle_speed"])
    assert feed[0] - 1e-3 <= kept <= feed[1] + 1e-3
    assert speed[0] - 5e-3 <= slower <= speed[1] + 5e-3
    assert float(held.facts["power_share"]) <= 0.95 + 1e-3


def test_a_drill_short_of_torque_is_fed_less_in_each_turn_since_a_slower_spindle_has_no_more() -> None:
    """Constant torque up to 12 000 /min: the speed of the tables stays, the feed falls."""
    machine = EVERYDAY | {"spindle": {"speed": [12000], "power": [4]}}
    free = asked(BLIND | {"diameter": 6.8}, (drill(6.8),), STEEL).best
    held = asked(BLIND | {"diameter": 6.8}, (drill(6.8),), STEEL, machine).best
    assert free is not None
    assert held is not None
    assert held.facts["spindle_speed"] == free.facts["spindle_speed"]
    assert float(held.facts["feed_per_revolution"]) < 0.8 * float(free.facts["feed_per_revolution"])


def offered(hole: dict[str, Any], *crib: Any) -> list[str]:
    """Return what is said of a cutter that the crib lacks."""
    assignment = job(hole, crib, STEEL)
    bench = bench_of(assignment)
    answer = advise(assignment, bench).features[0]
    return [repair_text(one) for one in improvements(answer, assignment.job.features[0], assignment.crib, bench)]


def test_where_a_round_hole_is_milled_the_drill_that_would_make_it_is_named_with_its_time() -> None:
    """Reamed to 12 mm: 0.1 mm stay on each side for the reamer."""
    reamed = BLIND | {"diameter": 12, "purpose": "ream"}
    mill = solid(8, 30, ZEFP=4)
    told = offered(reamed, mill)
    assert [
        text
        for text in told
        if text.startswith(f"With an 11.8{GAP}mm carbide drill for group P") and "drilling, good" in text
    ]
    assert not offered(reamed, mill, drill(11.8))


def test_no_drill_is_named_where_its_point_would_come_through_the_floor() -> None:
    assert not offered(BLIND | {"diameter": 12, "purpose": "ream", "floor_thickness": 4}, solid(8, 30, ZEFP=4))


@pytest.mark.parametrize(("DC", "made"), [(20, "carbide drill"), (20.1, "drill with carbide inserts")])
def test_a_carbide_drill_wider_than_20_mm_has_inserts(DC: float, made: str) -> None:
    found = drill_of(DC, 40, "P")
    assert found is not None
    assert f"{GAP}mm {made} for group P" in to_buy(found)


@pytest.mark.parametrize(("DC", "reach", "there"), [(20, 155, True), (21, 105, True), (21, 106, False)])
def test_a_drill_with_inserts_reaches_five_diameters_deep_at_most(DC: float, reach: float, there: bool) -> None:
    assert (drill_of(DC, reach, "P") is not None) is there


@pytest.mark.parametrize(("DC", "there"), [(80, True), (80.5, False)])
def test_no_drill_is_named_that_no_shop_keeps(DC: float, there: bool) -> None:
    """The widest drills with inserts that are kept in stock: some 80 mm (common practice, no source)."""
    assert (drill_of(DC, 100, "P") is not None) is there


@pytest.mark.parametrize("width", [39, 41, 60])
@pytest.mark.parametrize(("floor", "forbidden"), [(2.09, True), (2.11, False)])
def test_a_way_in_is_drilled_where_a_fifth_of_the_drill_stays_under_its_tip(
    width: float, floor: float, forbidden: bool
) -> None:
    """Floor and 0.5 mm of stock against a fifth of 13 mm, 2.6 mm: the width of the pocket does not matter."""
    pocket = POCKET | {"width": width, "floor_thickness": floor, "allowance_bottom": 0.5}
    assert ("hole-over-a-thin-floor" in rules(entered(pocket, drill(13)))) is forbidden


@pytest.mark.parametrize(("clearance", "told"), [(1.49, False), (1.5, True)])
def test_under_the_way_in_a_cap_comes_loose_only_where_no_skin_stays(clearance: float, told: bool) -> None:
    window = WINDOW | {"clearance_below": clearance}
    found = entered(window, drill(13))
    bench = bench_of(job(window, (solid(12, 36, ZEFP=4), drill(13)), STEEL))
    assert ("cap-under-the-hole" in {rule.id for rule in cautions_for(found, bench)}) is told
