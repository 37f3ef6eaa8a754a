"""Exercises made once a run: many tests look at the same one, and to make it takes up to seconds."""

from collections.abc import Sequence
from functools import cache

from advisor.coach import making
from advisor.coach.exercise import DIFFICULTIES, Exercise, NoExercise
from advisor.model.assignment import Assignment

MANY = 10  # of each kind; more by hand: thousand.py


def sound(kind: str, many: int = MANY) -> list[Exercise]:
    """Return the exercises of a kind that are held against the advisor, of every difficulty."""
    return [make(kind, seed, DIFFICULTIES[seed % len(DIFFICULTIES)]) for seed in range(many)]


def make(
    kind: str, seed: int, difficulty: int, topic: str | None = None, sources: Sequence[Assignment] = ()
) -> Exercise:
    """Return the exercise that the program makes; one about invented jobs is kept for who asks for the same."""
    if sources:
        return making.make(kind, seed, difficulty, topic, sources)
    found = _invented(kind, seed, difficulty, topic)
    if isinstance(found, str):
        raise NoExercise(found)
    return found


@cache
def _invented(kind: str, seed: int, difficulty: int, topic: str | None) -> Exercise | str:
    """Return an exercise, or why there is none."""
    try:
        return making.make(kind, seed, difficulty, topic)
    except NoExercise as none:
        return str(none)
