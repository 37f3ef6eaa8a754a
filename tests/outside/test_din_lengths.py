"""The demo crib's cutters and drills against standard sizes.

Sources: DIN 844 / ISO 1641-1, flute and overall lengths of end mills of high-speed steel, from memory. DIN 6535 / DIN
1835, shank lengths, from memory. Drill points of 0.30 DC at 118 deg and 0.18 DC at 140 deg: trade figures, from memory.
"""

import csv
from pathlib import Path

import pytest

from advisor.mechanics.entry import drill_point

CRIB = Path(__file__).parents[2] / "shared" / "crib.csv"

# (DC, flute length) -> overall length [mm]. Source: DIN 844 / ISO 1641-1, from memory.
DIN_844: dict[tuple[float, float], int] = {
    (10, 22): 72,
    (12, 26): 83,
    (16, 32): 92,
    (20, 38): 104,
    (16, 63): 123,
    (20, 75): 141,
}
# shank diameter -> length of the shank [mm]. Source: DIN 1835 and DIN 6535, from memory.
SHANK = {10: 40, 12: 45, 16: 48, 20: 50}
# point angle [deg] -> length of the point as a share of DC. Source: common trade figures, from memory.
POINT = {118: 0.30, 140: 0.18}

Row = dict[str, str]


@pytest.fixture(scope="module")
def crib() -> list[Row]:
    lines = [line for line in CRIB.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    return list(csv.DictReader(lines))


def test_the_hss_end_mills_have_the_standard_flute_lengths(crib: list[Row]) -> None:
    """Source: DIN 844 / ISO 1641-1, from memory."""
    found = [(float(c["DC"]), float(c["APMX"])) for c in crib if c["substrate"] == "hss" and c["body"] != "drill"]
    assert len(found) >= 4
    assert set(found) <= set(DIN_844)


def test_the_hss_end_mills_stand_out_by_what_their_shank_does_not_hold(crib: list[Row]) -> None:
    """Source: DIN 844 overall length less the shank of DIN 1835, from memory."""
    for cutter in crib:
        if cutter["substrate"] == "hss" and cutter["body"] != "drill":
            overall = DIN_844[float(cutter["DC"]), float(cutter["APMX"])]
            assert float(cutter["LPR"]) == overall - SHANK[int(cutter["DCONMS"])], cutter["id"]


def test_every_drill_has_the_point_that_its_angle_gives(crib: list[Row]) -> None:
    """Source: common trade figures for 118 and 140 deg, from memory."""
    drills = [(float(c["DC"]), int(c["point_angle"])) for c in crib if c["body"] == "drill"]
    assert {angle for _, angle in drills} == set(POINT)
    for DC, angle in drills:
        assert drill_point(DC, angle) == pytest.approx(POINT[angle] * DC, abs=0.005 * DC)
