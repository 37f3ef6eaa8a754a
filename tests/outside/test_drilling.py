"""Drills against handbook values and the geometry of their point.

Source: Machinery's Handbook, thrust and torque of drilling with sharp drills, from memory: M = 0.000025 K_d F_f F_M A W
[Nm] and T = 0.05 K_d F_f F_T B W + 0.007 K_d d² J W [N], with F_f = f^0.8, F_T = d^0.8, F_M = d^1.8 of f and d in mm,
A = 1.085, B = 1.355 and J = 0.030 for a chisel edge of 0.18 d, W = 1; the work constant K_d about 24 000 for carbon
steel of 200 HB and 7000 for wrought aluminium. Ours is Kienzle's force with a worn edge, as limits
are held; the two are independent and agree within a third. Speeds and feeds: ordinary handbook tables, from memory.
"""

from itertools import pairwise
from math import cos, hypot, radians

import pytest

from advisor.knowledge.shipped import rule_base
from advisor.model.cutter import make_cutter
from tests.jobs.small import ALUMINIUM, STEEL, best

HOLE = {"kind": "round_hole", "depth": 20, "floor": False, "clearance_below": 20, "purpose": "clearance"}
STRONG = {
    "name": "strong", "spindle": {"speed": [200, 10000], "power": [60, 60]}, "feed_max": 20000, "rapid": 30000,
    "axis_acceleration": 4, "tool_change": 6, "coolant": ["flood", "air"], "stiffness": 25,
}  # fmt: skip


def drilled(DC: float, material: str, substrate: str = "carbide", **hole: object) -> dict[str, float]:
    """Return the facts of drilling a hole to size on a machine that holds nothing back."""
    drill = make_cutter(id="D", body="drill", DC=DC, APMX=6 * DC, ZEFP=2, substrate=substrate)
    found = best(HOLE | {"diameter": DC} | hole, [drill], material, STRONG)
    assert found.method == "drilling"
    return {name: value for name, value in found.facts.items() if isinstance(value, float)}


@pytest.mark.parametrize(("material", "work"), [(STEEL, 24_000), (ALUMINIUM, 7_000)])
@pytest.mark.parametrize("DC", [6, 10, 16])
def test_torque_and_thrust_are_those_of_the_handbook_within_a_third(DC: float, material: str, work: float) -> None:
    found = drilled(DC, material)
    feed = found["feed_per_revolution"] ** 0.8
    torque = 0.000025 * work * feed * DC**1.8 * 1.085
    thrust = 0.05 * work * feed * DC**0.8 * 1.355 + 0.007 * work * DC**2 * 0.030
    worn = found["torque"] * rule_base().limits["wear_factor"]  # what is shown is with a sharp edge
    assert worn * 0.85 == pytest.approx(torque, rel=1 / 3), "at the edge, the drive's losses left out"
    assert found["thrust"] == pytest.approx(thrust, rel=1 / 3)


@pytest.mark.parametrize("DC", [5, 10, 20])
def test_the_torque_shown_is_that_of_two_lips_through_the_drive(DC: float) -> None:
    """Source: by hand, beside P = M omega: each lip cuts a chip of f/2 times DC/2, and its force acts at DC/4."""
    found = drilled(DC, STEEL)
    lips = found["specific_force"] * found["feed_per_revolution"] * DC**2 / 8000
    assert found["torque"] * 0.85 == pytest.approx(lips, rel=1e-6)


@pytest.mark.parametrize(
    ("material", "substrate", "DC", "speeds", "feeds"),
    [
        ("C45", "hss", 10, (22, 28), (0.16, 0.20)),
        ("C45", "hss", 25, (22, 28), (0.28, 0.40)),
        ("C45", "hss", 5, (22, 28), (0.08, 0.13)),
        ("X5CrNi18-10", "hss", 10, (8, 15), (0.08, 0.14)),
        ("EN AW-6082-T6", "hss", 10, (60, 100), (0.20, 0.30)),
        ("EN-GJL-250", "hss", 10, (18, 30), (0.20, 0.32)),
        ("CW614N", "hss", 10, (60, 100), (0.16, 0.25)),
        ("CW004A", "hss", 10, (25, 50), (0.10, 0.20)),
        ("Ti-6Al-4V", "hss", 10, (8, 12), (0.08, 0.12)),
        ("UNS N07718", "carbide", 10, (10, 20), (0.06, 0.12)),
        ("X38CrMoV5-1 hardened", "carbide", 10, (25, 45), (0.05, 0.10)),
        ("C45", "carbide", 10, (80, 110), (0.20, 0.25)),
        ("EN AW-6082-T6", "carbide", 10, (200, 400), (0.25, 0.35)),
        ("EN-GJL-250", "carbide", 10, (70, 110), (0.25, 0.35)),
        ("X5CrNi18-10", "carbide", 10, (40, 70), (0.10, 0.16)),
        ("Ti-6Al-4V", "carbide", 10, (25, 50), (0.08, 0.15)),
    ],
)
def test_speed_and_feed_are_those_of_ordinary_tables(
    material: str, substrate: str, DC: float, speeds: tuple[float, float], feeds: tuple[float, float]
) -> None:
    """Source: handbook tables of drilling, m/min and mm per revolution, from memory."""
    found = drilled(DC, material, substrate)
    assert speeds[0] <= found["cutting_speed"] <= speeds[1]
    assert feeds[0] <= found["feed_per_revolution"] <= feeds[1]


def test_a_wider_drill_feeds_more_a_turn_but_a_smaller_share_of_its_width() -> None:
    found = [drilled(DC, STEEL)["feed_per_revolution"] / DC for DC in (4, 8, 12, 20)]
    assert all(wide < narrow for narrow, wide in pairwise(found))


@pytest.mark.parametrize("angle", [118, 140])
def test_a_blind_hole_is_as_deep_as_drawn_at_full_diameter(angle: float) -> None:
    """Source: a cone of that angle, its length found by halving: at its mouth it is as wide as the drill."""
    drill = make_cutter(id="D", body="drill", DC=10, APMX=60, ZEFP=2, point_angle=angle)
    hole = {
        "kind": "round_hole",
        "diameter": 10,
        "depth": 20,
        "floor": True,
        "floor_thickness": 30,
        "purpose": "thread",
    }
    found = best(hole, [drill], STEEL, STRONG)
    low, high = 0.0, 10.0
    for _ in range(60):
        length = (low + high) / 2
        side = hypot(length, 5)  # of the cone; two sides and the diameter close a triangle with the angle at the tip
        square = (2 * side**2 - 10**2) / (2 * side**2)
        low, high = (low, length) if square > cos(radians(angle)) else (length, high)
    assert found.facts["drill_depth"] == pytest.approx(20 + length, abs=0.01)
    assert found.facts["full_depth"] == pytest.approx(20, abs=1e-6)
