"""Which side of an open pocket is open decides what the cutter must fit between, and the answer says what it took."""

from math import sqrt
from typing import Any

import pytest

from advisor.files.problems import Misfit
from advisor.knowledge.shipped import rule_base
from advisor.model.answer import FeatureAdvice
from advisor.model.features import FEATURE_KINDS
from advisor.model.region import Region, regions_of
from advisor.text.missing import missing_text
from advisor.text.words import size
from tests.jobs.small import STEEL, STRONG, asked, inserted, solid

POCKET: dict[str, Any] = {"kind": "open_pocket", "length": 90, "width": 40, "depth": 20, "floor": True}
FORTY = inserted(40, ZEFP=5)


def region(**more: Any) -> Region:
    return regions_of(FEATURE_KINDS["open_pocket"].model_validate(POCKET | {"id": "P1"} | more))[0]


def layers(found: FeatureAdvice) -> tuple[str, set[str]]:
    """The grade of layered pocketing from the side, and the rules that fired on it."""
    way = next(one for one in found.candidates if one.method == "layered_pocketing" and one.entry == "side_entry")
    return way.grade, {rule.id for rule in way.fired}


@pytest.mark.parametrize("given", [{}, {"open_sides": 1}, {"open_sides": 2}, {"open_at": "short_side"}])
def test_open_at_a_short_side_the_cutter_must_leave_the_allowance_on_both_long_walls(given: dict[str, Any]) -> None:
    grade, fired = layers(asked(POCKET | given, [FORTY], STEEL, STRONG))
    assert "slot-cut-to-size" in fired
    assert grade == "poor"


@pytest.mark.parametrize("given", [{"open_at": "long_side"}, {"open_sides": 3}, {"open_sides": 2, "open_at": "corner"}])
def test_open_at_a_long_side_the_same_cutter_has_room(given: dict[str, Any]) -> None:
    grade, fired = layers(asked(POCKET | given, [FORTY], STEEL, STRONG))
    assert "slot-cut-to-size" not in fired
    assert grade == "good"


@pytest.mark.parametrize(("given", "between"), [
    ({}, 40), ({"open_sides": 2}, 40), ({"open_at": "short_side"}, 40), ({"open_at": "long_side"}, 90),
    ({"open_sides": 2, "open_at": "long_side"}, 90), ({"open_sides": 2, "open_at": "corner"}, None),
    ({"open_sides": 3}, None),
])  # fmt: skip
def test_the_width_between_walls_follows_from_the_open_side(given: dict[str, Any], between: float | None) -> None:
    assert region(**given).narrowest == between
    assert region(**given).fit_width == between


@pytest.mark.parametrize(("given", "between", "past"), [
    ({"island": 10}, 40, 15), ({"island": 10, "island_length": 30}, 30, 15), ({"island": 10, "length": 70}, 30.56, 15),
    ({"island": 10, "island_length": 40}, 25, 15), ({"island": 10, "island_length": 70}, 15, 10),
    ({"island": 10, "island_length": 80, "open_sides": 2}, 15, 15), ({"island": 30, "open_sides": 2}, 30.39, 5),
    ({"island": 10, "open_at": "long_side"}, 40, 15),
    ({"island": 10, "island_length": 80, "open_at": "long_side"}, 15, 5),
    ({"island": 10, "open_at": "long_side", "open_sides": 2}, 40, 40),
    ({"island": 10, "open_sides": 3}, None, 15), ({"island": 10, "open_sides": 2, "open_at": "corner"}, None, 15),
])  # fmt: skip
def test_past_an_island_the_widest_way_is_the_width_and_the_narrowest_must_be_passed(
    given: dict[str, Any], between: float | None, past: float
) -> None:
    """An island is an obstacle; where no wall stands on the other side of it nothing must be passed."""
    assert region(**given).narrowest == (between if between is None else pytest.approx(between, abs=0.05))
    assert region(**given).fit_width == past


@pytest.mark.parametrize("radius", [0.0, 5.0, 8.0, 10.0, 14.9])
def test_a_ring_has_more_room_in_its_corners(radius: float) -> None:
    """15 mm beside a square island: the widest circle there has its centre on the diagonal."""
    ring = {"id": "P1", "kind": "closed_pocket", "length": 100, "width": 100, "depth": 6, "floor": True, "island": 70}
    found = regions_of(FEATURE_KINDS["closed_pocket"].model_validate(ring | {"corner_radius": radius or None}))[0]
    assert found.entry_width == pytest.approx(max(2 * free(place / 1000, radius) for place in range(15_000)), rel=1e-3)


def free(place: float, radius: float) -> float:
    """How far a place on the diagonal is from the island's corner, and from the walls or the arc between them [mm]."""
    to_walls = place if place >= radius else radius - sqrt(2) * (radius - place)
    return min(to_walls, sqrt(2) * (15 - place))


