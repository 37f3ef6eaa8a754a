"""What held a setting back: every kind has its words, and every kind comes about somewhere."""

from pathlib import Path

import pytest

import advisor.methods
from advisor.model.cause import Cause, HeldBy
from advisor.text.causes import WORDS, cause_text

METHODS = [path.read_text(encoding="utf-8") for path in Path(advisor.methods.__path__[0]).glob("*.py")]
TORQUE = Cause(HeldBy.SPINDLE_TORQUE, (1330.0,))
SLENDER = Cause(HeldBy.SLENDER, (4.26,))
TOLD = [
    (TORQUE, "spindle torque at 1\u00a0330\u00a0/min"),
    (Cause(HeldBy.EQUAL_LEVELS, (3,)), "3 equal levels"),
    (Cause(HeldBy.EQUAL_LEVELS, (3,), Cause(HeldBy.BENDING)), "deflection against the side allowance: 3 equal levels"),
    (
        Cause(HeldBy.SHARE_OF_TABLE_WIDTH, (0.7,), SLENDER),
        "cutter bends like a plain bar 4.3 DC long: only 70% of the table's width",
    ),
    (Cause(HeldBy.EVEN_PASSES_OF_STOCK, (1, 2.5)), "1 even pass over 2.5\u00a0mm of stock"),
    (Cause(HeldBy.EVEN_PASSES_OF_STOCK, (2, 2.5)), "2 even passes over 2.5\u00a0mm of stock"),
    (
        Cause(HeldBy.CHIP_KEPT, since=Cause(HeldBy.HELD_FEED)),
        "follows the reduced feed, to keep the chip thickness",
    ),
]


@pytest.mark.parametrize("by", HeldBy)
def test_every_kind_of_cause_has_words_and_comes_about(by: HeldBy) -> None:
    assert WORDS[by]
    assert any(f"HeldBy.{by.name}" in code for code in METHODS)


@pytest.mark.parametrize(("cause", "told"), TOLD)
def test_a_cause_is_told_with_its_numbers_and_what_it_follows_from(cause: Cause, told: str) -> None:
    assert cause_text(cause) == told
