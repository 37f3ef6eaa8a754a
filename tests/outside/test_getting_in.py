"""What a cutter whose middle does not cut leaves under itself, and how long a way in takes, by means of their own.

Source of each: geometry drawn with shapely or sampled point by point, or a calculation by hand; named beside each.
"""

from math import cos, hypot, pi, sin, sqrt, tan
from math import radians as rad
from typing import Any

import pytest
from shapely import Point

from advisor.knowledge.shipped import rule_base
from advisor.mechanics.chip import corner_edge_angle
from advisor.mechanics.entry import cone_depth, helix_angle, helix_bore, helix_depth
from advisor.mechanics.force import plunge_side_force, specific_cutting_force
from advisor.mechanics.power import cutting_power
from advisor.mechanics.timing import roll_in_time
from advisor.model.candidate import Candidate
from advisor.model.cutter import make_cutter
from advisor.readers.materials import load_materials
from advisor.situation.derived import worked_out
from tests.jobs.small import ALUMINIUM, STEEL, STRONG, asked, drill, inserted, solid

pytestmark = pytest.mark.outside
TITANIUM = "Ti-6Al-4V"
CAVITY: dict[str, Any] = {
    "kind": "closed_pocket",
    "length": 120,
    "width": 80,
    "depth": 20,
    "corner_radius": 12,
    "floor": True,
}
STEP: dict[str, Any] = {"kind": "step", "length": 160, "width": 30, "depth": 75}
HIGH_FEED = make_cutter(
    id="F16",
    body="inserted_high_feed_mill",
    DC=16,
    APMX=1,
    LU=100,
    LPR=115,
    DN=15.2,
    DCONMS=16,
    RE=1.5,
    KAPR=17,
    ZEFP=2,
    RMPX=3.5,
    dead_centre=6,
)


def one(
    feature: dict[str, Any], crib: list[Any], method: str, entry: str, material: str = STEEL, machine: Any = STRONG
) -> Candidate:
    """Return the way of a method by one entry."""
    found = asked(feature, crib, material, machine).candidates
    return next(each for each in found if (each.method, each.entry) == (method, entry))


def fired(candidate: Candidate) -> set[str]:
    return {rule.id for rule in candidate.fired}


def never_cut(bore: float, DC: float, dead_centre: float) -> Any:
    """Return what the ring of edges never sweeps of a bore in one turn: rings drawn one beside the other."""
    path, places = (bore - DC) / 2, 720
    left = Point(0, 0).buffer(bore / 2, 256)
    for place in range(places):
        x, y = path * cos(2 * pi * place / places), path * sin(2 * pi * place / places)
        ring = Point(x, y).buffer(DC / 2 + 0.01, 64).difference(Point(x, y).buffer(dead_centre / 2, 64))
        left = left.difference(ring)
    return left


def core_told(bore: float, DC: float, dead_centre: float) -> float:
    """Return the core under the cutter as the rules are told of it."""
    facts = {"bore": bore, "DC": DC, "dead_centre": dead_centre, "core_margin": 0.0, "method": "helical_boring"}
    return float(worked_out(("dead_core_margin", "bore_core"), facts, limits={})["bore_core"])


@pytest.mark.parametrize(("bore", "core"), [(26.0, 6.0), (30.0, 2.0)])
def test_a_bore_narrower_than_cutter_and_dead_centre_leaves_a_core(bore: float, core: float) -> None:
    """Source: shapely; a ring of 20 mm round a dead centre of 12 mm, drawn at 720 places of a turn."""
    left = never_cut(bore, 20, 12)
    assert left.contains(Point(0, 0))
    assert sqrt(4 * left.buffer(0.01).area / pi) == pytest.approx(core, abs=0.1)
    assert core_told(bore, 20, 12) == pytest.approx(core)


def test_a_bore_as_wide_as_cutter_and_dead_centre_together_leaves_none() -> None:
    """Source: shapely, as above; 20 mm and 12 mm are 32 mm."""
    assert never_cut(32.02, 20, 12).area < 0.1
    assert core_told(32, 20, 12) == 0
    assert helix_bore(20, 0.8, 32, 0, 1.3, 1.9, 12) == pytest.approx(32)
    assert helix_bore(20, 0.8, 31.9, 0, 1.3, 1.9, 12) is None


