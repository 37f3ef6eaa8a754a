"""The power of looping, against the volume that a loop takes and a shapely drawing of its chip."""

from math import pi

import pytest
from shapely import Point

from advisor.mechanics.motion import loop_cut_width
from tests.jobs.small import EVERYDAY, STEEL, asked, solid

pytestmark = pytest.mark.outside
SLOT = {"kind": "slot", "length": 150, "width": 24, "depth": 20, "floor": True, "open_ends": 1}


@pytest.mark.parametrize(("step", "radius", "DC"), [(0.5, 5, 12), (1.0, 5.5, 20), (0.3, 8, 10)])
def test_a_loop_takes_its_step_over_the_width_that_it_clears(step: float, radius: float, DC: float) -> None:
    """The chip between two circles a step apart, as wide as the slot, over the half of the way in which it is cut."""
    cleared = Point(0, 0).buffer(radius + DC / 2, quad_segs=2000)
    chip = Point(step, 0).buffer(radius + DC / 2, quad_segs=2000).difference(cleared).area
    assert loop_cut_width(step, radius, DC) == pytest.approx(chip / (pi * radius), rel=2e-3)


def test_the_power_of_looping_is_that_of_the_half_of_the_loop_that_cuts() -> None:
    """The mean of the whole loop, its empty half with it, would be half as much and less."""
    mill = solid(12, 26, ZEFP=4, LPR=36)
    found = next(
        one for one in asked(SLOT, [mill], STEEL, EVERYDAY).candidates if one.method == "engagement_limited_clearing"
    )
    plan, facts = found.plan, found.facts
    assert plan is not None
    radius = float(facts["path_radius"])
    volume = plan.radial_width * (2 * radius + 12) * plan.axial_depth  # of a loop
    half = pi * radius / plan.feed_rate
    assert plan.rate == pytest.approx(volume / half)
    assert plan.rate > 2 * volume / (float(facts["loop_way"]) / plan.feed_rate) * 0.99
