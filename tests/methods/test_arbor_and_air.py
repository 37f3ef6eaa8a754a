"""Bodies on an arbor, ramps that begin in the air, and what a slender cutter must save."""

import pytest

from advisor.mechanics.entry import ramp_strokes
from advisor.model.cutter import make_cutter
from advisor.situation.bench import bench_of
from advisor.situation.facts import segments_of
from tests.jobs.small import job

FACE_MILL = {"body": "inserted_face_mill", "DC": 63, "APMX": 6, "LU": 40, "LPR": 50, "ZEFP": 5, "holder_diameter": 48}


def test_a_face_mill_with_a_narrow_bore_is_as_stiff_as_its_body() -> None:
    """The bore of an arbor mill of 63 mm is 22 or 27 mm (ISO 6462, from memory); its body is as wide as the arbor."""
    mill = make_cutter(id="A", DCONMS=22, **FACE_MILL)
    assert mill.on_arbor
    assert mill.body_diameter == 48


def test_a_shank_of_half_the_cutter_is_a_shank() -> None:
    mill = make_cutter(id="A", DCONMS=32, **FACE_MILL)
    assert not mill.on_arbor
    assert mill.body_diameter == 32


def test_a_solid_cutter_on_a_thin_shank_is_on_no_arbor() -> None:
    assert not make_cutter(id="E", body="solid_end_mill", DC=25, APMX=10, LU=60, LPR=60, DCONMS=10, ZEFP=4).on_arbor


def test_a_holder_narrower_than_a_face_mill_is_no_contradiction() -> None:
    assert make_cutter(id="A", **FACE_MILL).DCONMS == 48


def test_the_pieces_of_an_arbor_mill_are_its_body() -> None:
    mill = make_cutter(id="A", DCONMS=22, **FACE_MILL)
    bench = bench_of(job({"kind": "planar_face", "length": 100, "width": 60, "depth": 3}, [mill]))
    assert segments_of(mill, bench) == [(6, 63), (44, 48)]


@pytest.mark.parametrize("depth", [0.05, 0.1, 0.3])
def test_a_thin_level_is_not_ramped_through_the_air(depth: float) -> None:
    in_air = ramp_strokes(depth, 50, 3, 3, depth, clearance=0.3)
    assert in_air == ramp_strokes(depth, 50, 3, 3, depth) == 2


def test_what_the_angle_cannot_reach_in_one_stroke_takes_more() -> None:
    assert ramp_strokes(2, 20, 10, 3, 5, clearance=0.3) > 2