@pytest.mark.parametrize("dead_centre", [0.0, 5.0, 8.5])
@pytest.mark.parametrize(("diameter", "angle"), [(17.5, 140.0), (22.0, 118.0)])
def test_a_dead_centre_meets_the_cone_where_the_cone_is_as_wide(
    diameter: float, angle: float, dead_centre: float
) -> None:
    """Source: the hole sampled in steps of 1 µm from its tip upwards; its half width grows with tan(angle/2)."""
    tip, height = 30.0, 0.0
    while 2 * height * tan(rad(angle / 2)) < dead_centre:
        height += 1e-3
    point = diameter / 2 / tan(rad(angle / 2))
    assert cone_depth(tip, point, diameter, dead_centre) == pytest.approx(tip - height, abs=2e-3)


def test_the_side_force_of_a_plunge_is_that_of_its_rings_added_up() -> None:
    """Source: rings 0.005 mm wide of the bite of a 16 mm cutter, 4 mm to the side and 8 mm from plunge to plunge.

    The bite lies within the cutter, beyond the circles cut before: the last row, and the neighbour in this row.
    """
    R, bite, step, k_c, f_z, z = 8.0, 4.0, 8.0, 2500.0, 0.06, 3
    before = [(-bite, 0.0), (-bite, step), (-bite, -step), (0.0, -step)]
    force, area, dr, pieces = 0.0, 0.0, 0.005, 720
    for ring in range(int(R / dr)):
        r = (ring + 0.5) * dr
        cut = sum(
            1
            for place in range(pieces)
            if all(hypot(r * cos(a := 2 * pi * place / pieces) - x, r * sin(a) - y) > R for x, y in before)
        )
        share = cut / pieces
        area += share * 2 * pi * r * dr
        force += z * k_c * f_z * dr * share
    assert area == pytest.approx(bite * step, rel=0.05)
    assert plunge_side_force(k_c, bite * step, bite, 2 * R, f_z, z) == pytest.approx(force, rel=0.15)


def test_rolling_in_takes_a_quarter_circle_at_half_the_feed() -> None:
    """By hand: 20 mm, quarter of a circle of 10 mm radius is 15.71 mm, at 300 mm/min 3.14 s; 2 mm at 600 are 0.2 s."""
    assert roll_in_time(20, 2, 600) == pytest.approx(3.14 + 0.2, abs=0.005)


def test_the_time_of_a_helix_is_turns_times_their_way_over_the_feed() -> None:
    """By hand, from the facts shown: depth over pitch turns, each pi times (bore - DC), at the feed of the centre."""
    found = one(CAVITY, [solid(12, 26)], "engagement_limited_clearing", "helical_ramp")
    facts = {name: float(found.facts[name]) for name in ("helix_bore", "helix_pitch", "helix_feed", "helix_time")}
    levels = found.plan.levels if found.plan else 0
    depth = 19.5 + 0.3 * levels  # 20 mm less the allowance, and 0.3 mm above the material at every level
    way = pi * (facts["helix_bore"] - 12)
    assert facts["helix_bore"] == pytest.approx(21.6)
    assert facts["helix_pitch"] == pytest.approx(way * tan(rad(2)))  # the middle of 1 to 3 degrees in steel
    assert facts["helix_time"] == pytest.approx(60 * depth / facts["helix_pitch"] * way / facts["helix_feed"])


@pytest.mark.parametrize(("material", "share"), [(ALUMINIUM, 1.0), (STEEL, 0.8), (TITANIUM, 0.6)])
def test_a_helix_runs_at_the_share_of_the_feed_that_its_material_allows(material: str, share: float) -> None:
    """Common practice, no source: all of it in aluminium, 0.8 in steel, 0.6 in titanium, then the arc's factor."""
    found = one(CAVITY, [solid(12, 26)], "layered_pocketing", "helical_ramp", material)
    full = {held.setting: held.before for held in found.way_in.held} if found.way_in else {}
    assert "feed_per_tooth" not in full  # nothing eased the full feed, so the tables' chip is the feed per tooth
    speed, chip = min(6000.0, float(found.facts["wanted_speed"])), float(found.facts["table_chip"])
    centre = float(found.facts["helix_feed"])
    assert centre == pytest.approx(share * 3 * chip * speed * (21.6 - 12) / 21.6, rel=0.01)


def test_a_turn_of_a_high_feed_mill_goes_no_deeper_than_its_level() -> None:
    """By hand: at RMPX 3.5° in a bore of 29 mm a turn would go 2.5 mm deep; the inserts cut 1 mm."""
    found = one(CAVITY, [HIGH_FEED], "layered_pocketing", "helical_ramp")
    assert float(found.facts["helix_pitch"]) <= 1.0
    assert float(found.facts["entry_angle"]) == pytest.approx(
        helix_angle(float(found.facts["helix_pitch"]), float(found.facts["helix_bore"]), 16)
    )


