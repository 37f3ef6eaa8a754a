"""What is told of a way that was chosen for the feature of the second size: its own best reason."""

import pytest

from advisor.coach.exercise import Exercise
from advisor.coach.grading import grade, model_answers
from advisor.coach.kinds import turning
from advisor.model.candidate import SOUND
from advisor.render.terminal import text
from tests.coach.made import make


@pytest.fixture(scope="module")
def reach() -> Exercise:
    found = (make("turn", seed, 2, "reach") for seed in (88, 8, 3, 4))
    return next(exercise for exercise in found if exercise.key.second.answer.best is None)


def test_where_nothing_reaches_the_longest_cutter_of_the_crib_is_told(reach: Exercise) -> None:
    """The reason spoke of the cutter of today, and another of the crib was longer by half."""
    longest = max((one for one in reach.assignment.crib if not one.kind.drill), key=lambda one: one.LU)
    shown = text(grade(reach, model_answers(reach)).reason, 200).replace("\u00a0", " ")
    assert f"The longest of the crib, {longest.id}, reaches {longest.LU:g} mm" in shown
    assert "is needed" in shown


def test_a_wrong_way_that_does_not_reach_is_held_against_the_longest_cutter(reach: Exercise) -> None:
    for answer in reach.key.ways.values():
        if answer is not None:
            item = turning.judged_by(reach.key, answer)
            others = [way for way in reach.key.second.answer.candidates if (way.method, way.cutter.body) == answer]
            assert item is not None
            assert max(way.cutter.LU for way in others) == item.cutter.LU


@pytest.mark.parametrize("seed", [21, 47])
def test_a_wrong_way_is_judged_by_the_best_of_its_kind_or_with_the_cutter_as_drawn(seed: int) -> None:
    """Boring was refused for the core of a helix without a hole, or for a short cutter that nobody meant."""
    key = make("turn", seed, 2, "round-holes").key
    for answer in key.ways.values():
        item = None if answer is None else turning.judged_by(key, answer)
        if item is None:
            continue
        alike = [way for way in key.second.answer.candidates if (way.method, way.cutter.body) == answer]
        assert (item.grade in SOUND) == any(way.grade in SOUND for way in alike)
        drawn = [way for way in alike if (way.cutter.id, way.entry) == (key.scene.best.cutter.id, key.scene.best.entry)]
        if drawn and item.grade not in SOUND:
            assert item.entry in (key.scene.best.entry, key.second.best.entry)
