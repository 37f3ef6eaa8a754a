"""Of a casting, a forging or a pre-machined part only the stock on walls and floor is cut."""

from math import pi
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, box

from advisor.choosing.ranking import standing
from advisor.knowledge.shipped import rule_base
from advisor.knowledge.wording import fill
from advisor.mechanics.engagement import engagement_angle, engagement_angle_inside_arc
from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter
from advisor.model.features import FEATURE_KINDS, FeatureBase, parts_of
from advisor.model.region import Region, regions_of
from advisor.service import advise
from tests.jobs.judged import HIGH_FEED
from tests.jobs.small import QUICK_EXAMPLES, STRONG, asked, best, drill, inserted, job, solid

LIMITS = rule_base().limits
IRON = "EN-GJL-250"
CRIB: list[Cutter] = [solid(8, 24), solid(12, 36), solid(16, 45), inserted(20), drill(18)]
POCKET: dict[str, Any] = {
    "kind": "closed_pocket",
    "length": 120,
    "width": 80,
    "depth": 30,
    "corner_radius": 12,
    "floor": False,
    "clearance_below": 10,
}
SLOT: dict[str, Any] = {"kind": "slot", "length": 100, "width": 40, "depth": 20, "floor": False, "open_ends": 1}
HOLE: dict[str, Any] = {"kind": "round_hole", "diameter": 62, "depth": 30, "floor": False, "clearance_below": 20}
STEP: dict[str, Any] = {"kind": "step", "length": 100, "width": 30, "depth": 20}
OPENED: dict[str, Any] = {
    "kind": "open_pocket",
    "length": 120,
    "width": 80,
    "depth": 30,
    "floor": False,
    "open_sides": 1,
}
KINDS = {"closed_pocket": POCKET, "slot": SLOT, "round_hole": HOLE, "open_pocket": OPENED}
HALF = {"closed_pocket": 40.0, "slot": 20.0, "round_hole": 31.0, "open_pocket": 40.0}


def feature(sizes: dict[str, Any], **more: Any) -> FeatureBase:
    """Return a feature."""
    given_ = {"id": "F1"} | sizes | more
    return FEATURE_KINDS[given_["kind"]].model_validate(given_)


def cored(sizes: dict[str, Any], stock: float, **more: Any) -> Region:
    """Return the region of a feature with stock on its walls."""
    return regions_of(feature(sizes, stock_wall=stock, **more))[0]


def told(sizes: dict[str, Any], **more: Any) -> set[str]:
    """Return the ids of the cautions for an iron casting."""
    return {rule.id for rule in asked(sizes | more, CRIB, IRON).cautions}


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_stock_that_leaves_no_opening_is_cut_as_from_the_solid(kind: str) -> None:
    whole = asked(KINDS[kind], CRIB, IRON).best
    filled = asked(KINDS[kind] | {"stock_wall": HALF[kind]}, CRIB, IRON).best
    assert whole is not None
    assert filled is not None
    assert (filled.method, filled.cutter.id, filled.entry, filled.time) == (
        whole.method,
        whole.cutter.id,
        whole.entry,
        whole.time,
    )
    assert "rough" not in filled.facts


def test_a_step_as_wide_as_its_stock_and_a_floor_as_high_as_its_depth_are_solid() -> None:
    whole = best(STEP, CRIB, IRON)
    for stock in ({"stock_wall": 30, "stock_floor": 4}, {"stock_wall": 5, "stock_floor": 20}):
        assert best(STEP | stock, CRIB, IRON).time == whole.time


@settings(max_examples=QUICK_EXAMPLES, deadline=None)
@given(st.sampled_from(sorted(KINDS)), st.floats(0.6, 19), st.floats(0.6, 19))
def test_more_stock_is_never_cut_quicker_by_the_same_way(kind: str, one: float, other: float) -> None:
    """But for some percent: in as many even passes more stock has shorter inner laps, which lie further inside."""
    less, more = sorted((round(one, 2), round(other, 2)))
    assume(more - less > 0.05 and more > 1.2)
    few, many = (asked(KINDS[kind] | {"stock_wall": stock}, CRIB, IRON).candidates for stock in (less, more))
    quick = {way(found): found.time for found in few if found.facts.get("rough") == "walls"}
    for found in many:
        before = quick.get(way(found), float("inf"))
        if found.facts.get("rough") == "walls" and found.time < float("inf"):
            assert before <= found.time * 1.05 + 0.2, way(found)


