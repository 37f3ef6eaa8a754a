"""Breakpoint it: two features one value apart; predict the way of the second, and where the line between them lies."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import islice
from random import Random
from typing import NamedTuple

from advisor.analysis.breakpoints import key_of
from advisor.analysis.sensitivity import feature_changes
from advisor.choosing.ranking import against, standing
from advisor.coach.contrast import TITLE, at_size, pair
from advisor.coach.exercise import Exercise, Part
from advisor.coach.hints import Clues, facts_of_cutters, known_facts
from advisor.coach.invent import rounded
from advisor.coach.kind import Answers, Kind, Marks, Posed
from advisor.coach.reading import as_typed
from advisor.coach.scene import Scene, is_clear, plainly_against
from advisor.coach.table import by_difficulty, table
from advisor.coach.telling import WHY_MOST, in_short, job_blocks, lettered
from advisor.coach.topics import asked_about, topic_of, topics, worth_asking
from advisor.coach.would_run import would_run
from advisor.files.problems import printable
from advisor.knowledge.conditions import Facts
from advisor.knowledge.evidence import quantised
from advisor.knowledge.schema import Rule
from advisor.knowledge.wording import given, quantity
from advisor.model.answer import Breakpoint
from advisor.model.candidate import SOUND, Candidate
from advisor.situation.pairings import ways
from advisor.text.blocks import Block, Heading, Item, Items
from advisor.text.names import spaced
from advisor.text.reasons import reasons, said
from advisor.text.words import way_text

NAMES = ("width", "depth", "diameter", "length")
NO_WAY = "none: no cutter of the crib can do it"
TOLD = 0.01  # mm: what a line is told to
BETWEEN = 3  # values between line and second feature that are asked
TRIED = 3  # sizes of a feature that are changed
LEAST_CHOICES, MOST_CHOICES = 3, 4
Answer = tuple[str, ...]  # method and body, or the way in where that alone turns


class Key(NamedTuple):
    """What the grader needs: the scene today, what it is about, the turn, the scene of the second feature, the answer
    of each letter (nothing where it is that there is no way), the right letter, and whether the line is asked for: not
    where it is that of another cutter, or of a drill.
    """

    scene: Scene
    topic: str
    turn: Breakpoint
    second: Scene
    value: float
    ways: Mapping[str, Answer | None]
    right: str
    by_entry: bool
    line: bool


def pose(scene: Scene, difficulty: int, rng: Random, topic: str | None) -> Posed[Key] | None:
    """The question; nothing where no number of the feature turns the advice cleanly."""
    about = topics() if topic is None else (topic,)
    wanted = {name for one in about for name in table().turns_on.get(one, ())}
    names = [name for name in NAMES if name in wanted and getattr(scene.feature, name, None)]
    rng.shuffle(names)
    for name in names[:TRIED]:
        found = feature_changes(scene.answer, scene.feature, scene.assignment.crib, scene.bench, [name])
        for turn in found:
            posed = _posed(scene, turn, difficulty, rng, topic)
            if posed is not None:
                return posed
    return None


def _posed(scene: Scene, turn: Breakpoint, difficulty: int, rng: Random, topic: str | None) -> Posed[Key] | None:
    beyond = _second(scene, turn, difficulty, rng)
    if beyond is None:
        return None
    value, second = beyond
    turning = [rule for rule, _, _ in _turning(scene, second)]
    about, rules = next(
        (
            (name, rules)
            for name in asked_about(topic, "turn", scene.answer.region.kind, rng)
            if turn.name in table().turns_on.get(name, ()) and (rules := worth_asking(turning, name))
        ),
        ("", ()),
    )
    if not about:
        return None
    if second.answer.best is None and (
        not topics()[about].turns_to_nothing or (topic is None and rng.random() > table().no_way_share)
    ):
        return None  # that a cutter does not fit is plain to see
    by_entry = second.answer.best is not None and _answer(second.best, False) == _answer(scene.best, False)
    if by_entry and (second.best.cutter.id != scene.best.cutter.id or not topics()[about].turns_entry):
        return None
    choices = _choices(scene, second, by_entry, rng)
    if choices is None:
        return None
    by_letter = lettered([_words(one) for one in choices])
    labelled = {choice.label: one for choice, one in zip(by_letter, choices, strict=True)}
    then = _answer(second.best, by_entry) if second.answer.best is not None else None
    right = next(label for label, one in labelled.items() if one == then)
    name = spaced(turn.name)
    asked = (
        f"As drawn: {in_short(scene.best)}. Now the {name} is {given(value)} instead of {given(turn.start)}; "
        "all else stays."
    )
    ask = (
        f"How does the cutter get in at {name} {given(value)}?" if by_entry else f"Which way at {name} {given(value)}?"
    )
    line = _can_be_reckoned(scene, second)
    asks_line = Part("line", f"At about which {name} would you change over?", (), "mm")
    parts = (Part("way", ask, by_letter), *((asks_line,) if line else ()))
    clues = Clues(
        ("way", *(("line",) if line else ()), turn.name),
        known_facts(scene, scene.best.facts, ("feature", "cutter")),
        facts_of_cutters(scene),
        (*(_words(one) for one in choices if one == then), f" {given(turn.at)}"),
    )
    crib = [("", cutter) for cutter in scene.assignment.crib]
    ids = tuple(rule.id for rule in rules)
    key = Key(scene, about, turn, second, value, labelled, right, by_entry, line)
    return Posed(tuple(job_blocks(scene, asked, about, crib, drawn=False)), parts, key, ids, about, clues, scene)


def _can_be_reckoned(scene: Scene, second: Scene) -> bool:
    """Whether the line follows from the cutter that is shown: one cutter goes on, or is too short for what comes."""
    best = second.answer.best
    return best is None or (best.cutter.id == scene.best.cutter.id and best.drill is None and scene.best.drill is None)


def _is_the_same_cut(scene: Scene, second: Scene) -> bool:
    """Whether one cutter takes either strip in a single pass: only the name of the cut is another."""
    both = (scene.best, second.best)
    if both[0].cutter.id != both[1].cutter.id or not scene.answer.region.strip_like:
        return False
    return all(one.plan is not None and one.plan.levels == 1 and float(one.facts.get("passes", 2)) <= 1 for one in both)


def _second(scene: Scene, turn: Breakpoint, difficulty: int, rng: Random) -> tuple[float, Scene] | None:
    """A value beyond the line, the nearer the more difficult, from the line to which the advice stays the same."""
    share = by_difficulty(table().spread, difficulty) * rng.uniform(*table().spread_used)
    up = turn.at > turn.start
    value = rounded(turn.at * (1 + share) if up else turn.at * (1 - share))
    if (value <= turn.at) == up or value == turn.at:
        return None  # so near the line that no drawing has it
    second = at_size(scene, turn.name, value)
    if second is None:
        return None
    best, wanted = second.answer.best, key_of(second.answer.best)
    if best is not None and (best.grade not in SOUND or not would_run(second)):
        return None
    if wanted == key_of(scene.answer.best):
        return None
    if best is not None and _is_the_same_cut(scene, second):
        return None
    for step in range(BETWEEN):
        middle = at_size(scene, turn.name, round(turn.at + (value - turn.at) * step / BETWEEN, 2))
        if middle is None or key_of(middle.answer.best) != wanted:
            return None
    return (value, second) if _holds_before(scene, turn) else None


def _holds_before(scene: Scene, turn: Breakpoint) -> bool:
    """Whether the method of today is advised all the way up to the line: else there is more than one line."""
    for step in range(1, BETWEEN):
        middle = at_size(scene, turn.name, round(turn.start + (turn.at - turn.start) * step / BETWEEN, 2))
        if middle is None or middle.answer.best is None or middle.best.method != scene.best.method:
            return False
    return True


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


def _choices(scene: Scene, second: Scene, by_entry: bool, rng: Random) -> list[Answer | None] | None:
    """The way today, that of the second feature, and others that are plainly wrong there; shuffled. Nothing where the
    way today would still do.
    """
    then = _answer(second.best, by_entry) if second.answer.best is not None else None
    today = _answer(scene.best, by_entry)
    wrong: dict[Answer, bool] = {}
    for item in (*second.answer.candidates, *scene.answer.candidates):
        if item.entry is None or not _thought_of(item, scene, by_entry):
            continue
        answer = _answer(item, by_entry)
        wrong[answer] = wrong.get(answer, True) and _is_wrong(item, second)
    if second.answer.best is not None and not (by_entry or _is_another_method(scene, second)):
        return None
    if second.answer.best is None and not _is_plainly_none(scene, second):
        return None
    still = (way for way in second.answer.candidates if way.entry is not None and _answer(way, by_entry) == today)
    if second.answer.best is not None and not all(is_clear(way, second) for way in still):
        return None
    others = [answer for answer, plainly in wrong.items() if plainly and answer not in (today, then)]
    rng.shuffle(others)
    picked: list[Answer | None] = [*dict.fromkeys([then, today]), *others]
    if then is not None and not by_entry:
        picked.insert(2, None)
    picked = picked[:MOST_CHOICES]
    if len(picked) < LEAST_CHOICES:
        return None
    rng.shuffle(picked)
    return picked


def _is_plainly_none(scene: Scene, second: Scene) -> bool:
    """Whether the cutter of today is more than a hair too short."""
    own = [way for way in second.answer.candidates if way.cutter.id == scene.best.cutter.id]
    return all(plainly_against(way) for way in own)


def _is_another_method(scene: Scene, second: Scene) -> bool:
    """Whether the cut is another one: not the same layers with another body of cutter, or by another name on a face."""
    one, other = scene.best.method, second.best.method
    return one != other and {one, other} not in table().one_cut


def _thought_of(item: Candidate, scene: Scene, by_entry: bool) -> bool:
    """Whether somebody could think of a way there; of ways in, only those of the method and cutter that are advised."""
    if any(rule.id in table().not_offered for rule in item.fired) and _name(item) != _name(scene.best):
        return False
    return not by_entry or _name(item)[:2] == _name(scene.best)[:2]


def _is_wrong(item: Candidate, second: Scene) -> bool:
    """Whether a way, of either feature, is plainly wrong in the second one."""
    if second.answer.best is None:
        return True
    alike = [way for way in second.answer.candidates if _name(way) == _name(item)]
    return all(is_clear(way, second) for way in alike)


def _answer(item: Candidate, by_entry: bool) -> Answer:
    return (item.entry or "",) if by_entry else (item.method, item.cutter.body)


def _words(answer: Answer | None) -> str:
    if answer is None:
        return NO_WAY
    if len(answer) == 1:
        return spaced(answer[0])
    method, body = answer
    return f"{ways()[method].title}, {spaced(body)}"


def model_answers(exercise: Exercise) -> Mapping[str, str]:
    """The way of the second feature, and the line."""
    key = exercise.key_of(Key)
    return {"way": key.right} | ({"line": as_typed(key.turn.at, "mm")} if key.line else {})


def mark(exercise: Exercise, answers: Answers) -> Marks:
    """The way held against that of the second feature, the line against where it lies."""
    key = exercise.key_of(Key)
    way = _way_part(key, str(answers["way"]))
    return (way, _line_part(key, float(str(answers["line"])))) if key.line else (way,)


def reason(exercise: Exercise, answers: Answers) -> Iterator[Block]:
    """Why the advised way of the second feature; where there is none, what stands in the way of today's."""
    key = exercise.key_of(Key)
    best, base = key.second.answer.best, key.scene.bench.base
    title = f"Answer at {spaced(key.turn.name)} {given(key.value)}"
    if best is None:
        yield Heading(title)
        furthest = _furthest(key)
        why = [said(rule, furthest.facts, base) for rule in against(furthest)] if furthest is not None else []
        yield Items((Item(f"{NO_WAY}."), *_reaching(furthest), *why[:WHY_MOST]))
        return
    yield Heading(title)
    told = sorted(reasons(key.second.answer), key=lambda rule: topic_of(rule) != key.topic)
    today = _answer(key.scene.best, key.by_entry)
    still = judged_by(key, today)
    plain = {*table().not_alone, *table().not_offered} - {*table().told_after_a_turn}
    at_the_line = _against_at_the_line(key, still) if still is not None else frozenset()
    held = ((rule, still) for rule in against(still) if rule.id in at_the_line - plain) if still is not None else ()
    not_now = [_not_now(said(rule, way.facts, base), today) for rule, way in islice(held, 1)]
    why = [said(rule, best.facts, base) for rule in told[: WHY_MOST - len(not_now)]]
    yield Items((Item(in_short(best)), *why, *not_now))


