"""A cutter with a large corner radius stands back for one that leaves no fillet, but not for one that is far slower."""

from typing import Any

import pytest

from advisor.choosing.advice import advise
from advisor.model.cutter import Cutter
from tests.jobs.small import job, solid

SLOT = {"kind": "slot", "width": 25.4, "length": 27.9, "depth": 20.9, "floor": False, "open_ends": 0}
ROUND = solid(10, 22, ZEFP=6, RE=1, id="round")


def best_with(feature: dict[str, Any], crib: list[Cutter]) -> str:
    """Return the cutter advised for a through feature."""
    best = advise(job(feature, crib, "42CrMo4 annealed")).features[0].best
    assert best is not None
    return best.cutter.id


@pytest.mark.parametrize(("substrate", "advised"), [("carbide", "square"), ("hss", "round")])
def test_a_square_cutter_of_carbide_takes_the_place_of_a_round_one_and_a_slow_one_does_not(
    substrate: str, advised: str
) -> None:
    """An attacker's job: with a slow cutter more in the crib, 888 s were advised in place of 197."""
    square = solid(10, 22, ZEFP=4, RE=0, id="square", substrate=substrate)
    assert best_with(SLOT, [ROUND]) == "round"
    assert best_with(SLOT, [ROUND, square]) == advised