def way(candidate: Candidate) -> tuple[str, str, str | None]:
    """Return method, cutter and entry."""
    return candidate.method, candidate.cutter.id, candidate.entry


@settings(max_examples=QUICK_EXAMPLES, deadline=None)
@given(st.sampled_from(sorted(KINDS)), st.floats(0.6, 40))
def test_a_casting_is_never_slower_than_the_solid(kind: str, stock: float) -> None:
    thick = min(round(stock, 2), HALF[kind])
    whole, found = asked(KINDS[kind], CRIB, IRON).best, asked(KINDS[kind] | {"stock_wall": thick}, CRIB, IRON).best
    assert whole is not None
    assert found is not None
    if found.grade == whole.grade:
        assert found.time <= whole.time * 1.1  # of ways so nearly as quick the stiffer is advised


@pytest.mark.parametrize("stock", [1.0, 4.0, 10.0])
def test_the_area_that_is_cut_is_that_of_the_ring_along_the_walls(stock: float) -> None:
    """The ring of a drawing, by geometry that knows nothing of the program."""
    side = 0.5
    sharp = box(0, 0, 120, 80)
    pocket = cored({**POCKET, "corner_radius": 0}, stock)
    ring = sharp.buffer(-side, join_style="mitre").difference(sharp.buffer(-stock, join_style="mitre"))
    assert pocket.area(side) == pytest.approx(ring.area)
    rounded = box(12, 12, 108, 68).buffer(12, quad_segs=256)
    ring = rounded.buffer(-side, quad_segs=256).difference(rounded.buffer(-stock, quad_segs=256))
    assert cored(POCKET, stock).area(side) == pytest.approx(ring.area, rel=1e-3)
    hole = Point(0, 0).buffer(31 - side, quad_segs=512).difference(Point(0, 0).buffer(31 - stock, quad_segs=512))
    assert cored(HOLE, stock).area(side) == pytest.approx(hole.area, rel=1e-4)
    assert cored(STEP, stock, stock_floor=0).area(side) == pytest.approx(100 * (stock - side))


@settings(max_examples=QUICK_EXAMPLES)
@given(st.sampled_from(sorted(KINDS)), st.floats(0.5, 18), st.floats(0, 0.4))
def test_ring_and_opening_make_up_the_whole(kind: str, stock: float, side: float) -> None:
    region = cored(KINDS[kind], stock)
    whole = regions_of(feature(KINDS[kind]))[0]
    assert region.area(side) + whole.area(stock) == pytest.approx(whole.area(side))


def test_the_ring_in_a_hole_is_gone_round_on_circles_along_its_wall() -> None:
    found = next(
        one
        for one in asked(HOLE | {"stock_wall": 4}, [solid(16, 45)], IRON).candidates
        if one.method == "engagement_limited_clearing" and one.facts["rough"] == "walls"
    )
    facts = found.facts
    bore, rings, stock = 62 - 2 * 0.5, float(facts["ring_count"]), 4 - 0.5
    walls = sum(pi * (bore - 2 * stock * at / rings) for at in range(int(rings)))
    assert float(facts["path_length"]) == pytest.approx(float(facts["levels"]) * walls)


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_the_cutter_goes_down_in_the_opening_and_not_into_the_solid(kind: str) -> None:
    found = best(KINDS[kind] | {"stock_wall": 4}, CRIB, IRON)
    assert found.facts["rough"] == "walls"
    assert found.entry == "side_entry"
    assert found.facts["way_in"] == "from_the_side"


