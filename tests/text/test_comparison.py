"""The advised way and another, as they are shown beside each other."""

import json

import pytest

from advisor.analysis.comparison import Beside, beside
from advisor.analysis.rival import Wanted
from advisor.render import markdown, terminal
from advisor.render.comparison_record import beside_record
from advisor.situation.pairings import ways
from advisor.text.comparison import beside_blocks
from tests.cases import worked

ASKED = [
    (name, found.region.id, method)
    for name, found in worked.every_feature()
    for method, way in ways().items()
    if found.region.kind in way.features
]


def compared(name: str, feature: str, wanted: Wanted) -> Beside:
    return beside(worked.feature(name, feature), worked.advice(name), wanted)


@pytest.mark.parametrize(("name", "feature", "method"), ASKED)
def test_every_method_of_the_kind_is_answered_on_any_page(name: str, feature: str, method: str) -> None:
    found = compared(name, feature, Wanted(method))
    blocks = tuple(beside_blocks(found))
    for columns in (50, 80):
        shown = terminal.text(blocks, columns)
        assert max(map(len, shown.splitlines())) <= columns
        assert not {"None", "nan", "inf"} & set(shown.split())
    assert markdown.text(blocks).startswith("# ")
    record = json.loads(json.dumps(beside_record(found), allow_nan=False))
    assert record["same"] is (found.rival is not None and found.rival is found.answer.best)
    assert bool(record["deciding"]) is not bool(record["note"]), "either what decides, or why nothing does"
    if record["instead"] and record["instead"]["grade"] == "forbidden":
        needs_a_drill = found.rival is not None and found.rival.drill is not None  # and may need another one as well
        assert record["lift"]["changes"] or needs_a_drill
        assert record["instead"]["time_s"] is None


def test_loads_settings_and_times_stand_row_by_row() -> None:
    shown = terminal.text(beside_blocks(compared("guide-slot-narrow", "S1", Wanted("layered_pocketing"))), 80)
    for label in ["grade", "levels", "axial", "radial", "feed", "power", "torque", "deflection", "time", "entry"]:
        assert any(line.split()[:1] == [label] for line in shown.splitlines()), label
    assert "time, in the cut" in shown
    assert "13\u00a0s" in shown
    assert "26\u00a0s" in shown


def test_on_a_narrow_page_each_value_says_whose_it_is() -> None:
    shown = terminal.text(beside_blocks(compared("gear-cover-strong-spindle", "P1", Wanted(cutter="E16"))), 50)
    assert "grade: advised good, compared good" in shown


def test_asking_for_what_is_advised_is_met_kindly() -> None:
    found = compared("guide-slot-narrow", "S1", Wanted("ramped_slotting"))
    assert found.same
    assert "That is the advised way: ramped slotting, E10, zigzag ramp" in terminal.text(beside_blocks(found), 200)


def test_a_method_of_another_kind_is_told_what_it_is_for() -> None:
    shown = terminal.text(beside_blocks(compared("guide-slot-narrow", "S1", Wanted("drilling"))), 200)
    assert "Drilling is meant for: round hole." in shown


def test_a_crib_without_a_cutter_for_the_method_is_told_which_to_put_in() -> None:
    shown = terminal.text(beside_blocks(compared("guide-slot-narrow", "S1", Wanted(None, "E6", "side_entry"))), 200)
    assert "None of the" in shown
    assert "possible entries:" in " ".join(shown.split())
    assert "zigzag_ramp" in shown


def test_the_input_that_would_lift_a_rule_is_told_with_what_comes_of_it() -> None:
    found = compared("keyway-with-allowance", "S1", Wanted("engagement_limited_clearing"))
    shown = " ".join(terminal.text(beside_blocks(found), 80).split())
    assert "width ratio 1.13 < 1.15 (loop_room_ratio_least)" in shown.replace("\u00a0", " ")
    assert "Width 13.8 mm instead of 13.6 mm: no-room-to-loop no longer fires" in shown.replace("\u00a0", " ")


def test_where_nothing_lifts_alone_that_is_said() -> None:
    found = compared("valve-block-no-way", "P1", Wanted("engagement_limited_clearing"))
    shown = " ".join(terminal.text(beside_blocks(found), 80).split())
    assert "lifts this rule, but others still forbid the way" in shown
    assert "holder-hits still forbids the way" in shown
