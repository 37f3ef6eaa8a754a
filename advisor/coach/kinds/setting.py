"""Set: method, cutter and way in are given; settle the levels, the width, or what stays on walls and bottom."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from math import inf
from random import Random
from typing import Any, NamedTuple

from advisor.choosing.ranking import against, standing
from advisor.coach.contrast import last_right, two_lines
from advisor.coach.exercise import Exercise, Part
from advisor.coach.hints import Clues
from advisor.coach.judging import Impossible, Verdict, judged, setting_text, settings_of
from advisor.coach.kind import Answers, Kind, Marks, Posed
from advisor.coach.reading import as_typed
from advisor.coach.scene import Scene
from advisor.coach.table import table
from advisor.coach.telling import carried_by, job_blocks
from advisor.coach.topics import asked_about, of_topic, topics
from advisor.knowledge.measures import LEVELS
from advisor.knowledge.schema import Rule
from advisor.knowledge.wording import DOWN, apart, counted, quantity
from advisor.methods.registry import METHODS
from advisor.model.candidate import SOUND, Candidate
from advisor.model.cause import Held
from advisor.model.finding import Finding
from advisor.situation.pairings import ways
from advisor.text.alternatives import time_between, where_time_goes
from advisor.text.blocks import Block, Heading, Pairs, section
from advisor.text.names import spaced
from advisor.text.reasons import reasons, said
from advisor.text.words import entry_text, held_back, held_text, way_text

ASKED = {
    "levels": ("How many levels?", ""),
    "radial_width": ("What width of cut (ae)?", "mm"),
    "allowance_side": ("How much is left on the walls?", "mm"),
    "allowance_bottom": ("How much is left at the bottom?", "mm"),
    "overcut": ("How far past the bottom?", "mm"),
}
WIDTH = "radial_width"
LEFT = {"allowance_side": ("side",), "allowance_bottom": ("bottom", "overcut"), "overcut": ("bottom", "overcut")}
BENEATH = ("allowance_bottom", "overcut")  # what the depth of the levels would tell
LEAST = 2  # numbers that are settled together, where a topic has as many: of walls and bottom, both
HALF = 0.5
FAR = 5.0  # times the advised number: as far as is looked for others that are right
TOLD = 2  # findings that are told, so that the answer stays on a screen
TELLING = {  # measures that tell a number that is asked for
    "levels": ("levels", "axial_depth", "axial_ratio", "last_depth", "allowed_depth"),
    "radial_width": ("radial_width", "radial_share", "engagement", "straight_width"),
    "allowance_side": ("side_allowance", "side_allowance_usual"),
    "allowance_bottom": ("bottom_allowance", "bottom_allowance_usual"),
    "overcut": ("overcut",),
}


class Key(NamedTuple):
    """What the grader needs: the scene, the topic, and the advised way as a plan would say it."""

    scene: Scene
    topic: str
    advised: Mapping[str, Any]

    def with_(self, mine: Mapping[str, Any]) -> dict[str, Any]:
        """The advised way with some settings of one's own; the passes are spread anew over what is then left to cut."""
        given = {**self.advised, **mine}
        if given.get("allowance_side") != self.advised.get("allowance_side") and "radial_width" not in mine:
            given.pop("radial_width", None)
        return given


def pose(scene: Scene, difficulty: int, rng: Random, topic: str | None) -> Posed[Key] | None:
    """The question; nothing where the method has no such number, or the rules behind it are of another topic."""
    best = scene.best
    if not METHODS[best.method].in_levels or best.plan is None:
        return None
    advised = settings_of(best)
    if not judged(scene, dict(advised)).right:
        return None
    held_to = [scene.bench.base.by_id[one] for one in table().held_to[best.method] if one in scene.bench.base.by_id]
    for name in asked_about(topic, "set", scene.answer.region.kind, rng):
        sets = topics()[name].sets
        names = [one for one in sets if one in advised]
        rules = of_topic(_settled_by(scene) if set(sets) & set(LEFT) else held_to, name)
        if len(names) >= min(len(sets), LEAST) and rules and _worth_settling(best, names, rules, rng):
            posed = _posed(scene, advised, names, name, rules)
            if _matters(posed.key, names):
                return posed
    return None