def test_a_cutter_too_wide_for_the_opening_cuts_as_from_the_solid() -> None:
    slot = SLOT | {"width": 20}
    found = asked(slot | {"stock_wall": 5}, CRIB, IRON)
    narrow, wide = (
        {one.cutter.id for one in found.candidates if one.facts["rough"] == rough} for rough in ("walls", "whole")
    )
    assert (narrow, wide) == ({"E8"}, {"E12", "E16", "I20"})
    as_solid = asked(slot, CRIB, IRON)
    times = {way(one): one.time for one in as_solid.candidates}
    for one in found.candidates:
        if one.facts["rough"] == "whole":
            assert one.time == times[way(one)]


def test_the_cutter_needs_some_clearance_in_the_opening() -> None:
    for stock, goes_in in ((13.5, True), (13.6, False)):  # 40 less twice that, and 1 mm of clearance: 12 mm
        found = asked(SLOT | {"stock_wall": stock}, [solid(12, 36)], IRON)
        assert {one.facts["rough"] for one in found.candidates} == {"walls" if goes_in else "whole"}


@pytest.mark.parametrize(
    ("substrate", "lips", "rules", "grades"),
    [
        ("carbide", 2, {"carbide-drill-breaks-in-an-opening", "drill-wanders-in-an-opening"}, {"forbidden"}),
        ("carbide", 1, {"carbide-drill-breaks-in-an-opening", "drill-wanders-in-an-opening"}, {"forbidden"}),
        ("hss", 2, {"drill-wanders-in-an-opening"}, {"poor"}),
        ("carbide", 3, set[str](), {"good", "workable"}),
        ("hss", 4, set[str](), {"good", "workable"}),
    ],
)
def test_a_drill_without_three_lips_is_no_core_drill(
    substrate: Any, lips: int, rules: set[str], grades: set[str]
) -> None:
    hole = HOLE | {"diameter": 20, "purpose": "clearance", "stock_wall": 4}
    one = drill(20).model_copy(update={"substrate": substrate, "ZEFP": lips})
    drilled = next(way for way in asked(hole, [one], IRON).candidates if way.method == "drilling")
    assert {rule.id for rule in drilled.fired if rule.id.endswith("in-an-opening")} == rules
    assert drilled.grade in grades


def test_a_drill_in_the_hole_of_a_casting_is_advised_against() -> None:
    hole = HOLE | {"diameter": 20, "purpose": "mill", "allowance_side": 0.5}
    found = asked(hole | {"stock_wall": 4}, [drill(19), solid(8, 40)], IRON)
    drilled = next(one for one in found.candidates if one.method == "drilling")
    assert drilled.grade == "forbidden"
    assert found.best is not None
    assert found.best.method != "drilling"
    solid_hole = asked(hole, [drill(19), solid(8, 40)], IRON).best
    assert solid_hole is not None
    assert solid_hole.method == "drilling"


def test_a_hole_of_a_casting_may_be_bored_round_its_opening() -> None:
    found = asked(HOLE | {"diameter": 40, "stock_wall": 3}, [solid(25, 40)], IRON)
    bored = next(one for one in found.candidates if one.method == "helical_boring")
    assert bored.grade == "good"
    assert "bore-round-an-opening" in {rule.id for rule in bored.fired}
    assert bored.plan is not None
    assert bored.plan.radial_width == pytest.approx(3 - bored.plan.side_allowance)
    assert bored.drill is None


def test_stock_on_the_floor_alone_is_a_shallow_pocket_deep_down() -> None:
    (region,) = regions_of(feature(POCKET | {"floor": True, "clearance_below": None}, stock_wall=0, stock_floor=3))
    assert (region.depth, region.top, region.tallest_wall, region.rough) == (3, 27, 30, "floor")
    found = best(POCKET | {"floor": True, "clearance_below": None, "stock_wall": 0, "stock_floor": 3}, CRIB, IRON)
    assert float(found.facts["depth_to_cut"]) == pytest.approx(2.5)


