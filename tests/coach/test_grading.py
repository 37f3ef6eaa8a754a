"""Answers earn credit by part, and a wrong one is told what would happen at the machine."""

from collections.abc import Iterable

import pytest

from advisor.coach.exercise import DIFFICULTIES, Exercise
from advisor.coach.grading import grade, model_answers
from advisor.coach.kinds import setting, turning
from advisor.coach.reading import Unreadable
from advisor.coach.topics import topic_of
from advisor.knowledge.shipped import rule_base
from advisor.model.candidate import SOUND
from advisor.paths import cases_dir
from advisor.readers.assignment import read_assignment
from advisor.render import terminal
from advisor.text.blocks import Block
from tests.coach.made import make, sound


def text(blocks: Iterable[Block], columns: int) -> str:
    """The blocks as they are shown, with plain spaces."""
    return terminal.text(blocks, columns).replace("\u00a0", " ")


def _of_case(kind: str, case: str, topic: str) -> Exercise:
    return make(kind, 1, 3, topic, [read_assignment(cases_dir() / case / "job.yaml")])


def _label(exercise: Exercise, part: str, words: str) -> str:
    choices = next(one.choices for one in exercise.parts if one.name == part)
    return next(choice.label for choice in choices if words in choice.text or words == choice.label)


@pytest.fixture(scope="module")
def slot() -> Exercise:
    """A slot of 11.8 mm for a cutter of 10 mm: it is ramped."""
    return _of_case("choose", "guide-slot-narrow", "narrow-slots")


@pytest.fixture(scope="module")
def cutters() -> Exercise:
    """The same slot; the cutters are chosen from."""
    return next(one for seed in range(40) if "shank-rubs" in (one := make("choose", seed, 3, "reach")).rules)


def test_the_advised_way_is_right(slot: Exercise) -> None:
    graded = grade(slot, model_answers(slot))
    assert (graded.right, graded.score) == (True, 1)
    assert "ramped slotting" in graded.parts[0][2]


def test_a_wrong_method_is_told_what_would_happen_at_the_machine(slot: Exercise) -> None:
    graded = grade(slot, {"method": _label(slot, "method", "engagement")})
    assert graded.score == 0
    assert "reverse each axis" in graded.parts[0][2]
    assert "width 11.8 mm: ramped slotting" in text(graded.contrast, 100)


@pytest.mark.parametrize("typed", ["looping", "engagement_limited_clearing", "Engagement-limited"])
def test_a_method_may_be_typed_as_people_say_it(slot: Exercise, typed: str) -> None:
    assert grade(slot, {"method": typed}).parts[0][1] == 0
    assert grade(slot, {"method": "ramped slotting"}).right


def test_the_hints_have_the_numbers_of_the_slot_and_not_the_answer(slot: Exercise) -> None:
    first, second = (hint.replace("\u00a0", " ") for hint in slot.hints)
    assert "11.8 mm wide and the cutter 10 mm" in first
    assert "1.18" in second
    assert "ramp" not in f"{first} {second}".casefold()


def test_a_cutter_that_is_too_short_is_told_where_its_shank_would_rub(cutters: Exercise) -> None:
    key = cutters.key
    label = next(
        label
        for label, way in key.ways.items()
        if label != key.right and any(rule.id == "shank-rubs" for rule in way.fired)
    )
    graded = grade(cutters, {"cutter": label})
    assert "would rub the top" in f"{graded.parts[0][2]} {text(graded.reason, 200)}"


def test_a_cutter_may_be_typed_by_its_id(cutters: Exercise) -> None:
    assert grade(cutters, {"cutter": cutters.key.scene.best.cutter.id.lower()}).right


def test_a_cutter_that_would_do_as_well_is_not_among_the_answers() -> None:
    for seed in range(6):
        scene = make("choose", seed, 3, "reach").key.scene
        sound = {way.cutter.id for way in scene.answer.candidates if way.grade in SOUND}
        assert sound == {scene.best.cutter.id}


def test_the_rules_of_a_choice_are_those_of_its_topic_that_decide(slot: Exercise) -> None:
    assert "narrow-slot-is-ramped" in slot.rules
    assert {topic_of(rule_base().by_id[rule]) for rule in slot.rules} == {"narrow-slots"}


@pytest.mark.parametrize("typed", ["", "   ", "nothing"])
def test_an_answer_that_cannot_be_read_is_not_graded(slot: Exercise, typed: str) -> None:
    with pytest.raises(Unreadable, match="type one of"):
        grade(slot, {"method": typed})


@pytest.fixture(scope="module")
def settings() -> Exercise:
    """A pocket with a floor, its cutter hardly bent by the cut."""
    return _of_case("set", "lever-pocket-easy-corners", "walls-and-bottom")