def test_thin_levels_are_come_down_to_in_rapid() -> None:
    """Common practice, no source: 0.2 to 0.5 mm above the material the cutter changes from rapid to its own feed."""
    found = one(CAVITY, [HIGH_FEED], "layered_pocketing", "helical_ramp")
    assert found.plan is not None
    air = float(found.facts["entry_depth"]) - float(found.facts["depth_to_cut"])
    assert 0.2 <= air / found.plan.levels <= 0.5


def test_an_inserted_cutter_has_no_helix_where_its_core_would_stay() -> None:
    """By hand: in a pocket 37.5 mm wide a 25 mm cutter with a dead centre of 12 mm has 36.5 mm and needs 37 mm."""
    narrow = CAVITY | {"width": 37.5}
    crib = [inserted(25, dead_centre=12, LU=40)]
    assert "helix-leaves-a-core" in fired(one(narrow, crib, "layered_pocketing", "helical_ramp"))
    wide = one(CAVITY | {"width": 42}, crib, "layered_pocketing", "helical_ramp")
    assert float(wide.facts["helix_bore"]) == pytest.approx(41)
    assert "helix-leaves-a-core" not in fired(wide)


def test_a_hole_is_not_bored_by_a_cutter_that_would_ride_on_a_core() -> None:
    """By hand: 25 mm and a dead centre of 12 mm are 37 mm; a hole of 37 mm less twice 0.5 mm is 36 mm."""
    crib = [inserted(25, dead_centre=12, LU=40)]
    hole = {"kind": "round_hole", "depth": 20, "floor": True, "flat_floor": True}
    narrow = one(hole | {"diameter": 37}, crib, "helical_boring", "helical_ramp")
    assert narrow.grade == "forbidden"
    assert "bore-leaves-a-core-under-the-cutter" in fired(narrow)
    assert one(hole | {"diameter": 38.1}, crib, "helical_boring", "helical_ramp").grade == "good"
    assert one(hole | {"diameter": 37}, [solid(25, 40)], "helical_boring", "helical_ramp").grade == "good"


def test_down_a_drilled_hole_an_inserted_cutter_helixes_from_where_its_middle_meets_the_cone() -> None:
    """By hand: a 28 mm drill of 140° has a point of 5.10 mm; 12 mm of it are 2.18 mm above the tip."""
    found = one(CAVITY, [inserted(25, dead_centre=12, LU=40), drill(28)], "layered_pocketing", "predrilled_hole")
    tip = float(found.facts["hole_depth"])
    meets = tip - 14 / tan(rad(70)) * 12 / 28
    assert float(found.facts["hole_straight"]) == pytest.approx(meets)
    assert float(found.facts["hole_helix_depth"]) == pytest.approx(19.5 - meets)
    assert float(found.facts["hole_helix_time"]) > 0
    assert found.facts["way_in"] == "through_the_hole"
    plain = one(CAVITY, [solid(25, 40), drill(28)], "layered_pocketing", "predrilled_hole")
    assert float(plain.facts["hole_helix_depth"]) == 0


def test_a_cutter_that_cannot_ramp_does_not_go_down_a_hole_that_ends_in_a_cone() -> None:
    """Common practice, no source: in a window the same hole goes through, and there it can."""
    stacked = make_cutter(
        id="S25",
        body="inserted_stacked_mill",
        DC=25,
        APMX=30,
        LU=38,
        LPR=60,
        DN=24,
        DCONMS=25,
        RE=0.8,
        ZEFP=2,
        dead_centre=15,
    )
    crib = [stacked, drill(28)]
    blind = one(CAVITY, crib, "engagement_limited_clearing", "predrilled_hole")
    assert blind.grade == "forbidden"
    assert "dead-centre-meets-the-cone" in fired(blind)
    window = CAVITY | {"floor": False, "clearance_below": 12}
    through = one(window, crib, "engagement_limited_clearing", "predrilled_hole")
    assert "dead-centre-meets-the-cone" not in fired(through)
    assert through.grade != "forbidden"


