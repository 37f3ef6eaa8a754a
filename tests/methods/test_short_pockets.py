"""Pockets hardly wider than a cutter of the crib: the short ones are cleared with a narrower cutter, the long ramped.

Source of each: common practice, no source.
"""

from typing import Any

import pytest

from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter, make_cutter
from tests.jobs.judged import RAMPED
from tests.jobs.small import ALUMINIUM, STEEL, STRONG, asked, inserted, solid

WIDE = inserted(50, LU=60, LPR=70, RMPX=1.5, ZEFP=5, dead_centre=36)
HIGH_FEED = make_cutter(
    id="F50", body="inserted_high_feed_mill", DC=50, APMX=1.5, LU=80, LPR=90, DN=48, RE=3, KAPR=20, RMPX=1, ZEFP=5,
    dead_centre=33,
)  # fmt: skip


def pocket(length: float, width: float, depth: float = 20) -> dict[str, Any]:
    return {"kind": "closed_pocket", "length": length, "width": width, "depth": depth, "floor": True}


def best(feature: dict[str, Any], crib: list[Cutter], material: str) -> Candidate:
    found = asked(feature, crib, material, STRONG).best
    assert found is not None
    return found


@pytest.mark.parametrize("material", [STEEL, ALUMINIUM])
@pytest.mark.parametrize("wide", [WIDE, HIGH_FEED, solid(50, 80, ZEFP=4)], ids=["shoulder", "high feed", "solid"])
@pytest.mark.parametrize("depth", [5, 20])
def test_a_pocket_twice_as_long_as_wide_is_cleared_with_a_narrower_cutter(
    material: str, wide: Cutter, depth: float
) -> None:
    found = best(pocket(120, 60, depth), [wide, solid(16, 32, ZEFP=4), solid(20, 38, ZEFP=4), inserted(25)], material)
    assert found.method != RAMPED
    assert found.cutter.DC <= 30


@pytest.mark.parametrize(("length", "ramped"), [(60, False), (71.9, False), (72, True), (100, True)])
def test_from_three_times_as_long_as_wide_on_a_pocket_is_ramped_as_a_slot(length: float, ramped: bool) -> None:
    found = best(pocket(length, 24, 15), [solid(20, 38), solid(10, 22)], ALUMINIUM)
    assert (found.method == RAMPED) is ramped


def test_where_only_the_wide_cutter_is_there_it_is_told_with_what_speaks_against_it() -> None:
    found = best(pocket(120, 60), [WIDE], STEEL)
    assert found.grade == "poor"
    assert "pocket-is-no-slot" in {rule.id for rule in found.fired}


def test_a_slot_no_longer_than_twice_its_width_stays_a_slot() -> None:
    slot = {"kind": "slot", "length": 28, "width": 14, "depth": 8, "floor": True, "open_ends": 0}
    found = best(slot, [solid(12, 26)], ALUMINIUM)
    assert (found.method, found.grade) == (RAMPED, "good")
