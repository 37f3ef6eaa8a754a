"""Feed and speed of drills in a plan: those with inserts by the data of inserts, those of solid carbide by their own.

Source of each: common practice, no source. A drill with inserts of 27.5 mm in structural steel: 0.08 to 0.15 mm a turn
at 180 to 220 m/min; at three times that feed its inserts break on entry. A solid drill at twice its speed loses its
corners in a few holes.
"""

from typing import Any

import pytest

from advisor.model.cutter import Cutter, make_cutter
from advisor.readers.plan_line import plan_said
from advisor.review.verdict import Review, review
from tests.jobs.small import ALUMINIUM, EVERYDAY, STEEL, STRONG, drill, job, solid

STRUCTURAL, STAINLESS, IRON = "S355J2", "X5CrNi18-10", "EN-GJL-250"
HOLE: dict[str, Any] = {"kind": "round_hole", "diameter": 27.5, "depth": 50, "floor": False, "clearance_below": 20}
INSERTS = make_cutter(id="U27", body="drill", DC=27.5, APMX=85, ZEFP=1)
BREAKS, BURNS = "feed-breaks-the-inserts-of-a-drill", "speed-burns-the-corners-of-a-drill"


def told(feature: dict[str, Any], crib: list[Cutter], material: str, *lines: str, machine: Any = STRONG) -> Review:
    """Return the review of a plan."""
    return review(plan_said(list(lines), [one.id for one in crib], "mm"), job(feature, crib, material, machine))


def weights(found: Review) -> dict[str, str]:
    """Return what is found, by rule."""
    return {one.rule.id: one.weight for one in found.findings}


def inserts(said: str, machine: Any = STRONG, cutter: Cutter = INSERTS) -> Review:
    """Return the review of a plan that drills 27.5 mm into structural steel."""
    hole = HOLE | {"purpose": "clearance"}
    return told(hole, [cutter], STRUCTURAL, f"F1: drilling {cutter.id} {said} coolant flood", machine=machine)


@pytest.mark.parametrize("said", ["n 2315 fz 0.12", "n 2080 fz 0.13", "n 2545 fz 0.1", "vf 278 n 2315"])
def test_of_the_right_plan_nothing_is_found(said: str) -> None:
    """180, 200, 220 m/min at 0.1 to 0.13 mm a turn."""
    assert weights(inserts(said)) == {}


@pytest.mark.parametrize("fed", [0.45, 0.35, 0.33])
@pytest.mark.parametrize("machine", [STRONG, EVERYDAY])
def test_at_the_feed_of_a_solid_drill_the_inserts_break(fed: float, machine: dict[str, Any]) -> None:
    """S355: 0.13 mm a turn; with 2.5 times that they break, on a weak spindle too, and one remedy is enough."""
    found = inserts(f"n 2315 fz {fed}", machine)
    assert weights(found) == {BREAKS: "stop"}
    assert "Feed 0.13" in found.findings[0].text


def test_between_the_tables_and_that_feed_the_edge_wears() -> None:
    assert weights(inserts("n 2315 fz 0.2")) == {"chip-too-thick": "change"}


def test_a_drill_with_an_exchangeable_tip_bears_a_feed_that_breaks_inserts() -> None:
    tip = make_cutter(id="T27", body="drill", DC=27.5, APMX=85, ZEFP=2)
    assert weights(inserts("n 1200 fz 0.17", cutter=tip)) == {}


def test_at_a_sixth_of_their_feed_inserts_rub() -> None:
    assert weights(inserts("n 2315 fz 0.02"))["drill-fed-too-little"] == "stop"


def test_a_drill_with_inserts_for_the_way_in_is_judged_by_its_own_data() -> None:
    pocket = {"kind": "closed_pocket", "length": 150, "width": 100, "depth": 40, "floor": True}
    crib = [solid(25, 50, ZEFP=4), INSERTS]
    clears = "F1: engagement_limited_clearing E25 predrilled_hole U27 coolant flood"
    for fed, wanted in ((0.12, {}), (0.45, {BREAKS: "stop"})):
        found = told(pocket, crib, STRUCTURAL, f"F1: drilling U27 n 2315 fz {fed} coolant flood", clears)
        assert {one.rule.id: one.weight for one in found.findings if one.operation == 1} == wanted


@pytest.mark.parametrize("material", [STEEL, STAINLESS, IRON])
def test_a_carbide_drill_at_twice_its_speed_loses_its_corners(material: str) -> None:
    hole, crib = HOLE | {"diameter": 10, "depth": 20, "purpose": "clearance"}, [drill(10)]
    right = float(told(hole, crib, material, "F1: drilling D10").operations[0].candidate.facts["wanted_speed"])

    def at(times: float) -> dict[str, str]:
        said = f"F1: drilling D10 n {times * right:.0f} fz 0.08 coolant flood"
        return weights(told(hole, crib, material, said, machine=EVERYDAY))

    assert at(2.01)[BURNS] == "stop"
    assert "speed-burns-the-edge" not in at(2.01)
    assert at(1.98)["speed-burns-the-edge"] == "change"
    assert BURNS not in at(1.98)


def test_an_aluminium_hole_bears_twice_the_speed() -> None:
    hole = HOLE | {"diameter": 10, "depth": 20, "purpose": "clearance"}
    assert BURNS not in weights(told(hole, [drill(10)], ALUMINIUM, "F1: drilling D10 n 20000 fz 0.12 coolant flood"))


def test_of_three_times_the_speed_one_stop_is_told() -> None:
    hole = HOLE | {"diameter": 10, "depth": 20, "purpose": "clearance"}
    found = weights(told(hole, [drill(10)], STEEL, "F1: drilling D10 n 9800 fz 0.08 coolant flood", machine=EVERYDAY))
    assert found.get("speed-burns-off-the-edge") == "stop"
    assert BURNS not in found