def _posed(scene: Scene, advised: dict[str, Any], names: list[str], topic: str, rules: tuple[Rule, ...]) -> Posed[Key]:
    best, asks_levels = scene.best, "levels" in names
    rows = [("method", ways()[best.method].title), ("way in", entry_text(best.entry, best.drill))]
    if best.plan is not None and not asks_levels:
        levels = counted(str(best.plan.levels), "level")
        deep = f" of {quantity(best.plan.axial_depth, 'mm', typed=DOWN)}"
        rows.append(("levels", levels if set(names) & set(BENEATH) else levels + deep))
    if not set(names) & set(LEFT):
        rows += [(spaced(one), setting_text(one, advised[one])) for one in LEFT if one in advised]
    most = float(best.facts.get("allowed_depth", inf))
    if asks_levels and most < best.cutter.APMX:
        rows.append(("one level", f"at most {quantity(most, 'mm', typed=DOWN)}, by the tables"))
    told = (*job_blocks(scene, "", topic, cutter=best.cutter), Pairs(tuple(rows)))
    unknown = _follows_from(names)
    facts = {name: value for name, value in best.facts.items() if name not in unknown}
    hidden = [f" {setting_text(one, advised[one])}" for one in names if one != "levels" and advised[one]]
    clues = Clues(tuple(names), facts, hidden=tuple(hidden))
    ids = tuple(rule.id for rule in rules)
    parts = tuple(Part(one, *_split(one), share_of=best.cutter.DC if one == WIDTH else 0.0) for one in names)
    return Posed(told, parts, Key(scene, topic, advised), ids, topic, clues, scene)


def _worth_settling(best: Candidate, names: list[str], rules: tuple[Rule, ...], rng: Random) -> bool:
    """Whether it is a question: more than one shallow level, and more than what stays everywhere but now and then."""
    many = table().trade.passes_many.value
    if "radial_width" in names and float(best.facts.get("passes", many)) < many:
        return False  # the stock settles it, not the rules
    if "radial_width" in names and any(_by_what_is_hidden(one) for one in held_back(best)):
        return False
    skimmed = best.facts["feature"] == "planar_face"
    if "levels" in names and skimmed and float(best.facts["depth"]) < table().trade.face_in_levels_depth.value:
        return False
    if "levels" in names and best.plan is not None and best.plan.levels == 1:
        return float(best.facts.get("depth_ratio", 0.0)) >= table().trade.single_level_depth_ratio.value
    return not {rule.id for rule in rules} <= set(table().everyday) or rng.random() < table().everyday_share


def _by_what_is_hidden(held: Held) -> bool:
    """Whether a width is limited by numbers that are not shown with the question."""
    return held.setting == WIDTH and held.cause.by in table().width_hidden


def _matters(key: Key, names: list[str]) -> bool:
    """Whether one level more or less, or a cut twice as wide, is not as good as the advised: else any number does."""
    if "levels" in names:
        levels = key.advised["levels"]
        return not all(_is_right(key, "levels", other) for other in (levels - 1, levels + 1) if other)
    if WIDTH not in names:
        return True
    wide = _alone(key, WIDTH, _like(WIDTH, table().trade.width_told_apart.value * key.advised[WIDTH]))
    return isinstance(wide, str) or not _will_do(wide, key)


def _follows_from(names: list[str]) -> frozenset[str]:
    """The measures that tell what is asked for."""
    return frozenset(measure for name in names for measure in TELLING.get(name, ()))


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
    if together is None or _will_do(together, key):
        return alone
    told = f"Right beside the advised other settings. Together: {_blame(together, key)}"
    return tuple((name, HALF, told) for name, _, _ in alone)


def reason(exercise: Exercise, answers: Answers) -> Iterator[Block]:
    """The numbers: what would happen with the settings told, and why the advised ones."""
    key, mine = exercise.key_of(Key), _mine(answers)
    scene = key.scene
    together = _together(key, mine)
    if together is not None and not _will_do(together, key) and len(mine) > 1:
        yield from section("At the machine", together.texts[:TOLD])
    yield Heading("Answer")
    yield Pairs(tuple((spaced(name), setting_text(name, key.advised[name])) for name in mine))
    told = [rule for rule in _settled_by(scene) if _is_about(rule, mine)] or list(reasons(scene.answer))
    yield carried_by(scene, told)
    if WIDTH in mine:
        yield from section("How the width comes about", _width_steps(scene))
    if all(value == key.advised[name] for name, value in mine.items()):  # as on a sheet
        yield from section("Right as well", filter(None, (_room(key, name) for name in mine)))


