"""Explain: why not another way that is as quick? One of the reasons is true here."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from random import Random
from typing import NamedTuple

from advisor.choosing.ranking import against
from advisor.coach.contrast import contrast_blocks, differing
from advisor.coach.exercise import Exercise, Part
from advisor.coach.hints import Clues, known_facts
from advisor.coach.kind import Answers, Kind, Marks, Posed
from advisor.coach.kinds.untrue import apart, not_so_text, untrue
from advisor.coach.scene import Scene, could_be_thought_of, plainly_against
from advisor.coach.table import table
from advisor.coach.telling import cutter_line, in_short, job_blocks, lettered, more_of
from advisor.coach.topics import asked_about, asks_what_for, topic_of, topics
from advisor.coach.would_run import against_its_purpose
from advisor.files.problems import printable
from advisor.knowledge.evidence import quantised
from advisor.knowledge.schema import Rule
from advisor.knowledge.wording import quantity
from advisor.methods.registry import METHODS
from advisor.model.candidate import GRADES, SOUND, Candidate
from advisor.situation.pairings import ways
from advisor.text.blocks import Block, Heading, Item, Items, Pairs
from advisor.text.names import spaced
from advisor.text.reasons import said
from advisor.text.words import way_text

AGAINST = ("against", "forbids")
FORBIDDEN = GRADES[-1]


class Key(NamedTuple):
    """What the grader needs: the scene, the rule that sets another way back, that way, and the rule of each letter."""

    scene: Scene
    rule: Rule
    way: Candidate
    rules: Mapping[str, Rule]


def pose(scene: Scene, difficulty: int, rng: Random, topic: str | None) -> Posed[Key] | None:
    """The question; nothing where no rule of the topic sets a tempting way back, or too few others fit."""
    made_for_it = not asks_what_for(
        topic
    )  # where it is the question, a cutter made for something else is not passed over
    set_back = [(rule, way) for way in scene.answer.candidates for rule in _reasons(way, scene, made_for_it)]
    rng.shuffle(set_back)
    for name in asked_about(topic, "explain", scene.answer.region.kind, rng):
        for rule, way in set_back:
            posed = _posed(scene, rule, way, name, rng) if topic_of(rule) == name else None
            if posed is not None:
                return posed
    return None


def _reasons(way: Candidate, scene: Scene, made_for_it: bool) -> tuple[Rule, ...]:
    """The rules that plainly set a way back that somebody could think of: as quick as the advised one, or forbidden
    whatever it takes. Of another method that is no slower, not those that only say that it gains nothing.
    """
    if way.method != scene.best.method and quicker_by_far(way, scene):
        return ()
    tempting = way.grade == FORBIDDEN or way.time <= table().trade.tempting_time.value * scene.best.time
    if not tempting or _name(way) == _name(scene.best) or not could_be_thought_of(way):
        return ()
    found = against(way)
    never = {*table().not_alone, *table().not_offered}
    if any(rule.id in never for rule in found) or (made_for_it and against_its_purpose(way)):
        return ()
    slower = way.method != scene.best.method and way.time >= table().trade.slower_seen.value * scene.best.time
    gains = set() if slower else {*table().gains_nothing} - {*table().leaves_stock}
    return tuple(rule for rule in plainly_against(way) if rule.id not in gains and not _is_of_a_drill(rule, way))


def _is_of_a_drill(rule: Rule, way: Candidate) -> bool:
    """Whether a rule holds the power of the spindle at the speed of a drill against a way: that is not told."""
    return rule.id in table().not_of_a_drill and (way.cutter.kind.drill or rule.stage == "entry")


def _posed(scene: Scene, rule: Rule, way: Candidate, topic: str, rng: Random) -> Posed[Key] | None:
    if not _is_about(rule, way, scene) or _drills_all_the_same(way, scene):
        return None
    facts, fired = quantised(way.facts), {one.id for one in way.fired}
    others = [one for one in scene.bench.base.rules if one.verdict in AGAINST and one.stage == rule.stage]
    fitting = [one for one in untrue(others, facts, fired) if not _is_of_a_drill(one, way)]
    rng.shuffle(fitting)
    wrong = apart(fitting, rule)[: table().trap_choices - 1]
    if len(wrong) < table().untrue_least:
        return None
    rules = [rule, *wrong]
    rng.shuffle(rules)
    choices = lettered([f"{one.title}." for one in rules])
    key = Key(scene, rule, way, {choice.label: one for choice, one in zip(choices, rules, strict=True)})
    told = tuple(job_blocks(scene, "", topic, drawn=False))
    hidden = tuple(choice.text for choice in choices if key.rules[choice.label] is rule)
    by_drill = ("drilled",) if rule.stage == "entry" and way.drill is not None else ()
    clues = Clues((*by_drill, "reason"), known_facts(scene, way.facts, ("feature", "cutter")), hidden=hidden)
    part = Part("reason", _ask(key), choices)
    rows = (("advised", in_short(scene.best)), *_cutters(key, more_of(topic)))
    return Posed((*told, Pairs(rows)), (part,), key, (rule.id,), topic, clues, scene)


def _drills_all_the_same(way: Candidate, scene: Scene) -> bool:
    """Whether the advised way begins with the very drill that would be explained away."""
    drill = scene.best.drill
    return METHODS[way.method].by_drill and drill is not None and drill.id == way.cutter.id


def _is_about(rule: Rule, way: Candidate, scene: Scene) -> bool:
    """Whether a rule speaks of what the other way differs in, in one thing but for a round hole, and a drill is near
    enough to the size of the hole.
    """
    best = scene.best
    if way.cutter.kind.drill and table().drills.near * scene.answer.region.width > way.cutter.DC:
        return False
    if (way.method, way.cutter.id) == (best.method, best.cutter.id):
        return rule.stage == "entry" and not _good_by_another_method(way, scene)
    if topics()[topic_of(rule)].differs_in_all:
        return True
    if way.cutter.id == best.cutter.id:
        return rule.stage == "clearing"
    if any(one.cutter.id == way.cutter.id and one.grade in SOUND for one in scene.answer.candidates):
        return False  # asked of a cutter, it is asked of the best that can be done with it
    return way.method == best.method and rule.stage in ("clearing", "cutter") and edge_fits(way, best)


def quicker_by_far(way: Candidate, scene: Scene) -> bool:
    """Whether a way that only leaves stock takes so much less time that a shop would rather have it."""
    if not {rule.id for rule in against(way)} <= set(table().leaves_stock):
        return False
    return way.grade != FORBIDDEN and table().trade.tempting_time.value * way.time < scene.best.time


def edge_fits(way: Candidate, best: Candidate) -> bool:
    """Whether another cutter has edge enough for a narrow cut as deep as the advised one; else one sees that first."""
    plan = best.plan
    if plan is None or "engagement" not in best.facts or METHODS[best.method].passes_over:
        return True
    return plan.axial_depth <= way.cutter.APMX


def _good_by_another_method(way: Candidate, scene: Scene) -> bool:
    """Whether the cutter goes in that way by another method, as nobody then calls the way in a fault."""
    tool = (way.cutter.id, way.entry)
    return any((one.cutter.id, one.entry) == tool and one.grade in SOUND for one in scene.answer.candidates)


def _ask(key: Key) -> str:
    """What a colleague would ask: why not the other way, by what it differs in."""
    best, way = key.scene.best, key.way
    if (way.method, way.cutter.id) == (best.method, best.cutter.id):
        way_in = spaced(way.entry or "")
        return f"A colleague asks: why not {f'down a {way_in}' if way.drill is not None else f'by {way_in}'}?"
    if way.method == best.method:
        return f"A colleague asks: why not with {printable(way.cutter.id)}?"
    with_ = "" if way.cutter.id == best.cutter.id else f" with {printable(way.cutter.id)}"
    return f"A colleague asks: why not {ways()[way.method].title}{with_}?"


def _cutters(key: Key, more: Sequence[str]) -> Iterator[tuple[str, str]]:
    """The cutters that are spoken of."""
    best, other = key.scene.best.cutter, key.way.cutter
    yield "cutter", cutter_line(best, more)
    if other.id != best.id:
        yield "other cutter", cutter_line(other, more)


def _name(item: Candidate) -> tuple[str, str, str | None]:
    return item.method, item.cutter.id, item.entry


def model_answers(exercise: Exercise) -> Mapping[str, str]:
    """The reason that decides."""
    key = exercise.key_of(Key)
    return {"reason": next(label for label, rule in key.rules.items() if rule is key.rule)}


def mark(exercise: Exercise, answers: Answers) -> Marks:
    """Whether it is the reason that decides."""
    key = exercise.key_of(Key)
    rule = key.rules[str(answers["reason"])]
    if rule is key.rule:
        return (("reason", 1.0, f"{rule.title}."),)
    told = not_so_text(rule, key.way.facts, key.scene.bench.base)
    return (("reason", 0.0, f"{told} What is: {key.rule.title}."),)


def reason(exercise: Exercise, answers: Answers) -> Iterator[Block]:
    """The reason with its numbers, and the advised way beside the other one."""
    key = exercise.key_of(Key)
    told = said(key.rule, key.way.facts, key.scene.bench.base)
    yield Heading("Answer")
    best = key.scene.best
    beside = (
        f"Advised: {way_text(best)}, {best.grade}, {quantity(best.time, 's')}; not {way_text(key.way)}, {key.way.grade}"
    )
    yield Items((Item(told.text, told.tag), Item(f"{beside}.")))


def contrast(exercise: Exercise, answers: Answers, marks: Marks) -> tuple[Block, ...]:
    """The nearest size of the feature at which the reason no longer holds, and the advice is another."""
    key = exercise.key_of(Key)
    return contrast_blocks(key.scene, differing(key.scene.best, key.way), without=(key.rule, key.way))


KIND = Kind(pose, model_answers, mark, reason, contrast)
