"""A plan for a thin wall or over a thin floor: deep levels, little stock, and what goes straight down."""

import pytest

from advisor.readers.plan_line import plan_said
from advisor.review.verdict import Review, review
from tests.review.planning import advice, assignment, changed, reviewed, row

VANE = "vane-bracket-thin-floor"


def said(text: str) -> Review:
    """Return the review of a spoken plan for the bracket: a wall of 1.2 mm, a floor of 2 mm."""
    found = assignment(VANE)
    return review(plan_said([text], [cutter.id for cutter in found.crib], "mm"), found)


def weights(found: Review) -> dict[str, str]:
    """Return the rules of all findings with their weights."""
    return {finding.rule.id: finding.weight for finding in found.findings}


@pytest.mark.parametrize(("depth", "told"), [(4.75, False), (4.8, False), (5.5, False), (5.6, True), (9.5, True)])
def test_levels_deeper_than_four_times_the_thin_wall_are_to_be_changed(depth: float, told: bool) -> None:
    best = advice(VANE).features[0].best
    assert best is not None
    found = reviewed(advice(VANE), changed(row("P1", best), axial_depth=float(depth), levels=None))
    assert (weights(found).get("level-too-deep-for-the-wall") == "change") is told


def test_the_whole_wall_in_one_level_is_a_stop() -> None:
    """19 mm beside 1.2 mm with 1 mm left on it: nearly nine times as high as thick, and nothing holds it."""
    best = advice(VANE).features[0].best
    assert best is not None
    found = weights(reviewed(advice(VANE), changed(row("P1", best), axial_depth=19.0, levels=None)))
    assert found["thin-wall-cut-free-in-one-level"] == "stop"
    assert "level-too-deep-for-the-wall" not in found


@pytest.mark.parametrize(("bottom", "told"), [(1.0, True), (2.0, True), (2.1, False)])
def test_where_enough_stays_under_the_last_level_it_may_be_as_deep_as_any(bottom: float, told: bool) -> None:
    """A floor of 2 mm; more than 4 mm under the level is firm."""
    found = said(f"P1: layered pocketing E12 helical ramp ap {(20 - bottom) / 2:g} levels 2 ae 5 bottom {bottom:g}")
    told_of = {"last-level-too-thick-over-a-thin-floor", "last-level-thick-over-a-stiff-floor"}
    assert bool(set(weights(found)) & (told_of | {"last-level-tears-the-floor"})) is told


def test_one_level_with_little_stock_bends_the_wall_into_the_cut() -> None:
    """19 mm beside 1.2 mm with 0.3 mm left: some tenths, more than is left to finish."""
    found = said("P1: engagement limited clearing E12 helical ramp ap 19 ae 2 side 0.3")
    assert weights(found)["bends-so-far-that-it-breaks"] == "stop"


@pytest.mark.parametrize(("tip", "stops"), [(19, False), (19.4, False), (19.41, True), (19.9, True)])
def test_what_stays_under_the_tip_decides_about_a_drill_over_a_thin_floor(tip: float, stops: bool) -> None:
    """20 mm and a floor of 2 mm: under 13 mm a fifth of that, 2.6 mm, must stay."""
    found = weights(said(f"P1: drilling D13 ap {tip}; P1: E12 predrilled hole with D13"))
    assert (found.get("drilled-over-a-thin-floor") == "stop") is stops
    assert (found.get("hole-over-a-thin-floor") == "stop") is stops


@pytest.mark.parametrize(("bottom", "stops"), [(1, False), (0.6, False), (0.59, True), (0.3, True)])
def test_a_way_in_by_a_drill_is_judged_by_what_it_leaves_of_the_floor(bottom: float, stops: bool) -> None:
    found = weights(said(f"P1: E12 predrilled hole with D13 bottom {bottom}"))
    assert (found.get("hole-over-a-thin-floor") == "stop") is stops


def test_a_plunge_onto_a_thin_floor_is_a_stop() -> None:
    assert weights(said("P1: layered pocketing E12 axial plunge"))["plunge-into-a-thin-floor"] == "stop"
    assert weights(said("P1: plunge roughing E12"))["plunge-onto-a-thin-floor"] == "stop"


def test_a_helix_with_the_levels_of_the_advice_is_no_finding() -> None:
    found = said("P1: layered pocketing E12 helical ramp")
    assert {one.weight for one in found.findings} <= {"consider"}