def _credits(exercise: Exercise, **mine: str) -> dict[str, float]:
    return {name: credit for name, credit, _ in grade(exercise, {**model_answers(exercise), **mine}).parts}


def test_nothing_left_on_the_walls_costs_that_part_alone(settings: Exercise) -> None:
    credits = _credits(settings, allowance_side="0 mm")
    assert credits.pop("allowance_side") == 0
    assert set(credits.values()) == {1}


def test_little_left_on_the_floor_costs_half(settings: Exercise) -> None:
    assert _credits(settings, allowance_bottom="0.1")["allowance_bottom"] == setting.HALF


@pytest.fixture(scope="module")
def width() -> Exercise:
    """A deep pocket cleared in narrow cuts: how wide is asked."""
    made = (make("set", seed, 2, "load") for seed in range(40))
    return next(one for one in made if one.assignment.material.group == "P")


def test_a_width_has_some_room_and_no_more(width: Exercise) -> None:
    advised = width.key.advised["radial_width"]
    assert _credits(width, radial_width=f"{0.9 * advised:.3f}")["radial_width"] == 1
    assert _credits(width, radial_width=f"{0.3 * advised:.3f}")["radial_width"] == 0
    assert _credits(width, radial_width=f"{4 * advised:.3f}")["radial_width"] == 0


def test_what_finishing_could_not_take_is_wrong_though_a_review_finds_nothing(settings: Exercise) -> None:
    assert _credits(settings, allowance_bottom="20")["allowance_bottom"] == 0


def test_a_cut_wider_than_the_cutter_is_said_to_be_impossible(width: Exercise) -> None:
    graded = grade(width, {"radial_width": "5 in"})
    told = {name: told for name, _, told in graded.parts}["radial_width"]
    assert "127 mm" in told
    assert "wide" in told


def test_the_contrast_of_a_setting_closes_in_on_where_it_turns_wrong(settings: Exercise) -> None:
    graded = grade(settings, {**model_answers(settings), "allowance_side": "0"})
    assert "allowance side" in text(graded.contrast, 100)
    assert "right" in text(graded.contrast, 100)


def test_a_line_is_right_within_its_tolerance_and_half_right_within_two() -> None:
    exercise = make("turn", 6, 2)
    key, model = exercise.key, model_answers(exercise)
    allowed = turning.tolerance(key)
    for off, credit in ((0.9, 1), (1.5, 0.5), (2.5, 0)):
        graded = grade(exercise, {**model, "line": f"{key.turn.at + off * allowed:.4f}"})
        assert graded.parts[1][1] == credit


def test_a_tolerance_is_no_wider_than_a_tenth_of_the_line_but_for_the_step_of_the_drawing() -> None:
    for exercise in sound("turn", len(DIFFICULTIES)):
        key = exercise.key
        assert turning.tolerance(key) <= max(0.1 * key.turn.at, 0.51 * 5)


@pytest.fixture(scope="module")
def two_faults() -> Exercise:
    """A plan with a grave fault and another."""
    made = (make("trap", seed, 2, "load") for seed in range(60))
    return next(one for one in made if len({fault.rule.id for fault in one.key.faults}) > 1)


def test_of_the_faults_of_a_plan_the_gravest_alone_stands_among_the_answers(two_faults: Exercise) -> None:
    """Whoever ticks another true one on paper would be marked wrong by the key."""
    gravest = two_faults.key.finding.rule
    (label,) = two_faults.key.true
    assert two_faults.key.rules[label] is gravest
    graded = grade(two_faults, {"fault": label})
    assert graded.right
    assert gravest.title in graded.parts[0][2]
    assert two_faults.key.finding.text.split()[0] in text(graded.reason, 200)


def test_what_is_not_so_of_a_plan_is_wrong_and_told_what_is(two_faults: Exercise) -> None:
    for label in set(two_faults.key.rules) - two_faults.key.true:
        graded = grade(two_faults, {"fault": label})
        assert graded.score == 0
        assert two_faults.key.finding.rule.title in graded.parts[0][2]


def test_of_the_reasons_against_another_way_one_alone_is_right() -> None:
    exercise = make("explain", 2, 3)
    scores = [grade(exercise, {"reason": choice.label}).score for choice in exercise.parts[0].choices]
    assert sorted(scores) == [0] * (len(scores) - 1) + [1]
    assert exercise.key.way.grade in ("poor", "forbidden")


def test_no_feedback_is_wider_than_50_columns() -> None:
    for kind in ("choose", "set", "trap", "turn", "explain"):
        exercise = make(kind, 9, 4)
        graded = grade(exercise, model_answers(exercise))
        shown = text((*graded.reason, *graded.contrast), 50)
        assert max(map(len, shown.splitlines())) <= 50
