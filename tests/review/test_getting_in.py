"""Plans that bring a cutter whose middle does not cut down onto material that it cannot cut."""

from typing import Any

import pytest

from advisor.choosing.advice import advise
from advisor.model.cutter import make_cutter
from advisor.model.operations import OperationRow
from tests.jobs.judged import LAYERS, POCKET, STEP, short_drill
from tests.jobs.small import EVERYDAY, STEEL, STRONG, drill, inserted, job, solid
from tests.review.planning import changed, reviewed, row

PLUNGING = "plunge_roughing"
I25 = inserted(25, dead_centre=12, LU=40)
F25 = make_cutter(
    id="F25", body="inserted_high_feed_mill", DC=25, APMX=1.2, LU=90, LPR=110, DN=23.8, DCONMS=25, RE=2, KAPR=18,
    ZEFP=3, RMPX=2, dead_centre=12,
)  # fmt: skip
HOLE: dict[str, Any] = {"kind": "round_hole", "depth": 20, "floor": True, "flat_floor": True}


def weights(feature: dict[str, Any], *crib: Any, **said: Any) -> dict[str, str]:
    """Return what a review finds in a plan with the first cutter of a crib, with its weight."""
    found = advise(job(feature, crib, STEEL, STRONG))
    plan = changed(OperationRow.model_construct(feature=("F1",), cutter=crib[0].id), **said)
    return {finding.rule.id: finding.weight for finding in reviewed(found, plan).findings}


@pytest.mark.parametrize("method", [LAYERS, PLUNGING])
def test_straight_down_with_inserts_into_solid_stops(method: str) -> None:
    assert weights(POCKET, I25, method=method, entry="axial_plunge")["no-end-cutting"] == "stop"
    assert "no-end-cutting" not in weights(POCKET, solid(20, 40), method=method, entry="axial_plunge")


def test_a_helix_in_too_narrow_a_pocket_stops() -> None:
    narrow, wide = POCKET | {"width": 37.5, "depth": 8}, POCKET | {"width": 45, "depth": 8}
    assert weights(narrow, I25, method=LAYERS, entry="helical_ramp")["helix-leaves-a-core"] == "stop"
    assert "helix-leaves-a-core" not in weights(wide, I25, method=LAYERS, entry="helical_ramp")


def test_boring_too_narrow_a_hole_with_inserts_stops() -> None:
    boring = {"method": "helical_boring", "entry": "helical_ramp"}
    assert weights(HOLE | {"diameter": 37}, I25, **boring)["bore-leaves-a-core-under-the-cutter"] == "stop"
    assert "bore-leaves-a-core-under-the-cutter" not in weights(HOLE | {"diameter": 39}, I25, **boring)


def test_a_bite_wider_than_the_inserts_stops() -> None:
    """25 mm less 12 mm leave 6.5 mm on each side."""
    deep = STEP | {"depth": 80}
    wide = weights(deep, F25, method=PLUNGING, entry="side_entry", radial_width=7.0)
    assert wide["plunge-bites-past-the-inserts"] == "stop"
    assert "plunge-bites-past-the-inserts" not in weights(
        deep, F25, method=PLUNGING, entry="side_entry", radial_width=6.5
    )


def test_down_a_hole_with_a_cutter_that_can_neither_cut_the_cone_nor_ramp_stops() -> None:
    blunt = I25.model_copy(update={"RMPX": None})
    hole = {"method": LAYERS, "entry": "predrilled_hole", "entry_cutter": "D28"}
    assert weights(POCKET, blunt, drill(28), **hole)["dead-centre-meets-the-cone"] == "stop"
    assert "dead-centre-meets-the-cone" not in weights(POCKET, I25, drill(28), **hole)


def test_plunging_where_the_side_of_the_cutter_would_do_is_to_be_changed() -> None:
    assert weights(STEP, solid(12, 36), method=PLUNGING, entry="side_entry")["side-cut-holds"] == "change"


