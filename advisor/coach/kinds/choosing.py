"""Choose: pick the method, the cutter or the way in. One answer is right, and the others plainly are not."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from random import Random
from typing import NamedTuple

from advisor.analysis.alternatives import unmet_rule
from advisor.choosing.ranking import against
from advisor.coach.contrast import contrast_blocks
from advisor.coach.exercise import Choice, Exercise, Part
from advisor.coach.hints import Clues, facts_of_cutters, known_facts
from advisor.coach.kind import Answers, Kind, Marks, Posed
from advisor.coach.scene import Scene, could_be_thought_of, is_clear, with_crib
from advisor.coach.table import table
from advisor.coach.telling import LETTERS, answer_blocks, cutter_choice, job_blocks, lettered
from advisor.coach.topics import asked_about, asks_what_for, of_topic, topics, worth_asking
from advisor.coach.would_run import against_its_purpose
from advisor.files.problems import printable
from advisor.knowledge.schema import Rule
from advisor.model.candidate import GRADES, SOUND, Candidate
from advisor.situation.pairings import ways
from advisor.text.alternatives import time_between, unmet_text, where_time_goes
from advisor.text.blocks import Block, Item, section
from advisor.text.reasons import reasons, said
from advisor.text.words import entry_text, way_text

Options = Mapping[str, Candidate]
TOLD = 2  # things that would happen at the machine, so that the answer stays on a screen


class Key(NamedTuple):
    """What the grader needs: the scene, what of a way is chosen, and the best way with what each letter stands for."""

    scene: Scene
    topic: str
    part: str
    ways: Mapping[str, Candidate]
    right: str


class Ask(NamedTuple):
    """What of a way is chosen: how it is asked, what two ways share that differ in no more, and what is picked."""

    part: str
    ask: Callable[[Candidate], str]
    settled: Callable[[Candidate], tuple[str | None, ...]]
    picked: Callable[[Candidate], str | None]


ASKS: Mapping[str, Ask] = {
    "method": Ask(
        "method",
        lambda best: f"You take {printable(best.cutter.id)}. By which method do you clear it?",
        lambda way: (way.cutter.id,),
        lambda way: way.method,
    ),
    "method_and_cutter": Ask(
        "method", lambda best: "By which method do you make it?", lambda way: (), lambda way: way.method
    ),
    "cutter": Ask("cutter", lambda best: "Which cutter do you take?", lambda way: (), lambda way: way.cutter.id),
    "entry": Ask(
        "entry",
        lambda best: (
            f"It is cleared by {ways()[best.method].title} with {printable(best.cutter.id)}. "
            "How does the cutter get into the material?"
        ),
        lambda way: (way.method, way.cutter.id),
        lambda way: way.entry,
    ),
}


def pose(scene: Scene, difficulty: int, rng: Random, topic: str | None) -> Posed[Key] | None:
    """The question; nothing where no part of the way has one right answer and others that are plainly wrong."""
    for name in asked_about(topic, "choose", scene.answer.region.kind, rng):
        for chosen in topics()[name].chooses:
            posed = _posed(scene, ASKS[chosen], name, rng)
            if posed is not None:
                return posed
    return None


def _posed(scene: Scene, ask: Ask, topic: str, rng: Random) -> Posed[Key] | None:
    if ask.part == "entry" and scene.answer.region.round:
        return None  # in a round hole the way in is as good as the method
    options = _options(scene, ask, topic, rng)
    if options is None or not worth_asking(_deciding(scene, ask, options), topic):
        return None
    narrow = _narrowed(scene, ask, options)
    if narrow is None:
        return None
    scene, options = narrow
    rules = worth_asking(_deciding(scene, ask, options), topic)
    if not rules:
        return None
    order = [name for name in _order(scene, ask, options, rng) if name in options]
    choices = _choices(ask, [options[name] for name in order])
    key = Key(
        scene,
        topic,
        ask.part,
        {choice.label: options[name] for choice, name in zip(choices, order, strict=True)},
        LETTERS[order.index(ask.picked(scene.best) or "")],
    )
    by_cutter, open_crib = ask.part == "cutter", not ask.settled(scene.best)
    crib = [
        (choice.label if by_cutter else "", cutter)
        for choice, cutter in zip(
            choices if by_cutter else [Choice("", "")] * len(scene.assignment.crib),
            [options[name].cutter for name in order] if by_cutter else scene.assignment.crib,
            strict=True,
        )
    ]
    told = tuple(
        job_blocks(
            scene,
            "",
            topic,
            crib if open_crib else (),
            None if open_crib else scene.best.cutter,
        )
    )
    levels = ("feature",) if open_crib else ("feature", "cutter")
    hidden = tuple(choice.text for choice in choices if choice.label == key.right and not by_cutter)
    clues = Clues((ask.part,), known_facts(scene, scene.best.facts, levels), facts_of_cutters(scene), hidden)
    part = Part(ask.part, ask.ask(scene.best), choices, listed=by_cutter)
    return Posed(told, (part,), key, tuple(rule.id for rule in rules), topic, clues, scene)


def _options(scene: Scene, ask: Ask, topic: str, rng: Random) -> Options | None:
    """What there is to choose from, each with its best way: the advised one, and those that are plainly wrong.

    Nothing where another method or way in would do as well. Another cutter that would is left out of the crib.
    """
    best, sizes = scene.best, table().choices
    found: dict[str, Candidate] = {}
    drills = any(cutter.kind.drill for cutter in scene.assignment.crib)
    for way in _own_cutter_first(scene):
        picked = ask.picked(way)
        if picked is not None and ask.settled(way) == ask.settled(best) and _may_be_asked(way, ask, topic, drills):
            found.setdefault(picked, way)
    right = ask.picked(best)
    if right is None or right not in found:
        return None
    others = {name: way for name, way in found.items() if name != right}
    by_cutter = ask.part == "cutter"
    clear = [
        name for name, way in others.items() if _is_wrong(way, ask, scene) and not (by_cutter and way.grade in SOUND)
    ]
    if len(clear) < len(others) and not by_cutter:
        return None
    rng.shuffle(clear)
    if by_cutter:
        clear = [name for name in clear if table().pencil * best.cutter.DC <= others[name].cutter.DC]
    clear.sort(key=lambda name: not of_topic(against(others[name]), topic))
    kept = clear[: sizes.most - 1]
    if len(kept) + 1 < sizes.least:
        return None
    return {right: found[right]} | {name: others[name] for name in kept}


def _own_cutter_first(scene: Scene) -> list[Candidate]:
    """The ways, the best first; of those that are forbidden, first those with the cutter that is advised."""
    forbidden = GRADES[-1]
    return sorted(
        scene.answer.candidates,
        key=lambda way: (way.grade == forbidden, way.grade == forbidden and way.cutter.id != scene.best.cutter.id),
    )


def _may_be_asked(way: Candidate, ask: Ask, topic: str, drills: bool) -> bool:
    """Whether somebody could think of it: no drill where a mill is chosen, no hole where there are no drills, no cutter
    that is made for something else, but where that is the question.
    """
    never = {*table().not_offered, *(() if drills else (table().no_drill,))}
    if any(rule.id in never for rule in against(way)) or not could_be_thought_of(way):
        return False
    if ask.part != "cutter":
        return True
    return not way.cutter.kind.drill and (asks_what_for(topic) or not against_its_purpose(way))


def _narrowed(scene: Scene, ask: Ask, options: Options) -> tuple[Scene, Options] | None:
    """The scene with no more cutters than the question needs, and the same options there; nothing where they change."""
    kept = {cutter.id for way in options.values() for cutter in (way.cutter, way.drill) if cutter is not None}
    if ask.part == "entry":
        kept |= {cutter.id for cutter in scene.assignment.crib if cutter.kind.drill}
    if len(kept) > table().crib.most:
        return None
    narrow = with_crib(scene, kept)
    if narrow.answer.best is None or _named(narrow.best) != _named(scene.best):
        return None
    again: dict[str, Candidate] = {}
    for way in _own_cutter_first(narrow):
        picked = ask.picked(way) or ""
        if picked in options and ask.settled(way) == ask.settled(narrow.best):
            again.setdefault(picked, way)
    wrong = [way for name, way in again.items() if name != ask.picked(narrow.best)]
    if set(again) != set(options) or not all(_is_wrong(way, ask, narrow) for way in wrong):
        return None
    return narrow, again


def _is_wrong(way: Candidate, ask: Ask, scene: Scene) -> bool:
    """Whether a way is plainly wrong, and by what is asked: a method not only by the way in that is left to it."""
    if (
        ask.part == "method"
        and way.grade != GRADES[-1]
        and way.time <= table().trade.tempting_time.value * scene.best.time
    ):
        return False  # with a thinner cut it may do as well
    about_it = {"method": ("clearing", "cutter"), "entry": ("entry",)}.get(ask.part)
    set_back = against(way)
    own = about_it is None or not set_back or any(rule.stage in about_it for rule in set_back)
    return is_clear(way, scene) and (own or way.time > max(table().clear_time.values()) * scene.best.time)


def _named(way: Candidate) -> tuple[str, str, str | None]:
    return way.method, way.cutter.id, way.entry


def _order(scene: Scene, ask: Ask, options: Options, rng: Random) -> list[str]:
    """The order of the choices: cutters as in the crib, all else in any."""
    if ask.part == "cutter":
        return [cutter.id for cutter in scene.assignment.crib]
    names = list(options)
    rng.shuffle(names)
    return names


def _choices(ask: Ask, found: Sequence[Candidate]) -> tuple[Choice, ...]:
    if ask.part == "cutter":
        return tuple(cutter_choice(label, way.cutter) for label, way in zip(LETTERS, found, strict=False))
    if ask.part == "entry":
        return lettered([entry_text(way.entry, way.drill) for way in found], [(str(way.entry),) for way in found])
    titles = [ways()[way.method].title for way in found]
    return lettered(titles, [(way.method,) for way in found])


def _deciding(scene: Scene, ask: Ask, options: Options) -> tuple[Rule, ...]:
    """The rules for the advised way, and those that set the other answers back."""
    fors = [rule for rule in reasons(scene.answer) if rule.verdict == "for"]
    right = ask.picked(scene.best)
    others = [rule for name, way in options.items() if name != right for rule in against(way)]
    return tuple(dict.fromkeys([*others, *fors]))


def model_answers(exercise: Exercise) -> Mapping[str, str]:
    """The advised one."""
    key = exercise.key_of(Key)
    return {key.part: key.right}


def mark(exercise: Exercise, answers: Answers) -> Marks:
    """Whether it is the advised one, and what would happen with another."""
    key = exercise.key_of(Key)
    mine = str(answers[key.part])
    if mine == key.right:
        chosen = next(choice for choice in exercise.parts[0].choices if choice.label == mine)
        return ((key.part, 1.0, f"{chosen.label}, {chosen.text}."),)
    found = set_back(key, mine)
    return ((key.part, 0.0, found[0].text if found else f"{way_text(key.ways[mine])} is no way here."),)


def reason(exercise: Exercise, answers: Answers) -> Iterator[Block]:
    """What else would happen with the one chosen, and why the advised one."""
    key = exercise.key_of(Key)
    mine = str(answers[key.part])
    if mine != key.right:
        yield from section("At the machine", [Item(one.text, one.tag) for one in set_back(key, mine)[1:TOLD]])
    yield from answer_blocks(key.scene, key.topic)
    if key.part == "cutter" and asks_what_for(key.topic):
        yield from section("What they are made for", _made_for(key))


def _made_for(key: Key) -> Iterator[Item]:
    """What the advised cutter is ground for, and those of the others that are not for the material's group."""
    best, group = key.scene.best.cutter, key.scene.assignment.material.group
    if best.TMC1ISO is None or group not in best.TMC1ISO.split():
        return
    others = {way.cutter.id: way.cutter.TMC1ISO for way in key.ways.values()}
    unfit = [
        f"{printable(one)} for {ground}" for one, ground in others.items() if ground and group not in ground.split()
    ]
    told = f"; not for group {group}: {', '.join(unfit)}" if unfit else ""
    yield Item(f"{printable(best.id)} is ground for {best.TMC1ISO}{told}.")


def contrast(exercise: Exercise, answers: Answers, marks: Marks) -> tuple[Block, ...]:
    """The nearest change of the feature at which the advice is another, or at which it is the method chosen."""
    key = exercise.key_of(Key)
    return contrast_blocks(key.scene, key.part, key.ways[str(answers[key.part])].method)


def set_back(key: Key, label: str) -> list[Item]:
    """What would happen at the machine with an answer that is not the advised one, the gravest first."""
    scene, way = key.scene, key.ways[label]
    base, best = scene.bench.base, scene.best
    about = [rule for rule in against(way) if key.part != "method" or rule.stage != "entry"]
    rules = sorted(about, key=lambda rule: rule not in of_topic(about, key.topic))
    found = [Item(said(rule, way.facts, base).text, rule.id) for rule in rules]
    if way.time < float("inf") and way.time > best.time:
        found.append(Item(f"It takes {time_between(best, way)}: {where_time_goes(best, way)}."))
    if not found and way.grade != best.grade:
        found.append(Item(unmet_text(unmet_rule(way, base), way.facts, base)))
    return found


KIND = Kind(pose, model_answers, mark, reason, contrast)