def _against_at_the_line(key: Key, still: Candidate) -> frozenset[str]:
    """The ids of the rules that are against a way already where the answer turns."""
    there = at_size(key.scene, key.turn.name, key.turn.at)
    if there is None:
        return frozenset()
    alike = [way for way in there.answer.candidates if _name(way)[:2] == _name(still)[:2]]
    return frozenset(rule.id for way in alike for rule in against(way))


def _furthest(key: Key) -> Candidate | None:
    """The way of the second feature whose cutter reaches the furthest down; of those, that of today, then the first."""
    mills = [way for way in key.second.answer.candidates if not way.cutter.kind.drill]
    return max(mills, key=lambda way: (way.cutter.LU, _name(way) == _name(key.scene.best)), default=None)


def _reaching(furthest: Candidate | None) -> Iterator[Item]:
    """How far down the longest cutter of the crib reaches, and how far it must; nothing where it does."""
    if furthest is None or "length_needed" not in furthest.facts:
        return
    has, needed = furthest.cutter.LU, float(furthest.facts["length_needed"])
    if has < needed:
        name = printable(furthest.cutter.id)
        yield Item(
            f"The longest of the crib, {name}, reaches {quantity(has, 'mm')}; {quantity(needed, 'mm')} is needed."
        )


def judged_by(key: Key, answer: Answer) -> Candidate | None:
    """The way of the second feature that an answer is judged by: the best that may be run; else the one with cutter
    and entry as drawn, or as advised there; where nothing reaches, the one that comes the nearest.
    """
    alike = [one for one in key.second.answer.candidates if _answer(one, key.by_entry) == answer]
    if key.second.answer.best is None:
        return max(alike, key=lambda item: item.cutter.LU, default=None)
    tools = [(way.cutter.id, way.entry) for way in (key.scene.best, key.second.best)]

    def order(item: Candidate) -> tuple[bool, bool, bool]:
        known = (item.cutter.id, item.entry) in tools
        return item.grade not in SOUND, not known, item.cutter.id not in dict(tools)

    return min(alike, key=order, default=None)


