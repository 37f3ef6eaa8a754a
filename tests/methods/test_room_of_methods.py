"""Where each method has its room: how wide, how deep, with which teeth and edges."""

from typing import Any

import pytest

from advisor.choosing.advice import advise
from advisor.choosing.ranking import standing
from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter, make_cutter
from advisor.situation.bench import bench_of
from advisor.text.causes import cause_text
from tests.jobs.small import ALUMINIUM, EVERYDAY, STEEL, STRONG, job, solid

BRASS, COPPER, MAGNESIUM, HARD, TITANIUM = "CW614N", "CW004A", "UNS M11916", "X38CrMoV5-1 hardened", "Ti-6Al-4V"
SLOT: dict[str, Any] = {"kind": "slot", "length": 120, "width": 18, "depth": 20, "floor": True, "open_ends": 0}
POCKET: dict[str, Any] = {"kind": "closed_pocket", "length": 90, "width": 60, "depth": 20, "floor": True}
OUTLINE: dict[str, Any] = {
    "kind": "outside_profile",
    "length": 200,
    "width": 120,
    "depth": 24,
    "stock_side": 8,
    "clearance_below": 10,
}
SLUGGISH = EVERYDAY | {"axis_acceleration": 0.05}
LOOPING, LAYERS, RAMPED = "engagement_limited_clearing", "layered_pocketing", "ramped_slotting"


def way(method: str, feature: dict[str, Any], cutter: Cutter, material: str, machine: Any = EVERYDAY) -> Candidate:
    assignment = job(feature, [cutter], material, machine)
    found = advise(assignment, bench_of(assignment)).features[0].candidates
    return next(each for each in found if each.method == method)


def said(found: Candidate, verdict: str) -> set[str]:
    return {rule.id for rule in standing(found.fired) if rule.verdict == verdict}


@pytest.mark.parametrize(
    ("width", "good", "poor"), [(18.01, True, False), (17.9, False, False), (16.3, False, False), (16.1, False, True)]
)
def test_a_slot_half_as_wide_again_as_the_cutter_is_looped(width: float, good: bool, poor: bool) -> None:
    """12 mm cutter: good from 18 mm on, neither for nor against down to 16.2 mm, against below."""
    found = way(LOOPING, SLOT | {"width": width}, solid(12, 26), ALUMINIUM)
    assert ("room-and-depth-for-engagement" in said(found, "for")) is good
    assert ("slot-too-narrow-to-loop" in said(found, "against")) is poor


def test_slow_axes_do_not_speak_against_an_outline_without_inside_corners() -> None:
    cutter = solid(12, 26)
    found = way(LOOPING, OUTLINE, cutter, ALUMINIUM, SLUGGISH)
    assert found.grade == "good"
    assert "axis_feed_ratio" not in found.facts
    with_corner = way(LOOPING, OUTLINE | {"corner_radius": 7}, cutter, ALUMINIUM, SLUGGISH)
    assert "axes-too-slow-to-loop" in said(with_corner, "against")
    assert "axes-too-slow-to-loop" in said(way(LOOPING, POCKET, cutter, ALUMINIUM, SLUGGISH), "against")


@pytest.mark.parametrize(
    ("material", "teeth", "room"),
    [(ALUMINIUM, 3, True), (ALUMINIUM, 4, False), (BRASS, 4, True), (BRASS, 5, False), (MAGNESIUM, 4, True)],
)
def test_short_chips_leave_room_for_four_teeth_and_aluminium_for_three(material: str, teeth: int, room: bool) -> None:
    found = way(LOOPING, POCKET, solid(12, 26, ZEFP=teeth), material)
    assert any(name.startswith("too-many-teeth") for name in said(found, "against")) is not room


@pytest.mark.parametrize("material", [HARD, STEEL])
def test_six_teeth_have_room_in_the_thin_levels_of_a_ramped_slot(material: str) -> None:
    """At full width the tables give 0.05 to 0.1 DC in hardened steel, 0.3 to 0.45 DC in alloy steel: held to 0.15."""
    narrow, six = SLOT | {"width": 14, "depth": 10}, solid(12, 26, ZEFP=6, FHA=45)
    found = way(RAMPED, narrow, six, material)
    assert "too-many-teeth-at-full-width" not in said(found, "against")
    assert "narrow-slot-is-ramped" in said(found, "for")
    assert found.plan is not None
    assert found.plan.axial_depth <= 0.15 * 12


@pytest.mark.parametrize(("teeth", "thin"), [(4, False), (5, True)])
def test_more_than_four_teeth_take_thin_levels_in_a_slot_and_say_so(teeth: int, thin: bool) -> None:
    """12 mm cutter: 0.15 DC are 1.8 mm; the tables allow 0.3 DC and more in C45."""
    found = way(RAMPED, SLOT | {"width": 14, "depth": 10}, solid(12, 26, ZEFP=teeth), STEEL)
    assert found.plan is not None
    assert (found.plan.axial_depth <= 1.8) is thin
    assert any("no room for more chips" in cause_text(held.cause) for held in found.plan.held) is thin


