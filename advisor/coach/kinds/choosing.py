"""Choose: a feature, the crib and the machine; pick method, cutter and way in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from random import Random
from typing import NamedTuple, get_args

from advisor.analysis.alternatives import alternatives, unmet_rule, without_a_rule
from advisor.choosing.ranking import against
from advisor.choosing.time_parts import time_parts
from advisor.coach.contrast import contrast_blocks
from advisor.coach.exercise import Choice, Exercise, Part
from advisor.coach.hints import hint_blocks, question
from advisor.coach.judging import judged
from advisor.coach.kinds import Answers, Marks, Posed
from advisor.coach.scene import Scene, right_ways
from advisor.coach.telling import in_short, job_blocks, lettered
from advisor.coach.topics import topics_of
from advisor.files.problems import printable
from advisor.knowledge.conditions import Facts
from advisor.knowledge.schema import Rule
from advisor.knowledge.wording import given, quantity
from advisor.model.candidate import Candidate
from advisor.model.plan_fields import Entry
from advisor.situation.pairings import ways
from advisor.text.alternatives import choice_text, time_between, unmet_text, where_time_goes
from advisor.text.blocks import Block, Heading, Item, Items, section
from advisor.text.names import spaced
from advisor.text.reasons import reasons, said
from advisor.text.section_text import sketch_blocks

PARTS = ("method", "cutter", "entry")
STAGES = {"method": "clearing", "cutter": "cutter", "entry": "entry"}
ASKED = "Choose a method, a cutter of the crib, and a way in. Several may be right."


class Key(NamedTuple):
    """What the grader needs: the scene, and what each letter stands for."""

    scene: Scene
    names: Mapping[str, Mapping[str, str]]


def pose(scene: Scene, difficulty: int, rng: Random, topic: str | None) -> Posed | None:
    """The question; nothing where the rules that decide are of another topic."""
    rules = [rule.id for rule in deciding(scene)]
    if topic is not None and topic not in topics_of(rules, scene.bench.base):
        return None
    region = scene.answer.region
    methods = [way.method for way in ways().values() if region.kind in way.features]
    entries = list(get_args(Entry))
    rng.shuffle(methods)
    rng.shuffle(entries)
    by_method = lettered([ways()[name].title for name in methods])
    by_entry = lettered([spaced(name) for name in entries])
    cutters = tuple(
        Choice(printable(cutter.id), f"{spaced(cutter.body)}, DC {given(cutter.DC)}")
        for cutter in scene.assignment.crib
    )
    parts = (
        Part("method", "By which method?", by_method),
        Part("cutter", "With which cutter?", cutters),
        Part("entry", "By which way in?", by_entry),
    )
    names = {
        "method": {choice.label: name for choice, name in zip(by_method, methods, strict=True)},
        "cutter": {choice.label: cutter.id for choice, cutter in zip(cutters, scene.assignment.crib, strict=True)},
        "entry": {choice.label: name for choice, name in zip(by_entry, entries, strict=True)},
    }
    return Posed(tuple(job_blocks(scene, ASKED)), parts, Key(scene, names), tuple(rules))


def deciding(scene: Scene) -> tuple[Rule, ...]:
    """The rules for the advised way, and those that set the other methods, cutters and ways in back."""
    fors = [rule for rule in reasons(scene.answer) if rule.verdict == "for"]
    others = [rule for other in alternatives(scene.answer, scene.bench.base) for rule in other.reasons]
    return tuple(dict.fromkeys([*fors, *others]))


def model_answers(exercise: Exercise) -> Mapping[str, str]:
    """The advised way."""
    key = exercise.key_of(Key)
    return {part: _label(key, part, value) for part, value in zip(PARTS, _named(key.scene.best), strict=True)}


def mark(exercise: Exercise, answers: Answers) -> Marks:
    """Credit for what the choice shares with the right way that it is nearest to."""
    key = exercise.key_of(Key)
    mine, (_, right) = _mine(key, answers), _nearest(key, answers)
    met = [one == other for one, other in zip(mine, _named(right), strict=True)]
    found = _set_back(key, answers)
    return tuple(
        (part, float(ok), _praise(part, right, key.scene) if ok else _blame(part, mine, found, key.scene))
        for part, ok in zip(PARTS, met, strict=True)
    )


def hint(exercise: Exercise, answers: Answers, marks: Marks) -> tuple[Block, ...]:
    """A question about the measure that sets the choice back."""
    key = exercise.key_of(Key)
    found = _set_back(key, answers)
    every = {word for way in right_ways(key.scene) for word in _shown(_named(way))}
    hidden = every - set(_shown(_mine(key, answers)))
    if found and found[0].rule is not None:
        rules = [one.rule for one in found if one.rule is not None]
        return hint_blocks(rules, found[0].facts, key.scene.bench.base, hidden)
    return question(
        "Where does the time of your way go: in the cut, getting in, between cuts, or into tool changes? "
        "What would shorten it?"
    )


def reason(exercise: Exercise, answers: Answers) -> Iterator[Block]:
    """The numbers: what would happen with the way chosen, why the advised one, and its drawing."""
    key = exercise.key_of(Key)
    scene, base, best = key.scene, key.scene.bench.base, key.scene.best
    yield from section(
        "At the machine", [Item(one.text, one.rule.id if one.rule else "") for one in _set_back(key, answers)]
    )
    yield Heading("Advised")
    yield Items((Item(in_short(best)),))
    fallback = without_a_rule(scene.answer, base)
    why = [said(rule, best.facts, base) for rule in reasons(scene.answer)]
    yield from section("Why", [*([choice_text(fallback, base)] if fallback else []), *why])
    yield from sketch_blocks(best, scene.answer.region, base.limits)


def contrast(exercise: Exercise, answers: Answers, marks: Marks) -> tuple[Block, ...]:
    """The nearest change of the feature at which the advice is another, or at which it is the method chosen."""
    key = exercise.key_of(Key)
    return contrast_blocks(key.scene, _mine(key, answers)[0])


def _mine(key: Key, answers: Answers) -> tuple[str, str, str]:
    method, cutter, entry = (key.names[part][str(answers[part])] for part in PARTS)
    return method, cutter, entry


def _nearest(key: Key, answers: Answers) -> tuple[int, Candidate]:
    """The right way that shares most with the choice, and how much."""
    mine = _mine(key, answers)
    found = [
        (sum(one == other for one, other in zip(mine, _named(way), strict=True)), way) for way in right_ways(key.scene)
    ]
    return max(found, key=lambda pair: pair[0])


class SetBack(NamedTuple):
    """One thing that would happen with a choice; the rule that says so and the facts it met, where a rule does."""

    text: str
    rule: Rule | None
    facts: Facts


def _set_back(key: Key, answers: Answers) -> list[SetBack]:
    """What would happen at the machine with the choice; nothing where it is right."""
    if _nearest(key, answers)[0] == len(PARTS):
        return []
    scene, mine = key.scene, _mine(key, answers)
    base, best = scene.bench.base, scene.best
    way = next((one for one in scene.answer.candidates if _named(one) == mine), None)
    way = way or next((one for one in scene.answer.candidates if _named(one) == (*mine[:2], "")), None)
    if way is None:  # a way that nobody would think of: a review says why
        verdict = judged(scene, dict(zip(("method", "cutter", "entry"), mine, strict=True)))
        return [SetBack(found.text, found.rule, found.facts) for found in verdict.findings]
    found = [SetBack(said(rule, way.facts, base).text, rule, way.facts) for rule in against(way)]
    if way.time < float("inf") and way.time > best.time:
        told = f"It takes {time_between(best, way)}: {where_time_goes(best, way)}."
        found.append(SetBack(told, None, way.facts))
    if not found and way.grade != best.grade:
        found.append(SetBack(unmet_text(unmet_rule(way, base), way.facts, base), None, way.facts))
    return found


def _shown(named: tuple[str, str, str]) -> tuple[str, str, str]:
    """Method, cutter and way in as they are shown."""
    return ways()[named[0]].title, printable(named[1]), spaced(named[2])


def _named(way: Candidate) -> tuple[str, str, str]:
    return way.method, way.cutter.id, way.entry or ""


def _label(key: Key, part: str, value: str) -> str:
    return next(label for label, name in key.names[part].items() if name == value)


def _praise(part: str, right: Candidate, scene: Scene) -> str:
    if part == "cutter":
        return f"Right: {printable(right.cutter.id)}, DC {given(right.cutter.DC)}."
    if part == "entry":
        return f"Right: {quantity(time_parts(right)['entry'], 's')} getting in."
    beside = "" if right.time == scene.best.time else f"; the advised way takes {quantity(scene.best.time, 's')}"
    return f"Right: {quantity(right.time, 's')} in all{beside}."


def _blame(part: str, mine: tuple[str, str, str], found: Sequence[SetBack], scene: Scene) -> str:
    """What would happen at the machine with this part of the choice."""
    own = next((one.text for one in found if one.rule is not None and _of_part(one.rule, part)), None)
    if own is None and part == "method":
        own = next((one.text for one in found if one.rule is None), None)
    if own is not None:
        return own
    most = quantity(scene.bench.limits["review_time_ratio"] * scene.best.time, "s")
    return f"No way with {_shown(mine)[PARTS.index(part)]} is right here and done in {most}."


def _of_part(rule: Rule, part: str) -> bool:
    if rule.stage == "review":
        return (part == "entry") == (Path(rule.file).stem == "entry")
    return rule.stage == STAGES[part]
