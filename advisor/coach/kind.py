"""What a kind of exercise is: how it is posed of a scene, how it is graded, and what the advisor would answer."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from random import Random
from typing import Any, Generic, NamedTuple

from advisor.coach.exercise import Exercise, Key, Part
from advisor.coach.hints import Clues
from advisor.coach.reading import Answer
from advisor.coach.scene import Scene
from advisor.text.blocks import Block


class Posed(NamedTuple, Generic[Key]):
    """A question made of a scene: what is shown, its parts, what the grader needs, the rules that it turns on.

    ``topic`` is what it is about, ``clues`` what a hint may speak of; ``scene`` is that of the question, where its crib
    is a smaller one than that of the scene it was made of. The key is of the type that the module of the kind makes.
    """

    told: tuple[Block, ...]
    parts: tuple[Part, ...]
    key: Key
    rules: tuple[str, ...]
    topic: str
    clues: Clues
    scene: Scene


Marks = tuple[tuple[str, float, str], ...]
Answers = Mapping[str, Answer]


class Kind(NamedTuple):
    """A kind of exercise. ``pose`` gives nothing where no question of this kind, and topic, can be made of a scene.

    ``mark`` gives for each part its name, the credit and what is said about it; ``reason`` and ``contrast`` are what is
    told then.
    """

    pose: Callable[[Scene, int, Random, str | None], Posed[Any] | None]
    model_answers: Callable[[Exercise], Mapping[str, str]]
    mark: Callable[[Exercise, Answers], Marks]
    reason: Callable[[Exercise, Answers], Iterable[Block]]
    contrast: Callable[[Exercise, Answers, Marks], tuple[Block, ...]]