@pytest.mark.parametrize(("teeth", "room"), [(4, True), (5, False)])
def test_layers_that_are_cut_at_full_width_all_along_a_slot_need_room_for_the_chips(teeth: int, room: bool) -> None:
    """Beside a 12 mm cutter in a 14 mm slot 1 mm stays, so that every pass is as wide as the cutter."""
    found = way("layered_pocketing", SLOT | {"width": 14, "depth": 10}, solid(12, 26, ZEFP=teeth), STEEL)
    assert ("too-many-teeth-at-full-width" not in said(found, "against")) is room


@pytest.mark.parametrize(
    ("depth", "neck", "grade"),
    [(35, None, "good"), (38, 11.5, "good"), (38, None, "good"), (61, 11.5, "poor"), (61, None, "poor")],
)
def test_a_deep_narrow_slot_is_for_a_necked_cutter_in_thin_levels(depth: float, neck: float | None, grade: str) -> None:
    """12 mm cutter: 3 DC are 36 mm, 5 DC are 60 mm. With flutes all the way up the levels are half as thin."""
    cutter = solid(12, 12 if neck else 64, ZEFP=4, LU=64, LPR=66, DN=neck)
    found = way(RAMPED, SLOT | {"width": 14, "depth": depth}, cutter, STEEL, STRONG)
    assert found.plan is not None
    thin = 0.2 * 12 if neck else 0.1 * 12
    assert found.plan.axial_depth <= (thin if depth > 36 else 0.45 * 12) + 1e-9
    assert ("deep-slot-packs-chips" in said(found, "against")) is (grade == "poor")


def test_half_its_width_and_as_deep_as_it_is_wide_is_an_ordinary_cut_of_a_solid_cutter_in_aluminium() -> None:
    found = way(LAYERS, POCKET | {"depth": 14}, solid(12, 26), ALUMINIUM, STRONG)
    assert found.grade == "workable"
    assert found.plan is not None
    assert found.plan.axial_depth == pytest.approx(7, abs=0.5)


@pytest.mark.parametrize(
    ("groups", "grade"), [("N", "forbidden"), ("P M K", "poor"), ("P K H", "good"), (None, "good")]
)
def test_a_cutter_is_taken_for_what_it_is_ground_for(groups: str | None, grade: str) -> None:
    cutter = solid(12, 26, ZEFP=6, FHA=45, TMC1ISO=groups)
    assert way(LOOPING, OUTLINE, cutter, HARD).grade == grade


def test_a_cutter_for_steel_cuts_brass_but_not_aluminium() -> None:
    cutter = solid(12, 26, ZEFP=3, TMC1ISO="P M K")
    assert "ground-for-another-group" not in said(way(LOOPING, POCKET, cutter, BRASS), "against")
    assert "ground-for-another-group" in said(way(LOOPING, POCKET, cutter, ALUMINIUM), "against")


def test_high_feed_inserts_rough_hardened_steel_with_thin_levels_and_a_high_feed() -> None:
    """Down to 0.2 to 0.6 mm, 0.3 to 0.8 mm a tooth, 80 to 120 m/min; a shoulder cutter has no data there."""
    mill = make_cutter(
        id="HF25", body="inserted_high_feed_mill", DC=25, APMX=1.5, LU=50, LPR=60, DN=24, RMPX=2, ZEFP=3, KAPR=17
    )
    found = way(LAYERS, POCKET, mill, HARD, STRONG)
    assert found.grade == "good"
    assert found.plan is not None
    assert 0.2 <= found.plan.axial_depth <= 0.6
    assert 0.3 <= found.plan.feed_per_tooth <= 0.8
    assert 80 <= float(found.facts["cutting_speed"]) <= 120
    assert way(LAYERS, POCKET, mill, "100Cr6 hardened", STRONG).grade == "forbidden"


def test_round_an_island_clearing_takes_the_time_of_the_whole_ring() -> None:
    """80 mm square less a 50 mm island: 15 mm of width, 260 mm round; a slot of 15 mm and 90 mm has a third of that."""
    ring = POCKET | {"length": 80, "width": 80, "island": 50, "island_length": 50}
    slot = POCKET | {"length": 80, "width": 15}
    cutter = solid(8, 24)
    round_it, along = (way(LOOPING, one, cutter, ALUMINIUM) for one in (ring, slot))
    share = round_it.facts["loop_count"] / along.facts["loop_count"]
    assert share == pytest.approx(260 / (80 - 9 + 0.5), rel=0.05)
