"""The case in which the answer changes: one that a learner can picture, with a cutter and a size that there are."""

import pytest

from advisor.coach.contrast import contrast_blocks, teaches
from advisor.coach.grading import grade, model_answers
from advisor.coach.scene import scene_of
from advisor.model.answer import Breakpoint
from advisor.model.owner import Owner
from advisor.situation.pairings import ways
from advisor.text.blocks import Items
from tests.coach.made import make

WIDER = Breakpoint(
    Owner.FEATURE, "S1", "width", "mm", 12.0, 13.5, "layered_pocketing", "E8P4", "solid_end_mill", "side_entry"
)


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (WIDER, True),
        (WIDER._replace(method=None), False),  # no way with a crib that the learner never saw
        (WIDER._replace(at=11.99), False),
        (WIDER._replace(owner=Owner.CUTTER, owner_id="E8P4", name="DC", at=5.17), False),  # no such cutter is made
        (WIDER._replace(owner=Owner.CUTTER, owner_id="E8P4", name="LPR", at=15.0), False),
    ],
)
def test_only_a_change_that_teaches_something_is_told(change: Breakpoint, told: bool) -> None:
    assert teaches(change) is told


@pytest.mark.parametrize(("kind", "topic"), [("choose", "layers-and-faces"), ("explain", "narrow-slots")])
@pytest.mark.parametrize("seed", [3, 11])
def test_beyond_the_line_is_another_method_that_a_shop_would_run(kind: str, topic: str, seed: int) -> None:
    scene = scene_of(make(kind, seed, 2, topic).assignment)
    for told in contrast_blocks(scene, "method")[1:]:
        assert isinstance(told, Items)
        _, beyond = told.items
        assert ways()[scene.best.method].title not in beyond.text.partition(", good.")[0]
        assert ", good." in beyond.text


def test_settings_that_are_right_are_left_without_another_feature() -> None:
    exercise = make("set", 3, 2, "levels")
    assert not grade(exercise, model_answers(exercise)).contrast
