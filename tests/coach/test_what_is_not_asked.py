"""What a process engineer found in the questions that no senior would ask: it does not come up again."""

from random import Random

import pytest

from advisor.coach.exercise import NoExercise
from advisor.coach.invent import invented
from advisor.coach.kinds.explaining import edge_fits
from advisor.coach.kinds.trapping import is_to_be_seen
from advisor.coach.kinds.untrue import not_so_text, same_fault
from advisor.coach.table import table
from advisor.coach.topics import topics
from advisor.knowledge.shipped import rule_base
from advisor.model.assignment import Assignment
from advisor.model.candidate import SOUND
from tests.coach.made import make

SEEDS = range(60)
FIRE = table().fire
RULES = rule_base().by_id


def _invented(topic: str | None) -> list[Assignment]:
    found = (invented(topic, 2, Random(seed)) for seed in SEEDS)
    return [assignment for assignment in found if assignment is not None]


def test_a_middle_that_comes_loose_is_left_only_where_that_is_the_question() -> None:
    """Roughing such a window frees the middle at full cut, and the question was how much stays on the wall."""
    for topic in (None, *topics()):
        for assignment in _invented(topic):
            feature = assignment.job.features[0]
            left = getattr(feature, "island", None)
            assert left is None or (topic == FIRE.topic and left > 0.5 * feature.width)


def test_what_burns_is_used_only_where_that_is_the_question() -> None:
    for topic in (None, *topics()):
        burning = [one for one in _invented(topic) if one.material.cutting_class in FIRE.classes]
        assert bool(burning) == (topic == FIRE.topic)


def test_traps_of_safety_differ() -> None:
    """All were of the middle of a window: a part that is cut free and magnesium come up too."""
    faults = {make("trap", seed, 2, FIRE.topic).key.finding.rule.id for seed in (21, 6, 9, 561, 565)}
    assert len(faults) >= 3


def test_of_a_level_deeper_than_the_edge_nobody_asks_what_the_shank_does() -> None:
    """An inserted cutter with 9 mm of edge cleared 34 mm in one level: the answer was that its shank rubs."""
    assert is_to_be_seen(["shank-rubs"], "cutter")
    assert not is_to_be_seen(["shank-rubs", "level-beyond-the-flutes"], "cutter")
    assert is_to_be_seen(["level-beyond-the-flutes", "shank-rubs"], "levels")


def test_a_fault_of_the_cutter_is_no_question_where_the_method_was_changed() -> None:
    """The remedy was another cutter, and the answer said that the method is another."""
    assert is_to_be_seen(["shoulder-needs-a-square-edge"], "cutter")
    assert not is_to_be_seen(["shoulder-needs-a-square-edge"], "method")


def test_hard_faces_are_not_asked_on_a_weak_machine_nor_levels_of_a_face_that_is_skimmed() -> None:
    assert table().would_run.face_power_least["H"] > 2.2
    faces = 0
    for seed in range(40):
        region = make("set", seed, 2, "levels").key.scene.answer.region
        assert region.kind != "planar_face" or region.depth >= table().trade.face_in_levels_depth.value
        faces += region.kind == "planar_face"
        if faces == 2:
            return
    raise AssertionError("too few faces to see it")


def test_a_way_in_that_another_method_takes_is_not_called_a_fault() -> None:
    """A ramp was refused in a hole that the same cutter bores on a helix."""
    for seed in (88, 5, 24):
        key = make("explain", seed, 2, "getting-in").key
        tool = (key.way.cutter.id, key.way.entry)
        alike = [one for one in key.scene.answer.candidates if (one.cutter.id, one.entry) == tool]
        assert key.way.method != key.scene.best.method or not any(one.grade in SOUND for one in alike)


def test_of_a_cutter_with_an_edge_too_short_for_the_cut_nobody_asks_why_its_shank_rubs() -> None:
    best = make("set", 3, 2, "load").key.scene.best
    assert edge_fits(best, best)
    short = best.cutter.model_copy(update={"APMX": best.plan.axial_depth - 1})
    assert not edge_fits(best._replace(cutter=short), best)


def test_a_kind_that_is_not_found_is_called_as_the_learner_calls_it() -> None:
    with pytest.raises(NoExercise, match="of kind change about safety; take one of trap"):
        make("turn", 1, 2, "safety")


def test_two_rules_about_a_core_do_not_stand_side_by_side() -> None:
    assert same_fault("bore-leaves-a-core", "bore-leaves-a-core-under-the-cutter")


def test_a_wrong_reason_is_told_with_the_number_that_shows_it() -> None:
    rule, base = RULES["cut-too-narrow-to-be-one"], rule_base()
    told = not_so_text(rule, {"radial_width": 1.5}, base).replace("\u00a0", " ")
    assert told == "No: the width of cut is 1.5 mm here, and would have to be below 0.02 mm."
    assert not_so_text(rule, {}, base) == "That is not so here."


def test_a_wrong_reason_is_not_told_with_a_measure_that_no_shop_has_a_name_for() -> None:
    facts = {"reach_margin": 16.0, "shank_gap": 0.0}
    assert not_so_text(RULES["shank-rubs"], facts, rule_base()) == "That is not so here."
