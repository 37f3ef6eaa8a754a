"""Jobs that are right, in millimetres, in inches and in both."""

from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from advisor.files.problems import BadInput
from advisor.model.assignment import Assignment
from advisor.model.features import ClosedPocket, OpenPocket, OutsideProfile, PlanarFace, RoundHole, Slot, Step
from advisor.readers.assignment import read_assignment

Read = Callable[..., Assignment]

ALL_KINDS = """\
part: Block
units: {units}
material: C45
machine: vmc-40-12k
features:
  - {{id: F1, kind: planar_face, length: {a}, width: {b}, depth: {c}}}
  - {{id: P1, kind: closed_pocket, length: {a}, width: {b}, depth: {c}, floor: true, corner_radius: {d},
     island: {d}, tallest_wall: {c}, thinnest_wall: {d}, floor_thickness: {d}}}
  - {{id: P2, kind: open_pocket, length: {a}, width: {b}, depth: {c}, floor: false, open_sides: 2,
     clearance_below: {d}}}
  - {{id: S1, kind: slot, length: {a}, width: {b}, depth: {c}, floor: true, open_ends: 1, thinnest_wall: {d}}}
  - {{id: T1, kind: step, length: {a}, width: {b}, depth: {c}, thinnest_wall: {d}, top: {d}}}
  - {{id: O1, kind: outside_profile, length: {a}, width: {b}, depth: {c}, stock_side: {c}, allowance_side: {d}}}
  - {{id: H1, kind: round_hole, diameter: {b}, depth: {c}, floor: true, flat_floor: true, allowance_bottom: {d}}}
"""


def job(folder: Path, units: str, sizes: list[object]) -> Assignment:
    """Return what a job of all kinds of feature reads as."""
    path = folder / f"{units}.yaml"
    path.write_text(ALL_KINDS.format(units=units, **dict(zip("abcd", sizes, strict=True))))
    return read_assignment(path)


def test_every_kind_of_feature_is_read(tmp_path: Path) -> None:
    features = job(tmp_path, "mm", [90, 50, 20, 5]).job.features
    kinds = [PlanarFace, ClosedPocket, OpenPocket, Slot, Step, OutsideProfile, RoundHole]
    assert [type(feature) for feature in features] == kinds
    assert {feature.depth for feature in features} == {20.0}


def test_the_same_job_in_inches_and_in_millimetres_gives_equal_features(tmp_path: Path) -> None:
    in_mm = job(tmp_path, "mm", [88.9, 50.8, 19.05, 4.7625])
    in_inches = job(tmp_path, "inch", [3.5, 2, 0.75, 0.1875])
    with_units = job(tmp_path, "in", ["3.5 in", "50.8 mm", "'0.75\"'", "3/16 in"])
    assert in_mm.job.features == in_inches.job.features == with_units.job.features
    assert in_inches.job.units == with_units.job.units == "inch"
    assert in_mm.model_copy(update={"job": in_inches.job, "files": in_inches.files}) == in_inches


@given(st.integers(1, 10_000))
def test_a_thousandth_of_an_inch_is_the_same_in_both_units(mils: int) -> None:
    sizes = {"id": "S", "floor": True, "open_ends": 0, "length": 300, "depth": 1}
    in_inches = Slot.model_validate({**sizes, "width": f"{mils / 1000} in"})
    in_mm = Slot.model_validate({**sizes, "width": round(mils * 0.0254, 4)})
    assert in_inches == in_mm


def test_what_is_left_out_stays_open(read: Read) -> None:
    slot, pocket, profile, hole = read().job.features
    assert isinstance(slot, Slot)
    assert isinstance(pocket, ClosedPocket)
    assert isinstance(profile, OutsideProfile)
    assert isinstance(hole, RoundHole)
    assert (slot.thinnest_wall, slot.allowance_side, slot.top, slot.clearance_below) == (None, None, 0.0, None)
    assert (pocket.island, pocket.floor_thickness, pocket.corner_radius) == (None, None, 8.0)
    assert (profile.corner_radius, profile.stock_side) == (None, 4.0)
    assert (hole.flat_floor, hole.floor) == (None, False)


