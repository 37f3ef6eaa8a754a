"""A question is asked only where one answer is right beyond doubt: no hair's breadth, no matter of taste."""

from collections import Counter
from collections.abc import Iterator
from functools import cache
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.coach.exercise import Exercise
from advisor.coach.grading import grade, model_answers
from advisor.coach.kinds.flaws import changed, flaws
from advisor.coach.margins import nearly_holds, plainly_holds
from advisor.coach.scene import is_clear, plainly_against, scene_of
from advisor.coach.table import table
from advisor.coach.topics import topics
from advisor.knowledge.check import example_facts
from advisor.knowledge.conditions import Situation, holds
from advisor.knowledge.schema import Rule
from advisor.knowledge.shipped import rule_base
from advisor.paths import cases_dir
from advisor.readers.assignment import read_assignment
from tests.coach.made import make
from tests.coach.test_grading import text

SEEDS = range(4)  # as in made.sound
RULES = rule_base().by_id
SHANK, STEEP = RULES["shank-rubs"], RULES["steeper-than-the-catalogue"]


@cache
def _made(kind: str, topic: str | None = None) -> tuple[Exercise, ...]:
    return tuple(make(kind, seed, 1 + seed % 5, topic) for seed in SEEDS)


@pytest.mark.parametrize(("short", "plain"), [(-0.3, False), (-2.5, True)])
def test_a_usable_length_a_hair_too_short_is_not_plainly_too_short(short: float, plain: bool) -> None:
    facts = {"feature": "slot", "body": "solid_end_mill", "reach_margin": short, "shank_gap": 0.0}
    assert holds(SHANK.condition, facts)
    assert plainly_holds(SHANK, facts) == plain


@pytest.mark.parametrize(("beyond", "plain"), [(0.1, False), (2.0, True)])
def test_a_tenth_of_a_degree_beyond_the_catalogue_is_not_plainly_too_steep(beyond: float, plain: bool) -> None:
    facts = {"body": "solid_end_mill", "end_cutting": "yes", "descent_beyond_cutter": beyond}
    assert holds(STEEP.condition, facts)
    assert plainly_holds(STEEP, facts) == plain


FIRING = [
    (rule, dict(example_facts(rule, example)))
    for rule in rule_base().rules
    for example in rule.examples
    if example.fires
]


def _beside(facts: Situation, factors: Iterator[float]) -> Situation:
    """The facts with every number another one."""
    return {name: value if isinstance(value, str) else value * next(factors) for name, value in facts.items()}


def _held(rule: Rule, facts: Situation) -> tuple[bool, bool, bool]:
    """Whether a rule plainly holds, holds, nearly holds."""
    return plainly_holds(rule, facts), holds(rule.condition, facts), nearly_holds(rule, facts)


@given(st.sampled_from(FIRING), st.lists(st.floats(0.5, 2), min_size=40, max_size=40))
def test_what_plainly_holds_holds_and_what_holds_nearly_holds(
    firing: tuple[Rule, Situation], factors: list[float]
) -> None:
    """Of each rule where it fires by its own example, with other numbers in that."""
    rule, facts = firing
    plainly, held, nearly = _held(rule, _beside(facts, iter(factors)))
    assert plainly <= held <= nearly


def test_some_rules_plainly_hold_some_hold_by_little_and_some_only_nearly() -> None:
    """Where they fire by their examples, and where the numbers of these are up to half as large again."""
    rng = Random(1)
    seen = Counter(_held(rule, facts) for rule, facts in FIRING)
    assert min(seen[True, True, True], seen[False, True, True]) > 100
    assert set(seen) == {(True, True, True), (False, True, True)}
    other = (_beside(facts, iter(lambda: rng.uniform(0.6, 1.6), None)) for _, facts in FIRING)
    seen = Counter(_held(rule, facts) for (rule, _), facts in zip(FIRING, other, strict=True))
    assert (
        min(seen[True, True, True], seen[False, True, True], seen[False, False, True], seen[False, False, False]) > 20
    )
    assert len(seen) == 4


def test_a_way_that_only_gains_nothing_is_wrong_only_where_it_is_slower_too() -> None:
    scene = scene_of(read_assignment(cases_dir() / "pump-base-shallow-pocket" / "job.yaml"))
    way = next(way for way in scene.answer.candidates if {"too-shallow-for-engagement"} == _ids(way))
    assert is_clear(way._replace(time=2 * scene.best.time), scene)
    assert not is_clear(way._replace(time=0.9 * scene.best.time), scene)


def _ids(way) -> set[str]:
    return {rule.id for rule in plainly_against(way)}


@pytest.mark.parametrize("topic", ["reach", "cutter-and-material"])
def test_no_cutter_is_offered_that_is_far_too_short_or_a_pencil(topic: str) -> None:
    """Nobody thinks of a cutter of half the length, nor of one of a third of the diameter."""
    offered = [(way, one.key.scene.best) for one in _made("choose", topic) for way in one.key.ways.values()]
    assert offered
    for way, best in offered:
        assert way.cutter.LU is None or 0.55 * float(way.facts.get("length_needed", 0.0)) < way.cutter.LU
        assert way.cutter.DC > 0.4 * best.cutter.DC


