"""What a cut at full width leaves on the walls of a slot is taken in passes no wider than the tables have it there."""

from math import ceil
from typing import Any

import pytest

from advisor.model.candidate import Candidate
from tests.jobs.small import STEEL, STRONG, asked, inserted, solid

HARD = "X38CrMoV5-1 hardened"
SLOT: dict[str, Any] = {"kind": "slot", "length": 60, "width": 10.7, "depth": 5, "floor": True, "open_ends": 2}


def ramped(width: float, material: str, teeth: int = 4) -> Candidate:
    found = asked(SLOT | {"width": width}, [solid(8, 19, ZEFP=teeth, LU=25, LPR=30, DN=7.7)], material)
    return next(one for one in found.candidates if one.method == "ramped_slotting" and one.plan is not None)


def number(found: Candidate, name: str) -> float:
    return float(found.facts[name])


def test_in_hardened_steel_the_stock_on_the_walls_is_taken_in_several_narrow_passes() -> None:
    """Hardened steel bears 0.03 to 0.06 of DC at a deep cut: 1.2 mm and more a wall are no single pass of 8 mm."""
    found = ramped(10.7, HARD)
    assert number(found, "wall_pass_width") <= 0.06 * 8 + 1e-9
    assert number(found, "wall_passes") == ceil(number(found, "wall_spare") / (0.06 * 8))
    assert number(found, "wall_passes") * number(found, "wall_pass_width") == pytest.approx(number(found, "wall_spare"))


def test_a_little_stock_on_the_walls_is_one_pass() -> None:
    found = ramped(9, STEEL)
    assert 0 < number(found, "wall_spare") < 0.1 * 8
    assert number(found, "wall_passes") == 1


def test_the_time_of_the_wall_passes_is_their_way_over_their_feed() -> None:
    """Two walls of 60 mm, so many passes on each, in one level of 5 mm less the floor's allowance."""
    found = ramped(10.7, HARD)
    way = 2 * 60 * number(found, "wall_passes") * number(found, "wall_levels")
    assert number(found, "wall_levels") == 1
    assert number(found, "wall_depth") == pytest.approx(number(found, "depth_to_cut"), abs=0.01)
    assert number(found, "walls_time") == pytest.approx(60 * way / number(found, "wall_feed"))


def test_a_slot_as_wide_as_its_cutter_and_allowances_has_no_wall_passes() -> None:
    found = ramped(8.6, STEEL)
    assert number(found, "wall_spare") <= 0, "0.3 mm stays on each wall, which is its allowance"
    assert number(found, "walls_time") == 0
    assert "wall_passes" not in found.facts


def test_the_passes_are_told_with_number_width_depth_and_feed() -> None:
    found = asked(SLOT | {"width": 9}, [solid(8, 19, ZEFP=4, LU=25, LPR=30, DN=7.7)], STEEL)
    assert found.best is not None
    assert found.best.method == "ramped_slotting"
    assert "slot-rest-on-walls" in {rule.id for rule in found.cautions}
    rule = next(rule for rule in found.cautions if rule.id == "slot-rest-on-walls")
    for name in ("wall_passes", "wall_pass_width", "wall_depth", "wall_feed", "walls_time"):
        assert f"{{{name}" in rule.because


def test_along_the_middle_the_cutter_may_bend_into_what_a_later_pass_takes() -> None:
    """A long cutter of 32 mm in a slot of 40 mm: 3.5 mm and the allowance of 0.5 mm stay on each wall."""
    long = inserted(32, LU=120, LPR=130, DN=28, ZEFP=4)
    feature = SLOT | {"length": 200, "width": 40, "depth": 30}
    found = asked(feature, [long], STEEL, STRONG)
    middle = next(one for one in found.candidates if one.method == "ramped_slotting" and one.plan is not None)
    assert number(middle, "wall_spare") == pytest.approx(3.5)
    assert 3 * number(middle, "deflection") > number(middle, "planned_side_allowance") == 0.5
    assert number(middle, "deflection_share") == pytest.approx(3 * number(middle, "deflection") / 1.0)
    assert middle.plan is not None
    assert not [held for held in middle.plan.held if held.setting == "feed_per_tooth"]


def test_a_long_cutter_takes_the_stock_on_the_walls_in_more_levels() -> None:
    """Only the allowance covers what it bends by there."""
    slim = solid(8, 40, ZEFP=4, LU=40, LPR=60)
    short = solid(8, 40, ZEFP=4, LU=40, LPR=45)
    feature = SLOT | {"width": 10.4, "depth": 20, "allowance_side": 0.2}
    levels = []
    for cutter in (short, slim):
        found = asked(feature, [cutter], STEEL)
        levels += [number(one, "wall_levels") for one in found.candidates if one.method == "ramped_slotting"][:1]
    assert 1 <= levels[0] < levels[1]
