"""Flood is what the machine lists: coolant through the spindle stands for it with drills of carbide alone.

Source: common practice, no source. Titanium at 50 to 70 m/min is a speed for flood.
"""

from typing import Any

import pytest

from tests.jobs.small import EVERYDAY, asked, solid

STEP: dict[str, Any] = {"kind": "step", "length": 80, "width": 6, "depth": 20}
CUTTER = solid(16, 40, ZEFP=5, TMC1ISO="M S", COATING="altin")
TITANIUM = "Ti-6Al-4V"


def on(*coolant: str) -> dict[str, Any]:
    return EVERYDAY | {"coolant": list(coolant)}


@pytest.mark.parametrize(
    ("coolant", "grade", "cools"),
    [
        (("flood", "air"), "good", "flood"),
        (("flood", "through"), "good", "flood"),
        (("air", "mist", "through"), "poor", "mist"),
        (("mist", "air"), "poor", "mist"),
    ],
)
def test_through_the_spindle_is_no_flood(coolant: tuple[str, ...], grade: str, cools: str) -> None:
    best = asked(STEP, [CUTTER], TITANIUM, on(*coolant)).best
    assert best is not None
    assert (best.grade, best.facts["coolant"]) == (grade, cools)


def test_titanium_runs_slower_without_flood() -> None:
    flood, mist = (asked(STEP, [CUTTER], TITANIUM, on(kind)).best for kind in ("flood", "mist"))
    assert flood is not None
    assert mist is not None
    assert mist.facts["coolant_speed_factor"] == pytest.approx(0.7)
    assert float(mist.facts["cutting_speed"]) < 0.75 * float(flood.facts["cutting_speed"])


def test_steel_runs_as_fast_in_mist() -> None:
    cutter = solid(16, 40, ZEFP=5)
    flood, mist = (asked(STEP, [cutter], "C45", on(kind)).best for kind in ("flood", "mist"))
    assert flood is not None
    assert mist is not None
    assert flood.facts["cutting_speed"] == mist.facts["cutting_speed"]
