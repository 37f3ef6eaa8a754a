"""How deep a plan sends a drill in a through hole: by its tip, unless its overcut says that it is the full diameter.

13 mm at 140 degrees have a point of 13 / (2 tan 70°) = 2.366 mm, so in a plate of 25 mm the full diameter reaches the
bottom with the tip at 27.366 mm.
"""

import pytest

from advisor.readers.plan_line import plan_said
from advisor.review.verdict import Review, review
from advisor.text.findings import advised_text, not_said_text
from tests.jobs.small import drill, job

PLATE = {"kind": "round_hole", "id": "H", "diameter": 13, "depth": 25, "floor": False, "purpose": "clearance"}
LITTLE = {"drill-point-has-little-room": "change"}
NEAR = {"drill-goes-near-what-lies-beneath": "change"}
WATCHED = {
    "drill-does-not-come-through",
    "drill-stops-for-want-of-room",
    "drill-hardly-comes-through",
    "drill-point-hits-what-lies-beneath",
    "drill-goes-too-far-for-the-room",
    "drilled-too-shallow",
    *LITTLE,
    *NEAR,
}
NOT_THROUGH = {"drill-does-not-come-through": "change"}
HARDLY = {"drill-hardly-comes-through": "consider"}
NO_ROOM = {"drill-stops-for-want-of-room": "consider"}
HITS = {"drill-point-hits-what-lies-beneath": "stop"}


def drilled(said: str, **beneath: float) -> Review:
    """Return the review of a plan that drills the plate with a 13 mm drill."""
    return review(plan_said([f"H: drilling D13 {said}"], ["D13"], "mm"), job(PLATE | beneath, [drill(13)], "C45"))


def found(said: str, **beneath: float) -> dict[str, str]:
    """Return the weights of what is found of the drill's depth, by rule."""
    return {one.rule.id: one.weight for one in drilled(said, **beneath).findings if one.rule.id in WATCHED}


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("", {}),
        ("ap 28.366", {}),
        ("ap 27.57", {}),
        ("ap 27.56", HARDLY),
        ("ap 27.37", HARDLY),
        ("ap 27.36", NOT_THROUGH),
        ("ap 14.183 levels 2", {}),
    ],
)
def test_a_tip_that_brings_the_full_diameter_through_is_deep_enough(said: str, wanted: dict[str, str]) -> None:
    """0.2 mm past the bottom is the least; it need not be the usual millimetre."""
    assert found(said, clearance_below=10) == wanted


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("overcut 0", NOT_THROUGH),
        ("overcut 0.1", HARDLY),
        ("overcut 0.2", {}),
        ("ap 25", NOT_THROUGH),
        ("ap 24", NOT_THROUGH),
        ("ap 28.4 overcut 0", {}),
    ],
)
def test_a_drill_that_stops_at_the_bottom_leaves_its_cone(said: str, wanted: dict[str, str]) -> None:
    assert found(said, clearance_below=10) == wanted


@pytest.mark.parametrize("said", ["ap 26", "ap 27.3"])
def test_a_depth_alone_is_that_of_the_tip_and_the_right_one_is_told(said: str) -> None:
    """13 mm at 140° through 25 mm and a millimetre past it: 28.366 mm, typed as 28.36."""
    told = drilled(said, clearance_below=10)
    facts = told.operations[0].candidate.facts
    assert found(said, clearance_below=10) == NOT_THROUGH
    assert facts["drill_depth"] == pytest.approx(float(said.split()[1]))
    assert facts["tip_wanted"] == pytest.approx(28.366, abs=1e-3)


def test_a_depth_is_that_of_the_full_diameter_where_the_overcut_of_the_plan_says_so() -> None:
    told = drilled("ap 26 overcut 1", clearance_below=10)
    facts = told.operations[0].candidate.facts
    assert found("ap 26 overcut 1", clearance_below=10) == {}
    assert facts["full_depth"] == pytest.approx(26)
    assert facts["drill_depth"] == pytest.approx(28.366, abs=1e-3)


@pytest.mark.parametrize(
    ("said", "clearance", "wanted"),
    [
        ("ap 26", 3.367, NOT_THROUGH),
        ("ap 26", 3.365, NOT_THROUGH),
        ("ap 26", 2, NO_ROOM),
        ("ap 26", 0.99, HITS),
        ("ap 27.6", 2.5, HITS),
        ("ap 22", 0, NO_ROOM),
        ("overcut 0", 2, HITS),
        ("overcut 0", 2.6, LITTLE),
        ("overcut 0.2", 3.06, LITTLE),
        ("overcut 0.2", 3.07, {}),
        ("ap 28.4", 3.5, NEAR),
        ("ap 28.4", 3.9, {}),
    ],
)
def test_nobody_is_told_to_drill_deeper_than_there_is_room(said: str, clearance: float, wanted: dict[str, str]) -> None:
    """The point and the least past the bottom take 2.566 mm of what is free beneath, and 0.5 mm stay."""
    assert found(said, clearance_below=clearance) == wanted


def test_of_a_drill_whose_depth_is_said_nothing_more_was_taken_for_the_bottom() -> None:
    for said in ("ap 24", "ap 26", "ap 28.4"):
        assert not {"overcut", "allowance_bottom"} & {one.setting for one in drilled(said, clearance_below=10).not_said}
    assert "overcut" in {one.setting for one in drilled("", clearance_below=10).not_said}


def test_the_depth_of_a_blind_hole_stays_that_of_the_tip() -> None:
    blind = PLATE | {"floor": True}
    told = review(plan_said(["H: drilling D13 ap 25"], ["D13"], "mm"), job(blind, [drill(13)], "C45"))
    assert "drilled-too-shallow" in {one.rule.id for one in told.findings}


def test_the_advised_drill_is_told_by_the_depth_of_its_tip_and_its_feed_per_revolution() -> None:
    """As the advice itself tells it: 28.366 mm is typed as 28.36, and two lips of 0.13 mm are 0.26 mm a revolution."""
    told = next(
        advised_text(one.instead) for one in drilled("overcut 0", clearance_below=10).findings if one.weight == "change"
    )
    assert "28.36\u00a0mm deep at the tip, " in told
    assert "mm per revolution at" in told
    assert "level" not in told


def test_what_was_taken_is_rounded_as_it_is_typed() -> None:
    told = [not_said_text(one).replace("\u00a0", " ") for one in drilled("", clearance_below=10).not_said]
    assert "drilled to: 28.36 mm at the tip, 26 mm at full diameter, assumed" in told
