"""How deep the levels of a plan go in a feature that goes through: past the bottom, level with it, or short of it.

A plan gives a depth of its own more often than it says how far past the bottom it goes. Common practice, no source.
"""

import pytest

from advisor.readers.plan_line import plan_said
from advisor.review.verdict import review
from tests.jobs.small import job, solid

OUTLINE = {"kind": "outside_profile", "id": "K", "length": 150, "width": 80, "depth": 25, "stock_side": 3}
WINDOW = {
    "kind": "closed_pocket",
    "id": "K",
    "length": 90,
    "width": 60,
    "depth": 25,
    "corner_radius": 12,
    "floor": False,
}
HITS = {"cuts-into-what-lies-beneath": "stop"}
ON_IT = {"ends-on-what-lies-beneath": "stop"}
GRAZES = {"grazes-what-lies-beneath": "change"}
NEAR = {"little-clearance-beneath": "change"}
SHORT = {"stops-short-at-the-bottom": "change"}
WATCHED = HITS | ON_IT | GRAZES | NEAR | SHORT


def found(feature: dict[str, object], said: str) -> dict[str, str]:
    """Return the weights of what is found of the end of the levels, by rule."""
    plan = plan_said([f"K: looping E16 ae 1.25 {said}"], ["E16"], "mm")
    told = review(plan, job(feature, [solid(16, 34)], "C45")).findings
    return {one.rule.id: one.weight for one in told if one.rule.id in WATCHED}


@pytest.mark.parametrize("feature", [OUTLINE, WINDOW], ids=["outline", "window"])
@pytest.mark.parametrize(
    ("beneath", "said", "wanted"),
    [
        (None, "ap 24.7", {}),
        (None, "ap 25", GRAZES),
        (None, "ap 25.5", HITS),
        (None, "ap 33", HITS),
        (None, "ap 12.5 levels 2", GRAZES),
        (None, "ap 12.7 levels 2", GRAZES),  # 0.4 mm in 25 mm is rounding
        (None, "ap 13 levels 2", HITS),
        (None, "ap 14 levels 2", {}),  # 3 mm more than the depth: the last level is thinner
        (None, "ap 13 levels 2 bottom 0.3", {}),
        (None, "ap 25.5 bottom 0.3", HITS),
        (None, "ap 25 past 1", HITS),
        (0, "ap 25", ON_IT),
        (0, "ap 26", HITS),
        (0, "ap 24.7", {}),
        (1, "ap 25", {}),
        (1, "ap 25.8", NEAR),
        (1, "ap 26.1", HITS),
        (6, "ap 25", SHORT),
        (6, "ap 26", {}),
        (6, "ap 27", {}),
        (6, "ap 13 levels 2", {}),
        (6, "ap 30.8", NEAR),
        (6, "ap 31.5", HITS),
        (6, "ap 33 past 1", {}),  # the levels end where the plan says that they do
    ],
)
def test_the_end_of_the_levels_is_held_against_the_room_below(
    feature: dict[str, object], beneath: float | None, said: str, wanted: dict[str, str]
) -> None:
    given = feature if beneath is None else feature | {"clearance_below": beneath}
    assert found(given, said) == wanted


def test_a_stage_that_ends_above_the_bottom_is_no_cut_that_stops_short() -> None:
    """With one cutter, whose second level is a little deeper: what the first leaves, the second takes."""
    lines = ["K: looping E16 ae 1.25 ap 12 bottom 13", "K: looping E16 ae 1.25 ap 14"]
    given = WINDOW | {"clearance_below": 6}
    told = review(plan_said(lines, ["E16"], "mm"), job(given, [solid(16, 34)], "C45")).findings
    assert not {one.rule.id for one in told} & set(WATCHED)


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("plunge roughing E16 ap 28", "cuts-into-the-floor"),
        ("plunge roughing E16 ap 15", "levels-do-not-reach"),
        ("plunge roughing E16 ap 24.5", ""),
        ("plunge roughing E16", ""),
    ],
)
def test_the_depth_of_a_plunge_is_that_of_the_plan(said: str, wanted: str) -> None:
    """In a pocket with a floor 25 mm deep."""
    told = review(plan_said([f"K: {said}"], ["E16"], "mm"), job(WINDOW | {"floor": True}, [solid(16, 34)], "C45"))
    assert [one.rule.id for one in told.findings if one.rule.id in ENDS] == [wanted] * bool(wanted)


@pytest.mark.parametrize(
    ("turns", "wanted"), [(27, "cuts-into-the-floor"), (20, "levels-do-not-reach"), (25, ""), (None, "")]
)
def test_the_turns_of_a_helix_come_to_a_depth(turns: int | None, wanted: str) -> None:
    """Of 1 mm each, in a hole with a flat floor 25 mm deep."""
    hole = {"kind": "round_hole", "id": "K", "diameter": 27, "depth": 25, "floor": True, "flat_floor": True}
    said = "K: helical boring E16 ap 1" + (f" levels {turns}" if turns else "")
    told = review(plan_said([said], ["E16"], "mm"), job(hole, [solid(16, 34)], "C45"))
    assert [one.rule.id for one in told.findings if one.rule.id in ENDS] == [wanted] * bool(wanted)


ENDS = ("cuts-into-the-floor", "levels-do-not-reach")
