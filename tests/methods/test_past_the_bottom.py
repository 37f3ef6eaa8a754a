"""Mills with rows of inserts along walls with room beneath: how far down they go, and what holds the part.

Source of each: common practice, no source.
"""

from typing import Any

import pytest

from advisor.choosing.advice import cautions_for
from advisor.choosing.job_advice import Advice
from advisor.knowledge.wording import quantity
from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter
from advisor.render import terminal
from advisor.situation.bench import bench_of
from advisor.text.advice import before_first_run
from tests.jobs.judged import CLEARING, HIGH_FEED, STACKED, WALL, WINDOW
from tests.jobs.small import STEEL, STRONG, asked, job, solid

LOOSE, HEAVY, RIM = "part-comes-loose", "part-comes-loose-under-a-heavy-cut", "rim-becomes-chips"


def best(feature: dict[str, Any], cutter: Cutter) -> Candidate:
    found = asked(feature, [cutter], STEEL, STRONG).best
    assert found is not None
    return found


def told(feature: dict[str, Any], cutter: Cutter) -> set[str]:
    bench = bench_of(job(feature, [cutter], STEEL, STRONG))
    return {rule.id for rule in cautions_for(best(feature, cutter), bench)}


@pytest.mark.parametrize("depth", [50, 68, 90])
@pytest.mark.parametrize(("RE", "beyond"), [(0.4, 1.0), (0.8, 1.3), (2.0, 2.5)])
def test_rows_of_inserts_go_past_the_bottom_and_leave_neither_skin_nor_fillet(
    depth: float, RE: float, beyond: float
) -> None:
    """By 1 mm, or by the corner radius and 0.5 mm."""
    longer = STACKED.model_copy(update={"RE": RE, "LU": 110.0, "LPR": 125.0})
    found = best(WALL | {"depth": depth}, longer)
    assert (found.method, found.plan is not None) == (CLEARING, True)
    assert found.facts["overcut"] == pytest.approx(beyond)
    assert found.facts["bottom_allowance"] == found.facts["fillet_left"] == 0
    deepest = (found.plan.levels - 1) * found.plan.axial_depth + float(found.facts["last_depth"])
    assert deepest == pytest.approx(depth + beyond)
    assert found.plan.axial_depth <= longer.APMX


@pytest.mark.parametrize(("clearance", "skin"), [(1.5, 0.0), (1.49, 0.3), (0.0, 0.3)])
def test_where_there_is_no_room_beneath_a_skin_is_left_and_told(clearance: float, skin: float) -> None:
    wall = WALL | {"clearance_below": clearance}
    assert best(wall, STACKED).facts["bottom_allowance"] == skin
    assert ("skin-left" in told(wall, STACKED)) is (skin > 0)
    assert bool(told(wall, STACKED) & {LOOSE, HEAVY, RIM}) is (skin == 0)


@pytest.mark.parametrize(("island", "loose"), [(30, "middle-comes-loose"), (15, "small-middle-comes-loose")])
@pytest.mark.parametrize(("clearance", "skin"), [(1.5, 0.0), (1.49, 0.3)])
def test_a_skin_holds_the_middle_of_a_window(clearance: float, skin: float, island: float, loose: str) -> None:
    window, cutter = WINDOW | {"island": island, "clearance_below": clearance}, solid(10, 32)
    assert best(window, cutter).facts["bottom_allowance"] == skin
    assert (loose in told(window, cutter)) is (skin == 0)
    assert ("skin-left" in told(window, cutter)) is (skin > 0)


def test_a_part_that_a_heavy_cut_sets_free_is_clamped_and_not_left_to_tabs() -> None:
    framed = WALL | {"stock_side": None}
    heavy = told(framed, STACKED)
    assert HEAVY in heavy
    assert LOOSE not in heavy
    light = told(framed | {"depth": 20}, solid(12, 26, ZEFP=4))
    assert LOOSE in light
    assert HEAVY not in light


