"""Measures worked out by the formulas of the register."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from advisor.knowledge.shipped import rule_base
from advisor.mechanics.motion import loop_length
from advisor.situation.derived import work_out, worked_out
from tests.situation.register import modules, worked_out_by_the_register

BASE, WORKED_OUT = rule_base(), worked_out_by_the_register()
OTHERWISE = {  # written in Python too, and why
    "axial_ratio": "of an operation that no method works out",
    "flute_use": "of an operation that no method works out",
    "gap_spare": "0 where no walls face each other, for the one formula that reads it",
    "path_length": "of passes and rings, whose time is counted with it",
    "bend_beyond_allowance": "taken over from facts with the gap of before",
    "rest_over_ream": "held to 0 or more",
}


def written(path: Path) -> Iterator[str]:
    """The names that a module writes a value for: keys of dicts, subscripts that are assigned to, pairs in a tuple."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        match node:
            case ast.Dict(keys=keys):
                yield from (key.value for key in keys if isinstance(key, ast.Constant))
            case ast.Subscript(slice=ast.Constant(value=name), ctx=ast.Store()):
                yield name
            case ast.Tuple(elts=[ast.Constant(value=str() as name), value]) if not isinstance(value, ast.Constant):
                yield name


def test_what_the_register_works_out_is_written_nowhere_else() -> None:
    twice = {(path.name, name) for path, _ in modules() for name in written(path) if name in WORKED_OUT}
    assert {name for _, name in twice} == set(OTHERWISE)


def test_however_names_are_handed_over_they_are_found() -> None:
    """In a tuple of a module, as names of a plan, one by one, and on the spot."""
    assert {"depth_ratio", "last_depth", "plunge_thrust", "level_over_wall", "rest_over_bore"} <= WORKED_OUT
    assert all(BASE.measures[name].formulas for name in WORKED_OUT)


def test_a_slot_hardly_wider_than_the_cutter_leaves_tiny_loops() -> None:
    slot = {"fit_width": 14.5, "side_allowance": 0.3, "DC": 12.0}
    assert worked_out(("loop_radius",), slot, limits={})["loop_radius"] == pytest.approx(0.95)


def test_a_slot_with_no_room_for_a_loop_says_so_by_a_radius_of_nothing_or_less() -> None:
    slot = {"side_allowance": 0.5, "DC": 12.0}
    assert worked_out(("loop_radius",), slot | {"fit_width": 13.0}, limits={}) == {"loop_radius": 0}
    assert float(worked_out(("loop_radius",), slot | {"fit_width": 12.0}, limits={})["loop_radius"]) < 0


def test_a_measure_whose_facts_are_absent_stays_absent_and_so_does_what_rests_on_it() -> None:
    wanted = ("foot_height", "foot_width", "shank_gap")
    facts = {"APMX": 20.0, "KAPR": 45.0, "DC": 12.0, "DCONMS": 10.0, "overcut": 1.0}
    assert worked_out(wanted, facts, limits={}) == {"shank_gap": 1}
    assert worked_out(wanted, facts | {"depth_to_cut": 11.0}, limits={}) == {
        "foot_height": 10, "foot_width": pytest.approx(10), "shank_gap": 1
    }  # fmt: skip


def test_nothing_is_divided_by_nought() -> None:
    assert worked_out(("wall_slenderness",), {"wall_height": 20.0, "thinnest_wall": 0.0}, limits={}) == {}


def test_of_several_formulas_that_of_the_circumstances_is_taken() -> None:
    facts = {"planned_side_allowance": 0.4, "drilled_over_ream": 1.0, "hole_left_most": 0.2}
    assert worked_out(("rest_over_ream",), facts | {"method": "drilling"}, limits={}) == {"rest_over_ream": 1}
    assert worked_out(("rest_over_ream",), facts | {"method": "helical_boring"}, limits={}) == {"rest_over_ream": 2}


def test_what_is_there_already_is_worked_out_anew() -> None:
    facts = {"depth": 20.0, "DC": 10.0, "depth_ratio": 3.0}
    work_out(("depth_ratio",), facts, {})  # type: ignore[arg-type]
    assert facts["depth_ratio"] == 2


def test_a_measure_without_a_formula_is_refused() -> None:
    with pytest.raises(KeyError, match="no formula"):
        work_out(("slenderness",), {}, {})


def test_small_loops_turn_the_axes_round_more_often() -> None:
    def reversals(radius: float) -> float:
        facts = {"loop_way": loop_length(radius, 1.2), "feed_rate": 3000.0}
        return float(worked_out(("reversals_per_minute",), facts, limits={})["reversals_per_minute"])

    assert reversals(0.95) == pytest.approx(2 * 3000 / (5.969 + 1.2), rel=1e-3)
    assert reversals(0.95) > 3 * reversals(4)


def test_a_tooth_strikes_as_often_as_teeth_and_turns_have_it() -> None:
    assert worked_out(("tooth_frequency",), {"spindle_speed": 9000.0, "ZEFP": 3.0}, limits={}) == {
        "tooth_frequency": 450
    }
