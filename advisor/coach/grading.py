"""What an answer is worth, and what is said about it: the reason, then the contrast."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from advisor.coach.exercise import Exercise
from advisor.coach.kinds import of_kind
from advisor.coach.reading import read
from advisor.files.unit_scales import in_units_of
from advisor.text.blocks import Block

WHOLE = 1 - 1e-9  # a credit that is whole but for the last bits


class Graded(NamedTuple):
    """What answers are worth, 0 to 1, and by part: name, credit, what is said about it.

    ``reason`` has the numbers and what would happen at the machine; ``contrast`` is the near-identical case in which
    the answer changes. ``rules`` are the deciding rules.
    """

    score: float
    right: bool
    parts: tuple[tuple[str, float, str], ...]
    reason: tuple[Block, ...]
    contrast: tuple[Block, ...]
    rules: tuple[str, ...]


@in_units_of(lambda exercise, answers: exercise.units)
def grade(exercise: Exercise, answers: Mapping[str, str]) -> Graded:
    """The answers graded, by the names of the parts, as they were typed.

    Raises:
        Unreadable: an answer is missing or cannot be read.
    """
    kind = of_kind(exercise.kind)
    mine = {part.name: read(part, answers.get(part.name, "")) for part in exercise.parts}
    marks = kind.mark(exercise, mine)
    score = sum(credit for _, credit, _ in marks) / len(marks)
    right = all(credit >= WHOLE for _, credit, _ in marks)
    reason = tuple(kind.reason(exercise, mine))
    return Graded(score, right, marks, reason, kind.contrast(exercise, mine, marks), exercise.rules)


@in_units_of(lambda exercise: exercise.units)
def model_answers(exercise: Exercise) -> Mapping[str, str]:
    """One right answer to every part, by the advisor, as it would be typed."""
    return of_kind(exercise.kind).model_answers(exercise)
