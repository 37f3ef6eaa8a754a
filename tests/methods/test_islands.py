"""A pocket with a boss left standing is a pocket with an obstacle in it: the gap says which cutter passes, the widest
place where it comes down, and only a way round that is nowhere wider than a slot for the cutter is slotted.
"""

from math import hypot
from typing import Any

import pytest

from advisor.model.answer import FeatureAdvice
from advisor.model.candidate import Candidate
from advisor.readers.plan_line import plan_said
from advisor.review.verdict import review
from advisor.text.feature import what
from advisor.text.outline import outline_of
from advisor.text.words import size
from tests.jobs.small import ALUMINIUM, STEEL, asked, drill, inserted, job, solid

POCKET: dict[str, Any] = {"kind": "closed_pocket", "depth": 18, "floor": True, "corner_radius": 8}
BOSS = POCKET | {"length": 80, "width": 60, "island": 20}
RING = POCKET | {"length": 80, "width": 80, "island": 40, "island_length": 40}
ROUND = POCKET | {"length": 80, "width": 80, "corner_radius": 40, "island": 30}


def best_of(found: FeatureAdvice, method: str) -> Candidate:
    return next(one for one in found.candidates if one.method == method)


def fired(candidate: Candidate) -> set[str]:
    return {rule.id for rule in candidate.fired}


def told(feature: dict[str, Any], cutter: Any, text: str, material: str) -> set[str]:
    assignment = job(feature, [cutter], material)
    said = plan_said([f"{assignment.job.features[0].id}: {cutter.id} {text}"], [cutter.id], "mm")
    return {finding.rule.id for finding in review(said, assignment).findings}


@pytest.mark.parametrize("material", [ALUMINIUM, STEEL])
@pytest.mark.parametrize("length", [80, 150])
def test_a_pocket_with_ends_wider_than_a_slot_is_not_slotted_round_its_boss(length: float, material: str) -> None:
    """A gap of 20 mm is 1.25 times 16 mm, and the ends are 30 mm and more."""
    found = asked(BOSS | {"length": length}, [solid(16, 32, ZEFP=4)], material)
    assert best_of(found, "ramped_slotting").grade in ("poor", "forbidden")
    assert found.best is not None
    assert found.best.method == "layered_pocketing"


def test_the_cut_keeps_its_width_past_the_gap() -> None:
    """0.65 of 16 mm; the 3 mm that stay beside the cutter in the gap are its width there alone."""
    layers = best_of(asked(BOSS, [solid(16, 32)], ALUMINIUM), "layered_pocketing")
    assert layers.plan is not None
    assert layers.plan.radial_width == pytest.approx(10.4)


def test_a_helix_has_the_room_of_the_widest_place_and_the_answer_says_which() -> None:
    """In the corner beside the boss a circle of 30.7 mm fits, in a wide end one of 60 mm, in an even round ring 25."""
    for feature, DC, room, place in (
        (BOSS, 16, 30.7, "in a corner between island and walls"),
        (BOSS | {"length": 150}, 16, 60, "at an end between island and wall"),
        (BOSS | {"island_length": 60}, 10, 20, "beside the island"),
    ):
        found = asked(feature, [solid(DC, 2 * DC)], ALUMINIUM)
        entered = next(one for one in found.candidates if one.entry == "helical_ramp" and one.plan is not None)
        assert float(entered.facts["entry_room"]) == pytest.approx(room - 1, abs=0.02)
        assert place in dict(what(entered))["entry"]


def test_a_hole_for_the_way_in_is_drilled_where_the_most_room_is() -> None:
    """17.5 mm do not fit into a gap of 18 mm less its allowances, and well into the corner past the boss."""
    found = asked(BOSS | {"island": 24}, [solid(16, 32), drill(17.5)], STEEL)
    holes = [one for one in found.candidates if one.entry == "predrilled_hole" and one.drill is not None]
    assert holes
    assert all("hole-too-narrow" not in fired(one) for one in holes)
    x, y = outline_of(holes[0], found.region).at
    assert min(x, y, hypot(40 - x, 30 - y) - 12) >= 17.5 / 2 + 0.5


@pytest.mark.parametrize(("island", "enough"), [(40, False), (41, False), (38, True)])
def test_the_gap_must_leave_the_allowance_on_wall_and_boss(island: float, enough: bool) -> None:
    """10 mm in a gap of 10 mm cut wall and boss to size, however wide the ends are; 11 mm leave 0.5 mm on each."""
    layers = best_of(asked(BOSS | {"island": island}, [solid(10, 22)], ALUMINIUM), "layered_pocketing")
    assert ({"slot-cut-to-size", "cutter-does-not-fit"}.isdisjoint(fired(layers))) == enough


def test_ends_narrower_than_the_gaps_must_be_passed_too() -> None:
    """A boss 60 mm long leaves 10 mm at each end, where 12 mm do not go in."""
    layers = best_of(asked(BOSS | {"island_length": 60}, [solid(12, 26)], ALUMINIUM), "layered_pocketing")
    assert "cutter-does-not-fit" in fired(layers)


