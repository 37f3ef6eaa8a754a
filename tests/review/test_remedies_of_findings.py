"""What a finding says to do mends what it found, in the cut of the plan."""

from typing import Any

import pytest

from advisor.review.verdict import Review
from tests.review.planning import read_and_reviewed

OTHER = "other_shop/shop.yaml"
HARD = {
    "material": "H13 54 HRC",
    "machine": "mid40",
    "shop": OTHER,
    "features": [{"id": "T", "kind": "step", "length": 100, "width": 10, "depth": 12}],
}


def texts(found: Review) -> dict[str, str]:
    """Return the text of each finding by its rule, spaces plain."""
    return {one.rule.id: one.text.replace("\u00a0", " ") for one in found.findings}


def in_hard_steel(feed: float, width: float) -> Review:
    """Return the review of a step in hard steel, wide for its depth, so that the feed is held back to rubbing."""
    row: dict[str, Any] = {"feature": "T", "cutter": "h10", "method": "engagement_limited_clearing"}
    row |= {"entry": "side_entry", "axial_depth": 11.9, "levels": 1, "radial_width": width, "feed_per_tooth": feed}
    return read_and_reviewed(HARD, [row])


@pytest.mark.parametrize("width", [0.4, 1.0, 2.5])
def test_the_feed_told_for_a_thick_chip_cuts_the_chip_of_the_tables(width: float) -> None:
    """Also where spindle or stiffness hold the feed back further: that is told by its own finding."""
    first = in_hard_steel(0.3, width)
    feed = float(first.operations[0].candidate.facts["feed_of_table"])
    facts = in_hard_steel(feed, width).operations[0].candidate.facts
    assert facts["chip_over_table"] == pytest.approx(1)
    assert {"chip-breaks-the-edge", "chip-too-thick"} & set(texts(first))
    assert not {"chip-breaks-the-edge", "chip-too-thick"} & set(texts(in_hard_steel(feed, width)))


def test_a_feed_held_back_to_rubbing_is_not_told_as_the_cure_of_a_thick_chip() -> None:
    found = in_hard_steel(0.1, 2.5)
    facts = found.operations[0].candidate.facts
    assert facts["feed_borne"] < 0.5 * facts["feed_of_table"]
    told = texts(found)["chip-breaks-the-edge"]
    assert f"{facts['feed_of_table']:.4f}"[:5] in told


def test_a_mistake_of_units_is_told_by_the_feed_of_the_tables_not_by_one_held_back() -> None:
    """Six times the feed of the tables is too much, and no inch, though it is more than 20 times what is borne."""
    found = in_hard_steel(0.2, 2.5)
    assert float(found.operations[0].candidate.facts["feed_over_borne"]) > 12.7
    assert "feed-looks-like-mm-in-place-of-inches" not in texts(found)
    assert "feed-looks-like-mm-in-place-of-inches" in texts(in_hard_steel(0.03 * 25.4, 2.5))


def test_of_a_cutter_that_does_not_fit_no_number_is_told_that_nobody_knows() -> None:
    job = {"material": "GG-25", "machine": "vmc", "shop": OTHER}
    pocket = {"id": "P", "kind": "open_pocket", "length": 90, "width": 30, "depth": 12, "corner_radius": 6}
    found = read_and_reviewed(job | {"features": [pocket | {"floor": True, "open_sides": 1}]}, "P: T40")
    told = [one.text for one in (*found.findings, *found.cautions)]
    assert not [text for text in told if "not given" in text]
    assert any("12\u00a0000" in text for text in told)  # the marked speed, without a speed of the cut


STEP = {"id": "T", "kind": "step", "length": 60, "width": 10, "depth": 25}


@pytest.mark.parametrize(("width", "told"), [(1.5, True), (6.0, False)])
def test_no_allowance_is_told_that_no_finisher_would_leave(width: float, told: bool) -> None:
    """Three deflections are left on the wall up to 1.5 mm; beyond, only a lighter cut helps."""
    job = {"material": "C45", "machine": "vmc", "shop": OTHER, "features": [STEP]}
    row = {"feature": "T", "cutter": "M10PL", "method": "engagement_limited_clearing", "entry": "side_entry"}
    found = read_and_reviewed(job, [row | {"levels": 1, "radial_width": width, "feed_per_tooth": 0.05}])
    bends = [one for one in found.findings if one.rule.id.startswith("bends-")]
    assert bends
    enough = 3 * float(bends[0].facts["deflection"])
    assert ("leave" in bends[0].text) is told is (enough <= 1.5)


def test_what_stays_in_a_corner_is_told_with_its_allowance() -> None:
    """A radius of 6 mm less 0.5 mm against 8 mm: (√2 − 1) · 2.5 mm = 1.036 mm on top of the 0.5 mm."""
    pocket = {"id": "P", "kind": "closed_pocket", "length": 90, "width": 60, "depth": 10, "corner_radius": 6}
    job = {"material": "C45", "machine": "vmc", "shop": OTHER, "features": [pocket | {"floor": True}]}
    found = read_and_reviewed(job, "P: M16P helical ramp")
    assert "1.54 mm stays there instead of 0.5 mm" in texts(found)["rest-left-in-the-corners"]


BRACKET = [
    {"id": "F1", "kind": "planar_face", "length": 100, "width": 60, "depth": 1.5},
    {"id": "P1", "kind": "closed_pocket", "length": 60, "width": 40, "depth": 15, "corner_radius": 6, "floor": True},
    {"id": "O1", "kind": "outside_profile", "length": 100, "width": 60, "depth": 20, "stock_side": 3}
    | {"clearance_below": 3},
]


@pytest.mark.parametrize(
    "plan",
    [
        "F1: M16N; P1: M10N helical ramp; O1: M12N side entry",
        "F1: M12N; P1: M10N helical ramp; O1: M16N side entry",
    ],
)
def test_a_cutter_that_would_do_is_named_and_nobody_is_sent_to_one_that_is_left_out(plan: str) -> None:
    """Each change of cutters takes 45 s on this machine; what is told can all be done together."""
    found = read_and_reviewed({"material": "6061", "machine": "toy", "shop": OTHER, "features": BRACKET}, plan)
    told = [one for one in found.findings if one.rule.id == "one-cutter-would-do"]
    assert told
    wide = {one.operation.number: one.candidate.cutter for one in found.operations}
    for one in told:
        other = int(float(one.facts["saving_operation"]))
        assert (
            f"{wide[other].DC:g}\u00a0mm cutter that the plan uses in operation {other} can cut this feature too"
            in one.text
        )
    left_out = {one.operation for one in told}
    assert not left_out & {int(float(one.facts["saving_operation"])) for one in told}
