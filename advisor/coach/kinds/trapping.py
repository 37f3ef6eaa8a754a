"""Find the trap: a plan of sound advice with one setting spoiled; say what is wrong. Any true fault is right."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import inf
from random import Random
from typing import Any, NamedTuple

from advisor.coach.contrast import last_right, two_lines
from advisor.coach.exercise import Exercise, Part
from advisor.coach.hints import Clues
from advisor.coach.judging import Impossible, Verdict, judged, settings_of
from advisor.coach.kind import Answers, Kind, Marks, Posed
from advisor.coach.kinds.flaws import called, changed, flaws, not_so, value_text, written
from advisor.coach.kinds.untrue import not_so_text, same_fault
from advisor.coach.margins import plainly_holds
from advisor.coach.scene import Scene
from advisor.coach.table import table
from advisor.coach.telling import cutter_line, job_blocks, lettered, more_of
from advisor.coach.topics import Topic, topic_of, topics
from advisor.knowledge.conditions import holds
from advisor.knowledge.evidence import quantised
from advisor.knowledge.schema import Rule
from advisor.model.cutter import Cutter
from advisor.model.finding import Finding
from advisor.review.finding import HEAVY
from advisor.text.blocks import Block, Heading, Item, Items, Pairs

ASK = "A colleague wants to run this plan as it stands. What is wrong with it?"
PLAN = "Plan"
NUMBERS = ("cutter", "method", "entry", "entry_cutter", "levels", "radial_width")  # that stand first in a plan


class Key(NamedTuple):
    """What the grader needs: the scene, the sound plan, what was spoiled and what had to go with it, the faults found
    (the gravest first), and the rule of each letter.
    """

    scene: Scene
    sound: Mapping[str, Any]
    spoiled: str
    value: Any
    filled: Mapping[str, Any]
    faults: tuple[Finding, ...]
    rules: Mapping[str, Rule]

    @property
    def plan(self) -> dict[str, Any]:
        """The plan with its flaw."""
        return changed(self.sound, self.spoiled, self.value) | dict(self.filled)

    @property
    def finding(self) -> Finding:
        """The gravest fault."""
        return self.faults[0]

    @property
    def true(self) -> frozenset[str]:
        """The letters of what is true of the plan."""
        found = {one.rule.id for one in self.faults}
        return frozenset(label for label, rule in self.rules.items() if rule.id in found)


def pose(scene: Scene, difficulty: int, rng: Random, topic: str | None) -> Posed[Key] | None:
    """The question; nothing where the advice itself is not beyond doubt, or no flaw of the topic is found."""
    sound = _sound(scene)
    if sound is None:
        return None
    about = topics() if topic is None else (topic,)
    wanted = {name for one in about for name in table().trap_spoils.get(one, ())}
    for name, value in flaws(sound, scene, difficulty, rng):
        if name not in wanted or (name == "tabs" and not _tabs_hold(scene)):
            continue
        filled = _filled(scene, changed(sound, name, value)) if name == "method" else {}
        verdict = _verdict(scene, changed(sound, name, value) | filled) if filled is not None else None
        if verdict is None or not verdict.heavy or not _worth_asking(verdict, name, scene, topic):
            continue
        if verdict.heavy[0].rule.id in table().time_alone and rng.random() > table().time_alone_share:
            continue
        wrong = not_so(verdict, scene, rng)[: table().trap_choices - 1]
        rules = [verdict.heavy[0].rule, *wrong]
        if len(wrong) >= table().untrue_least and len({rule.title for rule in rules}) == len(rules):
            return _posed(scene, sound, (name, value, filled or {}), verdict, rules, rng)
    return None


def _filled(scene: Scene, plan: dict[str, Any]) -> dict[str, Any] | None:
    """The levels and the width that another method would take, so that the plan is a whole one; nothing where it cannot
    be worked out.
    """
    verdict = _verdict(scene, plan)
    if verdict is None or verdict.way.plan is None:
        return None
    found = settings_of(verdict.way)
    if found.get("radial_width", inf) < table().told_least * verdict.way.cutter.DC:
        del found["radial_width"]
    return {name: found[name] for name in ("levels", "radial_width") if name in found}


def _worth_asking(verdict: Verdict, spoiled: str, scene: Scene, topic: str | None) -> bool:
    """Whether the gravest fault is plain, of the topic or one with such questions, in a setting that it is about."""
    gravest = verdict.heavy[0]
    if any(one.rule.id in table().trap_never for one in verdict.heavy) or not _is_plain(gravest):
        return False
    if not is_to_be_seen([one.rule.id for one in verdict.heavy], spoiled):
        return False
    about = topics()[topic_of(gravest.rule)]
    if spoiled not in table().trap_spoils.get(about.id, ()):
        return False
    if gravest.rule.id in table().longer_than_needed and not _is_the_shorter(verdict, scene):
        return False
    if _other_edge(verdict, scene) and gravest.rule.id not in table().of_the_substrate:
        return False
    return topic in (None, about.id) and "trap" in about.kinds and scene.answer.region.kind in _features(about, scene)


def is_to_be_seen(faults: Sequence[str], spoiled: str) -> bool:
    """Whether the first of some faults, by their ids, is what somebody sees first, and can come of the setting."""
    gravest, *others = faults
    beside = table().trap_beside.get(gravest)
    if beside is not None and set(beside).isdisjoint(faults):
        return False
    graver = beside is None and not set(table().trap_first).isdisjoint(others)
    return not graver and spoiled in table().trap_by.get(gravest, (spoiled,))


def _is_plain(finding: Finding) -> bool:
    """Whether a fault is more than a hair beyond its limit."""
    facts = quantised(finding.facts)
    return plainly_holds(finding.rule, facts) or not holds(finding.rule.condition, facts)


def _is_the_shorter(verdict: Verdict, scene: Scene) -> bool:
    """Whether the advised cutter is the shorter one of the same diameter that a finding speaks of."""
    mine, best = verdict.way.cutter, scene.best.cutter
    return mine.DC == best.DC and float(verdict.way.facts.get("shorter_projection", 0.0)) == best.LPR


def _other_edge(verdict: Verdict, scene: Scene) -> bool:
    """Whether the plan's cutter is of another substrate than the advised one: its speed alone is a fault then."""
    return verdict.way.cutter.substrate != scene.best.cutter.substrate