@pytest.mark.parametrize("sizes", [POCKET, SLOT, HOLE, STEP])
def test_stock_on_walls_and_floor_is_answered_as_two_cuts(sizes: dict[str, Any]) -> None:
    blind = {name: value for name, value in sizes.items() if name != "clearance_below"}
    both = blind | ({} if sizes is STEP else {"floor": True}) | {"stock_wall": 4, "stock_floor": 3}
    walls, floor = parts_of(feature(both))
    assert (walls.id, walls.depth, walls.stock_floor) == ("F1-walls", both["depth"] - 3, 0)
    assert (floor.id, floor.depth, floor.stock_wall) == ("F1-floor", both["depth"], 0)
    found = advise(job(both, CRIB, IRON), quick=True).features
    assert [one.region.id for one in found] == ["F1-walls", "F1-floor"]
    assert [one.region.depth for one in found] == [both["depth"] - 3, 3]
    assert all(one.best is not None for one in found)
    assert found[0].best is not None
    assert float(found[0].best.facts["bottom_allowance"]) == 1
    assert found[0].best.plan is not None
    assert found[0].best.plan.levels * found[0].best.plan.axial_depth <= both["depth"] - 3 - 1 + 0.1
    assert {rule.id for rule in found[0].cautions} >= {"rim-stays-above-the-cast-floor"}
    assert "rim-stays-above-the-cast-floor" not in {rule.id for rule in found[1].cautions}


@pytest.mark.parametrize(("own", "kept"), [(None, 1.0), (0.3, 1.0), (1.5, 1.5)])
@pytest.mark.parametrize("sizes", [POCKET, SLOT, HOLE | {"purpose": "clearance"}, STEP])
def test_where_the_floor_stays_as_cast_the_walls_stop_above_it(
    sizes: dict[str, Any], own: float | None, kept: float
) -> None:
    blind = {name: value for name, value in sizes.items() if name != "clearance_below"} | {"allowance_bottom": own}
    walls = blind | ({} if sizes is STEP else {"floor": True}) | {"stock_wall": 4, "stock_floor": 0}
    milled = [one for one in asked(walls, CRIB, IRON).candidates if not one.cutter.kind.drill]
    assert milled
    assert {float(one.facts["bottom_allowance"]) for one in milled} == {kept}


def test_no_caution_says_that_the_walls_end_nothing_above_the_floor() -> None:
    found = asked(POCKET | {"floor": True, "clearance_below": None, "stock_wall": 3, "stock_floor": 0}, CRIB, IRON)
    assert found.best is not None
    told = [fill(rule_base(), rule, rule.because, found.best.facts) for rule in found.cautions]
    assert any("1\u00a0mm above the floor" in text for text in told)
    assert not any("0\u00a0mm above" in text for text in told)


def test_a_part_of_a_part_is_itself() -> None:
    both = feature(POCKET | {"floor": True, "clearance_below": None}, stock_wall=4, stock_floor=3)
    for part in parts_of(both):
        assert parts_of(part) == (part,)


def test_a_casting_takes_much_less_than_the_solid() -> None:
    blind = POCKET | {"floor": True, "clearance_below": None}
    whole = best(blind, CRIB, IRON).time
    found = advise(job(blind | {"stock_wall": 3, "stock_floor": 3}, CRIB, IRON), quick=True).features
    assert sum(one.best.time for one in found if one.best) < 0.6 * whole


@pytest.mark.parametrize(
    ("material", "caution"),
    [(IRON, "skin-of-a-rough-part"), ("C45", "skin-of-a-rough-part"), ("EN AC-43000-F", "skin-of-a-light-casting")],
)
def test_the_skin_is_told_with_a_lower_speed_for_the_first_pass(material: str, caution: str) -> None:
    found = asked(POCKET | {"stock_wall": 4}, CRIB, material)
    assert caution in {rule.id for rule in found.cautions}
    assert found.best is not None
    assert found.best.plan is not None
    assert float(found.best.facts["skin_speed"]) == pytest.approx(0.7 * found.best.plan.spindle_speed)
    assert caution not in {rule.id for rule in asked(POCKET, CRIB, material).cautions}


CORED = {"kind": "round_hole", "diameter": 80, "depth": 45, "floor": False, "clearance_below": 10, "purpose": "bore"}


