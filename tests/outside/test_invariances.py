"""Relations that hold whatever the numbers.

Source of each: reasoning from mechanics alone, named in its docstring; no value is compared with a table.
"""

from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.mechanics import chip, deflection, engagement, entry, force, motion, power, speed

shares = st.floats(0.01, 1.0)
sizes = st.floats(2.0, 80.0)
scales = st.sampled_from([0.1, 1 / 25.4, 0.5, 3.0, 25.4])


def power_of(radial_width: float, DC: float, f_z: float, k_c11: float, m_c: float) -> float:
    """Return the power [kW] of a cut 1 DC deep with 4 teeth at 5000 1/min."""
    angle = engagement.engagement_angle(radial_width, DC)
    k_c = force.specific_cutting_force(k_c11, m_c, chip.mean_chip_thickness(f_z, 90, angle))
    return power.cutting_power(power.removal_rate(DC, radial_width, speed.feed_rate(f_z, 4, 5000)), k_c, 0.8)


@given(shares, shares, sizes, st.floats(0.01, 0.5), st.floats(280, 3000), st.floats(0.1, 0.3))
def test_at_the_same_feed_per_tooth_a_narrower_cut_never_needs_more_power(
    one: float, other: float, DC: float, f_z: float, k_c11: float, m_c: float
) -> None:
    """Source: k_c rises with a thinner chip by less than the volume falls, as m_c is below 1."""
    narrow, wide = sorted((one * DC, other * DC))
    assert power_of(narrow, DC, f_z, k_c11, m_c) <= power_of(wide, DC, f_z, k_c11, m_c) * (1 + 1e-9)


@given(sizes, st.floats(1, 100), st.floats(0, 200), st.floats(0, 0.9))
def test_at_the_same_force_a_longer_cutter_never_deflects_less(
    DC: float, length: float, longer: float, load: float
) -> None:
    """Source: a beam held further from the load bends at least as much."""
    short = deflection.tip_deflection(100, [(length, DC)], 6e5, load * length)
    long = deflection.tip_deflection(
        100, [(length, DC), (longer, DC)] if longer else [(length, DC)], 6e5, load * length
    )
    assert long >= short * (1 - 1e-9)


@given(st.floats(5, 60), st.floats(0, 60), st.floats(0, 100), st.floats(0, 50))
def test_a_cutter_that_stands_out_further_never_deflects_less(
    APMX: float, neck: float, shank: float, more: float
) -> None:
    """Source: as above, for the cutter as it is made up of flutes, neck and shank."""
    LU = APMX + neck
    near, far = (
        deflection.tip_deflection(100, deflection.cutter_segments(APMX, 12, 11.5, LU, LPR, 12, 0.8), 6e5, 2)
        for LPR in (LU + shank, LU + shank + more)
    )
    assert far >= near * (1 - 1e-9)


@given(st.floats(0.01, 0.99) | st.just(1.0), sizes, st.floats(0.6, 20), scales)  # what lacks a hair is a full slot
def test_angles_and_ratios_survive_scaling(share: float, DC: float, ratio: float, scale: float) -> None:
    """Source: geometry; similar figures have the same angles, so inch and millimetre give the same."""
    width, path = share * DC, ratio * DC
    assert engagement.engagement_angle_inside_arc(scale * width, scale * DC, scale * path) == pytest.approx(
        engagement.engagement_angle_inside_arc(width, DC, path), abs=1e-4
    )
    assert engagement.engagement_angle_corner(scale * width, scale * DC) == pytest.approx(
        engagement.engagement_angle_corner(width, DC), abs=1e-4
    )
    plain, scaled = (engagement.engagement_angle(by * width, by * DC) for by in (1, scale))
    assert chip.feed_per_tooth_for_chip(1, 90, scaled) == pytest.approx(chip.feed_per_tooth_for_chip(1, 90, plain))


@given(sizes, st.floats(1.5, 20), scales, st.floats(0.5, 20))
def test_lengths_of_entry_and_loops_grow_with_the_scale(DC: float, ratio: float, scale: float, angle: float) -> None:
    """Source: geometry; every length of a figure grows alike, and counts stay."""
    length = ratio * DC
    assert entry.ramp_descent(scale * length, scale * DC, angle) == pytest.approx(
        scale * entry.ramp_descent(length, DC, angle)
    )
    assert entry.helix_pitch(scale * length, scale * DC, angle) == pytest.approx(
        scale * entry.helix_pitch(length, DC, angle)
    )
    assert motion.loop_length(scale * length, scale * DC) == pytest.approx(scale * motion.loop_length(length, DC))
    assert motion.arc_feed(1000, scale * length, scale * DC) == pytest.approx(motion.arc_feed(1000, length, DC))


@given(sizes, st.floats(2, 8), scales)
def test_a_larger_cutter_of_the_same_shape_deflects_less_in_proportion(DC: float, ratio: float, scale: float) -> None:
    """Source: beam theory; length cubed over diameter to the fourth."""
    small = deflection.tip_deflection(100, [(ratio * DC, DC)], 6e5, DC / 2)
    assert deflection.tip_deflection(100, [(scale * ratio * DC, scale * DC)], 6e5, scale * DC / 2) == pytest.approx(
        small / scale
    )


@given(shares, sizes, st.floats(0.5, 50))
def test_an_inside_arc_engages_more_than_a_straight_wall(share: float, DC: float, ratio: float) -> None:
    """Source: geometry; the wall before bends towards the cutter."""
    width = share * DC
    straight = engagement.engagement_angle_inside_arc(width, DC, inf)
    assert straight <= engagement.engagement_angle_inside_arc(width, DC, ratio * DC) + 1e-4
    assert straight == pytest.approx(engagement.engagement_angle(width, DC), abs=1e-6)


@given(shares, sizes, st.floats(0.01, 0.5), st.integers(1, 8))
def test_the_force_on_the_mean_chip_times_the_cutting_speed_is_the_power_of_the_volume_removed(
    share: float, DC: float, f_z: float, teeth: int
) -> None:
    """Source: conservation of energy; force times way equals specific force times volume."""
    n, a_p, k_c = 5000, DC / 2, 2000.0
    angle = engagement.engagement_angle(share * DC, DC)
    on_a_tooth = k_c * a_p * chip.mean_chip_thickness(f_z, 90, angle)  # N, while it is in the cut
    by_force = on_a_tooth * teeth * angle / 360 * speed.cutting_speed(n, DC) / 60_000  # kW
    by_volume = power.cutting_power(power.removal_rate(a_p, share * DC, speed.feed_rate(f_z, teeth, n)), k_c, 1.0)
    assert by_force == pytest.approx(by_volume)
