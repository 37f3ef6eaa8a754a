"""Passes along an open shoulder or face by hand: the same passes take the same time, whatever the method is called.

Source: way over speed; the machine goes back in rapid, and every pass climbs.
"""

from math import pi
from typing import Any

import pytest

from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter
from tests.jobs.small import ALUMINIUM, STEEL, STRONG, asked, inserted, solid

CLEARING, LAYERS, FACING = "engagement_limited_clearing", "layered_pocketing", "face_milling"
MILL = inserted(32, LU=45, LPR=65, ZEFP=4)
RAPID = STRONG["rapid"]


def step(length: float, width: float = 80) -> dict[str, Any]:
    return {"kind": "step", "length": length, "width": width, "depth": 15}


def way(feature: dict[str, Any], cutter: Cutter, method: str, material: str = STEEL) -> Candidate:
    found = asked(feature, [cutter], material, STRONG).candidates
    return next(each for each in found if each.method == method)


def by_hand(found: Candidate, length: float) -> float:
    """The time of the passes [s]: half a cutter in front of each, its length, and back in rapid to the next."""
    plan, DC = found.plan, found.cutter.DC
    assert plan is not None
    passes = plan.levels * float(found.facts["passes"])
    return 60 * (
        passes * (DC / 2 + length) / plan.feed_rate + (passes - 1) * (length + DC / 2 + plan.radial_width) / RAPID
    )


@pytest.mark.parametrize("length", [60, 200, 1000])
@pytest.mark.parametrize("method", [FACING, LAYERS])
def test_the_passes_of_inserts_along_a_shoulder_by_hand(method: str, length: float) -> None:
    found = way(step(length), MILL, method)
    assert found.plan is not None
    assert found.plan.cut_time + found.plan.travel_time == pytest.approx(by_hand(found, length))


@pytest.mark.parametrize("material", [STEEL, ALUMINIUM])
@pytest.mark.parametrize("method", [CLEARING, LAYERS])
def test_the_passes_of_a_solid_cutter_along_a_shoulder_by_hand(method: str, material: str) -> None:
    found = way(step(300), solid(20, 38, ZEFP=4), method, material)
    assert found.plan is not None
    assert found.plan.cut_time + found.plan.travel_time == pytest.approx(by_hand(found, 300))


def test_the_passes_over_a_face_by_hand() -> None:
    found = way({"kind": "planar_face", "length": 300, "width": 120, "depth": 4}, MILL, FACING)
    assert found.plan is not None
    assert found.plan.cut_time + found.plan.travel_time == pytest.approx(by_hand(found, 300))


@pytest.mark.parametrize("length", [60, 200, 1000])
def test_the_same_passes_take_the_same_time_as_a_face_and_as_layers(length: float) -> None:
    """80 mm less 0.5 mm in 4 passes of 19.9 mm, 15 mm less 0.5 mm in 3 levels of about 4.9 mm."""
    face, layers = way(step(length), MILL, FACING), way(step(length), MILL, LAYERS)
    assert face.plan is not None
    assert layers.plan is not None
    alike = ("levels", "radial_width", "feed_rate")
    assert [getattr(face.plan, name) for name in alike] == pytest.approx([getattr(layers.plan, name) for name in alike])
    assert face.time == pytest.approx(layers.time)


def test_every_level_is_rolled_into_on_a_quarter_of_a_circle() -> None:
    """Radius 16 mm at half the feed and 80 % on the way in; 2 mm before it."""
    face = way(step(200), MILL, FACING)
    assert face.plan is not None
    assert face.way_in is not None
    feed = 0.8 * face.plan.feed_rate
    assert face.way_in.time == pytest.approx(face.plan.levels * 60 * (2 / feed + pi / 2 * 16 / (feed / 2)))
