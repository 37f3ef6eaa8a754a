"""What is asked next: due first, the weakest first, in turn, new topics gradually; the same record, the same answer."""

from datetime import UTC, datetime, timedelta
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from advisor.coach.picking import Wish, suits
from advisor.coach.record import Answered, Question
from advisor.coach.schedule import difficulty_of, kinds_in_turn, next_topics, standings

MONDAY = datetime(2026, 3, 2, 7, tzinfo=UTC)
TOPICS = ("one", "two", "three", "four")
MINUTE, DAY = timedelta(minutes=1), timedelta(days=1)


def answer(
    topic: str,
    score: float | None,
    at: timedelta = timedelta(),
    last: float | None = None,
    hard: int = 2,
    kind: str = "turn",
) -> Answered:
    question = Question(kind=kind, seed=1, difficulty=hard, topic=topic)
    return Answered(
        question=question, topic=topic, first=score, score=score if last is None else last, tries=1, when=MONDAY + at
    )


def test_the_first_question_is_about_the_first_topic() -> None:
    assert next_topics((), TOPICS, MONDAY)[0] == "one"


def test_a_second_topic_begins_once_the_first_was_asked() -> None:
    assert next_topics([answer("one", 0)], TOPICS, MONDAY + 2 * MINUTE, "one")[0] == "two"


def test_a_third_topic_waits_until_two_were_asked_twice() -> None:
    two = [answer("one", 0), answer("two", 0), answer("one", 0)]
    assert next_topics(two, TOPICS, MONDAY + 2 * MINUTE, "one")[0] == "two"
    assert next_topics([*two, answer("two", 0)], TOPICS, MONDAY + 2 * MINUTE, "two")[0] == "three"


def test_what_was_missed_is_asked_again_the_next_day_before_what_was_right() -> None:
    seen = [answer("one", 1), answer("two", 0), answer("one", 1, MINUTE), answer("two", 0, MINUTE)]
    assert next_topics(seen, TOPICS[:2], MONDAY + DAY)[0] == "two"


def test_what_waited_since_an_earlier_sitting_comes_before_a_new_topic() -> None:
    assert next_topics([answer("one", 0)], TOPICS, MONDAY + DAY)[0] == "one"
    assert next_topics([answer("one", 0)], TOPICS, MONDAY + 2 * MINUTE)[0] == "two"


def test_of_two_that_are_due_the_weaker_comes_first() -> None:
    seen = [answer("one", 0.5), answer("two", 0.2)]
    assert next_topics(seen, ("one", "two"), MONDAY + DAY) == ("two", "one")


def test_a_topic_that_is_right_comes_again_later_and_later() -> None:
    seen: list[Answered] = []
    spans = []
    now = MONDAY
    for _ in range(6):
        seen.append(answer("one", 1, now - MONDAY))
        due = standings(seen, ("one",), now)[0].due
        assert due is not None
        spans.append(due - now)
        now = due
    assert spans == sorted(spans)
    assert spans[0] < DAY < 30 * DAY < spans[-1]


def test_firm_wants_three_good_answers_and_shaky_is_below() -> None:
    good = [answer("one", 1)] * 2
    assert standings(good, ("one",), MONDAY)[0].state == "begun"
    assert standings([*good, answer("one", 1)], ("one",), MONDAY)[0].state == "firm"
    assert standings([*good, answer("one", 0)], ("one",), MONDAY)[0].state == "shaky"
    assert standings([], ("one",), MONDAY)[0].state == "never asked"


def test_an_answer_after_a_hint_is_worth_less_than_one_at_once() -> None:
    hinted = standings([answer("one", 0.5, last=1)], ("one",), MONDAY)[0].worth
    assert 0.5 < hinted < 1


def test_what_was_passed_over_changes_nothing() -> None:
    assert standings([answer("one", None)], ("one",), MONDAY)[0].state == "never asked"


def test_it_becomes_harder_after_two_right_in_a_row_and_easier_after_a_wrong_one() -> None:
    assert difficulty_of([], "one") == 2
    assert difficulty_of([answer("one", 1)], "one") == 2
    assert difficulty_of([answer("one", 1)] * 2, "one") == 3
    assert difficulty_of([answer("one", 0)], "one") == 1
    assert difficulty_of([answer("one", 0)] * 9, "one") == 1
    assert difficulty_of([answer("two", 0)], "one") == 2


def test_the_kind_asked_least_comes_next() -> None:
    seen = [answer("one", 1, kind="turn"), answer("one", 1, kind="trap"), answer("two", 1, kind="explain")]
    assert kinds_in_turn(seen, "one", ("turn", "trap", "explain")) == ("explain", "turn", "trap")


scores = st.lists(
    st.tuples(st.sampled_from(TOPICS), st.sampled_from([0, 0.3, 0.7, 1]), st.integers(0, 3000)), max_size=12
)


@given(scores, st.integers(0, 5000))
def test_the_same_topic_never_comes_twice_and_every_topic_stands_once(
    seen: list[tuple[str, float, int]], later: int
) -> None:
    answers = [answer(topic, score, at * MINUTE) for topic, score, at in seen]
    last = answers[-1].topic if answers else None
    order = next_topics(answers, TOPICS, MONDAY + later * MINUTE, last)
    assert order[0] != last
    assert sorted(order) == sorted(TOPICS)
    assert order == next_topics(answers, TOPICS, MONDAY + later * MINUTE, last)


def test_an_open_question_that_was_made_up_waits_where_jobs_are_asked_about() -> None:
    made_up = Question(kind="choose", seed=1, difficulty=2, topic="reach")
    jobs: Any = {"/shop/job.yaml": None}
    assert suits(made_up, Wish())
    assert not suits(made_up, Wish(sources=jobs))
    assert suits(made_up.model_copy(update={"source": ("/shop/job.yaml",)}), Wish(sources=jobs))
    assert not suits(made_up.model_copy(update={"source": ("/shop/other.yaml",)}), Wish(sources=jobs))
