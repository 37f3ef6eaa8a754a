"""Which exercise comes next: the topic by the schedule, the kind in turn, the difficulty by how it went."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import NamedTuple
from zlib import crc32

from advisor.coach.course import Course, OwnExercise, only
from advisor.coach.exercise import DIFFICULTIES, KINDS, Exercise, NoExercise
from advisor.coach.making import make
from advisor.coach.record import Answered, Question, Record
from advisor.coach.schedule import SITTING, difficulty_of, kinds_in_turn, next_topics
from advisor.coach.topics import topics
from advisor.files.problems import shown
from advisor.model.assignment import Assignment
from advisor.readers.assignment import read_assignment

SEEDS = 100_000
TOPICS_TRIED = 2  # of the jobs given: after these, whatever they do teach


class Wish(NamedTuple):
    """What was asked for; nothing of a kind means: whatever is best. ``sources`` are jobs by their absolute paths."""

    topic: str | None = None
    kind: str | None = None
    difficulty: int | None = None
    seed: int | None = None
    sources: Mapping[str, Assignment] = {}
    course: Course | None = None


class Picked(NamedTuple):
    """An exercise, what makes it anew, and what the senior says with it."""

    question: Question
    exercise: Exercise
    note: str = ""


def first_seed(record: Record, wish: Wish) -> int:
    """The seed of the first exercise of a session; each learner goes a way of their own."""
    if wish.seed is not None:
        return wish.seed
    return crc32(record.who.casefold().encode()) % SEEDS + len(record.answers)


def pick(answers: Sequence[Answered], wish: Wish, seed: int, now: datetime) -> Picked:
    """The exercise to ask now.

    Raises:
        NoExercise: none can be made of what was asked for.
    """
    last: NoExercise | None = None
    for asked in _questions(answers, wish, seed, now):
        question, own = asked
        try:
            return Picked(question, _made(question, wish, own), (own.row.note or "") if own else "")
        except NoExercise as error:
            last = last or error
    if wish.sources and (wish.topic, wish.kind) == (None, None):
        raise NoExercise(
            "no exercise can be made of these jobs: "
            "a feature needs a good or workable way and another to hold beside it"
        )
    raise last or NoExercise("no topic has exercises of this kind; leave --kind out")


def again(question: Question, wish: Wish) -> Picked:
    """The exercise of a question that was asked before.

    Raises:
        NoExercise: it cannot be made any more.
        BadInput: a job that it was made of is not there any more.
    """
    if question.topic is not None and question.topic not in topics():
        raise NoExercise(f"there is no topic {shown(question.topic)} any more")
    course = wish.course
    own = next((one for one in course.exercises if one.name == question.course), None) if course else None
    sources = [wish.sources.get(path) or read_assignment(Path(path)) for path in question.source]
    found = [one for source in sources if (one := only(source, question.feature)) is not None]
    if len(found) < len(sources):
        raise NoExercise(f"feature {question.feature} is not in the job any more")
    exercise = make(question.kind, question.seed, question.difficulty, question.topic, found)
    return Picked(question, exercise, (own.row.note or "") if own else "")


def suits(question: Question, wish: Wish) -> bool:
    """Whether a question that waits is one of those asked for."""
    pairs = ((wish.topic, question.topic), (wish.kind, question.kind), (wish.difficulty, question.difficulty))
    jobs = not wish.sources or (bool(question.source) and set(question.source) <= set(wish.sources))
    return jobs and wish.seed is None and all(wanted in (None, had) for wanted, had in pairs)


def _made(question: Question, wish: Wish, own: OwnExercise | None) -> Exercise:
    jobs = [own.assignment] if own else [wish.sources[path] for path in question.source]
    return make(question.kind, question.seed, question.difficulty, question.topic, jobs)


def _questions(
    answers: Sequence[Answered], wish: Wish, seed: int, now: datetime
) -> Iterator[tuple[Question, OwnExercise | None]]:
    """Questions to try, the best first; an exercise of the course comes before those made up, each once."""
    order = [wish.topic] if wish.topic else _order(answers, wish, now)
    sources = tuple(wish.sources)
    done = {answer.question.course for answer in answers}
    for place, topic in enumerate(order):
        if sources and wish.topic is None and place >= TOPICS_TRIED:
            break
        for own in _own(wish, topic, done):
            yield _of_course(own, seed), own
        level = wish.difficulty or difficulty_of(answers, topic)
        kinds = [kind for kind in topics()[topic].kinds if wish.kind in (None, kind)]
        for kind in kinds_in_turn(answers, topic, kinds):
            yield Question(kind=kind, seed=seed, difficulty=level, topic=topic, source=sources), None
    if sources and wish.topic is None:
        for kind in [wish.kind] if wish.kind else KINDS:
            level = wish.difficulty or DIFFICULTIES[1]
            yield Question(kind=kind, seed=seed, difficulty=level, topic=None, source=sources), None


def _order(answers: Sequence[Answered], wish: Wish, now: datetime) -> tuple[str, ...]:
    known = wish.course.topics if wish.course else tuple(topics())
    sitting = bool(answers) and now - answers[-1].when <= SITTING
    return next_topics(answers, known, now, answers[-1].topic if sitting else None)


def _own(wish: Wish, topic: str, done: set[str | None]) -> Iterator[OwnExercise]:
    """The exercises of the course about a topic that were not asked yet."""
    if wish.course is None or wish.sources:
        return
    for own in wish.course.exercises:
        if own.row.topic == topic and wish.kind in (None, own.row.kind) and own.name not in done:
            yield own


def _of_course(own: OwnExercise, seed: int) -> Question:
    row = own.row
    return Question(
        kind=row.kind,
        seed=seed,
        difficulty=row.difficulty,
        topic=row.topic,
        source=(str(own.job.resolve()),),
        feature=row.feature,
        course=own.name,
    )
