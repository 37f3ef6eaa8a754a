"""Feeds in levels thinner than the corner radius, where the round of the edge thins the chip.

Source: the tangent of the corner's arc; how much more a round insert is fed in thin levels is common practice.
"""

from typing import Any

import pytest

from advisor.choosing.advice import advise
from advisor.model.cutter import Cutter, make_cutter
from advisor.model.operations import OperationRow
from tests.jobs.judged import CLEARING, LAYERS, OPEN, POCKET
from tests.jobs.small import STEEL, STRONG, inserted, job, solid
from tests.review.planning import changed, reviewed

ROUND = make_cutter(
    id="R32", body="inserted_end_mill", DC=32, APMX=6, LU=60, LPR=80, DN=31, RE=6, ZEFP=3, RMPX=4, dead_centre=20
)
BULL = solid(12, 26, ZEFP=4, RE=3)
SQUARE = inserted(32, LU=60, LPR=80, dead_centre=18)
HARD = "X153CrMoV12 hardened"
CHIPS = {"chip-too-thick", "chip-breaks-the-edge"}


def thick(cutter: Cutter, material: str, feature: dict[str, Any], **said: Any) -> set[str]:
    """Return what a review finds in a plan of layers about too thick a chip."""
    found = advise(job(feature, [cutter], material, STRONG))
    plan = changed(OperationRow.model_construct(feature=("F1",), cutter=cutter.id), **({"method": LAYERS} | said))
    return {finding.rule.id for finding in reviewed(found, plan).findings} & CHIPS


@pytest.mark.parametrize(("depth", "wrong"), [(0.8, False), (1.2, False), (4.0, True), (6.0, True)])
def test_a_round_insert_may_be_fed_faster_in_thin_levels(depth: float, wrong: bool) -> None:
    """0.25 mm a tooth, where the table has 0.13 mm at a square edge: 0.145 mm at 1 mm deep."""
    said = {"axial_depth": depth, "radial_width": 22.0, "feed_per_tooth": 0.25, "spindle_speed": 2000.0}
    assert bool(thick(ROUND, STEEL, OPEN, **said)) is wrong


def test_a_square_edge_may_not() -> None:
    said = {"axial_depth": 1.2, "radial_width": 22.0, "feed_per_tooth": 0.25, "spindle_speed": 2000.0}
    assert thick(SQUARE, STEEL, OPEN, **said) == {"chip-too-thick"}


@pytest.mark.parametrize(("tooth", "wrong"), [(0.07, False), (0.18, False), (0.2, True)])
def test_what_the_corner_thins_is_counted_up_to_a_bound(tooth: float, wrong: bool) -> None:
    """0.2 mm deep on a corner of 3 mm: 0.36 of the feed at full width, and a half is the least that is counted. In
    hardened steel layers so thin may take 2.5 times the chip of the tables.
    """
    said = {"axial_depth": 0.2, "radial_width": 6.0, "feed_per_tooth": tooth, "spindle_speed": 1500.0}
    assert bool(thick(BULL, HARD, POCKET | {"depth": 3}, **said)) is wrong


def test_at_full_flute_the_corner_thins_nothing() -> None:
    said = {"axial_depth": 12.0, "radial_width": 1.2, "spindle_speed": 4000.0}
    sharp = BULL.model_copy(update={"RE": 0.3})
    for tooth in (0.1, 0.2, 0.3):
        both = [thick(one, STEEL, POCKET, method=CLEARING, feed_per_tooth=tooth, **said) for one in (BULL, sharp)]
        assert both[0] == both[1]