def _not_now(held: Item, today: Answer) -> Item:
    """What is held against the way of the first feature in the second one."""
    return held._replace(strong=f"Not {_words(today)}:", after=())


def contrast(exercise: Exercise, answers: Answers, marks: Marks) -> tuple[Block, ...]:
    """The first feature, and the one just beyond the line."""
    key = exercise.key_of(Key)
    return Heading(TITLE), Items(tuple(pair(key.scene, key.turn)))


def _way_part(key: Key, label: str) -> tuple[str, float, str]:
    if label == key.right:
        return "way", 1.0, f"{label}, {_words(key.ways[label])}."
    return "way", 0.0, _blame(key, key.ways[label])


def _blame(key: Key, answer: Answer | None) -> str:
    """What would happen with a way in the second feature."""
    best = key.second.answer.best
    if answer is None:
        return f"There is a way: it takes {quantity(best.time, 's')}." if best else ""
    item = judged_by(key, answer)
    if item is None:
        return f"At {given(key.value)} the crib has no such way."
    found = against(item)
    if found and (best is None or item.grade not in SOUND):
        return said(found[0], item.facts, key.scene.bench.base).text
    if best is None:
        return f"At {given(key.value)} the crib has no way."
    takes, less = quantity(item.time, "s"), quantity(best.time, "s")
    with_ = f"With {printable(item.cutter.id)}, {spaced(item.entry or '')}, it"
    return f"{with_} takes {takes} and is {item.grade}; {way_text(best)} takes {less} and is {best.grade}."


def tolerance(key: Key) -> float:
    """How far from the line an answer may lie [mm]."""
    gap = abs(key.value - key.turn.start)
    near = min(table().line_tolerance * key.turn.at, table().line_tolerance_gap * gap)
    as_drawn = abs(rounded(key.turn.at) - key.turn.at) + TOLD  # the line to the step of a drawing is always right
    return float(max(near, as_drawn))


def _line_part(key: Key, line: float) -> tuple[str, float, str]:
    off, allowed = abs(line - key.turn.at), tolerance(key)
    credit = 1.0 if off <= allowed else 0.5 if off <= table().line_half * allowed else 0.0
    near = "" if credit == 1 else ", near" if credit else ""
    told = f"the answer changes at {given(key.turn.at)}"
    return "line", credit, f"{told}." if off < TOLD else f"{told}; your answer is {quantity(off, 'mm')} off{near}."


KIND = Kind(pose, model_answers, mark, reason, contrast)