def test_a_cut_in_nothing_but_skin_runs_and_is_timed_at_the_speed_for_it() -> None:
    """One ring of 3.6 mm in each level: there is no other pass whose speed could be the full one."""
    ring, rings = (asked(CORED | {"stock_wall": stock}, [HIGH_FEED], IRON, STRONG) for stock in (4, 30))
    assert ring.best is not None
    assert rings.best is not None
    assert (ring.best.facts["ring_count"], ring.best.facts["skin_alone"]) == (1, "yes")
    assert "skin_speed" not in ring.best.facts
    slow, full = (float(found.best.facts["spindle_speed"]) for found in (ring, rings) if found.best)
    assert slow == pytest.approx(0.7 * full, rel=0.01)
    every, first = ({rule.id for rule in found.cautions} for found in (ring, rings))
    assert ("every-pass-in-the-skin" in every, "skin-of-a-rough-part" in every) == (True, False)
    assert ("every-pass-in-the-skin" in first, "skin-of-a-rough-part" in first) == (False, True)


def test_one_level_over_a_cast_floor_is_all_skin_and_two_are_not() -> None:
    walls, floor = (asked(STEP | {"stock_wall": 0, "stock_floor": stock}, [solid(16, 45)], IRON) for stock in (2, 12))
    for found, alone in ((walls, True), (floor, False)):
        layers = [one for one in found.candidates if one.method == "layered_pocketing" and one.plan]
        assert layers
        assert all((one.facts.get("skin_alone") == "yes") is alone for one in layers)


def test_the_general_word_about_skin_is_not_said_twice() -> None:
    assert "hard-skin" in told(POCKET)
    assert "hard-skin" not in told(POCKET, stock_wall=4)


@pytest.mark.parametrize(
    ("diameter", "width", "inside"), [(4, 0.392, True), (8, 1.125, False), (12, 1.0, False), (16, 1.0, False)]
)
def test_passes_thinner_than_the_skin_are_told(diameter: float, width: float, inside: bool) -> None:
    """Of a small cutter no pass is made three times as wide as in the tables for the skin."""
    step = STEP | {"depth": 2.5 * diameter, "stock_wall": 2.5, "stock_floor": 0}
    found = asked(step, [solid(diameter, 3 * diameter)], IRON)
    (narrow,) = (one for one in found.candidates if one.method == "engagement_limited_clearing")
    assert narrow.facts["radial_width"] == pytest.approx(width, abs=0.001)
    assert ("pass-inside-the-skin" in {rule.id for rule in narrow.fired}) is inside
    assert (narrow.grade == "poor") is inside


def test_of_stock_thinner_than_the_skin_no_pass_could_go_below_it() -> None:
    found = asked(STEP | {"stock_wall": 1.4, "stock_floor": 0}, [solid(16, 45)], IRON)
    assert found.best is not None
    assert found.best.plan is not None
    assert found.best.plan.radial_width == pytest.approx(0.9)
    assert "pass-inside-the-skin" not in {rule.id for one in found.candidates for rule in one.fired}


def test_little_stock_on_walls_or_floor_is_left_to_finishing() -> None:
    assert "little-stock-to-rough" in told(POCKET, stock_wall=0.9)
    assert "little-stock-to-rough" not in told(POCKET, stock_wall=1.1)
    blind = {name: value for name, value in POCKET.items() if name != "clearance_below"} | {"floor": True}
    assert "floor-stock-left-to-finishing" in told(blind, stock_wall=0, stock_floor=0.9)
    assert "floor-stock-left-to-finishing" not in told(blind, stock_wall=0, stock_floor=1.1)


def test_the_opening_may_lie_off_centre() -> None:
    assert "opening-off-centre" in told(POCKET, stock_wall=3)
    assert "opening-off-centre" not in told(STEP, stock_wall=3, stock_floor=0)