def _features(about: Topic, scene: Scene) -> tuple[str, ...]:
    return about.features or (scene.answer.region.kind,)


def _posed(
    scene: Scene,
    sound: dict[str, Any],
    flaw: tuple[str, Any, dict[str, Any]],
    verdict: Verdict,
    rules: list[Rule],
    rng: Random,
) -> Posed[Key]:
    name, value, filled = flaw
    plan = changed(sound, name, value) | filled
    rng.shuffle(rules)
    choices = lettered([f"{rule.title}." for rule in rules])
    by_letter = {choice.label: rule for choice, rule in zip(choices, rules, strict=True)}
    key = Key(scene, sound, name, value, filled, verdict.findings, by_letter)
    topic = topic_of(verdict.heavy[0].rule)
    crib = [("", cutter) for cutter in scene.assignment.crib] if topics()[topic].shows_crib else ()
    more = (*more_of(topic), *(("RE",) if name == "overcut" else ()))
    told = (*job_blocks(scene, "", topic, crib, drawn=False), Heading(PLAN), Pairs(tuple(plan_rows(plan, scene, more))))
    hidden = tuple(choice.text for choice in choices if choice.label in key.true)
    longer = ("longer",) if verdict.heavy[0].rule.id in table().longer_than_needed else ()
    clues = Clues((*longer, name), verdict.way.facts, hidden=hidden)
    ids = tuple(dict.fromkeys(one.rule.id for one in verdict.heavy))
    return Posed(told, (Part("fault", ASK, choices),), key, ids, topic, clues, scene)


def plan_rows(plan: Mapping[str, Any], scene: Scene, more: Sequence[str] = ()) -> Iterator[tuple[str, str]]:
    """The settings of a plan in words, the cutters with their sizes."""
    crib: dict[str, Cutter] = {cutter.id: cutter for cutter in scene.assignment.crib}
    order = list(NUMBERS)
    for name, value in sorted(plan.items(), key=lambda row: order.index(row[0]) if row[0] in order else len(order)):
        if name == "tabs" and not _tabs_hold(scene):
            yield "part held", "itself, from below"
            continue
        yield called(name), cutter_line(crib[value], more) if value in crib else value_text(name, value)


def _sound(scene: Scene) -> dict[str, Any] | None:
    """The advised way as a whole plan in which a review finds nothing to stop or change."""
    best = scene.best
    if best.plan is None:
        return None
    plan = settings_of(best)
    for name, value in (("feed_per_tooth", best.plan.feed_per_tooth), ("spindle_speed", best.plan.spindle_speed)):
        plan[name] = written(name, value)
    if best.way_in is not None and best.way_in.ramp_angle:
        plan["ramp_angle"] = written("ramp_angle", best.way_in.ramp_angle)
    if _comes_loose(scene):
        plan["tabs"] = True
    dry = ("none",) if scene.assignment.material.cutting_class in table().fire.classes else ()
    for coolant in dry or scene.bench.machine.coolant:
        verdict = _verdict(scene, plan | {"coolant": coolant})
        if verdict is not None and verdict.right:
            return plan | {"coolant": coolant}
    return None


