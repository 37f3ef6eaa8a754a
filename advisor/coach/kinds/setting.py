"""Set: method, cutter and way in are given; settle levels, width, allowances and overcut."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from random import Random
from typing import Any, NamedTuple

from advisor.choosing.ranking import standing
from advisor.coach.contrast import contrast_blocks, last_right, two_lines
from advisor.coach.exercise import Exercise, Part
from advisor.coach.hints import hint_blocks, question
from advisor.coach.judging import Impossible, Verdict, judged, setting_text, settings_of
from advisor.coach.kinds import Answers, Marks, Posed
from advisor.coach.reading import as_typed
from advisor.coach.scene import Scene
from advisor.coach.table import table
from advisor.coach.telling import in_short, job_blocks
from advisor.coach.topics import topics_of
from advisor.knowledge.measures import LEVELS
from advisor.knowledge.schema import Rule
from advisor.knowledge.wording import apart, quantity
from advisor.methods.registry import METHODS
from advisor.model.finding import Finding
from advisor.situation.pairings import ways
from advisor.text.blocks import Block, Heading, Item, Items, Pairs, section
from advisor.text.names import spaced
from advisor.text.reasons import reasons, said
from advisor.text.section_text import sketch_blocks
from advisor.text.words import cutter_text, entry_text, way_text

ASKED = {
    "levels": ("How many levels?", ""),
    "radial_width": ("How wide a cut, sideways?", "mm"),
    "allowance_side": ("How much is left on the walls?", "mm"),
    "allowance_bottom": ("How much is left at the bottom?", "mm"),
    "overcut": ("How far past the bottom?", "mm"),
}
HALF = 0.5


class Key(NamedTuple):
    """What the grader needs: the scene, and the advised way as a plan would say it."""

    scene: Scene
    advised: Mapping[str, Any]

    def with_(self, mine: Mapping[str, Any]) -> dict[str, Any]:
        """The advised way with some settings of one's own."""
        return {**self.advised, **mine}


def pose(scene: Scene, difficulty: int, rng: Random, topic: str | None) -> Posed | None:
    """The question; nothing where the method has no such settings, or the rules behind them are of another topic."""
    best = scene.best
    if not METHODS[best.method].in_levels or best.plan is None:
        return None
    held_to = (rule_id for rule_id in table()["held_to"][best.method] if rule_id in scene.bench.base.by_id)
    rules = [*(rule.id for rule in _settled_by(scene)), *held_to]
    if topic is not None and topic not in topics_of(rules, scene.bench.base):
        return None
    advised = settings_of(best)
    if not judged(scene, dict(advised)).right:
        return None
    names = [name for name in ASKED if name in advised]
    told = (
        *job_blocks(scene, "Settle the numbers below, as you would put them into the program.", crib=False),
        Pairs(
            (
                ("method", ways()[best.method].title),
                ("cutter", f"{cutter_text(best.cutter)}, APMX {quantity(best.cutter.APMX, 'mm')}"),
                ("way in", entry_text(best.entry, best.drill)),
            )
        ),
    )
    return Posed(told, tuple(Part(name, *_split(name)) for name in names), Key(scene, advised), tuple(rules))


def _settled_by(scene: Scene) -> tuple[Rule, ...]:
    """The rules that the advised settings rest on."""
    best = scene.best
    return standing(scene.bench.inference.every(("settings",), LEVELS, best.facts, best.method))


def _split(name: str) -> tuple[str, tuple[()], str]:
    ask, unit = ASKED[name]
    return ask, (), unit


def model_answers(exercise: Exercise) -> Mapping[str, str]:
    """The advised settings, with their units."""
    advised = exercise.key_of(Key).advised
    return {part.name: as_typed(advised[part.name], part.unit) for part in exercise.parts}


def mark(exercise: Exercise, answers: Answers) -> Marks:
    """Each setting worked out beside the advised others; where all of these are right, all of one's own together."""
    key, mine = exercise.key_of(Key), _mine(answers)
    alone = tuple(_part(key, name, value) for name, value in mine.items())
    if any(credit < 1 for _, credit, _ in alone):
        return alone
    together = _together(key, mine)
    if together is None or together.right:
        return alone
    told = f"Right beside the advised other settings. Together: {_blame(together, key)}"
    return tuple((name, HALF, told) for name, _, _ in alone)


