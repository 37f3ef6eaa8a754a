"""Learners that sit at the coach: they see what is shown, and type. One that knows may run the advisor on the job."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from pathlib import Path
from random import Random
from typing import Any, NamedTuple

from advisor.analysis.inputs import changed_feature
from advisor.choosing.advice import advise_feature
from advisor.choosing.ranking import against
from advisor.coach import session as sessions
from advisor.coach.files import files
from advisor.coach.judging import judged, settings_of
from advisor.coach.picking import Wish
from advisor.coach.record import Record
from advisor.coach.scene import Scene, scene_of
from advisor.coach.session import Ended, Seat, practise
from advisor.readers.assignment import read_assignment
from advisor.situation.pairings import ways
from advisor.text.blocks import Block, Heading, Pairs, Para
from advisor.text.names import spaced

MORNING = datetime(2026, 3, 2, 7, 0, tzinfo=UTC)
A_QUESTION = timedelta(minutes=2)
SPACES = dict.fromkeys(map(ord, "\u00a0\u202f\u2009"), " ")


class Screen(NamedTuple):
    """A question as a person sees it: its topic, all that was told, the choices of the part now asked, the job."""

    title: str
    told: tuple[Block, ...]
    part: str
    choices: Mapping[str, str]
    job: Path


Learner = Callable[[Screen], str]


class Sitting:
    """A learner before a terminal: remembers what is shown, and types what the learner says."""

    def __init__(self, learner: Learner, folder: Path, start: datetime = MORNING) -> None:
        self.learner, self.folder, self.time = learner, folder, start
        self.shown: list[Block] = []
        self.told: list[Block] = []
        self.title = ""
        self.saved: list[Record] = []

    def seat(self) -> Seat:
        return Seat(self.show, self.ask, self.saved.append, lambda: self.time)

    def show(self, blocks: Sequence[Block]) -> None:
        self.shown += blocks
        first = blocks[0]
        if isinstance(first, Heading) and first.text.startswith("Question "):
            self.title = first.text.split(": ", 1)[1]
            self.told = []
            self.time += A_QUESTION
        self.told += blocks

    def ask(self, prompt: str) -> str | None:
        last = next((block for block in reversed(self.told) if isinstance(block, Heading | Pairs)), None)
        choices = dict(last.rows) if isinstance(last, Pairs) else {}
        return self.learner(
            Screen(self.title, tuple(self.told), _snake(prompt.split(" (")[0]), choices, self.folder / "job.yaml")
        )


def sit(record: Record, learner: Learner, folder: Path, minutes: float, wish: Wish, start: datetime) -> Ended:
    """A session of a learner; the job of each question lies in the folder while it is asked."""
    sitting = Sitting(learner, folder, start)
    with _jobs_laid_in(folder):
        return practise(record, wish, sitting.seat(), minutes)


@contextmanager
def _jobs_laid_in(folder: Path) -> Iterator[None]:
    asked = sessions.ask_one

    def laid(picked: Any, *others: Any) -> Any:
        for name, text in files(picked.exercise.assignment).items():
            (folder / name).write_text(text, encoding="utf-8")
        return asked(picked, *others)

    sessions.ask_one = laid
    try:
        yield
    finally:
        sessions.ask_one = asked


def guesses(seed: int) -> Learner:
    """A learner who guesses."""
    rng = Random(seed)

    def learner(screen: Screen) -> str:
        return rng.choice(list(screen.choices)) if screen.choices else str(rng.randint(1, 12))

    return learner


def weak_in(title: str, seed: int = 1) -> Learner:
    """A learner who knows all but one topic, in which it guesses."""
    guess = guesses(seed)
    return lambda screen: guess(screen) if screen.title == title else knows(screen)


def knows(screen: Screen) -> str:
    """A learner who knows what the advisor knows: it runs the advisor on the job, and reads the question."""
    scene = _advised(screen.job.read_text(encoding="utf-8"), screen.job)
    plain = {label: text.translate(SPACES) for label, text in screen.choices.items()}
    if screen.part == "reason":
        return next((label for label, text in plain.items() if _decides(text, _last(screen), scene)), "a")
    if screen.part in ("way", "line"):
        return _turned(screen, plain, scene)
    if screen.part == "fault":
        return _trap(screen, plain, scene)
    if screen.part in ("method", "cutter", "entry"):
        return _chosen(screen.part, screen.choices, scene)
    value = settings_of(scene.best)[screen.part]
    return f"{value:g}"


def _last(screen: Screen) -> str:
    """What was asked last."""
    return next(block.text for block in reversed(screen.told) if isinstance(block, Heading))


@lru_cache(maxsize=4)
def _advised(text: str, job: Path) -> Scene:
    """What the advisor says of a job."""
    return scene_of(read_assignment(job))


def _chosen(part: str, choices: Mapping[str, str], scene: Scene) -> str:
    best = scene.best
    if part == "cutter":
        return best.cutter.id
    wanted = ways()[best.method].title if part == "method" else spaced(best.entry or "")
    return next((label for label, text in choices.items() if text.startswith(wanted)), next(iter(choices)))


def _decides(text: str, ask: str, scene: Scene) -> bool:
    """Whether a rule of this title sets back a way that the colleague asks about."""
    return any(
        text == f"{rule.title}." and _is_meant(item, ask) for item in scene.answer.candidates for rule in against(item)
    )


def _is_meant(item: Any, ask: str) -> bool:
    words = {item.cutter.id, ways()[item.method].title, spaced(item.entry or "")}
    return any(word in ask for word in words if word)


def _turned(screen: Screen, choices: Mapping[str, str], scene: Scene) -> str:
    """The way at the other value, or the line by halving."""
    told = " ".join(block.text for block in screen.told if isinstance(block, Para)).translate(SPACES)
    match = re.search(r"Now the ([a-z ]+) is ([\d. ]+?) mm instead of ([\d. ]+?) mm", told)
    assert match, told
    name = match[1].replace(" ", "_")
    other, today = (float(value.replace(" ", "")) for value in match.group(2, 3))

    def way(value: float) -> Any:
        feature = changed_feature(scene.feature, name, value)
        return advise_feature(feature, scene.assignment.crib, scene.bench).best

    def words(item: Any) -> tuple[str, ...]:
        return (item.method, item.cutter.body, item.entry) if item else ()

    if screen.part == "way":
        best = way(other)
        if best is None:
            return next(label for label, text in choices.items() if text.startswith("none"))
        wanted = {f"{ways()[best.method].title}, {spaced(best.cutter.body)}", spaced(best.entry)}
        return next(label for label, text in choices.items() if text in wanted)
    beyond = words(way(other))
    for _ in range(8):
        middle = (other + today) / 2
        other, today = (middle, today) if words(way(middle)) == beyond else (other, middle)
    return f"{other:.2f} mm".replace(".", ",")  # as many type it


NAMES = {"way_in": "entry", "drill": "entry_cutter", "side_allowance": "allowance_side"}
NAMES["bottom_allowance"] = "allowance_bottom"


def _trap(screen: Screen, choices: Mapping[str, str], scene: Scene) -> str:
    """What a review of the plan finds first."""
    place = next(n for n, block in enumerate(screen.told) if isinstance(block, Heading) and block.text == "Plan")
    rows = screen.told[place + 1]
    assert isinstance(rows, Pairs)
    plan = {NAMES.get(name, name): _value(name, text) for name, text in ((_snake(n), t) for n, t in rows.rows)}
    heavy = judged(scene, dict(plan)).heavy
    return next((label for label, text in choices.items() if heavy and text == f"{heavy[0].rule.title}."), "a")


def _snake(name: str) -> str:
    return name.replace(" ", "_")


def _value(name: str, text: str) -> Any:
    text = text.translate(SPACES)
    if name in ("method", "way_in", "coolant"):
        found = {way.title: way.method for way in ways().values()}
        return found.get(text, text.replace(" ", "_").replace("-", "_"))
    if name == "tabs":
        return text == "yes"
    if name in ("cutter", "drill"):
        return text.split(",")[0]
    number = re.match(r"[\d .]+", text)
    return float(number[0].replace(" ", "")) if number else text
