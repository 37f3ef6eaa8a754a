"""What decides where times are near each other: a fillet for another cutter, what the edge is ground for, little stock.

Source: common practice, no source.
"""

from typing import Any

from advisor.readers.materials import load_materials
from tests.jobs.small import STRONG, asked, best, inserted, solid

COPPER, BRASS = "CW004A", "CW614N"
STEP: dict[str, Any] = {"kind": "step", "length": 50, "width": 14, "depth": 25, "thinnest_wall": 2.5}


def test_of_two_cutters_as_quick_the_one_without_a_fillet_comes_first() -> None:
    rounded = solid(25, 50, ZEFP=3, RE=3, TMC1ISO="N")
    square, sharp = solid(20, 45, ZEFP=3, RE=0.3, TMC1ISO="N"), solid(25, 50, id="S25", ZEFP=3, RE=0.3, TMC1ISO="N")
    assert best(STEP, [rounded, square], COPPER).cutter is square
    assert best(STEP, [sharp, square], COPPER).cutter is sharp


def test_a_cutter_for_hardened_steel_does_not_cut_brass_for_a_second_less() -> None:
    step = {"kind": "step", "length": 40, "width": 6, "depth": 5}
    soft, hard = solid(10, 22, ZEFP=3, TMC1ISO="N"), solid(12, 26, ZEFP=6, FHA=45, TMC1ISO="H", COATING="tisin")
    assert load_materials()[BRASS].group == "N"
    assert best(step, [soft, hard], BRASS).cutter is soft


def test_a_rim_of_little_stock_is_not_called_a_wide_cut() -> None:
    """Nickel alloy, 2 mm stand beside a thin wall: no high-feed mill in 64 levels."""
    rim = {
        "kind": "outside_profile",
        "length": 120,
        "width": 70,
        "depth": 25,
        "stock_side": 3,
        "clearance_below": 5,
        "thinnest_wall": 2,
    }
    end_mill = solid(20, 45, ZEFP=5, TMC1ISO="M S", COATING="altin")
    high_feed = inserted(52, body="inserted_high_feed_mill", KAPR=18, APMX=2, LU=120, LPR=120, RE=3, ZEFP=5, RMPX=1)
    found = best(rim, [end_mill, high_feed], "UNS N07718", STRONG)
    assert (found.cutter, found.grade) == (end_mill, "good")
    candidates = asked(rim, [high_feed], "UNS N07718", STRONG).candidates
    (layers,) = (one for one in candidates if one.method == "layered_pocketing")
    assert "shallow-and-wide-in-layers" not in {rule.id for rule in layers.fired}
