"""What a job says of the stock on a casting, forging or pre-machined part, and what is refused by name."""

from contextlib import suppress
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.files.problems import BadInput, Problem
from tests.readers.test_kinds_and_counts import complaints, read

POCKET: dict[str, Any] = {"id": "P1", "kind": "closed_pocket", "length": 90, "width": 60, "depth": 30, "floor": True}
THROUGH = POCKET | {"floor": False}
FACE = {"id": "F1", "kind": "planar_face", "length": 90, "width": 60, "depth": 3}
OUTLINE = {"id": "O1", "kind": "outside_profile", "length": 90, "width": 60, "depth": 30}


def only(problems: tuple[Problem, ...]) -> Problem:
    """Return the one problem there is."""
    (problem,) = problems
    return problem


@pytest.mark.parametrize(
    ("feature", "field", "wanted"),
    [
        (POCKET | {"stock_wall": 3}, "stock_floor", "0 where nothing is left on the floor"),
        (POCKET | {"stock_floor": 3}, "stock_wall", "0 where nothing is left on the walls"),
        (POCKET | {"stock_wall": 0, "stock_floor": 0}, "stock_wall", "nothing is left to rough"),
        (THROUGH | {"stock_wall": 0}, "stock_wall", "nothing is left to rough"),
        (THROUGH | {"stock_wall": 3, "stock_floor": 2}, "stock_floor", "no floor"),
        (THROUGH | {"stock_wall": 30.1}, "stock_wall", "half the width (60 mm)"),
        (POCKET | {"stock_wall": 3, "stock_floor": 30.1}, "stock_floor", "the depth (30 mm)"),
        (POCKET | {"stock_wall": -1, "stock_floor": 0}, "stock_wall", "0 or more"),
        (POCKET | {"stock_wall": "thick", "stock_floor": 0}, "stock_wall", "a length"),
        (THROUGH | {"stock_wall": 2, "allowance_side": 2}, "allowance_side", "the stock on the walls (2 mm)"),
        (POCKET | {"stock_wall": 2, "stock_floor": 1, "allowance_bottom": 1}, "allowance_bottom", "(1 mm)"),
        (THROUGH | {"stock_wall": 3, "island": 20}, "stock_wall", "outside_profile"),
        (FACE | {"stock_floor": 2}, "stock_floor", "the depth of a face is the stock on it"),
        (FACE | {"stock_wall": 2}, "stock_wall", "the depth of a face is the stock on it"),
        (OUTLINE | {"stock_floor": 2, "stock_wall": 2}, "stock_floor", "no floor"),
        (OUTLINE | {"stock_side": 2, "stock_wall": 2}, "stock_wall", "alone"),
    ],
)
def test_stock_that_cannot_be_is_refused_with_what_to_write(feature: dict[str, Any], field: str, wanted: str) -> None:
    problem = only(complaints(feature))
    assert problem.field == f"features.{feature['id']}.{field}"
    assert wanted in problem.wanted


@pytest.mark.parametrize(
    ("feature", "ids"),
    [
        (THROUGH | {"stock_wall": 3}, ["P1"]),
        (POCKET | {"stock_wall": 3, "stock_floor": 0}, ["P1"]),
        (POCKET | {"stock_wall": 0, "stock_floor": 3}, ["P1"]),
        (POCKET | {"stock_wall": 3, "stock_floor": 3}, ["P1-walls", "P1-floor"]),
        (POCKET | {"stock_wall": 30, "stock_floor": 3}, ["P1"]),
        (POCKET | {"stock_wall": 3, "stock_floor": 30}, ["P1"]),
        (OUTLINE | {"stock_wall": 3}, ["O1"]),
    ],
)
def test_stock_on_walls_and_floor_is_two_answers_and_on_one_of_them_one(
    feature: dict[str, Any], ids: list[str]
) -> None:
    assert [one.id for one in read(feature)] == ids


def test_the_two_answers_keep_how_many_there_are() -> None:
    assert [one.count for one in read(POCKET | {"stock_wall": 3, "stock_floor": 3, "count": 4})] == [4, 4]


def test_an_id_that_a_part_would_have_is_refused() -> None:
    both = POCKET | {"stock_wall": 3, "stock_floor": 3}
    problem = only(complaints(both, THROUGH | {"id": "P1-floor"}))
    assert problem.field == "features.P1.id"
    assert "P1-floor" in problem.wanted


def test_stock_is_read_in_inches_as_in_millimetres() -> None:
    inch = {
        name: value / 25.4 if isinstance(value, int | float) and value > 1 else value for name, value in POCKET.items()
    }
    (walls, floor) = read(inch | {"stock_wall": 0.125, "stock_floor": "3 mm"}, units="inch")
    assert (walls.stock_wall, floor.stock_floor) == (pytest.approx(3.175), pytest.approx(3))


SIZE = st.one_of(st.floats(-5, 70), st.sampled_from(["3 mm", "1/8 in", "", "thick", None, True, [3], {"a": 1}]))


@given(st.fixed_dictionaries({}, optional={"stock_wall": SIZE, "stock_floor": SIZE, "island": SIZE, "count": SIZE}))
def test_whatever_is_typed_for_stock_is_read_or_refused(more: dict[str, Any]) -> None:
    with suppress(BadInput):
        assert all(one.depth > 0 for one in read(POCKET | more))
