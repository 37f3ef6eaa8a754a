"""What to ask next: a card a topic, scheduled by spaced repetition; the same record and time give the same answer.

Cards are worked out of the answers anew, so that nothing but the answers need be kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, NamedTuple

from advisor.coach.exercise import DIFFICULTIES
from advisor.coach.record import Answered

if TYPE_CHECKING:
    from fsrs import Card, Rating, Scheduler

LATELY = 5  # answers that tell how firm a topic is
FIRM_ANSWERS, FIRM_SCORE = 3, 0.8  # so many at least, and so good on the average of the latest
RIGHT, PARTLY = 1 - 1e-9, 0.5
AFTER_HINT = 0.6  # what a right answer is worth after a hint
SITTING = timedelta(hours=1)  # what is due for longer waited since an earlier one
UP_AFTER = 2  # right answers in a row before it becomes harder
START = 2  # difficulty of the first question of a topic


class Standing(NamedTuple):
    """How a learner stands in a topic.

    ``state`` is firm, shaky, begun (right so far, but asked too seldom to be firm) or never asked; ``worth`` the
    average worth of the latest answers, 0 to 1; ``asked`` how many were answered; ``due`` when it is due next;
    ``kept`` how likely it is still known, 0 to 1.
    """

    topic: str
    state: str
    asked: int
    worth: float
    due: datetime | None
    kept: float


def worth_of(answer: Answered) -> float:
    """What an answer is worth for the schedule: less if a hint was needed."""
    first, last = answer.first or 0.0, answer.score or 0.0
    return max(first, AFTER_HINT * last)


def answered(answers: Iterable[Answered]) -> Mapping[str, tuple[Answered, ...]]:
    """The answers of each topic, without what was passed over."""
    found: dict[str, list[Answered]] = {}
    for answer in answers:
        if answer.score is not None:
            found.setdefault(answer.topic, []).append(answer)
    return {topic: tuple(every) for topic, every in found.items()}


def standings(answers: Sequence[Answered], topics: Sequence[str], now: datetime) -> tuple[Standing, ...]:
    """How the learner stands in each of the topics, in their order."""
    scheduler, of_topic = _scheduler(), answered(answers)
    return tuple(_standing(topic, of_topic.get(topic, ()), scheduler, now) for topic in topics)


def next_topics(
    answers: Sequence[Answered], topics: Sequence[str], now: datetime, last: str | None = None
) -> tuple[str, ...]:
    """The topics to ask, the one to ask now first.

    First what is due since an earlier sitting, then a new topic, then what became due in this one, then the others; of
    each the weakest first. New topics come gradually: another is begun once each of the k that are not firm was asked
    k times. The topic asked last never comes first where there is another.
    """
    every = standings(answers, topics, now)
    asked = [one for one in every if one.due is not None]
    due = sorted((one for one in asked if one.due is not None and one.due <= now), key=_weakest)
    ahead = sorted((one for one in asked if one not in due), key=_weakest)
    new = [one for one in every if one.due is None]
    learnt = [one.asked for one in asked if one.state != "firm"]
    begin = new[:1] if all(times >= len(learnt) for times in learnt) else []
    others = [one for one in new if one not in begin]
    waited = [one for one in due if one.due is not None and now - one.due > SITTING]
    order = [one.topic for one in (*waited, *begin, *(one for one in due if one not in waited), *ahead, *others)]
    if order[0] == last and len(order) > 1:
        order[0:2] = [order[1], order[0]]
    return tuple(order)


def difficulty_of(answers: Sequence[Answered], topic: str) -> int:
    """The difficulty of the next question of a topic: up after right answers in a row, down after a wrong one."""
    level, row = START, 0
    for answer in answered(answers).get(topic, ()):
        right = (answer.first or 0.0) >= RIGHT
        row = row + 1 if right else 0
        if not right:
            level -= 1
        elif row >= UP_AFTER:
            level, row = max(level, answer.question.difficulty) + 1, 0
        level = min(max(level, DIFFICULTIES[0]), DIFFICULTIES[-1])
    return level


def kinds_in_turn(answers: Sequence[Answered], topic: str, kinds: Sequence[str]) -> tuple[str, ...]:
    """The kinds of exercise of a topic, the one asked least and longest ago first."""
    places = {kind: [place for place, one in enumerate(answers) if _is(one, topic, kind)] for kind in kinds}
    return tuple(sorted(kinds, key=lambda kind: (len(places[kind]), max(places[kind], default=-1))))


def _is(answer: Answered, topic: str, kind: str) -> bool:
    return answer.topic == topic and answer.question.kind == kind


def _weakest(one: Standing) -> tuple[float, float]:
    return one.worth, one.kept


def _standing(topic: str, answers: Sequence[Answered], scheduler: Scheduler, now: datetime) -> Standing:
    if not answers:
        return Standing(topic, "never asked", 0, 0.0, None, 0.0)
    card = _card(answers, scheduler)
    lately = [worth_of(answer) for answer in answers[-LATELY:]]
    worth = sum(lately) / len(lately)
    well, often = worth >= FIRM_SCORE, len(answers) >= FIRM_ANSWERS
    state = "shaky" if not well else "firm" if often else "begun"
    kept = float(scheduler.get_card_retrievability(card, now))
    return Standing(topic, state, len(answers), worth, card.due, kept)


def _scheduler() -> Scheduler:
    from fsrs import Scheduler

    return Scheduler(enable_fuzzing=False)  # the same record, the same days


def _card(answers: Sequence[Answered], scheduler: Scheduler) -> Card:
    """The card of a topic after its answers."""
    from fsrs import Card

    card = Card(card_id=1, due=answers[0].when)
    for rating, when in _reviews(answers):
        card, _ = scheduler.review_card(card, rating, when)
    return card


def _reviews(answers: Iterable[Answered]) -> Iterator[tuple[Rating, datetime]]:
    """A rating for each answer. A clock that was set back does not lead back in time."""
    latest: datetime | None = None
    for answer in answers:
        when = answer.when.astimezone(UTC)
        latest = when if latest is None else max(latest, when)
        yield _rating(answer), latest


def _rating(answer: Answered) -> Rating:
    from fsrs import Rating

    first, last = answer.first or 0.0, answer.score or 0.0
    if first >= RIGHT:
        return Rating.Easy if answer.question.difficulty >= DIFFICULTIES[-2] else Rating.Good
    return Rating.Hard if last >= RIGHT and first >= PARTLY else Rating.Again
