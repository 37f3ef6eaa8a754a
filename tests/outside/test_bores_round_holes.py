"""A bore on a helix round a drilled hole: engagement, load, feed and time by hand and by areas.

Source: plane geometry. The area of the ring over the way of the cutter's centre is the width of a straight cut with the
same load, a relation that handbooks give for milling circles inside (from memory). Areas by shapely.
"""

from itertools import pairwise
from math import acos, atan, ceil, degrees, pi, radians, sin, tan
from typing import Any

import pytest
from shapely.geometry import LineString, Point

from advisor.choosing.advice import cautions_for
from advisor.mechanics.engagement import engagement_angle, engagement_angle_inside_arc
from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter, make_cutter
from advisor.situation.bench import bench_of
from tests.jobs.small import EVERYDAY, STEEL, asked, job, solid

BORING = "helical_boring"
MILL = solid(12, 26, LU=70, LPR=76, DN=11.4, ZEFP=4, RMPX=4)
STIFF = solid(12, 26, LU=30, LPR=36, ZEFP=4, RMPX=4)
DRILL = make_cutter(id="D17.5", body="drill", DC=17.5, APMX=91, LU=91, LPR=115, ZEFP=2)


def drill_of(DC: float) -> Cutter:
    return make_cutter(id=f"D{DC:g}", body="drill", DC=DC, APMX=91, LU=91, LPR=115, ZEFP=2)


def bore(diameter: float, depth: float = 60, **more: Any) -> dict[str, Any]:
    return {"kind": "round_hole", "diameter": diameter, "depth": depth, "floor": False, "clearance_below": 10} | more


def boring(feature: dict[str, Any], crib: list[Cutter], entry: str = "predrilled_hole") -> Candidate:
    found = asked(feature, crib, STEEL, EVERYDAY).candidates
    return next(each for each in found if each.method == BORING and each.entry == entry)


@pytest.mark.parametrize(("D", "hole", "DC"), [(18.5, 17.5, 16), (18.5, 17.5, 12), (30, 17.5, 16), (24, 11, 16)])
def test_the_ring_over_the_way_of_the_centre_is_the_straight_cut_with_the_same_engagement(
    D: float, hole: float, DC: float
) -> None:
    angle = engagement_angle_inside_arc((D - hole) / 2, DC, (D - DC) / 2)
    assert engagement_angle((D**2 - hole**2) / (4 * (D - DC)), DC) == pytest.approx(angle)


@pytest.mark.parametrize(("D", "hole", "DC"), [(18.5, 17.5, 16), (18.5, 17.5, 12), (30, 17.5, 16), (36, 30, 16)])
def test_the_arc_of_the_cutter_in_the_ring_is_that_of_the_formula(D: float, hole: float, DC: float) -> None:
    """The leading half of the cutter's rim, as far as it lies outside the drilled hole."""
    rho, r = (D - DC) / 2, DC / 2
    rim = LineString(
        [(rho + r * -sin(radians(a) - pi / 2), r * sin(radians(a))) for a in [k * 0.02 for k in range(9001)]]
    )
    outside = rim.difference(Point(0, 0).buffer(hole / 2, quad_segs=4000))
    angle = engagement_angle_inside_arc((D - hole) / 2, DC, rho)
    assert degrees(outside.length / r) == pytest.approx(angle, abs=0.1)


def test_a_bore_round_a_hole_by_hand() -> None:
    """18.5 mm round 17.5 mm, cutter 12 mm: ring 0.5 mm, centre on 6.5 mm, at most 5 degrees at the rim."""
    found = boring(bore(18.5, 20, purpose="thread"), [STIFF, DRILL])
    plan, facts = found.plan, found.facts
    assert plan is not None
    cosine = ((9.25 - 0.5) ** 2 - 3.25**2 - 6**2) / (2 * 3.25 * 6)
    assert plan.radial_width == pytest.approx(0.5)
    assert plan.engagement == pytest.approx(degrees(acos(cosine)))
    way, depth = pi * 6.5, 20 + float(facts["overcut"])
    turns = ceil(depth / (pi * 17.5 * tan(radians(5))))
    assert plan.levels == turns
    assert facts["ramp_angle"] == pytest.approx(degrees(atan(depth / turns / way)))
    assert plan.axial_depth == pytest.approx(depth / turns)
    whole = boring(bore(18.5, 20, purpose="thread"), [STIFF, DRILL], "helical_ramp").facts["table_chip"]
    straight = degrees(acos(1 - 2 * 0.5 / 12))
    at_the_wall = float(whole) / sin(
        radians(straight)
    )  # the feed per tooth of a straight wall, 2.5 times the chip at most
    assert plan.feed_per_tooth == pytest.approx(min(at_the_wall, 2.5 * float(whole)))
    assert plan.chip == pytest.approx(plan.feed_per_tooth * 6.5 / 18.5 * sin(acos(cosine)))
    assert plan.chip < float(whole)
    centre = plan.feed_rate * 6.5 / 18.5
    assert facts["centre_feed"] == pytest.approx(centre)
    assert plan.cut_time == pytest.approx(60 * (turns + 1) * way / centre)
    ring = pi / 4 * (18.5**2 - 17.5**2) * depth / turns  # mm³ a turn, in the time of a turn
    assert plan.rate == pytest.approx(ring * centre / way)