def test_a_wrong_method_is_wrong_by_more_than_the_way_in_that_is_left_to_it() -> None:
    for exercise in _made("choose"):
        key = exercise.key
        for label, way in key.ways.items():
            if key.part == "method" and label != key.right:
                stages = {rule.stage for rule in way.fired if rule.verdict in ("against", "forbids")}
                assert stages - {"entry"} or way.time > 1.5 * key.scene.best.time


def test_what_is_spoiled_in_a_plan_is_what_its_topic_and_hints_are_about() -> None:
    """A feed of 25 times too much was asked under walls and bottom, with a hint about allowances."""
    for exercise in _made("trap"):
        assert exercise.key.spoiled in table().trap_spoils[exercise.topic]
        assert plainly_holds(exercise.key.finding.rule, exercise.key.finding.facts)


def test_every_topic_with_traps_says_which_settings_may_be_spoiled() -> None:
    assert set(table().trap_spoils) == {topic.id for topic in topics().values() if "trap" in topic.kinds}


def test_every_topic_with_turns_says_which_sizes_change() -> None:
    assert set(table().turns_on) == {topic.id for topic in topics().values() if "turn" in topic.kinds}


def test_a_feed_with_its_point_in_the_wrong_place_is_too_small_in_mm() -> None:
    """0.006 mm per tooth in place of 0.06; nobody types 0.6 mm."""
    key = _made("trap")[0].key
    for seed in SEEDS:
        feeds = [value for name, value in flaws(key.sound, key.scene, 3, Random(seed)) if name == "feed_per_tooth"]
        assert any(value == pytest.approx(key.sound["feed_per_tooth"] / 10, abs=1e-4) for value in feeds)
        assert max(feeds) < 5 * key.sound["feed_per_tooth"]


def test_another_method_brings_no_levels_and_no_width_of_the_one_before() -> None:
    plan = {"method": "layered_pocketing", "levels": 3, "radial_width": 10.4, "allowance_side": 0.5}
    assert changed(plan, "method", "engagement_limited_clearing") == {
        "method": "engagement_limited_clearing",
        "allowance_side": 0.5,
    }


def test_what_stays_on_a_wall_is_not_judged_by_a_pass_more_or_less() -> None:
    """0.4 mm in place of 0.5 mm was called wrong, since the stock then took two passes of a width that was kept."""
    made = (make("set", seed, 1, "walls-and-bottom") for seed in range(8100, 8130))
    exercise = next(one for one in made if one.assignment.job.features[0].kind == "outside_profile")
    model = dict(model_answers(exercise))
    graded = grade(exercise, model | {"allowance_side": "0.4 mm"})
    assert {name: credit for name, credit, _ in graded.parts}["allowance_side"] >= 0.5
    assert "It takes" not in graded.parts[0][2]


def test_not_every_number_of_levels_and_not_every_width_is_right() -> None:
    for topic, name in (("levels", "levels"), ("load", "radial_width")):
        for exercise in _made("set", topic):
            advised = exercise.key.advised[name]
            others = [advised - 1, advised + 1] if name == "levels" else [2.2 * advised]
            scores = [grade(exercise, {name: f"{other:.3f}"}).score for other in others if other > 0]
            assert min(scores) < 1


def test_a_turn_is_to_another_method_or_way_in_and_the_way_of_before_is_plainly_wrong() -> None:
    for exercise in _made("turn"):
        key = exercise.key
        if key.second.answer.best is None:
            continue
        one, other = key.scene.best, key.second.best
        assert key.by_entry or (
            {one.method, other.method} != {"layered_pocketing", "face_milling"} and one.method != other.method
        )
        today = [
            way
            for way in key.second.answer.candidates
            if way.entry is not None and _answer(key, way) == _answer(key, one)
        ]
        assert all(is_clear(way, key.second) for way in today)


def _answer(key, way) -> tuple[str, ...]:
    return (way.entry,) if key.by_entry else (way.method, way.cutter.body)


def test_a_colleague_asks_why_not_of_one_thing() -> None:
    for exercise in _made("explain"):
        best, way = exercise.key.scene.best, exercise.key.way
        differs = [best.method != way.method, best.cutter.id != way.cutter.id]
        assert exercise.topic == "round-holes" or sum(differs) <= 1
        assert exercise.key.rule in plainly_against(way)


def test_why_not_a_cutter_made_for_something_else_is_asked_about_cutter_and_material() -> None:
    assert make("explain", 5, 1, "cutter-and-material").topic == "cutter-and-material"


def test_the_last_number_that_passes_is_not_called_right() -> None:
    """At 130 revolutions in place of 2 700 there was said to be nothing to stop or change."""
    for exercise in (*_made("trap", "load"), *_made("trap", "levels")):
        shown = text(grade(exercise, model_answers(exercise)).contrast, 200)
        assert "nothing to stop" not in shown
        assert not shown.strip() or "right." in shown