def hint(exercise: Exercise, answers: Answers, marks: Marks) -> tuple[Block, ...]:
    """A question about the measure behind the first setting that is not right."""
    key, mine = exercise.key_of(Key), _mine(answers)
    name = _first_wrong(marks) or next(iter(mine))
    found = _findings(key, name, mine[name])
    if not found or found[0].rule.id in table()["time_alone"]:
        return question(f"{ASKED[name][0]} What does one more or less cost in time, and what does the cutter bear?")
    shown = setting_text(name, key.advised[name])
    return hint_blocks([one.rule for one in found], found[0].facts, key.scene.bench.base, [shown])


def reason(exercise: Exercise, answers: Answers) -> Iterator[Block]:
    """The numbers: what would happen with the settings told, why the advised ones, and the drawing."""
    key = exercise.key_of(Key)
    scene, best = key.scene, key.scene.best
    together = _together(key, _mine(answers))
    if together is not None and not together.right:
        yield from section("At the machine", together.texts)
    yield Heading("Advised")
    yield Items((Item(in_short(best)),))
    yield Pairs(tuple((spaced(name), setting_text(name, key.advised[name])) for name in ASKED if name in key.advised))
    base = scene.bench.base
    told = dict.fromkeys((*reasons(scene.answer), *_settled_by(scene)))
    yield from section("Why", [said(rule, best.facts, base) for rule in told])
    yield from sketch_blocks(best, scene.answer.region, base.limits)


def contrast(exercise: Exercise, answers: Answers, marks: Marks) -> tuple[Block, ...]:
    """Between a wrong number and the advised one: the last that is right, and the first that is not."""
    key, mine = exercise.key_of(Key), _mine(answers)
    name = _first_wrong(marks)
    if name is None or isinstance(_alone(key, name, mine[name]), str) or _is_right(key, name, mine[name]):
        return contrast_blocks(key.scene)
    good, bad = last_right(
        lambda value: _is_right(key, name, value), float(key.advised[name]), float(mine[name]), name == "levels"
    )
    good, bad = _like(name, good), _like(name, bad)
    found = _findings(key, name, bad)
    told = found[0].text if found else f"more than {quantity(key.scene.best.time, 's')} by far."
    shown = spaced(name)
    return two_lines(
        [
            f"{shown} {setting_text(name, good)}: right, {way_text(key.scene.best)}.",
            f"{shown} {setting_text(name, bad)}: {told}",
        ]
    )


def _mine(answers: Answers) -> dict[str, Any]:
    return {name: _like(name, float(str(value))) for name, value in answers.items()}


def _like(name: str, value: float) -> float:
    """A number as a plan has it."""
    return int(value) if name == "levels" else round(value, 3)


def _together(key: Key, mine: Mapping[str, Any]) -> Verdict | None:
    """The verdict on all settings together; nothing where a plan cannot say one of them."""
    try:
        return judged(key.scene, key.with_(mine))
    except Impossible:
        return None


def _alone(key: Key, name: str, value: Any) -> Verdict | str:
    """The verdict on one setting beside the advised others; why no plan can say it, where none can."""
    try:
        return judged(key.scene, key.with_({name: value}))
    except Impossible as error:
        return f"{spaced(name)} {error}."


def _first_wrong(marks: Marks) -> str | None:
    return next((name for name, credit, _ in marks if credit < 1), None)


def _is_right(key: Key, name: str, value: float) -> bool:
    """Whether a setting is wholly right beside the advised others."""
    found = _alone(key, name, _like(name, value))
    return not isinstance(found, str) and found.right and not _halves(found)


def _halves(verdict: Verdict) -> list[Finding]:
    """What costs half the credit: it works, and is not as it should be."""
    return [one for one in verdict.findings if one.rule.id in table()["half_right"]]


def _findings(key: Key, name: str, value: Any) -> tuple[Finding, ...]:
    """What is found of one setting beside the advised others."""
    found = _alone(key, name, value)
    return () if isinstance(found, str) else found.findings


def _part(key: Key, name: str, value: Any) -> tuple[str, float, str]:
    """Credit for one setting beside the advised others, and what is said about it."""
    if value != key.advised[name]:
        alone = _alone(key, name, value)
        if isinstance(alone, str):
            return name, 0.0, alone
        if not alone.right:
            return name, 0.0, _blame(alone, key)
        if halves := _halves(alone):
            return name, HALF, halves[0].text
    return name, 1.0, f"Right. Advised: {setting_text(name, key.advised[name])}."


def _blame(verdict: Verdict, key: Key) -> str:
    if verdict.texts:
        return verdict.texts[0]
    took, best = apart(verdict.way.time, key.scene.best.time, "s")
    return f"It takes {took} against {best}."
