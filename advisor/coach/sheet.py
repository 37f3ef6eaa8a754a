"""Exercises for a sheet of paper: topics in turn, each with another kind and seed, and an answer by the advisor."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from advisor.coach.exercise import Exercise, NoExercise
from advisor.coach.grading import Graded, grade, model_answers
from advisor.coach.making import make
from advisor.coach.schedule import START
from advisor.coach.topics import topics

MOST = 40
SEEDS_A_SHEET = 1000  # so that two sheets have no exercise in common


class Printed(NamedTuple):
    """An exercise of a sheet with its answer: what would be typed to each part, and what is said about that."""

    number: int
    exercise: Exercise
    answers: Mapping[str, str]
    graded: Graded


class Sheet(NamedTuple):
    """A sheet of exercises; the same seed gives the same one."""

    seed: int
    printed: tuple[Printed, ...]


def sheet_of(
    named: Sequence[str], count: int, seed: int, kind: str | None = None, difficulty: int | None = None
) -> Sheet:
    """A sheet of so many exercises about the topics named, else about all.

    Raises:
        NoExercise: there are not as many as asked for.
    """
    found: list[Printed] = []
    for number, exercise in enumerate(_exercises(named, count, seed, kind, difficulty), start=1):
        answers = model_answers(exercise)
        found.append(Printed(number, exercise, answers, grade(exercise, answers)))
    if len(found) < count:
        raise NoExercise(f"{len(found)} exercises could be made, not {count}; name more topics, or another --seed")
    return Sheet(seed, tuple(found))


def _exercises(
    named: Sequence[str], count: int, seed: int, kind: str | None, difficulty: int | None
) -> Iterator[Exercise]:
    """Exercises in turn over the topics, and over the kinds of each; what cannot be made is passed over. One with an
    answer that another of its kind and topic had comes only where there are no others.
    """
    every = [one for one in topics().values() if (not named or one.id in named) and kind in (None, *one.kinds)]
    made, had, again = 0, set[tuple[str, str, str]](), list[Exercise]()
    for place in range(3 * count if every else 0):
        topic, turn = every[place % len(every)], place // len(every)
        kinds = [kind] if kind else topic.kinds
        of_kind = kinds[(turn + place) % len(kinds)]
        try:
            exercise = make(of_kind, SEEDS_A_SHEET * seed + place, difficulty or START, topic.id)
        except NoExercise:
            continue
        answer = (of_kind, topic.id, _answer(exercise))
        if answer in had:
            again.append(exercise)
            if 2 * len(again) > count <= made + len(again):  # there are few others
                yield from again[: count - made]
                return
            continue
        had.add(answer)
        yield exercise
        made += 1
        if made == count:
            return
    yield from again[: count - made]


def _answer(exercise: Exercise) -> str:
    """The answer to the first part of an exercise, in words."""
    part, typed = exercise.parts[0], model_answers(exercise)
    return next((one.text for one in part.choices if one.label == typed[part.name]), typed[part.name])