@pytest.mark.parametrize("said", [{"entry": "predrilled_hole", "entry_cutter": "D28"}, {}])
def test_a_core_counts_as_drilled_away_only_where_the_plan_says_so(said: dict[str, str]) -> None:
    """Bore of 36.6 mm, cutter of 25 mm and dead centre of 12 mm; a drill lies in the crib."""
    flat = drill(28).model_copy(update={"point_angle": 180.0})
    found = weights(HOLE | {"diameter": 37}, I25, flat, method="helical_boring", **said)
    assert ("bore-leaves-a-core-under-the-cutter" in found) is (not said)
    assert "hole-narrower-than-the-cutter" not in found


@pytest.mark.parametrize("floor", [False, True])
def test_a_bore_round_a_drilled_hole_is_reviewed_as_it_is_advised(floor: bool) -> None:
    bore = {"kind": "round_hole", "diameter": 18.5, "depth": 60, "floor": floor, "purpose": "thread"}
    bore |= {} if floor else {"clearance_below": 10}
    mill = solid(12, 26, LU=70, LPR=76, DN=11.4, ZEFP=4, RMPX=4)
    found = advise(job(bore, [mill, short_drill(17.5, 91, LU=91, LPR=115)], STEEL, EVERYDAY))
    best = found.features[0].best
    assert best is not None
    assert (best.method, best.entry) == ("helical_boring", "predrilled_hole")
    told = reviewed(found, row("F1", best))
    assert not [finding for finding in told.findings if finding.weight != "consider"]
    (there,) = (one.candidate for one in told.operations)
    for name, value in best.facts.items():
        if name not in ("allowed_depth", "helix_beyond_hole", "held_by"):  # what a plan does not say
            assert there.facts[name] == pytest.approx(value), name


def test_the_feed_for_a_bore_round_a_hole_is_too_much_without_the_hole() -> None:
    """Buried, the cutter bends into a wall that is cut to size; beside a ring of 0.5 mm it does not."""
    bore = {"kind": "round_hole", "diameter": 18.5, "depth": 60, "floor": False, "clearance_below": 10}
    mill = solid(12, 26, LU=70, LPR=76, DN=11.4, ZEFP=4, RMPX=4)
    drilled = short_drill(17.5, 91, LU=91, LPR=115)
    said = {"method": "helical_boring", "axial_depth": 1.05, "feed_rate": 1800.0, "spindle_speed": 4370.0}
    found = advise(job(bore | {"purpose": "thread"}, [mill, drilled], STEEL, EVERYDAY))
    plain = changed(OperationRow.model_construct(feature=("F1",), cutter=mill.id), **said)
    through = changed(plain, entry="predrilled_hole", entry_cutter=drilled.id)
    bent = "cutter-bends-at-size"
    alone = {one.rule.id for one in reviewed(found, changed(plain, entry="helical_ramp")).findings}
    assert bent in alone
    assert bent not in {one.rule.id for one in reviewed(found, through).findings}


@pytest.mark.parametrize(("tip", "weight"), [(None, None), (31.57, None), (31.55, "stop"), (29.7, "stop")])
def test_a_core_is_judged_by_the_hole_that_the_plan_drills(tip: float | None, weight: str | None) -> None:
    """24 mm at 118 degrees: the hole is as wide as the core of 5.2 mm 1.562 mm above the tip; the plate is 30 mm thick.

    What a drill takes whose depth nobody says goes through.
    """
    hole = {"kind": "round_hole", "diameter": 46, "depth": 30, "floor": False, "clearance_below": 7.5}
    mill = solid(20, 40, ZEFP=4, RE=0.5, LU=52, LPR=62)
    wide = make_cutter(id="D24", body="drill", DC=24, APMX=80, ZEFP=2, point_angle=118)
    found = advise(job(hole | {"allowance_side": 0.4}, [mill, wide], STEEL, STRONG))
    first = changed(OperationRow.model_construct(feature=("F1",), cutter="D24"), method="drilling", axial_depth=tip)
    then = changed(
        OperationRow.model_construct(feature=("F1",), cutter="E20"),
        method="helical_boring", entry="predrilled_hole", entry_cutter="D24",
    )  # fmt: skip
    told = {finding.rule.id: finding.weight for finding in reviewed(found, first, then).findings}
    assert told.get("hole-leaves-a-core") == weight