def test_an_inserted_cutter_plunges_from_the_side_and_no_wider_than_its_inserts() -> None:
    """By hand: 16 mm less a dead centre of 9 mm leaves 3.5 mm on each side; the share of DC would be 5.6 mm."""
    blunt = HIGH_FEED.model_copy(update={"dead_centre": 9.0})
    found = one(STEP, [blunt], "plunge_roughing", "side_entry", "42CrMo4")
    assert found.plan is not None
    assert found.plan.radial_width == pytest.approx(3.5)
    assert found.grade == "good"
    closed = one(CAVITY | {"depth": 75}, [HIGH_FEED], "plunge_roughing", "axial_plunge", "42CrMo4")
    assert closed.grade == "forbidden"
    assert closed.time == float("inf")


def test_a_plunge_says_its_thrust_and_no_force_against_the_wall() -> None:
    found = one(STEP, [HIGH_FEED], "plunge_roughing", "side_entry", "42CrMo4")
    assert found.plan is not None
    assert found.plan.load.force == 0
    assert 100 < float(found.facts["plunge_thrust"]) < float(found.facts["plunge_side_force"]) < 5000


def test_a_high_feed_mill_plunges_with_the_chip_of_its_inserts() -> None:
    """Common practice, no source: 0.05 to 0.15 mm a tooth; its flat edge angle thins a chip from the side only."""
    found = one(STEP, [HIGH_FEED], "plunge_roughing", "side_entry", "42CrMo4")
    assert found.plan is not None
    assert 0.04 <= found.plan.feed_per_tooth <= 0.15


@pytest.mark.parametrize(("LPR", "good"), [(110.0, True), (40.0, False)])
def test_plunging_is_right_only_where_a_thin_side_cut_bends_too_much(LPR: float, good: bool) -> None:
    """Common practice, no source: 12 mm of solid carbide, nine diameters out of the holder or three."""
    depth = LPR - 5
    cutter = solid(12, 26, ZEFP=4, LU=depth, LPR=LPR, DN=11.5)
    found = one(STEP | {"depth": depth - 1}, [cutter], "plunge_roughing", "side_entry", "42CrMo4")
    assert (found.grade == "good") is good
    assert ("out-of-side-reach-plunge" in fired(found)) is good


def test_nothing_is_plunged_onto_a_thin_floor() -> None:
    thin = {"kind": "open_pocket", "length": 120, "width": 80, "depth": 74, "floor": True, "floor_thickness": 2}
    found = one(thin, [HIGH_FEED], "plunge_roughing", "side_entry", "42CrMo4")
    assert "plunge-onto-a-thin-floor" in fired(found)
    assert found.grade == "forbidden"
    thick = one(thin | {"floor_thickness": 20}, [HIGH_FEED], "plunge_roughing", "side_entry", "42CrMo4")
    assert thick.grade == "good"


def test_a_small_deep_pocket_is_entered_on_a_helix_and_to_and_fro_is_for_want_of_room() -> None:
    """Common practice, no source."""
    small = {"kind": "closed_pocket", "length": 30, "width": 20, "depth": 20, "corner_radius": 4, "floor": True}
    found = asked(small, [solid(6, 13, LU=22, LPR=28, DN=5.7)], STEEL, STRONG).best
    assert found is not None
    assert (found.entry, found.grade) == ("helical_ramp", "good")
    narrow = {"kind": "closed_pocket", "length": 60, "width": 12.5, "depth": 8, "corner_radius": 6, "floor": True}
    tight = asked(narrow, [solid(10, 22)], STEEL, STRONG).best
    assert tight is not None
    assert tight.entry == "zigzag_ramp"


@pytest.mark.parametrize(("depth", "RE"), [(0.1, 0.5), (0.25, 0.5), (0.4, 0.5), (0.3, 1.2)])
def test_a_corner_radius_thins_the_chip_of_a_cut_less_deep_than_it(depth: float, RE: float) -> None:
    """Shapely: the corner of a tooth moved on by the feed; at the top of the cut the chip is as thick as the feed times
    the sine of the edge angle, measured along the normal of the new edge.
    """
    feed = RE / 1000
    corner = Point(0, RE).buffer(RE, quad_segs=20000).exterior
    kappa = rad(corner_edge_angle(depth, RE, 90))
    top = (RE * sin(kappa), depth)
    gap = corner.distance(Point(top[0] + feed, top[1]))
    assert gap == pytest.approx(feed * sin(kappa), rel=2e-3)


