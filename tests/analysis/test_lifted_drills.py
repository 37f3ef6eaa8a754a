"""What lifts what forbids a drill in a round hole: room beneath as the advice has it, never a drill of another size."""

from typing import Any

import pytest

from advisor.analysis.blockers import Lift
from advisor.analysis.comparison import Beside, beside
from advisor.analysis.repair import improvements
from advisor.analysis.rival import Wanted
from advisor.choosing.advice import advise
from advisor.model.cutter import Cutter
from advisor.render import terminal
from advisor.render.comparison_record import beside_record
from advisor.situation.bench import bench_of
from advisor.text.comparison import beside_blocks
from advisor.text.repairs import repair_text
from tests.jobs.small import STEEL, drill, job, solid

HITS, NEAR = "drill-point-hits-what-lies-beneath", "drill-point-has-little-room"
LOW: dict[str, Any] = {"kind": "round_hole", "diameter": 14, "depth": 20, "floor": False, "clearance_below": 2}
MILLS = (solid(10, 22, ZEFP=4), solid(8, 19, ZEFP=4))
D11, D13, D14, D17 = drill(11), drill(13), drill(14), drill(17)


def asked_why(hole: dict[str, Any], *crib: Cutter, cutter: str | None = None) -> Beside:
    """Return why a hole is not drilled, by a certain drill if one is named."""
    advice = advise(job(hole, (*MILLS, *crib), STEEL))
    return beside(advice.features[0], advice, Wanted("drilling", cutter))


def lifted(hole: dict[str, Any], *crib: Cutter, cutter: str | None = None) -> Lift:
    """Return what lifts what forbids to drill a hole."""
    found = asked_why(hole, *crib, cutter=cutter).lift
    assert found is not None
    return found


def said(found: Beside) -> str:
    """Return all that is said, in one line."""
    return " ".join(terminal.text(beside_blocks(found), 200).replace("\u00a0", " ").split())


@pytest.mark.parametrize("purpose", [{}, {"purpose": "clearance"}])
def test_room_beneath_lifts_two_rules_at_once_and_opens_the_drill(purpose: dict[str, str]) -> None:
    """A point of 14 mm at 140° is 2.548 mm long; 0.2 mm of full diameter and 0.5 mm beneath the tip come to it."""
    found = lifted(LOW | purpose, D14, cutter="D14")
    (change,) = found.changes
    assert found.opened == found.changes
    assert (change.whose, change.field, change.before, change.after) == ("feature", "clearance_below", 2, 3.3)
    assert found.rule.id == HITS
    assert [rule.id for rule in change.also] == [NEAR]
    assert change.then.grade == "good"


def test_both_rules_are_named_as_silent() -> None:
    found = asked_why(LOW, D14, cutter="D14")
    assert f"Clearance below 3.3 mm instead of 2 mm: {HITS} and {NEAR} no longer fire, and the way is good" in said(
        found
    )
    (change,) = beside_record(found)["lift"]["changes"]
    assert change["also_silent"] == [NEAR]
    assert change["still_forbidden_by"] == []


@pytest.mark.parametrize("low", [LOW, LOW | {"clearance_below": 0}, LOW | {"clearance_below": None}])
@pytest.mark.parametrize("drills", [(D14,), (D13, D14), (D11, D13, D14, D17)])
def test_as_much_room_is_asked_for_as_by_the_advice(low: dict[str, Any], drills: tuple[Cutter, ...]) -> None:
    hole = {name: value for name, value in low.items() if value is not None}
    assignment = job(hole, (*MILLS, *drills), STEEL)
    bench = bench_of(assignment)
    answer = advise(assignment, bench).features[0]
    texts = [repair_text(one) for one in improvements(answer, assignment.job.features[0], assignment.crib, bench)]
    told = next(text for text in texts if ": drilling, good" in text).replace("\u00a0", " ")
    after = lifted(hole, *drills).opened[0].after
    assert told.startswith(f"With {after:g} mm free below ")


def test_where_none_is_free_beneath_that_is_said() -> None:
    hole = {name: value for name, value in LOW.items() if name != "clearance_below"}
    assert "Clearance below 3.3 mm instead of none: " in said(asked_why(hole, D14, cutter="D14"))


def test_no_narrower_drill_is_offered_for_its_shorter_point() -> None:
    """One of 9.8 mm would stop above the table, and leave 2.1 mm on the wall of a hole that it should make."""
    for low in (LOW, LOW | {"purpose": "clearance"}, LOW | {"purpose": "ream"}):
        changes = lifted(low, D13, D14, cutter="D14").changes
        assert all(change.field != "DC" for change in changes)
    blind = {"kind": "round_hole", "diameter": 12, "depth": 20, "floor": True, "purpose": "clearance"}
    thin = lifted(blind | {"floor_thickness": 3}, drill(12), cutter="D12")
    assert thin.changes
    assert all(change.field != "DC" for change in thin.changes)


@pytest.mark.parametrize("wrong", [drill(6), D17])
def test_a_drill_of_the_wrong_size_is_lifted_by_the_right_one(wrong: Cutter) -> None:
    high = LOW | {"purpose": "clearance", "clearance_below": 10}
    changes = lifted(high, wrong, cutter=wrong.id).opened
    assert [(change.field, change.after) for change in changes if change.whose == "cutter"] == [("DC", 14)]


def test_a_single_change_that_does_not_open_the_way_is_told_in_the_singular() -> None:
    """The right size silences the rule about the size; the table is beneath as before."""
    text = said(asked_why(LOW | {"purpose": "clearance"}, D14, D17, cutter="D17"))
    told = "A single change lifts this rule, but others still forbid the way."
    assert f"{told} Without it, {HITS} would still forbid the way." in text
