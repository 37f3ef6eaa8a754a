"""Breakpoint it: two features one value apart; predict the way of the second, and where the line between them lies."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from random import Random
from typing import NamedTuple

from advisor.analysis.breakpoints import key_of
from advisor.analysis.inputs import changed_feature
from advisor.analysis.sensitivity import feature_changes
from advisor.choosing.advice import advise_feature
from advisor.choosing.ranking import against, standing
from advisor.coach.contrast import TITLE, pair
from advisor.coach.exercise import Exercise, Part
from advisor.coach.hints import measure_question, question
from advisor.coach.invent import rounded
from advisor.coach.kinds import Answers, Marks, Posed
from advisor.coach.reading import as_typed
from advisor.coach.runs import would_run
from advisor.coach.scene import Scene, right_ways
from advisor.coach.table import by_difficulty, table
from advisor.coach.telling import in_short, job_blocks, lettered
from advisor.coach.topics import topics_of
from advisor.knowledge.conditions import Compare, Facts, holds, leaves
from advisor.knowledge.evidence import quantised
from advisor.knowledge.schema import Rule
from advisor.knowledge.wording import given, quantity
from advisor.methods.registry import METHODS
from advisor.model.answer import Breakpoint
from advisor.model.candidate import SOUND, Candidate
from advisor.situation.pairings import ways
from advisor.text.blocks import Block, Heading, Item, Items, section
from advisor.text.names import spaced
from advisor.text.reasons import reasons, said
from advisor.text.section_text import sketch_blocks
from advisor.text.words import way_text

NAMES = ("width", "depth", "diameter", "clearance_below", "stock_side", "length")
NO_WAY = "no way with this crib"
TOLD = 0.01  # mm: what a line is told to
BETWEEN = 3  # values between line and second feature that are asked
LEAST_CHOICES, MOST_CHOICES = 3, 5
WayKey = tuple[str, str, str]


class Key(NamedTuple):
    """What the grader needs: the scene today, the turn, the scene of the second feature, the way of each letter."""

    scene: Scene
    turn: Breakpoint
    second: Scene
    value: float
    ways: Mapping[str, WayKey | None]
    right: frozenset[str]


def pose(scene: Scene, difficulty: int, rng: Random, topic: str | None) -> Posed | None:
    """The question; nothing where no number of the feature turns the advice cleanly."""
    names = [name for name in NAMES if getattr(scene.feature, name, None)]
    rng.shuffle(names)
    for name in names[:2]:
        found = feature_changes(scene.answer, scene.feature, scene.assignment.crib, scene.bench, [name])
        for turn in found:
            posed = _posed(scene, turn, difficulty, rng, topic)
            if posed is not None:
                return posed
    return None


def _posed(scene: Scene, turn: Breakpoint, difficulty: int, rng: Random, topic: str | None) -> Posed | None:
    beyond = _second(scene, turn, difficulty, rng)
    if beyond is None:
        return None
    value, second = beyond
    ids = tuple(dict.fromkeys(rule.id for rule, _, _ in _turning(scene, second)))
    if not ids or (topic is not None and topic not in topics_of(ids, scene.bench.base)):
        return None
    choices = _choices(scene, second, rng)
    if choices is None:
        return None
    texts = [_way_words(key) for key in choices]
    by_letter = lettered(texts)
    labelled = {choice.label: key for choice, key in zip(by_letter, choices, strict=True)}
    right = frozenset(label for label, key in labelled.items() if _is_right(key, second))
    name = spaced(turn.name)
    asked = (
        f"Here the advice is {way_text(scene.best)}. The second feature is the same but for its {name}: "
        f"{given(value)} instead of {given(turn.start)}. Predict its way, and where the line lies."
    )
    parts = (
        Part("way", f"Which way at {name} {given(value)}?", by_letter),
        Part("line", f"At about which {name} does the advice turn?", (), "mm"),
    )
    return Posed(tuple(job_blocks(scene, asked)), parts, Key(scene, turn, second, value, labelled, right), ids)


def _second(scene: Scene, turn: Breakpoint, difficulty: int, rng: Random) -> tuple[float, Scene] | None:
    """A value beyond the line, the nearer the more difficult, from the line to which the advice stays the same."""
    share = by_difficulty("spread", difficulty) * rng.uniform(0.6, 1.0)
    up = turn.at > turn.start
    value = rounded(turn.at * (1 + share) if up else turn.at * (1 - share))
    if (value <= turn.at) == up and value != turn.at:
        value = turn.at
    second = _at(scene, turn.name, value)
    if second is None:
        return None
    best, wanted = second.answer.best, key_of(second.answer.best)
    if best is not None and (best.grade not in SOUND or not would_run(second)):
        return None
    if wanted == key_of(scene.answer.best):
        return None
    for step in range(BETWEEN):
        middle = _at(scene, turn.name, round(turn.at + (value - turn.at) * step / BETWEEN, 2))
        if middle is None or key_of(middle.answer.best) != wanted:
            return None
    return value, second


def _at(scene: Scene, name: str, value: float) -> Scene | None:
    feature = changed_feature(scene.feature, name, value)
    if feature is None:
        return None
    return scene._replace(feature=feature, answer=advise_feature(feature, scene.assignment.crib, scene.bench))


def _turning(scene: Scene, second: Scene) -> Iterator[tuple[Rule, Facts, Facts]]:
    """The rules that fire about one of the two best ways on one side of the line and not on the other, with the facts
    of the way on both sides.
    """
    for one, other in ((scene, second), (second, scene)):
        best = one.answer.best
        if best is None:
            continue
        alike = [way for way in other.answer.candidates if _name(way)[:2] == _name(best)[:2]]
        if not alike:
            continue
        there = next((way for way in alike if way.entry == best.entry), alike[0])
        changed = _judging(best) ^ _judging(there)
        for rule in sorted(changed, key=lambda rule: rule.id):
            sides = (best, there) if one is scene else (there, best)
            yield rule, quantised(sides[0].facts), quantised(sides[1].facts)


def _judging(way: Candidate) -> set[Rule]:
    return {rule for rule in standing(way.fired) if rule.verdict in ("for", "against", "forbids")}


def _name(item: Candidate) -> tuple[str, str, str | None]:
    return item.method, item.cutter.id, item.entry


def _choices(scene: Scene, second: Scene, rng: Random) -> list[WayKey | None] | None:
    """The way today, that of the second feature, and others that are wrong there; shuffled."""
    today, then = key_of(scene.answer.best), key_of(second.answer.best)
    if _is_right(today, second):
        return None
    others: dict[WayKey | None, None] = {}
    for item in (*second.answer.candidates, *scene.answer.candidates):
        if item.entry is not None and not _is_right(key_of(item), second):
            others[key_of(item)] = None
    others.pop(today, None)
    rest = list(others)
    if then is not None:
        rest.append(None)
    rng.shuffle(rest)
    picked = [today, then, *rest[: MOST_CHOICES - 2]]
    if len(picked) < LEAST_CHOICES:
        return None
    rng.shuffle(picked)
    return picked


def _is_right(key: WayKey | None, second: Scene) -> bool:
    if second.answer.best is None:
        return key is None
    return key is not None and key in {key_of(way) for way in (second.best, *right_ways(second))}


def _way_words(key: WayKey | None) -> str:
    if key is None:
        return NO_WAY
    method, body, entry = key
    way_in = f", {spaced(entry)}" if not METHODS[method].by_drill else ""
    return f"{ways()[method].title}, {spaced(body)}{way_in}"


def model_answers(exercise: Exercise) -> Mapping[str, str]:
    """The way of the second feature, and the line."""
    key = exercise.key_of(Key)
    then = key_of(key.second.answer.best)
    return {"way": next(label for label, way in key.ways.items() if way == then), "line": as_typed(key.turn.at, "mm")}


def mark(exercise: Exercise, answers: Answers) -> Marks:
    """The way held against those that are right for the second feature, the line against where it lies."""
    key = exercise.key_of(Key)
    return _way_part(key, str(answers["way"])), _line_part(key, float(str(answers["line"])))


def hint(exercise: Exercise, answers: Answers, marks: Marks) -> tuple[Block, ...]:
    """A question about the measure that turns the advice."""
    key = exercise.key_of(Key)
    hidden = [given(key.turn.at).casefold(), _way_words(key_of(key.second.answer.best))]
    for leaf in _turning_leaves(key):
        text = measure_question(leaf, key.scene.bench.base)
        if not any(word in text.casefold() for word in hidden):
            return question(text)
    return question(f"What does the {spaced(key.turn.name)} do to the times of the ways?")


def _turning_leaves(key: Key) -> Iterator[Compare]:
    """The comparisons that hold on one side of the line and not on the other, of the rules that turn the advice."""
    for rule, now, then in _turning(key.scene, key.second):
        for leaf in leaves(rule.condition):
            if not isinstance(leaf, Compare) or isinstance(leaf.value, str):
                continue
            if leaf.fact in now and leaf.fact in then and holds(leaf, now) != holds(leaf, then):
                yield leaf


def reason(exercise: Exercise, answers: Answers) -> Iterator[Block]:
    """The numbers: what would happen with a wrong way, why the advised one of the second feature, and its drawing."""
    key, label = exercise.key_of(Key), str(answers["way"])
    best, base = key.second.answer.best, key.scene.bench.base
    if label not in key.right:
        yield from section("At the machine", [_blame(key, key.ways[label])])
    yield Heading(f"Advised at {spaced(key.turn.name)} {given(key.value)}")
    if best is None:
        yield Items((Item(NO_WAY),))
        before = next((one for one in key.second.answer.candidates if one.cutter.id == key.scene.best.cutter.id), None)
        if before is not None:
            yield from section("Why", [said(rule, before.facts, base) for rule in against(before)])
        return
    yield Items((Item(in_short(best)),))
    yield from section("Why", [said(rule, best.facts, base) for rule in reasons(key.second.answer)])
    yield from sketch_blocks(best, key.second.answer.region, base.limits)


def contrast(exercise: Exercise, answers: Answers, marks: Marks) -> tuple[Block, ...]:
    """The first feature, and the one just beyond the line."""
    key = exercise.key_of(Key)
    return Heading(TITLE), Items(tuple(pair(key.scene, key.turn)))


def _way_part(key: Key, label: str) -> tuple[str, float, str]:
    if label in key.right:
        best = key.second.answer.best
        return "way", 1.0, f"Right: {in_short(best)}." if best else "Right: with this crib 0 ways are left."
    return "way", 0.0, _blame(key, key.ways[label])


def _blame(key: Key, way: WayKey | None) -> str:
    """What would happen with a way in the second feature."""
    best = key.second.answer.best
    if way is None:
        return f"There is a way: it takes {quantity(best.time, 's')}." if best else ""
    item = next((one for one in key.second.answer.candidates if key_of(one) == way), None)
    item = item or next(
        (one for one in key.second.answer.candidates if one.method == way[0] and one.cutter.body == way[1]), None
    )
    if item is None:
        return f"At {given(key.value)} the crib has no such way."
    found = against(item)
    if found:
        return said(found[0], item.facts, key.scene.bench.base).text
    if best is None:
        return f"At {given(key.value)} the crib has no way."
    takes, less = quantity(item.time, "s"), quantity(best.time, "s")
    return f"It takes {takes} and is {item.grade}; {way_text(best)} takes {less} and is {best.grade}."


def tolerance(key: Key) -> float:
    """How far from the line an answer may lie [mm]."""
    gap = abs(key.value - key.turn.start)
    near = min(table()["line_tolerance"] * key.turn.at, table()["line_tolerance_gap"] * gap)
    as_drawn = abs(rounded(key.turn.at) - key.turn.at) + TOLD  # the line to the step of a drawing is always right
    return float(max(near, as_drawn))


def _line_part(key: Key, line: float) -> tuple[str, float, str]:
    off, allowed = abs(line - key.turn.at), tolerance(key)
    credit = 1.0 if off <= allowed else 0.5 if off <= table()["line_half"] * allowed else 0.0
    word = {1.0: "Right", 0.5: "Near"}.get(credit, "Not there")
    return "line", credit, f"{word}: the line is at {given(key.turn.at)}, you are {quantity(off, 'mm')} off."
