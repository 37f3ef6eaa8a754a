"""Power, torque, spindle curve and speeds."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.mechanics.power import cutting_power, removal_rate, spindle_power, spindle_torque, torque
from advisor.mechanics.speed import cutting_speed, feed_rate, spindle_speed

SPEEDS, POWERS = (1200.0, 6000.0, 12000.0), (12.0, 15.0, 15.0)


def test_a_worked_cut_in_steel_needs_the_power_worked_by_hand() -> None:
    # 8 x 5 mm at 750 mm/min is 30 cm³/min; at 2400 N/mm² that is 1.2 kW at the edge, 1.5 kW at the motor.
    assert removal_rate(8, 5, 750) == 30_000
    assert cutting_power(30_000, 2400, 0.8) == pytest.approx(1.5)


def test_torque_is_9549_times_power_over_speed() -> None:
    assert torque(15, 12_000) == pytest.approx(9549 * 15 / 12_000, rel=1e-4)


def test_the_spindle_gives_its_stated_power_at_its_stated_speeds() -> None:
    assert [spindle_power(SPEEDS, POWERS, n) for n in SPEEDS] == list(POWERS)


def test_between_two_speeds_power_lies_on_the_straight_line() -> None:
    assert spindle_power(SPEEDS, POWERS, 3600) == pytest.approx(13.5)


@given(st.floats(0.1, 1200))
def test_below_the_first_speed_torque_stays_and_power_falls(speed: float) -> None:
    assert spindle_torque(SPEEDS, POWERS, speed) == pytest.approx(95.49, abs=0.01)
    assert spindle_power(SPEEDS, POWERS, speed) == pytest.approx(12 * speed / 1200)


@given(st.floats(1200, 12_000))
def test_power_and_torque_of_the_spindle_agree(speed: float) -> None:
    available = spindle_torque(SPEEDS, POWERS, speed)
    assert available == pytest.approx(torque(spindle_power(SPEEDS, POWERS, speed), speed))


def test_a_spindle_at_rest_has_torque_but_no_power() -> None:
    assert spindle_power(SPEEDS, POWERS, 0) == 0
    assert spindle_torque(SPEEDS, POWERS, 0) == spindle_torque(SPEEDS, POWERS, 1200)


def test_a_spindle_given_at_one_speed_only_has_constant_torque_up_to_it() -> None:
    assert spindle_power((8000,), (2.2,), 4000) == pytest.approx(1.1)


@pytest.mark.parametrize("speed", [-1, 12_001])
def test_a_speed_that_the_spindle_does_not_run_is_refused(speed: float) -> None:
    for function in (spindle_power, spindle_torque):
        with pytest.raises(ValueError, match="speed"):
            function(SPEEDS, POWERS, speed)


def test_impossible_efficiencies_and_speeds_are_refused() -> None:
    for efficiency in (0, 1.1):
        with pytest.raises(ValueError, match="efficiency"):
            cutting_power(1, 1, efficiency)
    with pytest.raises(ValueError, match="speed"):
        torque(1, 0)
    with pytest.raises(ValueError, match="DC"):
        spindle_speed(100, 0)


@given(st.floats(5, 1000), st.floats(0.5, 200))
def test_spindle_speed_and_cutting_speed_are_two_ways_of_one_thing(v_c: float, DC: float) -> None:
    assert cutting_speed(spindle_speed(v_c, DC), DC) == pytest.approx(v_c)


def test_a_smaller_cutter_turns_faster_for_the_same_cutting_speed() -> None:
    assert spindle_speed(150, 6) == pytest.approx(2 * spindle_speed(150, 12))
    assert spindle_speed(150, 12) == pytest.approx(3978.9, abs=0.1)


def test_feed_rate_counts_teeth() -> None:
    assert feed_rate(0.05, 4, 5000) == pytest.approx(1000)
