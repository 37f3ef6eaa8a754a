"""An exercise: a small job, a question about it in parts, and what the grader needs. Made anew from its seed."""

from __future__ import annotations

from typing import NamedTuple, TypeVar

from advisor.files.units import Units
from advisor.model.assignment import Assignment
from advisor.text.blocks import Block

KINDS = ("choose", "set", "trap", "turn", "explain")
WORDS = {"turn": "change"}  # what a kind is called where a learner sees it; kept records and courses have the name
DIFFICULTIES = (1, 2, 3, 4, 5)
Key = TypeVar("Key")


def kind_word(kind: str) -> str:
    """What a kind is called where a learner sees it."""
    return WORDS.get(kind, kind)


def kind_meant(word: str) -> str:
    """The kind that is meant by its word or its name; the word itself where it is none."""
    return next((kind for kind, shown in WORDS.items() if shown == word), word)


class NoExercise(ValueError):
    """No exercise of this kind can be made of this topic and these jobs; the message says why."""


class Choice(NamedTuple):
    """One answer to choose: its letter, what it stands for, and other ``words`` that name it, such as a cutter's id."""

    label: str
    text: str
    words: tuple[str, ...] = ()


class Part(NamedTuple):
    """One question of an exercise. Without choices a number is wanted, in ``unit``.

    ``listed`` says that the choices stand in what is told before, as the cutters of a crib do. Of ``share_of`` [mm],
    the diameter of the cutter, a share may be typed in place of a length.
    """

    name: str
    ask: str
    choices: tuple[Choice, ...] = ()
    unit: str = ""
    listed: bool = False
    share_of: float = 0.0


class Exercise(NamedTuple):
    """An exercise. The same kind, seed, difficulty, topic and sources give the same one.

    ``told`` is the question as it is shown; ``key`` is what the grader needs and is never shown; ``measured`` is the
    difficulty that was measured, 1 to 5; ``rules`` are the ids of the rules that it turns on; ``hints`` are questions
    about the part, the second narrower than the first.
    """

    kind: str
    seed: int
    difficulty: int
    topic: str
    assignment: Assignment
    feature_id: str
    told: tuple[Block, ...]
    parts: tuple[Part, ...]
    key: object
    measured: float = 0.0
    rules: tuple[str, ...] = ()
    hints: tuple[str, ...] = ()

    @property
    def units(self) -> Units:
        """The units that it is told and answered in: those of its job."""
        return self.assignment.job.units

    def key_of(self, kind: type[Key]) -> Key:
        """The key, which is of the kind that the module of this kind of exercise makes.

        Raises:
            TypeError: it is the key of another kind of exercise.
        """
        if not isinstance(self.key, kind):
            raise TypeError("the key of another kind of exercise")
        return self.key
