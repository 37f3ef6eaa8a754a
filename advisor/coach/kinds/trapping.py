"""Find the trap: a plan of sound advice with one setting spoiled; say which it is, and why."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from random import Random
from typing import Any, NamedTuple

from advisor.coach.contrast import TITLE, last_right
from advisor.coach.exercise import Exercise, Part
from advisor.coach.hints import hint_blocks, question
from advisor.coach.judging import Impossible, Verdict, judged, settings_of
from advisor.coach.kinds import Answers, Marks, Posed
from advisor.coach.kinds.flaws import called, changed, flaws, not_so, shown, value_text, written
from advisor.coach.scene import Scene
from advisor.coach.table import by_difficulty, table
from advisor.coach.telling import in_short, job_blocks, lettered
from advisor.coach.topics import topic_of
from advisor.knowledge.schema import Rule
from advisor.model.finding import Finding
from advisor.text.blocks import Block, Heading, Item, Items, Pairs, section
from advisor.text.reasons import reasons, said
from advisor.text.section_text import sketch_blocks

OFTEN = 0.25  # a flaw that only costs time is taken this often when it comes up
HALF = 0.5
MENDS = (0.5, 0.67, 1.5, 2)  # what is tried to see whether another setting would mend it too
PLAIN = "Go through the plan: hold each number against cutter, material and spindle. Which is beyond what they bear?"
ASKED = "A colleague's plan for this feature, to be run as it stands. One setting is spoiled. Find it, and say why."


class Key(NamedTuple):
    """What the grader needs: the scene, the sound plan, what was spoiled and what was found; the choices by letter."""

    scene: Scene
    sound: Mapping[str, Any]
    spoiled: str
    value: Any
    finding: Finding
    settings: Mapping[str, str]
    rules: Mapping[str, Rule]

    @property
    def plan(self) -> dict[str, Any]:
        """The plan with its flaw."""
        return changed(self.sound, self.spoiled, self.value)


def pose(scene: Scene, difficulty: int, rng: Random, topic: str | None) -> Posed | None:
    """The question; nothing where the advice itself is not beyond doubt, or no single flaw of the topic is found."""
    sound = _sound(scene)
    if sound is None:
        return None
    for name, value in flaws(sound, scene, difficulty, rng):
        verdict = _verdict(scene, changed(sound, name, value))
        if verdict is None or len(verdict.heavy) != 1:
            continue
        finding = verdict.heavy[0]
        if topic is not None and topic_of(finding.rule) != topic:
            continue
        if finding.rule.id in table()["time_alone"] and rng.random() > OFTEN:
            continue
        wrong = not_so(verdict, finding.rule, scene, rng)[: int(by_difficulty("statements", difficulty)) - 1]
        if len(wrong) >= 2:
            return _posed(scene, sound, name, value, finding, wrong, rng)
    return None


def _posed(
    scene: Scene, sound: dict[str, Any], name: str, value: Any, finding: Finding, wrong: list[Rule], rng: Random
) -> Posed:
    plan = changed(sound, name, value)
    rules = [finding.rule, *wrong]
    rng.shuffle(rules)
    settings = [one for one in plan if one != "entry_cutter"]
    by_setting = lettered([shown(one, plan) for one in settings])
    by_rule = lettered([f"{rule.title}." for rule in rules])
    key = Key(
        scene,
        sound,
        name,
        value,
        finding,
        {choice.label: one for choice, one in zip(by_setting, settings, strict=True)},
        {choice.label: rule for choice, rule in zip(by_rule, rules, strict=True)},
    )
    told = (
        *job_blocks(scene, ASKED, crib=True),
        Heading("Plan"),
        Pairs(tuple((called(one), value_text(one, plan[one])) for one in plan)),
    )
    parts = (Part("setting", "Which setting?", by_setting), Part("why", "What is wrong with it?", by_rule))
    return Posed(told, parts, key, (finding.rule.id,))


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
    if scene.answer.region.island and not scene.answer.region.floor:
        plan["tabs"] = True
    for coolant in scene.bench.machine.coolant:
        verdict = _verdict(scene, plan | {"coolant": coolant})
        if verdict is not None and verdict.right:
            return plan | {"coolant": coolant}
    return None


def _verdict(scene: Scene, plan: dict[str, Any]) -> Verdict | None:
    """The verdict on a plan; nothing where a plan cannot even say it."""
    try:
        return judged(scene, plan)
    except Impossible:
        return None


def model_answers(exercise: Exercise) -> Mapping[str, str]:
    """What was spoiled, and the rule that was found."""
    key = exercise.key_of(Key)
    return {
        "setting": next(label for label, name in key.settings.items() if name == key.spoiled),
        "why": next(label for label, rule in key.rules.items() if rule is key.finding.rule),
    }


def mark(exercise: Exercise, answers: Answers) -> Marks:
    """The setting and the reason held against what was spoiled and found."""
    key = exercise.key_of(Key)
    return _setting_part(key, key.settings[str(answers["setting"])]), _why_part(key, key.rules[str(answers["why"])])


def hint(exercise: Exercise, answers: Answers, marks: Marks) -> tuple[Block, ...]:
    """A question about the measure that the flaw shows in, or how to go through the plan."""
    key = exercise.key_of(Key)
    if key.finding.rule.id in table()["time_alone"]:
        return question("Nothing breaks. Estimate the time: which number makes path, levels or feed cost most?")
    hidden = [called(key.spoiled), key.finding.rule.title]
    return hint_blocks([key.finding.rule], key.finding.facts, key.scene.bench.base, hidden, PLAIN)


def reason(exercise: Exercise, answers: Answers) -> Iterator[Block]:
    """The numbers: what would happen with the plan as it stands, what was advised, and the drawing."""
    key = exercise.key_of(Key)
    scene, best, base = key.scene, key.scene.best, key.scene.bench.base
    yield Heading("At the machine")
    yield Items((Item(key.finding.text, key.finding.rule.id),))
    was = value_text(key.spoiled, key.sound[key.spoiled]) if key.spoiled in key.sound else "nothing"
    yield Heading("Advised")
    yield Items((Item(f"{called(key.spoiled)} {was}, not {value_text(key.spoiled, key.value)}."), Item(in_short(best))))
    yield from section("Why", [said(rule, best.facts, base) for rule in reasons(scene.answer)])
    yield from sketch_blocks(best, scene.answer.region, base.limits)


def _setting_part(key: Key, name: str) -> tuple[str, float, str]:
    if name == key.spoiled:
        return "setting", 1.0, f"Right: {shown(name, key.plan)}."
    value = key.plan[name]
    if isinstance(value, int | float) and not isinstance(value, bool):
        for share in MENDS:
            other = written(name, value * share)
            verdict = _verdict(key.scene, {**key.plan, name: other})
            if verdict is not None and verdict.right:
                return (
                    "setting",
                    HALF,
                    f"With {value_text(name, other)} it would run, but {called(name)} is not what was spoiled.",
                )
    return "setting", 0.0, f"{shown(name, key.plan)} is as advised; look at the others."


def _why_part(key: Key, rule: Rule) -> tuple[str, float, str]:
    if rule is key.finding.rule:
        return "why", 1.0, f"Right: {key.finding.text}"
    return "why", 0.0, f"Not so here. {key.finding.text}"


def contrast(exercise: Exercise, answers: Answers, marks: Marks) -> tuple[Block, ...]:
    """The last value of the spoiled setting with nothing to stop or change, and the first with something."""
    key = exercise.key_of(Key)
    good, bad, text = key.sound.get(key.spoiled), key.value, key.finding.text
    number = isinstance(bad, int | float) and not isinstance(bad, bool) and isinstance(good, int | float)
    if number and good is not None:

        def right(value: float) -> bool:
            verdict = _verdict(key.scene, changed(key.sound, key.spoiled, written(key.spoiled, value)))
            return verdict is not None and verdict.right

        good, bad = last_right(right, float(good), float(bad), key.spoiled == "levels")
        good, bad = written(key.spoiled, good), written(key.spoiled, bad)
        verdict = _verdict(key.scene, changed(key.sound, key.spoiled, bad))
        text = verdict.heavy[0].text if verdict is not None and verdict.heavy else text
    name = called(key.spoiled)
    was = "not given" if good is None else value_text(key.spoiled, good)
    lines = (
        Item(f"{name} {was}: 0 findings to stop or change."),
        Item(f"{name} {value_text(key.spoiled, bad)}: {text}"),
    )
    return Heading(TITLE), Items(lines)
