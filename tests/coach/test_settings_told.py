"""Numbers that are settled: what decides is shown, a share of the cutter may be typed, and a wide cut is half right."""

import pytest

from advisor.coach.exercise import Exercise, Part
from advisor.coach.grading import grade, model_answers
from advisor.coach.judging import cut_down
from advisor.coach.reading import Unreadable, read
from advisor.render.terminal import text
from tests.coach.made import make

WIDTH = Part("radial_width", "How wide?", (), "mm", share_of=16.0)


@pytest.fixture(scope="module")
def load() -> Exercise:
    return make("set", 3, 2, "load")


@pytest.mark.parametrize("typed", ["10%", "10 %", "10 % of DC", "10 % of the cutter", "10,0 % D", "1.6 mm"])
def test_a_width_may_be_typed_as_a_share_of_the_cutter(typed: str) -> None:
    assert read(WIDTH, typed) == pytest.approx(1.6)


@pytest.mark.parametrize("typed", ["ten %", "10 % of APMX", "-10 %"])
def test_what_is_no_share_is_asked_again(typed: str) -> None:
    with pytest.raises(Unreadable):
        read(WIDTH, typed)
    with pytest.raises(Unreadable):
        read(WIDTH._replace(share_of=0.0), "10 %")


def test_a_width_twice_the_advised_one_is_not_wholly_right_and_its_limit_is_said(load: Exercise) -> None:
    """22 % of the cutter was called right where 10 % is advised."""
    advised = load.key.advised["radial_width"]
    ((_, credit, told),) = grade(load, {"radial_width": f"{1.8 * advised:.3f}"}).parts
    assert credit == 0.5
    assert "engagement" in told or "the tables give" in told


def test_a_right_answer_is_told_what_a_senior_would_take_and_no_more(load: Exercise) -> None:
    ((_, credit, told),) = grade(load, model_answers(load)).parts
    assert credit == 1
    assert told.startswith("I would take ")
    assert "Advised" not in told


@pytest.mark.parametrize(("value", "told"), [(1.1659, 1.16), (0.7159, 0.715), (10.7, 10.7)])
def test_a_width_has_no_more_figures_than_a_shop_types(value: float, told: float) -> None:
    assert cut_down(value) == told


def test_levels_are_asked_with_what_stays_and_the_depth_that_the_tables_bear() -> None:
    exercise = make("set", 3, 2, "levels")
    shown = text(exercise.told, 100)
    assert "allowance bottom" in shown
    assert exercise.key.scene.best.facts["allowed_depth"] < exercise.key.scene.best.cutter.APMX
    assert "one level" in shown
    assert "by the tables" in shown