def test_the_cutter_goes_round_the_hole_quicker_and_with_less_load_for_its_depth_than_in_the_solid() -> None:
    hole, crib = bore(18.5, purpose="thread"), [MILL, DRILL]
    there, solid_one = boring(hole, crib), boring(hole, crib, "helical_ramp")
    assert there.plan is not None
    assert solid_one.plan is not None
    assert there.plan.cut_time < 0.2 * solid_one.plan.cut_time
    for load in ("power", "force"):
        ring, full = (getattr(one.plan.load, load) / one.plan.axial_depth for one in (there, solid_one) if one.plan)
        assert ring < full
    assert solid_one.plan.engagement == 180


@pytest.mark.parametrize("hole", [5.0, 5.4])
def test_a_hole_that_the_cutter_covers_all_the_time_saves_nothing(hole: float) -> None:
    """Cutter 12 mm in a bore of 18.5 mm: all within 2.75 mm of the middle stays under it."""
    crib, wanted = [MILL, drill_of(hole)], bore(18.5, purpose="thread")
    there, solid_one = boring(wanted, crib), boring(wanted, crib, "helical_ramp")
    assert there.plan is not None
    assert solid_one.plan is not None
    assert there.plan.engagement == 180
    assert there.plan.cut_time == solid_one.plan.cut_time
    wider = boring(wanted, [MILL, drill_of(5.6)])
    assert wider.plan is not None
    assert wider.plan.engagement < 180
    assert wider.facts["centre_feed"] == pytest.approx(wider.plan.feed_rate * 6.5 / 18.5)


def test_the_feed_of_the_centre_does_not_jump_where_the_hole_comes_out_from_under_the_cutter() -> None:
    """Steel, nothing held back: bore 29.6 mm, cutter 16 mm; all within 1.2 mm of the middle stays under it."""
    mill = solid(16, 32, LU=40, LPR=46, ZEFP=4, RMPX=4)
    wanted = bore(30, 20, allowance_side=0.2)
    covered, out = (boring(wanted, [mill, drill_of(hole)]).facts["centre_feed"] for hole in (2.4, 2.5))
    assert float(out) == pytest.approx(float(covered), rel=0.01)


def test_the_wider_the_hole_the_less_the_cut_takes() -> None:
    wanted = bore(30, allowance_side=0.2)
    mill = solid(16, 32, LU=70, LPR=76, DN=15.4, ZEFP=4, RMPX=4)
    ways = [boring(wanted, [mill, drill_of(hole)]) for hole in (11.0, 13.0, 17.5, 22.0, 26.0)]
    for one, other in pairwise(ways):
        assert one.plan is not None
        assert other.plan is not None
        assert other.plan.engagement < one.plan.engagement
        assert other.plan.cut_time <= one.plan.cut_time


def test_over_a_floor_the_last_turns_go_as_in_the_solid() -> None:
    """A point of 140 degrees on 17.5 mm is 3.18 mm long and stops 0.3 mm above the floor; there the hole narrows."""
    found = boring(bore(18.5, floor=True, clearance_below=None, purpose="thread"), [MILL, DRILL])
    plan, facts = found.plan, found.facts
    assert plan is not None
    point = 17.5 / 2 / tan(radians(70)) + 0.3
    below = ceil(point / float(facts["cone_pitch"]) * (1 - 1e-9)) + 1
    way, slow = pi * 6.5, float(facts["cone_feed"])
    assert facts["cone_height"] == pytest.approx(point)
    assert slow < float(facts["centre_feed"])
    assert float(facts["cone_pitch"]) <= way * tan(radians(2)) < plan.axial_depth
    fast = (plan.levels + 1 - below) * way / float(facts["centre_feed"])
    assert plan.cut_time == pytest.approx(60 * (fast + below * way / slow))
    assert "bore-narrows-below-the-drilled-hole" in {rule.id for rule in cautions(found)}