def test_a_narrow_pocket_open_at_its_end_is_ramped_as_the_same_slot_is() -> None:
    crib = [solid(20, 20, ZEFP=4)]
    narrow = {"length": 120, "width": 22, "depth": 10, "floor": True}
    pocket = asked({"kind": "open_pocket"} | narrow, crib, STEEL).best
    slot = asked({"kind": "slot", "open_ends": 1} | narrow, crib, STEEL).best
    assert pocket is not None
    assert slot is not None
    assert (pocket.method, pocket.entry, pocket.grade) == ("ramped_slotting", "side_entry", "good")
    assert (slot.method, slot.entry, slot.grade) == ("ramped_slotting", "side_entry", "good")
    assert pocket.time == pytest.approx(slot.time)


def test_beside_one_wall_nothing_is_ramped_at_full_width() -> None:
    narrow = {"kind": "open_pocket", "length": 120, "width": 22, "depth": 10, "floor": True, "open_sides": 3}
    found = asked(narrow, [solid(20, 20, ZEFP=4)], STEEL)
    assert found.best is not None
    assert found.best.method != "ramped_slotting"


@pytest.mark.parametrize(("given", "told"), [({}, True), ({"open_at": "long_side"}, False), ({"open_sides": 3}, False)])
def test_the_side_that_was_assumed_is_told(given: dict[str, Any], told: bool) -> None:
    found = asked(POCKET | given, [FORTY], STEEL, STRONG)
    missing = {one.missing: missing_text(one, rule_base()) for one in found.not_asked}
    assert ("open_at" in missing) == told
    if told:
        assert "a short side is assumed" in missing["open_at"]


@pytest.mark.parametrize(("given", "told"), [
    ({"open_at": "long_side"}, "open at a long side"), ({"open_sides": 2, "open_at": "corner"}, "open at a corner"),
    ({"open_sides": 2, "open_at": "short_side"}, "open at both short sides"), ({}, None),
])  # fmt: skip
def test_the_side_that_was_given_stands_with_the_sizes(given: dict[str, Any], told: str | None) -> None:
    assert (told in size(region(**given))) if told else ("open at" not in size(region(**given)))


@pytest.mark.parametrize(
    "given", [{"open_sides": 3, "open_at": "long_side"}, {"open_at": "corner"}, {"open_sides": 1, "open_at": "corner"}]
)
def test_a_side_that_the_number_of_open_sides_contradicts_is_refused(given: dict[str, Any]) -> None:
    with pytest.raises((Misfit, ValueError)):
        region(**given)


@pytest.mark.parametrize(("given", "most"), [({}, 20), ({"open_at": "long_side"}, 45), ({"open_sides": 3}, 40)])
def test_an_allowance_that_leaves_nothing_between_the_walls_is_refused(given: dict[str, Any], most: float) -> None:
    assert region(allowance_side=most - 0.01, **given).allowance_side == most - 0.01
    with pytest.raises((Misfit, ValueError)):
        region(allowance_side=most, **given)


def test_the_ramp_beside_one_wall_is_forbidden_by_its_own_rule() -> None:
    narrow = {"kind": "open_pocket", "length": 120, "width": 22, "depth": 10, "floor": True}
    for given, forbidden in (({"open_sides": 3}, True), ({"open_sides": 2, "open_at": "corner"}, True), ({}, False)):
        found = asked(narrow | given, [solid(20, 20, ZEFP=4)], STEEL)
        ramp = next(one for one in found.candidates if one.method == "ramped_slotting")
        assert ("no-ramp-beside-one-wall" in {rule.id for rule in ramp.fired}) == forbidden
        assert (ramp.grade == "forbidden") == forbidden


@pytest.mark.parametrize(("given", "meet"), [
    ({}, True), ({"open_at": "long_side"}, True), ({"open_sides": 2, "open_at": "corner"}, True),
    ({"open_sides": 2}, False),
    ({"open_sides": 2, "open_at": "short_side"}, False), ({"open_sides": 2, "open_at": "long_side"}, False),
    ({"open_sides": 3}, False), ({"open_sides": 3, "island": 10}, False),
])  # fmt: skip
def test_a_corner_radius_is_reckoned_with_only_where_two_walls_meet(given: dict[str, Any], meet: bool) -> None:
    rounded = region(corner_radius=6, **given)
    assert rounded.walls_meet == meet
    assert rounded.corner_radius == (6 if meet else None)
    assert ("corners R6" in size(rounded)) == meet
    found = asked(POCKET | given | {"corner_radius": 6}, [solid(20, 38, ZEFP=4)], STEEL, STRONG)
    assert all(("corner_ratio" in one.facts) == meet for one in found.candidates)
    assert any("no two walls" in missing_text(one, rule_base()) for one in found.not_asked) != meet


@pytest.mark.parametrize("given", [{"open_sides": 2}, {"open_sides": 3}])
def test_without_corners_a_corner_radius_changes_nothing(given: dict[str, Any]) -> None:
    plain, rounded = (asked(POCKET | given | more, [FORTY], STEEL, STRONG) for more in ({}, {"corner_radius": 6}))
    told = [[(one.method, one.entry, one.grade, one.time) for one in each.candidates] for each in (plain, rounded)]
    assert told[0] == told[1]
    assert not any(one.missing == "corner_radius" for one in plain.not_asked)
