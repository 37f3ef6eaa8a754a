"""The case in which the answer changes: one that a learner can picture, with a cutter and a size that there are."""

import pytest

from advisor.coach.contrast import contrast_blocks, teaches
from advisor.model.answer import Breakpoint
from advisor.render.terminal import text
from tests.coach.made import make

WIDER = Breakpoint("feature", "width", "mm", 12.0, 13.5, "layered_pocketing", "E8P4", "solid_end_mill", "side_entry")


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (WIDER, True),
        (WIDER._replace(method=None), False),  # no way with a crib that the learner never saw
        (WIDER._replace(at=11.99), False),
        (WIDER._replace(whose="E8P4", name="DC", at=5.17), False),  # no such cutter is made
        (WIDER._replace(whose="E8P4", name="LPR", at=15.0), True),
    ],
)
def test_only_a_change_that_teaches_something_is_told(change: Breakpoint, told: bool) -> None:
    assert teaches(change) is told


@pytest.mark.parametrize("seed", [3, 11])
def test_no_contrast_says_that_the_crib_has_no_way(seed: int) -> None:
    shown = text(contrast_blocks(make("set", seed, 2, "load").key.scene), 100)
    assert "no way" not in shown
    assert "not possible" not in shown
