"""What a reading of the questions found that nobody would ask a colleague, held against new ones."""

from contextlib import suppress
from functools import cache

import pytest

from advisor.choosing.ranking import against
from advisor.coach.exercise import Exercise, NoExercise
from advisor.coach.kinds.untrue import apart, same_fault, untrue
from advisor.coach.table import table
from advisor.coach.topics import topics
from advisor.knowledge.shipped import rule_base
from advisor.situation.pairings import ways
from tests.coach.made import make

SEEDS = range(6)  # as in made.sound
RULES = rule_base().by_id


@cache
def _made(kind: str, topic: str | None = None) -> tuple[Exercise, ...]:
    """The exercises of some seeds; of a seed that gives none, a sitting takes another kind."""
    found = []
    for seed in SEEDS:
        with suppress(NoExercise):
            found.append(make(kind, seed, 1 + seed % 5, topic))
    assert len(found) >= len(SEEDS) - 1
    return tuple(found)


def test_no_drill_and_no_cutter_made_for_something_else_is_chosen_from() -> None:
    for exercise in _made("choose", "reach"):
        for way in exercise.key.ways.values():
            assert not way.cutter.kind.drill
            assert not any(rule.id in table().would_run.never for rule in way.fired)


def test_no_way_is_offered_that_nobody_would_think_of() -> None:
    """Such as plunging where a side cut holds, or a ramp to and fro where a helix has room: a matter of taste."""
    for exercise in (*_made("choose"), *_made("choose", "getting-in")):
        key = exercise.key
        for label, way in key.ways.items():
            assert label == key.right or not {rule.id for rule in against(way)} & set(table().not_offered)


def test_of_a_face_nobody_asks_by_which_method_or_how_to_get_in() -> None:
    for exercise in _made("choose", "layers-and-faces"):
        assert exercise.assignment.job.features[0].kind != "planar_face" or exercise.parts[0].name == "cutter"


def test_one_thing_is_asked_and_one_answer_is_right() -> None:
    for exercise in _made("choose"):
        assert len(exercise.parts) == 1
        assert 3 <= len(exercise.parts[0].choices) <= 5


@pytest.mark.parametrize("kind", ["choose", "turn", "explain"])
def test_a_question_is_about_a_feature_of_its_topic(kind: str) -> None:
    """A turn of a round hole was asked under deep narrow cuts, one of a face under round holes."""
    for exercise in _made(kind):
        assert exercise.assignment.job.features[0].kind in (topics()[exercise.topic].features or FEATURES)


FEATURES = {kind for way in ways().values() for kind in way.features}


def test_no_trap_is_a_matter_of_looking_up_or_a_plan_that_nobody_makes() -> None:
    for exercise in _made("trap"):
        assert not {one.rule.id for one in exercise.key.faults if one.weight != "consider"} & set(table().trap_never)
        assert exercise.key.plan["coolant"] in (*exercise.key.scene.bench.machine.coolant, "none")


def test_no_fault_that_is_untrue_is_the_true_one_by_another_name() -> None:
    for exercise in _made("trap"):
        key = exercise.key
        for label, rule in key.rules.items():
            if label not in key.true:
                assert not any(same_fault(rule.id, one.rule.id) for one in key.faults)


def test_a_number_near_a_limit_is_not_called_untrue() -> None:
    """A slot 2.1 diameters deep packs its chips, a shop would say, though the rule begins at 3."""
    rule = RULES["deep-slot-packs-chips"]
    limit = rule.limits["depth_ratio"].value
    cut = {"method": "ramped_slotting", "width_ratio": 1.2, "axial_ratio": 0.3}
    for share, called in ((0.7, []), (0.3, [rule])):
        assert list(untrue([rule], {**cut, "depth_ratio": share * limit}, set())) == called


def test_what_is_one_fault_to_a_person_stands_once_among_the_answers() -> None:
    small, wide = RULES["drill-leaves-much"], RULES["drill-leaves-much-in-a-wide-hole"]
    flutes = RULES["deeper-than-the-flutes"]
    assert apart([wide, flutes, small], small) == [flutes]
    assert same_fault("drill-leaves-much", "drill-leaves-much-in-a-wide-hole")
    assert not same_fault("drill-leaves-much", "deeper-than-the-flutes")


def test_a_cutter_that_does_not_fit_is_no_turn_to_ask_about() -> None:
    for exercise in _made("turn"):
        assert exercise.key.second.answer.best is not None or exercise.topic == "reach"


@pytest.mark.parametrize("topic", [topic.id for topic in topics().values() if "trap" in topic.kinds])
def test_every_topic_with_traps_gives_one(topic: str) -> None:
    for seed in range(3, 7):
        with suppress(NoExercise):
            exercise = make("trap", seed, 2, topic)
            assert exercise.topic == topic
            assert exercise.key.true
            return
    pytest.fail("no seed gives one")
