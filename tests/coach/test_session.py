"""A session: a wrong choice is hinted at, then explained, then contrasted; whatever is typed, nothing is lost."""

from collections.abc import Sequence
from pathlib import Path

import pytest

from advisor.coach.course import read_course
from advisor.coach.exercise import NoExercise
from advisor.coach.picking import Wish
from advisor.coach.record import Answered, Pending, Question, Record
from advisor.coach.session import Ended, practise
from advisor.paths import cases_dir, shared_dir
from advisor.render import terminal
from advisor.text.blocks import Block
from tests.coach.learners import MORNING, Sitting, knows, sit

SLOTS = Wish(topic="narrow-slots", kind="choose", difficulty=1, seed=2)
ANNA = Record(who="anna")


class Typed(Sitting):
    """A learner who types lines decided beforehand, then ends the input."""

    def __init__(self, lines: Sequence[str]) -> None:
        self.lines, self.prompts = iter(lines), list[str]()
        super().__init__(lambda _: "", Path())

    def ask(self, prompt: str) -> str | None:
        self.prompts.append(prompt)
        line = next(self.lines, None)
        if line == "^C":
            raise KeyboardInterrupt
        return line


def typed(*lines: str, wish: Wish = SLOTS, record: Record = ANNA, minutes: float = 1) -> tuple[Ended, str, Typed]:
    """How a session ended, and all that was shown in it at 50 columns."""
    sitting = Typed(lines)
    ended = practise(record, wish, sitting.seat(), minutes)
    return ended, text(sitting.shown), sitting


def text(blocks: Sequence[Block]) -> str:
    return terminal.text(blocks, 50)


@pytest.fixture(scope="module")
def answers() -> tuple[dict[str, str], dict[str, str]]:
    """Right and wrong answers to the question that is asked throughout."""
    from advisor.coach.grading import model_answers
    from tests.coach.made import make

    exercise = make("choose", 2, 1, "narrow-slots")
    right = dict(model_answers(exercise))
    wrong = {
        part.name: next(choice.label for choice in part.choices if choice.label != right[part.name])
        for part in exercise.parts
    }
    return right, wrong


Answers = tuple[dict[str, str], dict[str, str]]


def test_a_right_answer_is_told_why_and_where_it_turns(answers: Answers) -> None:
    ended, told, _ = typed(*answers[0].values())
    (answer,) = ended.asked
    assert (answer.first, answer.score, answer.tries) == (1, 1, 1)
    assert "Try once more" not in told
    assert told.index("  Right.") < told.index("  Answer") < told.index("Where the answer changes")


def test_a_wrong_answer_is_hinted_then_explained_then_contrasted(answers: Answers) -> None:
    ended, told, _ = typed(*answers[1].values(), *answers[1].values())
    (answer,) = ended.asked
    assert answer.tries == 2
    assert answer.score is not None
    assert answer.score < 1
    assert answer.missed
    steps = ("Not yet.", "Hint", "Try once more", "Not right.", "  Answer", "answer changes")
    order = [told.index(said) for said in steps]
    assert order == sorted(order)
    assert "?" in told[order[1] : order[2]]


WALLS = Wish(topic="walls-and-bottom", kind="set", difficulty=2, seed=3)


def test_the_second_try_keeps_what_enter_is_pressed_for() -> None:
    """Of two numbers the second is wrong."""
    from advisor.coach.grading import model_answers
    from tests.coach.made import make

    side, bottom = model_answers(make("set", 3, 2, "walls-and-bottom")).values()
    ended, told, _ = typed(side, "20", "", bottom, wish=WALLS)
    (answer,) = ended.asked
    assert "Not yet. Right: allowance side." in told
    assert (answer.first, answer.score, answer.tries) == (0.5, 1, 2)


def test_the_first_hint_says_where_to_look_and_the_second_narrows_it(answers: Answers) -> None:
    from tests.coach.made import make

    first, second = make("choose", 2, 1, "narrow-slots").hints
    _, told, _ = typed("?", "h", "hint", "q")
    flat = " ".join(told.split())
    assert flat.count(" ".join(first.split())) == 1
    assert flat.count(" ".join(second.split())) == 2
    _, told, _ = typed("?", *answers[1].values(), "q")
    flat = " ".join(told.split())
    assert flat.index(" ".join(first.split())) < flat.index("Not yet.") < flat.index(" ".join(second.split()))


