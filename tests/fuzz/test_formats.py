"""Plans that are odd but legal can be shown in every format; each once ended in an internal error."""

import pytest

from advisor.mechanics.power import spindle_power
from advisor.paths import cases_dir
from advisor.readers.assignment import read_assignment
from advisor.readers.plan_check import check_plan
from advisor.readers.plan_line import plan_said
from advisor.render.drawings.spindle_curve import spindle_curve
from advisor.review.verdict import Review, review
from tests.fuzz.formats import review_written

ODD = (
    ("keyway-with-allowance", "S1: E12 ap 3.5 levels 5"),  # more levels than there is depth for
    ("keyway-with-allowance", "S1: E12 ap 3.5 levels 500"),
    ("guide-slot-narrow", "S1: E10 ap 7 vf 3240 n 1"),
    ("guide-slot-narrow", "S1: E6"),  # forbidden before anything is worked out
    ("guide-slot-narrow", "S1: E10 axial plunge ae 10"),
)


def said(case: str, text: str) -> Review:
    assignment = read_assignment(cases_dir() / case / "job.yaml")
    plan = plan_said([text], [cutter.id for cutter in assignment.crib], assignment.job.units)
    check_plan(plan, assignment)
    return review(plan, assignment)


@pytest.mark.parametrize(("case", "text"), ODD)
def test_an_odd_plan_is_shown_in_every_format(case: str, text: str) -> None:
    review_written(said(case, text))


def test_a_spindle_whose_greatest_speed_is_an_odd_number_is_drawn() -> None:
    """61.56 times 48 / 48 is a hair above 61.56."""
    found = said("guide-slot-narrow", "S1: E10 ap 7")
    plan = found.operations[0].candidate.plan
    assert plan is not None
    for greatest in (61.56, 0.1 + 0.2, 7919.7):
        curve = {"speed": (greatest / 2, greatest), "power": (1.0, 1.0)}
        spindle = found.bench.machine.spindle.model_copy(update=curve)
        bench = found.bench
        machine = bench.machine.model_copy(update={"spindle": spindle})
        drawn = spindle_curve(plan, bench._replace(machine=machine), "a")
        assert drawn.svg.count('data-part="curve"') == 2
        with pytest.raises(ValueError, match="must lie between"):
            spindle_power(spindle.speed, spindle.power, greatest * 1.001)
