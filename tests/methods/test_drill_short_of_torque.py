"""A drill short of torque turns as fast as the spindle has that torque, not slower.

Source: the arithmetic of a spindle whose torque is the same up to 1 000 /min; worked by hand for 17.5 mm in 42CrMo4.
"""

import pytest

from tests.jobs.small import EVERYDAY, best, drill

WEAK = EVERYDAY | {"name": "weak", "spindle": {"speed": [1000, 1500, 8000], "power": [7.5, 9, 9]}}


def test_it_turns_at_the_corner_of_the_curve() -> None:
    hole = {"kind": "round_hole", "diameter": 17.5, "depth": 31, "floor": False, "clearance_below": 10}
    found = best(hole | {"purpose": "thread"}, [drill(17.5)], "42CrMo4", WEAK)
    assert found.plan is not None
    assert found.plan.spindle_speed == pytest.approx(1000)
    assert 0.2 < found.facts["feed_per_revolution"] < 0.27