def cautions(found: Candidate) -> list[Any]:
    return list(cautions_for(found, bench_of(job(bore(18.5), [MILL, DRILL], STEEL, EVERYDAY))))


def test_a_bore_through_has_no_cone_to_mind() -> None:
    found = boring(bore(18.5, purpose="thread"), [MILL, DRILL])
    assert found.facts["cone_height"] == 0
    assert "bore-narrows-below-the-drilled-hole" not in {rule.id for rule in cautions(found)}


@pytest.mark.parametrize(("hole", "RMPX", "angle"), [(13.5, 10, 2), (13.6, 10, 5), (13.5, 1.5, 1.5), (13.6, 1.5, 5)])
def test_the_steeper_helix_is_only_for_a_hole_that_the_middle_of_the_cutter_stays_over(
    hole: float, RMPX: float, angle: float
) -> None:
    """Bore 29.6 mm and cutter 16 mm: the centre goes round on 13.6 mm. Steel: 1 to 3 degrees, 5 over a hole, in turns
    of one depth; RMPX of 1.5 degrees keeps its body off the solid.
    """
    mill = solid(16, 32, LU=40, LPR=46, ZEFP=6, RMPX=RMPX)
    found = boring(bore(30, 20, allowance_side=0.2), [mill, drill_of(hole)])
    depth, way = 20 + float(found.facts["overcut"]), pi * 13.6
    turns = ceil(depth / (way * tan(radians(angle))))
    assert found.plan is not None
    assert found.plan.levels == turns
    assert found.facts["ramp_angle"] == pytest.approx(degrees(atan(depth / turns / way)))


def test_the_feed_at_the_wall_is_one_that_the_machine_reaches() -> None:
    slow = EVERYDAY | {"feed_max": 600}
    found = asked(bore(18.5, purpose="thread"), [MILL, DRILL], STEEL, slow).best
    assert found is not None
    assert found.plan is not None
    assert found.entry == "predrilled_hole"
    assert found.plan.feed_rate == pytest.approx(600)
    assert found.facts["centre_feed"] == pytest.approx(600 * 6.5 / 18.5)


def test_round_a_hole_a_slender_cutter_goes_deeper_a_turn_than_over_the_cone() -> None:
    """A 16 mm cutter that reaches 95 mm: at full width it bears a fraction of what it takes beside a 21 mm hole."""
    mill = solid(16, 32, LU=95, LPR=102, DN=15.2, ZEFP=4, RMPX=4)
    found = boring(bore(24, 85, floor=True, clearance_below=None), [mill, drill_of(21)])
    plan, facts = found.plan, found.facts
    assert plan is not None
    above, pitch = float(facts["depth_to_cut"]) - float(facts["cone_height"]), float(facts["cone_pitch"])
    over_the_cone = int(facts["cone_turns"]) - 1
    assert plan.axial_depth > 1.5 * pitch
    assert pitch * over_the_cone == pytest.approx(float(facts["cone_height"]))
    assert plan.axial_depth * (plan.levels - over_the_cone) == pytest.approx(above)


def test_in_the_solid_a_turn_takes_the_area_of_the_bore() -> None:
    """Cylinder as deep as the pitch, over the time of a turn at the feed of the centre."""
    found = boring(bore(24, 20, floor=True, clearance_below=None), [MILL], "helical_ramp")
    plan, facts = found.plan, found.facts
    assert plan is not None
    width = float(facts["bore"])
    turn = pi * (width - 12) / (plan.feed_rate * (width - 12) / width)
    assert plan.rate == pytest.approx(pi / 4 * width**2 * plan.axial_depth / turn)
    assert plan.load.power == pytest.approx(
        plan.rate * plan.load.k_c / 60e6 / bench_of(job(bore(24), [MILL], STEEL, EVERYDAY)).limits["drive_efficiency"]
    )