@pytest.mark.parametrize(
    ("material", "groups", "weight"),
    [
        ("X38CrMoV5-1 hardened", "P H", None),
        ("X38CrMoV5-1 hardened", None, "consider"),
        ("X38CrMoV5-1 hardened", "P", "change"),
        ("X153CrMoV12 hardened", "P H", None),
        ("X153CrMoV12 hardened", None, "stop"),
        ("X153CrMoV12 hardened", "P", "stop"),
    ],
)
def test_a_plan_that_drills_hardened_steel_is_judged_by_what_the_drill_is_made_for(
    material: str, groups: str | None, weight: str | None
) -> None:
    """The first is of 48 to 52 HRC, the second of 58 to 60 HRC."""
    made = make_cutter(id="D9", body="drill", DC=9, APMX=60, ZEFP=2, TMC1ISO=groups)
    mill = solid(8, 20, ZEFP=6, TMC1ISO="P H")
    hole = {"kind": "round_hole", "diameter": 9, "depth": 12, "floor": True, "purpose": "clearance"}
    drilled = changed(OperationRow.model_construct(feature=("F1",), cutter="D9"), method="drilling")
    entered = changed(
        OperationRow.model_construct(feature=("F1",), cutter="E8"),
        method="engagement_limited_clearing", entry="predrilled_hole", entry_cutter="D9",
    )  # fmt: skip
    for feature, said in ((hole, drilled), (POCKET | {"depth": 12}, entered)):
        found = reviewed(advise(job(feature, [mill, made], material, STRONG)), said).findings
        told = [one.weight for one in found if "ground for" in one.text or "made for hardened" in one.text]
        assert told == ([weight] if weight else [])


@pytest.mark.parametrize(("DC", "stops"), [(30, True), (31, False), (34, False)])
def test_the_ramp_angle_of_the_cutter_holds_unless_its_middle_goes_over_the_hole(DC: float, stops: bool) -> None:
    """Bore 44.2 mm, cutter 32 mm, dead centre 18 mm: it goes over 30.2 mm; 1.9 mm a turn are 2.8 degrees."""
    bore = {"kind": "round_hole", "diameter": 45, "depth": 40, "floor": False, "clearance_below": 30}
    mill = inserted(32, LU=60, LPR=80, dead_centre=18, RMPX=0.6)
    said = {"method": "helical_boring", "entry": "predrilled_hole", "entry_cutter": f"D{DC}", "axial_depth": 1.9}
    found = weights(bore | {"allowance_side": 0.4}, mill, drill(DC), **said)
    assert ("steeper-than-the-cutter" in found) is stops
    assert "steeper-than-the-material-bears" not in found


def test_a_bore_is_as_much_narrower_as_the_plan_leaves_on_its_wall() -> None:
    """20 mm with 0.2 mm wanted on the wall; what would leave the cutter no circle does not count."""
    hole, cutter = HOLE | {"diameter": 20, "purpose": "bore"}, solid(10, 24)
    for side, bore in ((0.1, 19.8), (0.5, 19.0), (1.0, 18.0), (5.0, 19.6)):
        found = advise(job(hole, [cutter], STEEL, STRONG))
        plan = OperationRow.model_construct(feature=("F1",), cutter=cutter.id)
        said = changed(plan, method="helical_boring", entry="helical_ramp", allowance_side=side)
        assert reviewed(found, said).operations[0].candidate.facts["bore"] == pytest.approx(bore)