@pytest.mark.parametrize(("rim", "chips"), [(3, True), (11.9, True), (12, True), (40, True), (None, False)])
def test_the_passes_turn_the_whole_rim_to_chips_and_leave_no_frame_for_tabs(rim: float | None, chips: bool) -> None:
    found = told(WALL | {"depth": 20, "stock_side": rim}, solid(12, 26, ZEFP=4))
    assert (RIM in found) is chips
    assert bool(found & {LOOSE, HEAVY}) is not chips


@pytest.mark.parametrize(("RE", "height"), [(0.5, 0.5), (1.1, 0.0), (2.0, 0.0)])
def test_what_goes_past_the_bottom_leaves_no_slope_at_the_foot_of_the_wall(RE: float, height: float) -> None:
    """An edge of 15 degrees, 1.5 mm high: past the bottom by 1 mm a third of its slope stays, by 1.6 mm nothing."""
    mill, window = HIGH_FEED.model_copy(update={"RE": RE}), {"kind": "round_hole", "diameter": 90, "depth": 20}
    through = window | {"floor": False, "clearance_below": 10, "purpose": "mill"}
    found = best(through, mill)
    assert found.facts["foot_height"] == pytest.approx(height)
    assert ("foot-of-the-wall-left" in told(through, mill)) is (height > 0)
    blind = best(window | {"floor": True, "purpose": "mill"}, mill)
    assert blind.facts["foot_height"] == pytest.approx(1.5)


@pytest.mark.parametrize(("rim", "alone"), [(3, True), (11.9, True), (12, True), (40, True), (None, False)])
def test_a_skin_without_a_frame_holds_no_part(rim: float | None, alone: bool) -> None:
    wall = WALL | {"depth": 20, "stock_side": rim, "clearance_below": 0}
    assert ("skin-alone-stays-round-the-part" in told(wall, solid(12, 26, ZEFP=4))) is alone


def test_a_skin_is_too_weak_for_a_heavy_cut() -> None:
    framed = WALL | {"stock_side": None, "clearance_below": 0}
    assert "skin-too-weak-for-this-cut" in told(framed, STACKED)
    assert "skin-too-weak-for-this-cut" not in told(framed | {"depth": 20}, solid(12, 26, ZEFP=4))


GROOVE: dict[str, Any] = {"kind": "slot", "length": 100, "width": 12, "depth": 15, "floor": False, "clearance_below": 5}


@pytest.mark.parametrize(
    ("feature", "parted"),
    [
        (GROOVE | {"open_ends": 2}, True),
        (GROOVE | {"open_ends": 1}, False),
        (GROOVE | {"open_ends": 2, "clearance_below": 0}, False),  # a skin stays
        (GROOVE | {"kind": "open_pocket", "width": 40, "open_sides": 2}, True),
        (GROOVE | {"kind": "open_pocket", "width": 40, "open_sides": 2, "open_at": "corner"}, False),
        (GROOVE | {"kind": "open_pocket", "width": 40, "open_sides": 1}, False),
    ],
)
def test_what_goes_through_from_end_to_end_parts_the_work_in_two(feature: dict[str, Any], parted: bool) -> None:
    assert ("part-falls-in-two" in told(feature, solid(10, 22, ZEFP=4))) is parted


def test_before_the_first_run_the_greatest_force_of_the_job_is_told() -> None:
    """Both outlines are cut free by more than tabs bear; the second is pushed harder, and comes later."""
    framed = WALL | {"stock_side": None}
    light, heavy = (
        asked(framed | {"depth": depth}, [cutter], STEEL, STRONG)
        for depth, cutter in ((40, solid(20, 45, ZEFP=4)), (68, STACKED))
    )
    assert light.best is not None
    assert heavy.best is not None
    least, most = (float(one.best.facts["force"]) for one in (light, heavy) if one.best)
    assert 1500 < least < most - 100
    given = job(framed, [STACKED], STEEL, STRONG)
    for order in ((light, heavy), (heavy, light)):
        told = terminal.text(before_first_run(Advice(given, bench_of(given), order)), 400)
        assert f"pushes it with {quantity(most, 'N')}" in told
        assert f"pushes it with {quantity(least, 'N')}" not in told
