"""Round holes milled in circles: the feed of the cutter's centre, how wide the rings are, and what they take.

Source of each: geometry of the circles, and common practice, no source.
"""

from itertools import pairwise
from math import ceil, cos, hypot, pi, sqrt
from typing import Any

import pytest

from advisor.analysis.repair import improvements, repairs, without_far, without_slow
from advisor.choosing.advice import advise
from advisor.knowledge.shipped import rule_base
from advisor.knowledge.wording import GAP
from advisor.model.answer import FeatureAdvice, LengthChange, Repair
from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter, make_cutter
from advisor.situation.bench import bench_of
from advisor.text.feature import settings
from advisor.text.repairs import repair_text
from tests.jobs.judged import BORING, CLEARING, LAYERS
from tests.jobs.small import EVERYDAY, STEEL, asked, drill, job, solid

BORE: dict[str, Any] = {"kind": "round_hole", "depth": 12, "floor": True, "flat_floor": True, "purpose": "mill"}
POCKET: dict[str, Any] = {"kind": "closed_pocket", "length": 60, "width": 30, "depth": 12, "floor": True}
E12 = solid(12, 36, ZEFP=4)


def milled(feature: dict[str, Any], method: str, machine: dict[str, Any] = EVERYDAY) -> Candidate:
    """Return the way of milling by one method with a 12 mm cutter."""
    found = asked(feature, (E12, drill(14)), STEEL, machine)
    return next(one for one in found.candidates if one.method == method and one.plan is not None)


@pytest.mark.parametrize("method", [CLEARING, LAYERS])
@pytest.mark.parametrize("diameter", [18.0, 21.0, 24.0, 36.0, 60.0])
def test_the_centre_goes_slower_than_the_wall_by_the_ratio_of_their_circles(method: str, diameter: float) -> None:
    facts = milled(BORE | {"diameter": diameter}, method).facts
    wall = diameter - 2 * float(facts["side_allowance"])
    assert facts["centre_feed"] == pytest.approx(float(facts["feed_rate"]) * (wall - 12) / wall)


@pytest.mark.parametrize("method", [CLEARING, LAYERS])
def test_the_feed_of_the_centre_is_told_in_a_bore_and_nowhere_else(method: str) -> None:
    told = dict(settings(milled(BORE | {"diameter": 21.0}, method), rule_base()))
    assert told["centre feed"].endswith("for the cutter's centre in the bore")
    assert "opening feed" not in told, "the helix or the drilled hole is the opening cut"
    assert "centre feed" not in dict(settings(milled(POCKET, method), rule_base()))


def circles(radius: float, width: float, DC: float) -> float:
    """Return the length of the walls that even rings cut [mm], drawn as polygons from one as wide as the cutter."""
    count, length, sides = ceil(radius / width - 1e-9), 0.0, 3600
    for ring in range(1, count + 1):
        wall = DC / 2 + ring * radius / count
        points = [(wall * _turned(side / sides), wall * _turned(side / sides - 0.25)) for side in range(sides + 1)]
        length += sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points))
    return length


def _turned(turns: float) -> float:
    return cos(2 * pi * turns)


@pytest.mark.parametrize("method", [CLEARING, LAYERS])
@pytest.mark.parametrize("diameter", [18.0, 24.0, 60.0])
def test_the_time_is_that_of_whole_circles_at_the_feed_of_the_wall(method: str, diameter: float) -> None:
    """Source: the circles drawn and measured; the feed at the wall takes as long as the centre at its own."""
    way = milled(BORE | {"diameter": diameter}, method)
    facts, plan = way.facts, way.plan
    assert plan is not None
    radius = (diameter - 2 * float(facts["side_allowance"]) - 12) / 2
    drawn = plan.levels * circles(radius, plan.radial_width, 12)
    assert plan.cut_time == pytest.approx(60 * drawn / float(facts["feed_rate"]), rel=1e-4)


@pytest.mark.parametrize("diameter", [15.0, 16.0, 20.0, 27.0, 60.0])
def test_a_layer_in_a_bore_is_no_wider_than_what_lies_beside_the_cutters_own_hole(diameter: float) -> None:
    facts = milled(BORE | {"diameter": diameter}, LAYERS).facts
    beside = (diameter - 2 * float(facts["side_allowance"]) - 12) / 2
    assert facts["radial_width"] <= beside + 1e-9
    assert facts["radial_width"] == pytest.approx(beside / float(facts["ring_count"]), rel=0.11)