@pytest.mark.parametrize(("bottom", "told_of"), [(0.3, False), (0.05, True)])
def test_a_nub_lower_than_the_stock_on_the_floor_is_not_told(bottom: float, told_of: bool) -> None:
    """25 mm with a corner of 0.8 mm in a bore of 49.6 mm: a nub 0.27 mm high stays in the middle."""
    boring = {"method": "helical_boring", "entry": "helical_ramp", "allowance_side": 0.2}
    hole = HOLE | {"diameter": 50, "purpose": "mill"}
    cutter = inserted(25, dead_centre=12, LU=40, RE=0.8)
    told = weights(hole, cutter, allowance_bottom=bottom, **boring)
    assert "bore-leaves-a-core" not in told
    assert (told.get("bore-leaves-a-nub-on-the-floor") == "consider") is told_of


def test_a_helix_on_a_weak_spindle_is_reviewed_as_it_is_advised() -> None:
    """A plan that leaves the angle open has that of the advice; a steeper one is gone down with a thinner chip."""
    weak = EVERYDAY | {"spindle": {"speed": [2000, 4000, 10000], "power": [1.5, 2.2, 2.2]}}
    found = advise(job(POCKET, [solid(16, 32)], "EN AW-6082-T6", weak))
    chosen = next(one for one in found.features[0].candidates if (one.method, one.entry) == (LAYERS, "helical_ramp"))
    plan, names = row("F1", chosen), ("entry_angle", "helix_feed", "helix_time")
    for angle in (None, chosen.facts["entry_angle"]):
        facts = reviewed(found, changed(plan, ramp_angle=angle)).operations[0].candidate.facts
        assert [facts[name] for name in names] == pytest.approx([chosen.facts[name] for name in names])
    steep = reviewed(found, changed(plan, ramp_angle=8.0)).operations[0].candidate.facts
    assert float(steep["helix_feed"]) < 0.6 * float(chosen.facts["helix_feed"])
    assert float(steep["helix_time"]) > float(chosen.facts["helix_time"])


DEEP: dict[str, Any] = {
    "kind": "closed_pocket",
    "length": 60,
    "width": 40,
    "depth": 70,
    "corner_radius": 8,
    "floor": True,
}
LONG = solid(20, 75, LU=80, LPR=100, id="E20")
DOWN = {"cutter": "E20", "method": PLUNGING, "entry": "axial_plunge"}


def planned(*operations: dict[str, Any]) -> set[str]:
    """Return what a review finds in a plan of these operations in a deep pocket."""
    crib = (LONG, solid(12, 75, LU=80, LPR=100, id="E12"), drill(22))
    found = advise(job(DEEP, crib, STEEL, STRONG))
    told = [changed(OperationRow.model_construct(feature=("F1",), cutter=one["cutter"]), **one) for one in operations]
    return {finding.rule.id for finding in reviewed(found, *told).findings}


def test_the_first_plunge_of_a_row_goes_into_a_hole() -> None:
    """Straight into solid a whole pocket deep it was called good once. Source: common practice, no source."""
    first = "first-plunge-jams-the-chips"
    assert first in planned(DOWN)
    assert first not in planned({"cutter": "D22", "method": "drilling"}, DOWN), "the hole that was drilled lets it in"
    assert first not in planned(DOWN | {"entry": "predrilled_hole", "entry_cutter": "D22"})
    wide = {"cutter": "E20", "method": LAYERS, "entry": "helical_ramp"}
    assert first not in planned(wide, DOWN | {"cutter": "E12"}), "a wider cutter has cleared beside it"


def test_no_way_of_the_advice_begins_a_row_of_plunges_in_solid() -> None:
    found = advise(job(DEEP, [LONG], STEEL, STRONG)).features[0]
    plunged = [each for each in found.candidates if each.method == PLUNGING and each.entry == "axial_plunge"]
    assert plunged
    assert {each.grade for each in plunged} == {"forbidden"}