@pytest.mark.parametrize(("RE", "gain"), [(0.0, 1.0), (0.1, 1.0), (0.5, 1.135)])
def test_on_a_turn_thinner_than_the_corner_radius_the_feed_is_raised_by_what_the_corner_thins_at_most_twice(
    RE: float, gain: float
) -> None:
    """By hand: 0.263 mm a turn at 0.75 degrees in a bore of 14.4 mm; RE 0.5: 1 / sqrt(1 - (1 - 0.526)²) = 1.135."""
    hard, cavity = "X153CrMoV12 hardened", CAVITY | {"depth": 9}
    plain, rounded = (
        one(cavity, [solid(8, 20, ZEFP=6, RE=radius)], "engagement_limited_clearing", "helical_ramp", hard)
        for radius in (0.0, RE)
    )
    bores = [float(each.facts["helix_bore"]) for each in (plain, rounded)]
    raised = [
        float(each.facts["helix_feed"]) * bore / (bore - 8) for each, bore in zip((plain, rounded), bores, strict=True)
    ]
    assert raised[1] / raised[0] == pytest.approx(gain, rel=0.003)


@pytest.mark.parametrize("RE", [0.0, 1.5, 2.5])
def test_on_a_narrow_helix_the_centre_goes_no_slower_than_the_edge_can_cut(RE: float) -> None:
    """The centre of a cutter in a bore of 11 mm moves at 3/11 of the feed at the wall, but the chip in front of it is
    that of the centre: below the least chip of the material the edge rubs. Common practice, no source.
    """
    cavity = CAVITY | {"depth": 9}
    best = one(cavity, [solid(8, 20, ZEFP=6, RE=RE)], "engagement_limited_clearing", "helical_ramp", "X5CrNi18-10")
    facts = best.facts
    plain = float(facts["spindle_speed"]) / float(facts["speed_factor"])  # a narrow cut alone turns faster
    chip = float(facts["helix_feed"]) / (plain * 6)
    assert chip >= 0.98 * min(float(facts["chip_least_here"]), float(facts["chip"]))


WEAK: dict[str, Any] = STRONG | {
    "name": "weak",
    "spindle": {"speed": [2000, 4000, 10000], "power": [1.5, 2.2, 2.2]},
    "stiffness": 9,
}


@pytest.mark.parametrize(("bore", "DC"), [(21.6, 12.0), (24.0, 12.0), (15.6, 12.0)])
def test_the_depth_of_a_straight_cut_that_stands_for_a_helix_takes_the_bore_s_volume(bore: float, DC: float) -> None:
    """By hand: in a turn the centre goes pi times (bore - DC); the area of the bore comes out as deep as that goes."""
    way, pitch = pi * (bore - DC), 2.5
    assert helix_depth(pitch, bore, DC) * DC * way == pytest.approx(pi / 4 * bore**2 * pitch)


@pytest.mark.parametrize(("DC", "flatter"), [(16.0, True), (8.0, False)])
def test_a_helix_asks_of_the_spindle_what_the_volume_of_its_bore_asks(DC: float, flatter: bool) -> None:
    """By hand: removal rate = area of the bore times descent in a minute; chip by the feed of the centre. Where that is
    too much for 2.2 kW the ramp is flatter, and the feed stays that of the tables.
    """
    found = one(CAVITY, [solid(DC, 26)], "engagement_limited_clearing", "helical_ramp", ALUMINIUM, WEAK)
    bore, angle, centre = (float(found.facts[name]) for name in ("helix_bore", "entry_angle", "helix_feed"))
    rate = pi / 4 * bore**2 * centre * tan(rad(angle))  # mm³/min
    limits, metal = rule_base().limits, load_materials()[ALUMINIUM]
    chip = centre / (3 * 10_000) * 2 / pi  # the mean over half a turn of a chip that is greatest in its middle
    k_c = specific_cutting_force(
        metal.k_c11,
        metal.m_c,
        chip,
        limits["milling_force_factor"],
        limits["chip_table_least"],
        limits["chip_thin_exponent"],
    )
    worn = limits["wear_factor"] * cutting_power(rate, k_c, limits["drive_efficiency"])
    assert worn <= limits["power_share_most"] * 2.2 * 1.001
    assert ("ramp_angle" in {held.setting for held in found.way_in.held if found.way_in}) == flatter  # type: ignore[union-attr]
    assert (worn > 0.98 * limits["power_share_most"] * 2.2) == flatter
    assert centre == pytest.approx(3 * 10_000 * float(found.facts["table_chip"]) * (bore - DC) / bore, rel=0.01)