def test_one_ring_beside_the_cutters_own_hole_is_engaged_a_little_over_half() -> None:
    """A ring as wide as its own radius: cos phi = -a_e/DC, here -1.5/12, so 97.2°."""
    facts = milled(BORE | {"diameter": 16.0}, LAYERS).facts
    assert facts["radial_width"] == pytest.approx(1.5)
    assert facts["engagement"] == facts["load_angle"] == pytest.approx(97.18, abs=0.01)


@pytest.mark.parametrize("method", [CLEARING, LAYERS])
def test_slow_axes_hold_the_centre_back_and_the_wall_with_it(method: str) -> None:
    slow = EVERYDAY | {"axis_acceleration": 0.01}
    facts = milled(BORE | {"diameter": 18.0}, method, slow).facts
    most = 60 * sqrt(1000 * 0.01 * float(facts["path_radius"]))
    assert facts["centre_feed"] == pytest.approx(most, rel=2e-3)  # a handy speed may lie a little below
    quick = milled(BORE | {"diameter": 18.0}, method).facts
    assert quick["centre_feed"] > facts["centre_feed"]
    assert quick["feed_per_tooth"] >= facts["feed_per_tooth"]


@pytest.mark.parametrize("method", [CLEARING, LAYERS])
@pytest.mark.parametrize(("diameter", "works"), [(13.0, False), (12.9, False), (18.0, True)])
def test_a_bore_no_wider_than_the_cutter_has_no_circles(method: str, diameter: float, works: bool) -> None:
    found = advise(job(BORE | {"diameter": diameter, "allowance_side": 0.5}, (E12,), STEEL)).features[0]
    own = [one for one in found.candidates if one.method == method]
    assert own
    worked = any(one.plan is not None for one in own)
    assert worked is works
    assert works or {one.grade for one in own} == {"forbidden"}


E8 = solid(8, 30)
CLOSE: dict[str, Any] = {"kind": "round_hole", "diameter": 12, "depth": 20, "floor": False, "clearance_below": 1}
TAPPED: dict[str, Any] = {"kind": "round_hole", "diameter": 12, "depth": 20, "floor": True}
SKIN = "skin-in-a-hole-not-milled-again"


def ids(found: Candidate) -> set[str]:
    """Return the rules that fired."""
    return {rule.id for rule in found.fired}


@pytest.mark.parametrize("purpose", ["thread", "clearance", "ream"])
@pytest.mark.parametrize("floor_thickness", [None, 1.0, 30.0])
def test_a_hole_that_nobody_finishes_is_milled_to_its_depth(purpose: str, floor_thickness: float | None) -> None:
    found = asked(TAPPED | {"purpose": purpose, "floor_thickness": floor_thickness}, (E8,), STEEL).best
    assert found is not None
    assert found.facts["bottom_allowance"] == 0
    assert found.facts["depth_to_cut"] == 20


@pytest.mark.parametrize("more", [{"purpose": "mill"}, {"purpose": "bore"}, {}])
def test_the_floor_of_a_hole_that_is_finished_keeps_its_stock(more: dict[str, Any]) -> None:
    found = asked(TAPPED | more, (E8,), STEEL).best
    assert found is not None
    assert found.facts["bottom_allowance"] > 0


def test_what_the_shop_leaves_at_the_bottom_of_a_tapped_hole_stays() -> None:
    found = asked(TAPPED | {"purpose": "thread", "allowance_bottom": 0.4}, (E8,), STEEL).best
    assert found is not None
    assert found.facts["bottom_allowance"] == 0.4


@pytest.mark.parametrize(
    ("purpose", "clearance", "grade"),
    [
        ("thread", 1.0, "poor"),
        ("clearance", 1.0, "poor"),
        ("ream", 1.0, "poor"),
        ("ream", None, "poor"),
        ("thread", 1.49, "poor"),
        ("thread", 1.5, "good"),
        ("mill", 1.0, "good"),
        ("bore", 1.0, "good"),
    ],
)
def test_a_skin_in_a_hole_that_nobody_mills_afterwards_is_poor(
    purpose: str, clearance: float | None, grade: str
) -> None:
    found = asked(CLOSE | {"purpose": purpose, "clearance_below": clearance}, (E8,), STEEL).best
    assert found is not None
    assert found.grade == grade
    assert (SKIN in ids(found)) is (grade == "poor")