@pytest.mark.parametrize(("feature", "DC"), [(RING, 16), (ROUND, 20)])
def test_a_ring_hardly_wider_than_the_cutter_is_slotted_round(feature: dict[str, Any], DC: float) -> None:
    slotted = best_of(asked(feature, [solid(DC, 32)], ALUMINIUM), "ramped_slotting")
    assert slotted.grade == "good"
    assert "narrow-slot-is-ramped" in fired(slotted)


def test_round_a_round_boss_in_a_square_pocket_the_corners_are_no_slot() -> None:
    """The same ring round a boss that may be round: 32.6 mm past it in the corners, twice the cutter and more."""
    feature = {name: value for name, value in RING.items() if name != "island_length"}
    slotted = best_of(asked(feature, [solid(16, 32)], ALUMINIUM), "ramped_slotting")
    assert slotted.grade in ("poor", "forbidden")


def test_what_stays_on_the_walls_of_an_uneven_ring_is_told_for_both_widths() -> None:
    """20 mm beside the boss and 21 mm at its ends: 1.5 and 2 mm beyond the allowance."""
    found = asked(RING | {"length": 82}, [solid(16, 32)], ALUMINIUM)
    slotted = found.best
    assert slotted is not None
    assert slotted.method == "ramped_slotting"
    cautions = {rule.id for rule in found.cautions}
    assert "rest-on-walls-round-an-island" in cautions
    assert "slot-rest-on-walls" not in cautions
    assert (slotted.facts["gap_spare"], slotted.facts["wall_spare"]) == (1.5, 2)


def test_past_a_boss_beside_one_wall_alone_the_pocket_is_open() -> None:
    """Three sides are open, and 20 mm lie between the boss and the wall: no two walls face each other."""
    found = asked(BOSS | {"kind": "open_pocket", "open_sides": 3}, [solid(16, 32), inserted(25)], ALUMINIUM)
    by_cutter = {one.cutter.id: one for one in found.candidates if one.method == "layered_pocketing"}
    assert "width_ratio" not in by_cutter["E16"].facts
    assert "cutter-does-not-fit" not in fired(by_cutter["E16"])
    assert "cutter-does-not-fit" in fired(by_cutter["I25"])


def test_a_sound_plan_is_not_held_to_the_gap() -> None:
    """A tenth of 12 mm at full depth is the table's; on loops as wide as the gap it would be 2.5 times as much."""
    text = "engagement-limited clearing ap 17.5 ae 1.2"
    assert "wider-than-the-material-bears" not in told(BOSS, solid(12, 26, ZEFP=4), text, STEEL)
    assert "wider-than-the-material-bears" in told(BOSS, solid(12, 26, ZEFP=4), text.replace("1.2", "3.6"), STEEL)


TIGHT = POCKET | {"length": 70, "width": 50, "depth": 12, "corner_radius": 7, "island": 33.6}


def test_beside_an_island_hardly_wider_than_the_cutter_the_cut_is_that_of_the_gap() -> None:
    """8.2 mm are 1.37 times 6 mm: a tenth of the cutter in the open is nearly half of it on loops so tight."""
    cutter, text = solid(6, 13, LU=20, LPR=21, ZEFP=4), "engagement-limited clearing ap 11.75 ae 0.6"
    assert {"wider-than-the-material-bears", "deeper-than-layers-break"} <= told(TIGHT, cutter, text, STEEL)
    gap = {"kind": "slot", "length": 70, "width": 8.2, "depth": 12, "floor": True, "open_ends": 2}
    widths = [
        best_of(asked(feature, [cutter], STEEL), "engagement_limited_clearing").facts["radial_width"]
        for feature in (TIGHT, gap)
    ]
    assert float(widths[0]) == pytest.approx(float(widths[1]), rel=0.01)


def test_layers_in_a_tight_gap_are_not_sent_to_the_full_flute() -> None:
    cutter, text = solid(6, 13, LU=21, LPR=22, ZEFP=4), "layered pocketing ap 1.2 ae 3.5"
    assert "many-levels-in-layers" not in told(TIGHT | {"depth": 20, "island": 34}, cutter, text, STEEL)


def test_a_plan_that_says_no_width_is_not_taken_for_a_slot() -> None:
    """20 mm are hardly wider than 16 mm; the pocket is, and its ends are cleared at a share of the cutter."""
    assert "walls-of-the-slot-keep-rest" not in told(BOSS, solid(16, 32), "ap 8.75", ALUMINIUM)
    assert "slot-too-wide-to-ramp" in told(BOSS, solid(16, 32), "ramped slotting ap 8.75", ALUMINIUM)


@pytest.mark.parametrize(
    ("given", "heading", "radius"), [({}, "island 20 mm", 10), ({"island_length": 30}, "island 30 × 20 mm", 0)]
)
def test_an_island_is_named_and_shown_round_unless_both_its_sides_are_given(
    given: dict[str, Any], heading: str, radius: float
) -> None:
    found = asked(BOSS | given, [solid(16, 32)], ALUMINIUM)
    assert " ".join(size(found.region).split()).endswith(heading)
    assert found.best is not None
    island = outline_of(found.best, found.region).island
    assert island is not None
    assert island.radii == (radius,) * 4
    assert (island.x + island.wide / 2, island.y + island.high / 2) == (40, 30)