def test_no_line_is_wider_than_fifty_columns(answers: Answers) -> None:
    _, told, _ = typed("?", "help", *answers[1].values(), *answers[1].values())
    assert max(map(len, told.splitlines())) <= 50


def test_empty_and_unknown_answers_are_helped_along(answers: Answers) -> None:
    right = answers[0]
    ended, told, _ = typed("", "perhaps", "  ", *(f" {label.upper()} " for label in right.values()))
    assert " ".join(told.split()).count("type one of a, b") == 3
    assert "? hint, why, skip, q to leave" in " ".join(told.split())
    assert ended.asked[0].score == 1


def test_a_hint_that_was_asked_for_makes_a_right_answer_worth_less(answers: Answers) -> None:
    ended, told, _ = typed("?", *answers[0].values())
    assert "Hint" in told
    assert ended.asked[0].score == 1
    assert ended.asked[0].first == 0.5


def test_why_gives_the_answer_and_counts_as_wrong() -> None:
    ended, told, _ = typed("why")
    assert "The answer" in told
    assert "answer changes" in told
    assert (ended.asked[0].first, ended.asked[0].score) == (0, 0)
    assert ended.asked[0].missed


def test_skip_passes_over_and_counts_for_nothing() -> None:
    ended, _, _ = typed("skip")
    assert ended.asked[0].score is None


@pytest.mark.parametrize("end", [["q"], ["quit"], ["Exit"], [" Q "], [], ["?", "QUIT"], ["^C"], ["?", "^C"]])
def test_leaving_keeps_the_question_for_the_next_time(end: list[str], answers: Answers) -> None:
    left, asked, _ = typed(*end)
    assert left.asked == ()
    assert left.interrupted == ("^C" in end)
    assert left.record.pending is not None
    later, again, _ = typed(*answers[0].values(), wish=Wish(), record=left.record)
    assert asked.splitlines()[:9] == again.splitlines()[:9]
    assert later.asked[0].score == 1
    assert later.record.pending is None


def test_a_question_that_waits_about_a_topic_renamed_since_is_passed_over_and_told() -> None:
    """Else nobody could practise any more who left a question of the topic unfinished."""
    question = Question(kind="choose", seed=4, difficulty=1, topic="narrow-slot")
    old = Answered(question=question, topic="narrow-slot", first=0, score=1, tries=2, when=MORNING)
    record = Record(who="anna", answers=(old,), pending=Pending(question=question))
    ended, told, _ = typed("skip", wish=Wish(), record=record)
    flat = " ".join(told.split())
    assert "The open question is passed over: there is no topic 'narrow-slot' any more" in flat
    assert ended.asked[0].question.topic != "narrow-slot"
    assert ended.record.pending is None


def test_a_hint_for_a_count_is_given_though_no_count_is_nought() -> None:
    ended, told, _ = typed("?", "skip", wish=Wish(topic="levels", kind="set", seed=1))
    assert "Hint" in told
    assert len(ended.asked) == 1


def test_an_answer_is_kept_as_it_was_read(answers: Answers) -> None:
    """What is typed may be shown again, in the question of the second try."""
    right, wrong = answers
    _, _, sitting = typed(*(f"\x1c{label}\x1d" for label in wrong.values()), *right.values())
    assert sitting.prompts[1] == f"method (Enter keeps {wrong['method']})"


def test_a_crash_after_the_hint_leaves_only_the_second_try(answers: Answers) -> None:
    _, _, sitting = typed(*answers[1].values())
    crashed = sitting.saved[-1]  # all that lies on the disk
    assert crashed.pending is not None
    assert crashed.pending.first is not None
    later, told, _ = typed(*answers[0].values(), wish=Wish(), record=crashed)
    assert "This is the second try." in told
    assert (later.asked[0].first, later.asked[0].score) == (crashed.pending.first, 1)


def test_every_answer_is_saved_before_the_next_question(answers: Answers) -> None:
    _, _, sitting = typed(*answers[0].values(), "skip", minutes=5)
    assert [len(record.answers) for record in sitting.saved] == [0, 1, 1, 2, 2]