def lacked(feature: dict[str, Any], *crib: Cutter) -> tuple[FeatureAdvice, tuple[Repair, ...]]:
    """Return the answer for a feature, and what would better it."""
    given = job(feature, crib, STEEL)
    answer = advise(given).features[0]
    return answer, improvements(answer, given.job.features[0], crib, bench_of(given))


def test_the_part_is_raised_by_point_and_breakthrough_and_the_hole_drilled() -> None:
    """12/(2 tan 70°) = 2.184 mm of point, 0.2 mm of full diameter, a gap of 0.5 mm, less 1 mm beneath."""
    answer, found = lacked(CLOSE | {"purpose": "thread"}, E8, drill(12))
    assert answer.best is not None
    assert answer.best.grade == "poor"
    assert answer.best.facts["raise_to_drill"] == pytest.approx(1.884, abs=1e-3)
    assert [(one.then.method, one.then.grade) for one in found] == [("drilling", "good")]
    assert repair_text(found[0]).replace(GAP, " ").startswith("With 2.9 mm free below instead of 1 mm: drilling")


def test_where_no_drill_of_the_crib_fits_the_part_is_raised_for_the_mill_to_go_through() -> None:
    _, found = lacked(CLOSE | {"purpose": "thread"}, E8)
    assert [(one.then.method, one.then.grade) for one in found] == [("helical_boring", "good")]
    assert repair_text(found[0]).replace(GAP, " ").startswith("With 1.5 mm free below instead of 1 mm")


@pytest.mark.parametrize(("clearance", "raised"), [(2.1, True), (2.8, True), (2.9, False)])
def test_a_part_milled_well_is_raised_where_the_drill_of_the_crib_lacks_a_little_beneath(
    clearance: float, raised: bool
) -> None:
    """Reamed to 12 mm: 11.8 mm have 2.15 mm of point, 0.2 mm of full diameter go past the bottom, 0.5 mm stay free."""
    answer, found = lacked(CLOSE | {"purpose": "ream", "clearance_below": clearance}, E8, drill(11.8))
    assert answer.best is not None
    assert answer.best.grade == "good"
    assert answer.best.method == ("helical_boring" if raised else "drilling")
    assert [(one.then.method, one.then.cutter.id) for one in found] == ([("drilling", "D11.8")] if raised else [])
    if raised:
        said = repair_text(found[0]).replace(GAP, " ")
        assert said.startswith(f"With 2.9 mm free below instead of {clearance:g} mm: drilling, good,")
        assert " s instead of " in said


def test_a_part_is_not_raised_for_a_drill_that_the_crib_lacks() -> None:
    _, found = lacked(CLOSE | {"purpose": "ream", "clearance_below": 2.1}, E8, drill(10))
    assert not [one for one in found if "free below" in repair_text(one)]


TAPPING: dict[str, Any] = {"kind": "round_hole", "diameter": 6.8, "floor": True, "purpose": "thread"}


def opened(depth: float) -> list[Repair]:
    """Return the ways out for a tapping hole with a drill of its size that is too short."""
    short = make_cutter(id="D6.8", body="drill", DC=6.8, APMX=30, ZEFP=2)
    given = job(TAPPING | {"depth": depth}, (short,), STEEL)
    return list(repairs(given.job.features[0], given.crib, bench_of(given)))


@pytest.mark.parametrize("depth", [36.0, 42.0, 46.0])
def test_the_way_out_of_a_tapping_hole_is_a_longer_drill_of_its_size(depth: float) -> None:
    """Source: common practice; such drills are on offer up to 8 diameters long, here 54.4 mm, the point 1.24 mm."""
    first = opened(depth)[0]
    assert (first.then.method, first.then.grade) == ("drilling", "good")
    assert (
        repair_text(first)
        .replace(GAP, " ")
        .startswith("With a 6.8 mm carbide drill for group P, usable 5" if depth > 40 else "With a 6.8")
    )


@pytest.mark.parametrize("depth", [36.0, 42.0, 50.0, 60.0])
def test_no_way_out_takes_many_times_as_long_as_another_as_good(depth: float) -> None:
    found = opened(depth)
    assert found
    times = [one.then.time for one in found if one.then.grade == "good"]
    assert max(times) <= 3 * min(times)


def test_a_slow_way_out_is_named_where_it_is_the_only_good_one() -> None:
    ways = [_out("good", 100.0), _out("poor", 10.0), _out("poor", 301.0), _out("good", 300.0), _out("good", 301.0)]
    kept = [(one.then.grade, one.then.time) for one in without_slow(ways)]
    assert kept == [("good", 100.0), ("poor", 10.0), ("good", 300.0)]