def _room(key: Key, name: str) -> str:
    """From where to where a number is right beside the advised others; nothing where there is no room, or for levels
    and where nothing is to stay.
    """
    advised = float(key.advised[name])
    if name == "levels" or not advised:
        return ""

    def right(value: float) -> bool:
        return _is_right(key, name, value)

    least, most = (_like(name, last_right(right, advised, advised * far, False)[0]) for far in (1 / FAR, FAR))
    if most <= least:
        return ""
    return f"{spaced(name)} from {setting_text(name, least)} to {setting_text(name, most)}."


def _width_steps(scene: Scene) -> Iterator[str]:
    """From the width of the tables to the advised one: what the tables give, and what limited it, step by step."""
    best, base = scene.best, scene.bench.base
    if best.plan is None:
        return
    steps = [one for one in held_back(best) if one.setting == WIDTH]
    table_width = steps[0].before if steps else best.plan.radial_width
    share = quantity(table_width / best.cutter.DC, "share")
    deep, wide = quantity(float(best.facts["axial_ratio"]), ""), quantity(table_width, "mm", typed=DOWN)
    if _holds_engagement(best):
        low, high = (quantity(float(best.facts[f"radial_share_{end}"]), "share") for end in ("low", "high"))
        between = f"{low} to {high} of DC in group {best.facts['group']}, less the deeper the cut is"
        yield f"The tables give {between}. At {deep} diameters that is {wide}, rounded down."
    else:
        yield f"In levels {deep} diameters deep, {share} of DC is usual: {wide}."
    for one in steps:
        yield f"{held_text(one, base, {WIDTH: spaced(WIDTH)})}."


def contrast(exercise: Exercise, answers: Answers, marks: Marks) -> tuple[Block, ...]:
    """Between a wrong number and the advised one: the last that is right, and the first that is not; nothing where all
    is right, as another feature would be cut by other means than those given.
    """
    key, mine = exercise.key_of(Key), _mine(answers)
    name = _first_wrong(marks)
    if name is None or isinstance(_alone(key, name, mine[name]), str) or _is_right(key, name, mine[name]):
        return ()
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


def _is_about(rule: Rule, names: Iterable[str]) -> bool:
    """Whether a rule concludes what stays where one of these numbers is."""
    concluded = rule.concludes[0] if rule.concludes else ""
    return any(word in concluded for name in names for word in LEFT.get(name, ()))


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
    if _left_wrong(key, name, value):
        return False
    found = _alone(key, name, _like(name, value))
    return not isinstance(found, str) and _will_do(found, key) and not _half(name, value, found, key)


def _left_wrong(key: Key, name: str, value: float) -> str:
    """Why so much, or so little, cannot be left, in words: no finishing cut takes it, or a skin above what the part may
    lie on is much thinner than advised.
    """
    mine, advised = setting_text(name, value), setting_text(name, key.advised[name])
    if name == "allowance_bottom" and not key.scene.answer.region.floor and value < HALF * key.advised[name]:
        return (
            f"With {mine} left, the end of the cutter is too near what the part lies on, "
            f"and its corners leave a ridge. {advised} keeps clear of it."
        )
    if name in LEFT and value > table().left_most * max(key.advised[name], table().trade.stock_told_apart.value):
        return f"{mine} is no finishing cut; {advised} is."
    return ""


def _will_do(verdict: Verdict, key: Key) -> bool:
    """Whether nothing is to be stopped or changed, and it takes no much longer: a number has some room."""
    return verdict.way.grade in SOUND and _nearly_does(verdict, key)


