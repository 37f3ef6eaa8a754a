"""Layers beside a thin wall: narrowed where it is tall, and never at the whole width of the cutter beside it.

Source of each: common practice, no source.
"""

from typing import Any

import pytest

from advisor.choosing.advice import advise, cautions_for
from advisor.model.candidate import Candidate
from advisor.text.causes import cause_text
from tests.jobs.small import EVERYDAY, asked, inserted, job, solid

LAYERS = "layered_pocketing"
ROOMY: dict[str, Any] = {
    "kind": "closed_pocket",
    "length": 140,
    "width": 90,
    "depth": 30,
    "corner_radius": 8,
    "floor": True,
    "thinnest_wall": 1.5,
}
SHORT = solid(12, 32, id="SHORT", LU=32, LPR=40)
LONG = solid(12, 16, id="LONG", LU=64, LPR=72, DN=11.5)


def layers(**feature: Any) -> Candidate:
    """Return layers with the short cutter on a helix in the roomy pocket, or in one that is a little different."""
    found = asked(ROOMY | feature, [SHORT]).candidates
    return next(each for each in found if each.method == LAYERS and each.entry == "helical_ramp")


def share(found: Candidate) -> float:
    """Return the radial width as a share of the cutter's diameter."""
    return float(found.facts["radial_share"])


def fired(found: Candidate) -> set[str]:
    """Return the rules that fired."""
    return {rule.id for rule in found.fired}


@pytest.mark.parametrize(("height", "narrow"), [(22.5, False), (22.8, True), (30, True)])
def test_beside_a_wall_above_fifteen_times_its_thickness_layers_are_narrowed(height: float, narrow: bool) -> None:
    found = layers(depth=height)
    assert found.grade == "good"
    assert share(found) == pytest.approx(0.45 if narrow else 0.65)
    causes = [cause_text(held.cause) for held in found.plan.held if held.setting == "radial_width"]
    assert causes == ([f"at most 45% of DC beside a wall {height / 1.5:.3g} times as high as thick"] if narrow else [])


def test_the_short_cutter_comes_before_the_long_one_of_the_same_width() -> None:
    """Both cut 5.4 mm wide then, in as many levels, in the same time; the long one bends more than twice as much."""
    best = asked(ROOMY, [LONG, SHORT]).best
    assert best is not None
    assert (best.plan.cutter.id, best.method, best.grade) == ("SHORT", LAYERS, "good")


def test_where_the_length_of_a_cutter_leaves_less_the_wall_takes_nothing_more() -> None:
    """Half of 65 % is 32.5 %: less than the 45 % for the wall, and told as the cause."""
    limp = solid(12, 16, id="LIMP", LU=100, LPR=108, DN=11)
    found = next(each for each in asked(ROOMY, [limp]).candidates if each.method == LAYERS)
    assert share(found) < 0.33
    assert [cause_text(held.cause)[:12] for held in found.plan.held if held.setting == "radial_width"] == [
        "cutter bends"
    ]


@pytest.mark.parametrize(("wall", "told"), [(1.5, False), (1.45, True)])
def test_a_pocket_hardly_wider_than_the_cutter_is_no_place_for_layers_at_whole_width_beside_a_thin_wall(
    wall: float, told: bool
) -> None:
    """12 mm are 8 times 1.5 mm. The opening cut is the whole pocket but some millimetres, and goes along the wall."""
    found = layers(length=80, width=19.5, depth=15, thinnest_wall=wall)
    assert share(found) == 1
    assert ("whole-width-beside-a-thin-wall" in fired(found)) is told
    assert (found.grade == "poor") is told


def test_in_a_roomy_pocket_the_opening_cut_goes_down_the_middle_and_says_nothing_of_the_wall() -> None:
    assert "whole-width-beside-a-thin-wall" not in fired(layers(depth=20, thinnest_wall=0.9))


LEDGE: dict[str, Any] = {"kind": "step", "length": 200, "width": 40, "depth": 30, "thinnest_wall": 1.5}


@pytest.mark.parametrize(("height", "narrow"), [(22.5, False), (22.8, True), (30, True)])
def test_a_face_cutter_beside_a_thin_wall_is_held_as_any_other_side_cut(height: float, narrow: bool) -> None:
    """A step of 40 mm with a 50 mm cutter: one pass, or two of 20 mm beside the tall wall; levels of 6 mm at most."""
    found = next(
        each for each in asked(LEDGE | {"depth": height}, [inserted(50)]).candidates if each.method == "face_milling"
    )
    assert (share(found) <= 0.45) is narrow
    assert found.plan is not None
    assert found.plan.axial_depth <= 4 * 1.5
    assert "wide-layers-beside-a-thin-wall" not in fired(found)
    causes = [cause_text(held.cause) for held in found.plan.held if held.setting == "radial_width"]
    assert causes == ([f"at most 45% of DC beside a wall {height / 1.5:.3g} times as high as thick"] if narrow else [])


CLEAN: dict[str, Any] = {"kind": "closed_pocket", "length": 100, "width": 55, "depth": 16, "floor": True}


def cautions(machine: dict[str, Any], **feature: Any) -> tuple[Candidate, set[str]]:
    """Return layers with a 20 mm cutter in a pocket beside a wall of 2 mm, and the cautions of it."""
    crib = [solid(20, 45, LU=60, LPR=70)]
    found = advise(job(CLEAN | {"thinnest_wall": 2} | feature, crib, "UNS M11311", machine))
    way = next(each for each in found.features[0].candidates if each.method == LAYERS)
    return way, {rule.id for rule in cautions_for(way, found.bench)}


def test_where_the_torque_of_the_spindle_decides_no_stiffer_cutter_is_asked_for() -> None:
    """The tables' cut asks 1.4 times what the spindle is planned to give; the wall bends more than the tip as well."""
    weak = EVERYDAY | {"spindle": {"speed": [1200, 12000], "power": [0.44, 4.4]}}
    found, told = cautions(weak)
    assert found.facts["held_by"] == "spindle"
    assert float(found.facts["rate_kept"]) < 0.7 <= float(found.facts["load_kept"])
    assert "machine-held-back" in told
    assert not told & {"cutter-held-back", "wall-held-back"}


def test_tip_and_wall_together_are_the_deflection_that_the_allowance_covers() -> None:
    facts = layers(depth=20).facts
    tip, wall = float(facts["tip_deflection"]), float(facts["wall_deflection"])
    assert tip > 0 < wall
    assert tip + wall == pytest.approx(float(facts["deflection"]))
    assert float(facts["wall_part"]) == pytest.approx(wall / (tip + wall))
