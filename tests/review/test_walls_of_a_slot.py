"""A slot whose middle a cutter runs at full width: how a plan says what takes the stock that stays on its walls.

19.5 mm less 16 mm leave 1.75 mm on each wall, 1.25 mm more than the usual 0.5 mm.
"""

import pytest

from advisor.readers.plan_line import plan_said
from advisor.review.coverage import REST
from advisor.review.verdict import Review, review
from tests.jobs.small import job, solid

SLOT = {"kind": "slot", "id": "N", "length": 80, "width": 19.5, "depth": 8, "floor": True, "open_ends": 2}
STAYS = "walls-of-the-slot-keep-rest"


def reviewed(*lines: str) -> Review:
    """Return the review of a plan for the slot."""
    crib = [solid(16, 32, ZEFP=4), solid(12, 26, ZEFP=4)]
    return review(plan_said(list(lines), [one.id for one in crib], "mm"), job(SLOT, crib, "C45"))


def found(*lines: str) -> dict[str, str]:
    """Return the weights of what is found, by rule."""
    return {one.rule.id: one.weight for one in reviewed(*lines).findings}


def test_stock_that_nothing_takes_is_told() -> None:
    assert found("N: slotting E16")[STAYS] == "consider"


@pytest.mark.parametrize(
    "second", ["N: layers E16 ap 7.5 ae 1.25", "N: E16 ap 7.5 ae 1.25", "N: looping E12 ap 7.5 ae 1.25"]
)
def test_a_pass_along_the_walls_is_an_operation_of_its_own(second: str) -> None:
    told = reviewed("N: slotting E16", second)
    assert told.operations[1].role == REST
    assert not {one.weight for one in told.findings} & {"stop", "change"}
    assert STAYS not in {one.rule.id for one in told.findings}


def test_what_the_plan_says_to_stay_is_no_stock_that_nobody_takes() -> None:
    told = found("N: slotting E16 side 1.75")
    assert STAYS not in told
    assert told["much-stock-on-the-walls"] == "consider"


def test_a_little_less_than_what_stays_is_said_to_stay_as_well() -> None:
    """A tenth of a millimetre is rounding."""
    assert STAYS not in found("N: slotting E16 side 1.7")
    assert STAYS in found("N: slotting E16 side 1.6")


def test_the_same_cut_again_takes_no_walls() -> None:
    assert found("N: slotting E16", "N: slotting E16")["cut-twice"] == "change"
