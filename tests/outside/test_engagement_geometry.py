"""The straight wall against exact values: a_e/DC of 0.05, 0.10, 0.25, 0.50.

Source: exact geometry. The angles are those of right triangles: cos phi is 0.9, 0.8 (the 3-4-5 triangle), 0.5 and 0;
the thinning factor is 1 / sin phi.
"""

import pytest

from advisor.mechanics.chip import chip_thickness, feed_per_tooth_for_chip
from advisor.mechanics.engagement import engagement_angle

# a_e/DC, phi [deg], f_z/h. Source: exact geometry, rounded to the digits shown.
EXACT = [(0.05, 25.84, 2.294), (0.10, 36.87, 1.667), (0.25, 60.00, 1.155), (0.50, 90.00, 1.000)]


@pytest.mark.parametrize("DC", [3, 12, 63])
@pytest.mark.parametrize(("share", "angle", "thinning"), EXACT)
def test_a_radial_width_engages_the_exact_angle(DC: float, share: float, angle: float, thinning: float) -> None:
    """Source: exact geometry."""
    assert engagement_angle(share * DC, DC) == pytest.approx(angle, abs=0.005)


@pytest.mark.parametrize("DC", [3, 12, 63])
@pytest.mark.parametrize(("share", "angle", "thinning"), EXACT)
def test_a_narrow_cut_thins_the_chip_by_the_exact_factor(
    DC: float, share: float, angle: float, thinning: float
) -> None:
    """Source: exact geometry."""
    feed = feed_per_tooth_for_chip(1, 90, engagement_angle(share * DC, DC))
    assert feed == pytest.approx(thinning, abs=0.0005)


@pytest.mark.parametrize(("share", "angle", "thinning"), EXACT)
def test_a_feed_raised_by_the_exact_factor_cuts_the_wanted_chip(share: float, angle: float, thinning: float) -> None:
    """Source: exact geometry; two ways to one chip."""
    assert chip_thickness(0.1 * thinning, 90, angle) == pytest.approx(0.1, rel=1e-3)