def _comes_loose(scene: Scene) -> bool:
    """Whether a piece comes loose when the cut goes through: the middle of a window, or the part itself."""
    region = scene.answer.region
    return not region.floor and (region.island is not None or region.kind == "outside_profile")


def _tabs_hold(scene: Scene) -> bool:
    """Whether something stays that tabs can hold to: round an outline a frame, and no rim that all turns to chips."""
    left = scene.best.facts.get("rim_left")
    return left is None or float(left) > 0


def _verdict(scene: Scene, plan: dict[str, Any]) -> Verdict | None:
    """The verdict on a plan; nothing where a plan cannot even say it."""
    try:
        return judged(scene, plan)
    except Impossible:
        return None


def model_answers(exercise: Exercise) -> Mapping[str, str]:
    """The gravest fault."""
    key = exercise.key_of(Key)
    return {"fault": next(label for label, rule in key.rules.items() if rule is key.finding.rule)}


def mark(exercise: Exercise, answers: Answers) -> Marks:
    """Whether it is a fault of the plan; the gravest is named."""
    key = exercise.key_of(Key)
    rule = key.rules[str(answers["fault"])]
    if rule is key.finding.rule:
        return (("fault", 1.0, rule.title + "."),)
    mine = next((one for one in key.faults if one.rule is rule), None)
    if mine is None:
        told = not_so_text(rule, key.finding.facts, key.scene.bench.base)
        return (("fault", 0.0, f"{told} What is: {key.finding.rule.title}."),)
    graver = "The gravest is another" if key.finding.weight != mine.weight else "There is more"
    return (("fault", 1.0, f"{mine.text} {graver}: {key.finding.rule.title}."),)


def reason(exercise: Exercise, answers: Answers) -> Iterator[Block]:
    """The numbers: what would happen with the plan as it stands, and what to change."""
    key = exercise.key_of(Key)
    yield Heading("At the machine")
    yield Items((Item(key.finding.text, key.finding.rule.id),))
    was = value_text(key.spoiled, key.sound[key.spoiled]) if key.spoiled in key.sound else "none"
    yield Heading("Answer")
    yield Items((Item(f"Sound with {called(key.spoiled)} {was}, not {value_text(key.spoiled, key.value)}."),))


def contrast(exercise: Exercise, answers: Answers, marks: Marks) -> tuple[Block, ...]:
    """The last value of the spoiled number with nothing to stop or change, and the first with something; nothing where
    a word was spoiled.
    """
    key = exercise.key_of(Key)
    good, bad = key.sound.get(key.spoiled), key.value
    if (
        bad == 0
        or key.finding.rule.id in table().no_line
        or isinstance(bad, bool)
        or not isinstance(bad, int | float)
        or not isinstance(good, int | float)
    ):
        return ()

    def found(value: float) -> tuple[Finding, ...]:
        verdict = _verdict(key.scene, changed(key.sound, key.spoiled, written(key.spoiled, value)))
        return verdict.findings if verdict is not None else key.faults

    def passes(value: float) -> bool:
        mine = key.finding.rule.id
        return not any(one.weight in HEAVY or same_fault(one.rule.id, mine) for one in found(value))

    last, first = last_right(passes, float(good), float(bad), key.spoiled == "levels")
    last, first = written(key.spoiled, last), written(key.spoiled, first)
    if key.finding.rule.id in table().told_by_radius:
        last = max(last, min(float(good), key.scene.best.cutter.RE))
    mine, there = key.finding.rule.id, found(first)
    alike = [one for one in there if one.rule.id == mine] or [one for one in there if same_fault(one.rule.id, mine)]
    said = (*alike, *(one for one in there if one.weight in HEAVY), *key.faults)[0]
    name, right = called(key.spoiled), value_text(key.spoiled, good)
    told = "right." if last == good else f"just passes; {right} is right."
    return two_lines(
        [
            f"{name} {value_text(key.spoiled, last)}: {told}",
            f"{name} {value_text(key.spoiled, first)}: {said.text}",
        ]
    )


KIND = Kind(pose, model_answers, mark, reason, contrast)