def _nearly_does(verdict: Verdict, key: Key) -> bool:
    """Whether a review would let it pass, whatever the advice grades it, and it takes no much longer; what stays on a
    wall is not chosen by the time.
    """
    left = set(topics()[key.topic].sets) <= set(LEFT)
    most = inf if left else table().set_time_ratio * key.scene.best.time
    heavy = [one for one in verdict.heavy if one.rule.id not in table().time_alone]
    return not heavy and verdict.way.time <= most


def _half(name: str, value: float, verdict: Verdict, key: Key) -> str:
    """What costs half the credit, in words, if anything does: it works, and is not as it should be."""
    found = [one.text for one in verdict.findings if one.rule.id in table().half_right]
    if found:
        return found[0]
    advised = setting_text(name, key.advised[name])
    if name in LEFT and value > table().left_half * max(key.advised[name], table().trade.stock_told_apart.value):
        return f"{setting_text(name, value)} is much; {advised} is enough."
    if name == WIDTH and value > table().trade.width_half.value * key.advised[name]:
        return f"Nothing breaks, but {_limit_of_width(key)} {advised} is advised."
    mine = float(verdict.way.facts.get("axial_depth", 0.0)) if name == "levels" else 0.0
    most = float(key.scene.best.facts.get("allowed_depth", inf))
    if mine > table().depth_half * most:
        told, limit = apart(mine, most, "mm")
        return f"{told} is deeper than the {limit} that flutes, tables and machine allow here. Advised: {advised}."
    return ""


def _limit_of_width(key: Key) -> str:
    """What the advised width keeps, in a sentence."""
    best = key.scene.best
    share = quantity(key.advised[WIDTH] / best.cutter.DC, "share")
    if _holds_engagement(best):
        angle = quantity(float(best.facts["engagement"]), "deg")
        return f"the tables hold the engagement at {angle} here, {share} of the cutter."
    return f"the tables give {share} of the cutter for levels this deep."


def _holds_engagement(way: Candidate) -> bool:
    """Whether the width of a way comes from the engagement that the tables give at its depth."""
    return "engagement" in way.facts and not METHODS[way.method].passes_over


def _findings(key: Key, name: str, value: Any) -> tuple[Finding, ...]:
    """What is found of one setting beside the advised others."""
    found = _alone(key, name, value)
    return () if isinstance(found, str) else found.findings


def _part(key: Key, name: str, value: Any) -> tuple[str, float, str]:
    """Credit for one setting beside the advised others, and what is said about it."""
    if value != key.advised[name]:
        if told := _left_wrong(key, name, value):
            return name, 0.0, told
        alone = _alone(key, name, value)
        if isinstance(alone, str):
            return name, 0.0, alone
        if not _will_do(alone, key):
            return name, HALF if _nearly_does(alone, key) else 0.0, _blame(alone, key)
        if told := _half(name, value, alone, key):
            return name, HALF, told
    return name, 1.0, _mine_too(key, name)


def _mine_too(key: Key, name: str) -> str:
    """What a senior would take."""
    told = setting_text(name, key.advised[name])
    return f"I would take {counted(told, 'level') if name == 'levels' else told}."


def _blame(verdict: Verdict, key: Key) -> str:
    """What is wrong with it: what a review finds, what the advice holds against it, or the time and where it goes."""
    heavy = [one for one in verdict.heavy if one.rule.id not in table().time_alone]
    way, best = verdict.way, key.scene.best
    if heavy:
        return heavy[0].text
    if found := against(way):
        return said(found[0], way.facts, key.scene.bench.base).text
    if way.grade not in SOUND and verdict.findings:
        return verdict.findings[0].text
    return f"{_held_feed(best, way)}It takes {time_between(best, way)}: {where_time_goes(best, way)}."


def _held_feed(best: Candidate, way: Candidate) -> str:
    """That a wider cut leaves less feed, in a sentence, where that is why it takes longer."""
    if best.plan is None or way.plan is None or way.plan.radial_width <= best.plan.radial_width:
        return ""
    if way.plan.feed_rate >= best.plan.feed_rate:
        return ""
    mine, advised = (quantity(one.feed_rate, "mm/min", typed=DOWN) for one in (way.plan, best.plan))
    return f"So wide a cut must be fed slower, {mine} against {advised}. "


KIND = Kind(pose, model_answers, mark, reason, contrast)