def test_the_time_ends_the_session(answers: Answers) -> None:
    ended, _, _ = typed(*["skip"] * 20, minutes=5)
    assert len(ended.asked) == 3  # two minutes each


def test_a_wrong_answer_brings_the_topic_back_in_the_next_session() -> None:
    ended, _, _ = typed("why", wish=Wish(topic="reach", kind="turn"))
    assert ended.asked[0].missed
    later, _, _ = typed("skip", "quit", wish=Wish(), record=ended.record, minutes=10)
    assert later.record.pending is not None
    assert "reach" in (later.asked[0].topic, later.record.pending.question.topic)


def test_questions_can_be_about_a_job_of_ones_own(tmp_path: Path) -> None:
    from advisor.readers.assignment import read_assignment

    job = cases_dir() / "guide-slot-narrow" / "job.yaml"
    wish = Wish(sources={str(job): read_assignment(job)}, kind="choose")
    ended = sit(ANNA, knows, tmp_path, 1, wish, MORNING)
    (answer,) = ended.asked
    assert answer.question.source == (str(job),)
    assert answer.score == 1


def test_what_cannot_be_asked_is_said() -> None:
    with pytest.raises(NoExercise):
        typed("quit", wish=Wish(topic="safety", kind="turn"))


def test_a_course_asks_its_own_exercises_first_and_shows_its_remarks() -> None:
    course = read_course(shared_dir() / "courses" / "first-weeks.yaml")
    ended, told, _ = typed("why", wish=Wish(course=course))
    assert ended.asked[0].question.course == "First weeks at the mill/1"
    flat = " ".join(told.split())
    assert course.exercises[0].row.note in flat
    assert course.remarks["narrow-slot-is-ramped"] in flat
    later, _, _ = typed("why", wish=Wish(course=course), record=ended.record)
    assert later.asked[0].question.course != "First weeks at the mill/1"


class AtATerminal(Typed):
    """A learner who is waited for after each screen."""

    def seat(self):
        return super().seat()._replace(pause=lambda: self.ask("pause"))


def at_a_terminal(*lines: str) -> tuple[Ended, str, Typed]:
    sitting = AtATerminal(lines)
    ended = practise(ANNA, SLOTS, sitting.seat(), 1)
    return ended, text(sitting.shown), sitting


def test_at_a_terminal_each_screen_waits_for_enter(answers: Answers) -> None:
    ended, told, sitting = at_a_terminal(*answers[0].values(), "", "")
    assert sitting.prompts[1:] == ["pause", "pause"]
    assert "Where the answer changes" in told
    assert len(ended.asked) == 1


@pytest.mark.parametrize("end", [["q"], ["quit"], []])
def test_leaving_at_a_pause_keeps_the_answer(answers: Answers, end: list[str]) -> None:
    ended, told, sitting = at_a_terminal(*answers[0].values(), *end)
    assert [answer.score for answer in ended.asked] == [1]
    assert sitting.saved[-1].answers == ended.record.answers
    assert "Where the answer changes" not in told


def test_question_and_answer_each_fit_a_screen_of_24_lines_of_80() -> None:
    """But for a plan of many settings, which has a few lines more, and two more where it drills its way or has tabs."""
    from advisor.coach.grading import grade, model_answers
    from advisor.coach.topics import topics
    from tests.coach.made import make

    beyond: dict[tuple[str, str, str], int] = {}
    for topic in topics().values():
        exercise = make(topic.kinds[0], 2, 2, topic.id)
        most = 24 if exercise.kind != "trap" else 31 if {"entry_cutter", "tabs"} & set(exercise.key.plan) else 29
        part = exercise.parts[0]
        asked = terminal.text(exercise.told, 80).count("\n") + (0 if part.listed else len(part.choices))
        graded = grade(exercise, model_answers(exercise))
        beyond[topic.id, exercise.kind, "question"] = asked + 6 - most  # heading, what is asked, the prompt
        beyond[topic.id, exercise.kind, "answer"] = terminal.text(graded.reason, 80).count("\n") + 6 - most
    assert {name: count for name, count in beyond.items() if count > 0} == {}
