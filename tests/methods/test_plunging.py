"""Plunging beside a cut with the side: the longer the cutter, the more speaks for the plunge.

Source of each: common practice, no source.
"""

from collections.abc import Callable
from typing import Any

import pytest

from advisor.model.candidate import GRADES, Candidate
from advisor.model.cutter import Cutter, make_cutter
from tests.jobs.small import ALUMINIUM, STEEL, STRONG, asked, inserted, solid

OPEN: dict[str, Any] = {
    "kind": "open_pocket", "length": 120, "width": 80, "floor": True, "open_sides": 2, "open_at": "corner"
}  # fmt: skip


def end_mill(LPR: float) -> Cutter:
    return solid(12, 26, LU=LPR - 5, LPR=LPR, DN=11.5, RE=0)


def shoulder_mill(LPR: float) -> Cutter:
    return inserted(20, LU=LPR - 5, LPR=LPR, dead_centre=8)


def high_feed_mill(LPR: float) -> Cutter:
    return make_cutter(
        id="F16", body="inserted_high_feed_mill", DC=16, APMX=1, LU=LPR - 5, LPR=LPR, DN=15.2, KAPR=17, RMPX=3, ZEFP=2,
        dead_centre=6,
    )  # fmt: skip


def plunged(cutter: Cutter, material: str) -> Candidate:
    found = asked(OPEN | {"depth": 5 * cutter.DC}, [cutter], material, STRONG).candidates
    return next(each for each in found if each.method == "plunge_roughing")


@pytest.mark.parametrize("make", [end_mill, shoulder_mill, high_feed_mill])
@pytest.mark.parametrize("material", [STEEL, ALUMINIUM])
def test_a_longer_cutter_always_bends_more_in_the_same_thin_side_cut(
    make: Callable[[float], Cutter], material: str
) -> None:
    """From 6 to 11 diameters of slenderness, over 8 where the levels of the tables get thinner."""
    DC = make(100).DC
    ways = [plunged(make(length * DC), material) for length in (7.5, 8, 8.5, 9, 9.5, 10, 10.5, 11, 12, 13, 14)]
    slender = [float(one.facts["slenderness"]) for one in ways]
    bends = [float(one.facts["side_bend_share"]) for one in ways]
    assert slender[0] < 8 < slender[-1] < 12
    assert len({one.facts["side_cut_depth"] for one in ways}) == 1
    assert bends == sorted(bends)
    grades = [GRADES.index(one.grade) for one in ways]
    assert grades == sorted(grades, reverse=True)


@pytest.mark.parametrize(("LPR", "grade"), [(122, "good"), (123, "good"), (140, "good"), (115, "good"), (110, "poor")])
def test_a_slender_end_mill_is_plunged_on_both_sides_of_eight_diameters(LPR: float, grade: str) -> None:
    """12 mm, neck 11.5 mm, steel: at 122 mm it bends like a bar of 8 diameters."""
    four = end_mill(LPR).model_copy(update={"ZEFP": 4})
    assert plunged(four, STEEL).grade == grade