def _out(grade: str, time: float) -> Repair:
    return Repair((), drill(8), Candidate("drilling", drill(8), None, grade, time, (), {}))


@pytest.mark.parametrize(
    ("diameter", "RE", "clearance", "stands"),
    [
        (24.0, 0.8, 5.0, False),  # the corners of the cutter go past the bottom: 24 mm is twice 12 mm
        (24.5, 0.8, 5.0, False),  # a core of 0.5 mm breaks off
        (24.6, 0.8, 5.0, True),
        (24.5, 0.0, 5.0, False),
        (24.6, 0.0, 5.0, True),
        (24.3, 0.8, None, False),  # 0.5 mm up, as stays on the floor, the corner takes 0.058 mm
        (24.4, 0.8, None, True),
    ],
)
def test_a_core_that_breaks_off_needs_no_drill(
    diameter: float, RE: float, clearance: float | None, stands: bool
) -> None:
    """Geometry: twice the diameter at the height of the stock on the floor; that 0.5 mm breaks off: no source."""
    hole = {"kind": "round_hole", "diameter": diameter, "depth": 20, "purpose": "mill", "allowance_side": 0}
    bottom = (
        {"floor": True, "flat_floor": True} if clearance is None else {"floor": False, "clearance_below": clearance}
    )
    found = asked(hole | bottom, (solid(12, 36, ZEFP=4, RE=RE),), STEEL)
    helix = next(one for one in found.candidates if one.method == BORING and one.entry == "helical_ramp")
    assert ("bore-leaves-a-core" in ids(helix)) is stands
    assert (helix.grade == "good") is not stands


def test_a_part_that_is_drilled_badly_is_raised_for_the_drill_that_fits() -> None:
    """13 mm want 2.366 + 0.2 + 0.5 = 3.066 mm beneath; with 2.7 mm only a drill that leaves much has room."""
    plate = CLOSE | {"diameter": 13, "purpose": "clearance", "clearance_below": 2.7}
    answer, found = lacked(plate, drill(8.5), drill(13))
    assert answer.best is not None
    assert (answer.best.grade, answer.best.cutter.id) == ("poor", "D8.5")
    said = repair_text(found[0]).replace(GAP, " ")
    assert said.startswith("With 3.1 mm free below instead of 2.7 mm: drilling, good,")
    assert found[0].then.cutter.id == "D13"


def test_no_hole_is_drilled_only_for_fewer_turns_of_the_helix() -> None:
    """15.5 mm bored with a 10 mm cutter: a hole of 13 mm saves a third of the turns and no time."""
    hole = {"kind": "round_hole", "diameter": 15.5, "depth": 12, "floor": False, "clearance_below": 20}
    found = asked(hole, (solid(10, 24, TMC1ISO="N"), drill(13)), "EN AW-6082-T6").best
    assert found is not None
    assert (found.method, found.entry) == (BORING, "helical_ramp")


@pytest.mark.parametrize(
    ("diameter", "nothing_left"), [(20.0, True), (22.4, True), (23.0, True), (23.2, False), (24.0, False)]
)
@pytest.mark.parametrize("method", [CLEARING, LAYERS])
def test_a_helix_as_wide_as_the_bore_leaves_nothing_to_clear(method: str, diameter: float, nothing_left: bool) -> None:
    """The helix of a 12 mm cutter is 1.8 times as wide; what it leaves of the bore up to a fiftieth of 12 mm is air."""
    found = asked(BORE | {"diameter": diameter}, (E12,), STEEL)
    way = next(one for one in found.candidates if (one.method, one.entry) == (method, "helical_ramp"))
    assert ("helix-leaves-nothing-to-clear" in {rule.id for rule in way.fired}) == nothing_left
    if nothing_left:
        assert found.best is not None
        assert found.best.method == BORING


def test_a_change_that_makes_another_feature_is_named_only_where_there_is_no_other() -> None:
    """Common practice, no source: nobody takes a hole of 2.4 mm where the drawing has one of 20 mm."""
    far = Repair((LengthChange("depth", 20.0, 2.4),), None, _out("good", 10.0).then)
    near = Repair((LengthChange("depth", 20.0, 10.0),), None, _out("poor", 30.0).then)
    raised = Repair((LengthChange("clearance_below", None, 4.0),), None, _out("good", 10.0).then)
    assert without_far([far, near, raised]) == (near, raised)
    assert without_far([far]) == (far,)