def test_an_outside_profile_of_a_forging_is_the_same_cut_with_its_skin_told() -> None:
    outline = {"kind": "outside_profile", "length": 120, "width": 80, "depth": 20, "clearance_below": 5}
    plain, forged = (asked(outline | {name: 4}, CRIB, "C45") for name in ("stock_side", "stock_wall"))
    assert plain.best is not None
    assert forged.best is not None
    assert (way(plain.best), plain.best.time) == (way(forged.best), forged.best.time)
    assert {rule.id for rule in forged.cautions} - {rule.id for rule in plain.cautions} >= {"skin-of-a-rough-part"}


@pytest.mark.parametrize("diameter", [40, 52, 60, 80, 90, 120])
@pytest.mark.parametrize("stock", [1.5, 2.5, 3, 5, 8])
@pytest.mark.parametrize("material", [IRON, "C45"])
def test_the_passes_in_a_cored_hole_cover_its_stock_exactly(diameter: float, stock: float, material: str) -> None:
    """So many passes so wide are the stock, and none is engaged further on the round wall than on the straight; of more
    passes than are taken each would stay inside the skin, where they are wider than in the tables.
    """
    hole = HOLE | {"diameter": diameter, "stock_wall": stock}
    crib = [solid(8, 24, LU=40, LPR=45), solid(12, 36, LU=45, LPR=50), solid(20, 45), inserted(20)]
    found = [one for one in asked(hole, crib, material).candidates if one.plan and "ring_count" in one.facts]
    assert [one for one in found if one.facts["rough"] == "walls"]
    for one in found:
        if one.plan is None or one.facts["rough"] != "walls" or float(one.facts["ring_stock"]) <= 0:
            continue
        wide, ring, DC = one.plan.radial_width, float(one.facts["path_radius"]), one.cutter.DC
        taken = float(one.facts["ring_count"]) * wide
        assert taken == pytest.approx(stock - one.facts["side_allowance"], abs=0.01), way(one)
        if "straight_width" in one.facts:
            straight = float(one.facts["straight_width"])
            assert engagement_angle_inside_arc(wide, DC, ring) == pytest.approx(engagement_angle(straight, DC))
            usual = one.facts["table_radial_share"] * DC + 1e-6
            assert straight <= usual or (
                taken / (float(one.facts["ring_count"]) + 1) < LIMITS["skin_pass_least"]
                and wide <= LIMITS["skin_pass_stretch"] * usual
            )


WIDE: dict[str, Any] = HOLE | {"diameter": 120, "depth": 40, "clearance_below": 40, "purpose": "bore"}


def bores(cutter: Cutter, **more: Any) -> tuple[set[str], Candidate]:
    """Return the rules that forbid a helix down a wide cored hole, and the way."""
    found = next(
        one for one in asked(WIDE | more, [cutter], IRON).candidates if one.method == "helical_boring" and one.entry
    )
    return {rule.id for rule in standing(found.fired) if rule.verdict == "forbids"}, found


@pytest.mark.parametrize(
    ("cutter", "stock", "forbidden"),
    [
        (solid(20, 45), 5, set()),
        (inserted(80, RMPX=1, dead_centre=62), 5, set()),  # its middle stays in the opening of 110 mm
        (inserted(80, RMPX=None, dead_centre=62), 5, set()),
        (inserted(80, RMPX=None, dead_centre=62), 15, {"cutter-cannot-ramp"}),  # there it goes over the stock
        (solid(12, 45), 14, {"bore-leaves-a-ring"}),  # a ring of 1.5 mm stays
    ],
)
def test_a_core_is_measured_against_the_opening(cutter: Cutter, stock: float, forbidden: set[str]) -> None:
    assert bores(cutter, stock_wall=stock)[0] == forbidden


def test_the_ramp_angle_of_the_catalogue_binds_only_where_the_middle_goes_over_the_stock() -> None:
    steep, flat = (bores(inserted(80, RMPX=1, dead_centre=62), stock_wall=stock)[1] for stock in (5, 15))
    assert float(steep.facts["middle_margin"]) > 0 > float(flat.facts["middle_margin"])
    assert float(steep.facts["ramp_angle"]) > 1
    assert 0.95 < float(flat.facts["ramp_angle"]) <= 1  # in turns of one depth
    assert steep.plan is not None
    assert steep.plan.axial_depth <= steep.cutter.APMX