def test_yes_and_no_are_understood_as_truth_values(read: Read, texts: dict[str, str]) -> None:
    written = texts["job.yaml"].replace("floor: true", "floor: yes").replace("floor: false", "floor: 'no'")
    assert read({"job.yaml": written}) == read()


def test_kinds_and_other_words_are_read_as_the_trade_says_them(read: Read, texts: dict[str, str]) -> None:
    written = texts["job.yaml"].replace("kind: slot", "kind: Keyway").replace("kind: round_hole", "kind: bore")
    written = written.replace("kind: outside_profile", "kind: Outside contour").replace("diameter: 30", "diameter: Ø30")
    assert read({"job.yaml": written}) == read()
    assert read({"shop.yaml": texts["shop.yaml"].replace("air\n", "Air blast\n")}) == read()
    hole = read({"job.yaml": texts["job.yaml"] + "    purpose: tapped\n"}).job.features[3]
    assert isinstance(hole, RoundHole)
    assert hole.purpose == "thread"


@pytest.mark.parametrize(
    ("beside", "kind"),
    [("open_sides: 2", OpenPocket), ("open_at: long side", OpenPocket), ("open_sides: 0", ClosedPocket)],
)
def test_a_pocket_is_the_kind_that_alone_can_have_what_stands_beside_it(
    beside: str, kind: type, read: Read, texts: dict[str, str]
) -> None:
    written = texts["job.yaml"].replace("kind: closed_pocket", f"kind: pocket\n    {beside}")
    assert isinstance(read({"job.yaml": written}).job.features[1], kind)


def test_a_pocket_that_may_be_either_is_asked(read: Read, texts: dict[str, str]) -> None:
    for beside in ("", "\n    depht: 3", "\n    open_sides: 5"):
        written = texts["job.yaml"].replace("kind: closed_pocket", f"kind: pocket{beside}")
        with pytest.raises(BadInput, match=r"closed_pocket \(walls all round\) or open_pocket"):
            read({"job.yaml": written})


def test_names_that_look_like_numbers_keep_every_digit(read: Read, texts: dict[str, str]) -> None:
    written = texts["job.yaml"].replace("id: S1", "id: 1.10").replace("id: P1", "id: 007").replace("id: O1", "id: true")
    written = written.replace("part: Winch side plate", "part: 4711").replace("EN AW-6082-T6", "1.4301")
    assignment = read({"job.yaml": written})
    assert [feature.id for feature in assignment.job.features] == ["1.10", "007", "true", "H1"]
    assert assignment.job.part == "4711"
    assert assignment.material.group == "M"


def test_a_material_is_found_by_any_spelling_of_its_name_or_alias(read: Read, texts: dict[str, str]) -> None:
    for spelling in ("en aw-6082-t6", "EN  AW 6082 T6", "3.2315", "AlSi1MgMn"):
        assignment = read({"job.yaml": texts["job.yaml"].replace("EN AW-6082-T6", spelling)})
        assert assignment.material.name == "EN AW-6082-T6"
        assert assignment.job.material == spelling


def test_a_face_or_step_may_be_wider_than_long() -> None:
    assert PlanarFace(id="F", length=50, width=90, depth=1).width == 90
    assert Step(id="T", length=50, width=90, depth=1).width == 90


def test_a_square_pocket_may_be_round_in_its_corners() -> None:
    assert ClosedPocket(id="P", length=40, width=40, depth=5, floor=True, corner_radius=20).corner_radius == 20


def test_a_feature_is_frozen() -> None:
    slot = Slot(id="S", length=60, width=14, depth=12, floor=True, open_ends=0)
    with pytest.raises(ValidationError, match="frozen"):
        slot.width = 15
