"""Explain: pick, from statements that are all true, those without which another way would be advised."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from random import Random
from typing import NamedTuple

from advisor.choosing.ranking import standing
from advisor.coach.contrast import contrast_blocks
from advisor.coach.exercise import Exercise, Part
from advisor.coach.hints import hint_blocks
from advisor.coach.kinds import Answers, Marks, Posed
from advisor.coach.scene import Scene
from advisor.coach.table import by_difficulty
from advisor.coach.telling import in_short, job_blocks, lettered
from advisor.coach.topics import topics_of
from advisor.coach.without import best_without
from advisor.knowledge.schema import Rule
from advisor.knowledge.wording import fill, quantity
from advisor.model.candidate import Candidate
from advisor.text.blocks import Block, Heading, Item, Items, section
from advisor.text.reasons import reasons, said
from advisor.text.section_text import sketch_blocks
from advisor.text.words import way_text

JUDGED = ("for", "against", "forbids")
ASKED = "All of these are true here. Pick those without which another way would be advised; there is 1 at least."
MOST_DECIDING = 3
LEAST_OTHERS = 2


class Statement(NamedTuple):
    """A true statement: the rule, the way it is about, and, where it decides, what would be advised without it."""

    rule: Rule
    way: Candidate
    instead: Candidate | None
    decides: bool


class Key(NamedTuple):
    """What the grader needs: the scene, and the statement of each letter."""

    scene: Scene
    statements: Mapping[str, Statement]

    @property
    def deciding(self) -> frozenset[str]:
        """The letters of those that decide."""
        return frozenset(label for label, one in self.statements.items() if one.decides)


def pose(scene: Scene, difficulty: int, rng: Random, topic: str | None) -> Posed | None:
    """The question; nothing where no single rule decides, or none of the topic, or too little else is true."""
    deciding, others = _sorted(scene, rng)
    if topic is not None:
        deciding.sort(key=lambda one: topic not in topics_of([one.rule.id], scene.bench.base))
    deciding = deciding[:MOST_DECIDING]
    ids = [one.rule.id for one in deciding]
    if not deciding or (topic is not None and topic not in topics_of(ids, scene.bench.base)):
        return None
    many = int(by_difficulty("statements", difficulty))
    others = _harmless(scene, others, max(LEAST_OTHERS, many - len(deciding)))
    if len(others) < LEAST_OTHERS:
        return None
    every = [*deciding, *others]
    rng.shuffle(every)
    choices = lettered([statement_text(one, scene) for one in every])
    if len({choice.text for choice in choices}) < len(choices):
        return None
    asked = f"The advice is {in_short(scene.best)}. {ASKED}"
    key = Key(scene, {choice.label: one for choice, one in zip(choices, every, strict=True)})
    parts = (Part("decide", "Which of them decide?", choices, many=True),)
    return Posed(tuple(job_blocks(scene, asked)), parts, key, tuple(ids))


def _sorted(scene: Scene, rng: Random) -> tuple[list[Statement], list[Statement]]:
    """The statements that decide, found by dropping each rule in turn, and the others; in any order."""
    about = _about(scene)
    deciding, others = [], []
    for rule, way in about.items():
        if rule.verdict == "cautions":
            others.append(Statement(rule, way, None, False))
            continue
        instead = best_without(scene, [rule])
        if _same(instead, scene.best):
            others.append(Statement(rule, way, None, False))
        else:
            told = _of_way(rule, instead, scene) or way
            deciding.append(Statement(rule, told, instead, True))
    others = [one for one in others if not (one.rule.verdict == "for" and one.way is scene.best)]
    rng.shuffle(deciding)
    rng.shuffle(others)
    others.sort(key=lambda one: one.rule.verdict == "cautions")
    return deciding, others


def _about(scene: Scene) -> dict[Rule, Candidate]:
    """Every rule that fired for, against or forbidding a way, with the best way it is about; the cautions after."""
    found: dict[Rule, Candidate] = {}
    for item in scene.answer.candidates:
        for rule in standing(item.fired):
            if rule.verdict in JUDGED:
                found.setdefault(rule, item)
    for rule in scene.answer.cautions:
        found.setdefault(rule, scene.best)
    return found


def _of_way(rule: Rule, way: Candidate | None, scene: Scene) -> Candidate | None:
    """The way that would be advised, as it stands today, if the rule speaks of it."""
    if way is None:
        return None
    fired = [item for item in scene.answer.candidates if rule in item.fired]
    alike = [item for item in fired if (item.method, item.cutter.id) == (way.method, way.cutter.id)]
    return next((item for item in alike if item.entry == way.entry), alike[0] if alike else None)


def _same(one: Candidate | None, other: Candidate) -> bool:
    return one is not None and (one.method, one.cutter.id, one.entry) == (other.method, other.cutter.id, other.entry)


def _harmless(scene: Scene, others: Sequence[Statement], most: int) -> list[Statement]:
    """Statements that do not decide even together."""
    found: list[Statement] = []
    for one in others:
        if len(found) == most:
            break
        rules = [other.rule for other in (*found, one) if other.rule.verdict != "cautions"]
        if _same(best_without(scene, rules), scene.best):
            found.append(one)
    return found


def statement_text(one: Statement, scene: Scene) -> str:
    """The statement in words, with its numbers and the way it is about."""
    said_ = fill(scene.bench.base, one.rule, one.rule.because, one.way.facts)
    return said_ if one.way is scene.best else f"{way_text(one.way)}: {said_}"


def model_answers(exercise: Exercise) -> Mapping[str, str]:
    """The letters of those that decide."""
    return {"decide": ", ".join(sorted(exercise.key_of(Key).deciding))}


def mark(exercise: Exercise, answers: Answers) -> Marks:
    """Credit for each that decides and was picked, less for each picked that does not."""
    key, picked = exercise.key_of(Key), _picked(answers)
    deciding, others = key.deciding, frozenset(key.statements) - key.deciding
    credit = max(0.0, len(picked & deciding) / len(deciding) - len(picked & others) / len(others))
    return (("decide", credit, " ".join(_told(key, picked))),)


def hint(exercise: Exercise, answers: Answers, marks: Marks) -> tuple[Block, ...]:
    """A question about the measure behind what was missed, else behind what was picked for nothing."""
    key, picked = exercise.key_of(Key), _picked(answers)
    missed = [one for label, one in key.statements.items() if one.decides and label not in picked]
    wrong = [one for label, one in key.statements.items() if not one.decides and label in picked]
    first = (missed or wrong)[0]
    return hint_blocks([first.rule], first.way.facts, key.scene.bench.base)


def reason(exercise: Exercise, answers: Answers) -> Iterator[Block]:
    """What decides, with what would be advised without it, the advised way and its drawing."""
    key = exercise.key_of(Key)
    scene, best, base = key.scene, key.scene.best, key.scene.bench.base
    deciding = [one for one in key.statements.values() if one.decides]
    yield Heading("What decides")
    yield Items(
        tuple(Item(statement_text(one, scene), one.rule.id, "", (f"Without it: {_instead(one)}.",)) for one in deciding)
    )
    yield from section("Advised", [in_short(best), *(said(rule, best.facts, base) for rule in reasons(scene.answer))])
    yield from sketch_blocks(best, scene.answer.region, base.limits)


def contrast(exercise: Exercise, answers: Answers, marks: Marks) -> tuple[Block, ...]:
    """The nearest change of the feature at which the advice is another."""
    return contrast_blocks(exercise.key_of(Key).scene)


def _picked(answers: Answers) -> frozenset[str]:
    picked = answers["decide"]
    return picked if isinstance(picked, frozenset) else frozenset()


def _told(key: Key, picked: frozenset[str]) -> Iterator[str]:
    """What is said about each letter that was picked or missed."""
    best = key.scene.best
    for label, one in key.statements.items():
        if label in picked and not one.decides:
            yield f"{label}: true, but without it the advice stays {way_text(best)}, {quantity(best.time, 's')}."
        elif one.decides:
            word = "right" if label in picked else "missed"
            yield f"{label}: {word}. Without it: {_instead(one)}."


def _instead(one: Statement) -> str:
    if one.instead is None:
        return "no way at all with this crib"
    told = f", {quantity(one.instead.time, 's')}" if one.instead.time < float("inf") else ""
    return f"{way_text(one.instead)}, {one.instead.grade}{told}"
