"""What must hold of every exercise, whatever its kind; gives what does not, in words."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

from advisor.analysis.breakpoints import key_of
from advisor.choosing.advice import advise
from advisor.coach.exercise import Exercise
from advisor.coach.files import files
from advisor.coach.grading import grade, model_answers
from advisor.coach.kinds import choosing, explaining, of_kind, setting, trapping, turning
from advisor.coach.making import make
from advisor.coach.reading import read
from advisor.files.yaml_reader import read_yaml
from advisor.knowledge.conditions import holds
from advisor.knowledge.evidence import quantised
from advisor.knowledge.schema import Rule
from advisor.knowledge.wording import quantity
from advisor.model.answer import FeatureAdvice
from advisor.model.candidate import SOUND
from advisor.readers.assignment import read_assignment
from advisor.readers.plan import plan_of
from advisor.render.terminal import text
from advisor.review.verdict import review


def credits(exercise: Exercise, answers: dict[str, str]) -> list[float]:
    """The credit of each part, without the texts that take time."""
    mine = {part.name: read(part, answers[part.name]) for part in exercise.parts}
    return [credit for _, credit, _ in of_kind(exercise.kind).mark(exercise, mine)]


def wrong_answers(exercise: Exercise) -> dict[str, str]:
    """Answers that are wrong in every part, if there are any."""
    model = dict(model_answers(exercise))
    for part in exercise.parts:
        if part.many:
            model[part.name] = next(c.label for c in part.choices if c.label not in model[part.name].split(", "))
        elif part.choices:
            model[part.name] = next(
                (c.label for c in part.choices if min(credits(exercise, model | {part.name: c.label})) < 1),
                model[part.name],
            )
        else:
            model[part.name] = "99"
    return model


def faults(exercise: Exercise, whole: bool = True) -> Iterator[str]:
    """Everything that is wrong with an exercise; ``whole`` grades a wrong answer too, which takes longer."""
    model = dict(model_answers(exercise))
    if any(credit < 1 for credit in credits(exercise, model)):
        yield f"the model answer is not right: {model}"
    yield from _labels(exercise)
    yield from CHECKS[exercise.kind](exercise)
    if whole:
        yield from _told(exercise)
        yield from _made_again(exercise)


def advised_anew(exercise: Exercise) -> FeatureAdvice:
    """The advice for the exercise, from its own files, as anybody would run them."""
    with tempfile.TemporaryDirectory() as folder:
        for name, content in files(exercise.assignment).items():
            (Path(folder) / name).write_text(content, encoding="utf-8")
        return advise(read_assignment(Path(folder) / "job.yaml")).features[0]


def _labels(exercise: Exercise) -> Iterator[str]:
    for part in exercise.parts:
        labels = [choice.label.casefold() for choice in part.choices]
        texts = [choice.text for choice in part.choices]
        if len(set(labels)) < len(labels):
            yield f"{part.name}: a label twice"
        if part.name != "cutter" and len(set(texts)) < len(texts):
            yield f"{part.name}: a text twice"
        if part.choices and len(part.choices) < 2:
            yield f"{part.name}: nothing to choose"


def _told(exercise: Exercise) -> Iterator[str]:
    """A wrong answer is told what to look at without the answer, then why, then where it turns."""
    graded = grade(exercise, wrong_answers(exercise))
    if graded.right:
        yield "a wrong answer is right"
        return
    hint = text(graded.hint, 1000).casefold()
    if "?" not in hint:
        yield f"a hint that asks nothing: {hint}"
    if leaked := [word for word in secrets(exercise) if word.casefold() in hint]:
        yield f"the hint leaks {leaked}: {hint}"
    if not graded.reason or not graded.contrast:
        yield "no reason, or no contrast"
    for name, _, told in graded.parts:
        if not told:
            yield f"{name}: nothing said"


def secrets(exercise: Exercise) -> list[str]:
    """What a hint must not say."""
    model, wrong = model_answers(exercise), wrong_answers(exercise)
    if exercise.kind == "set":
        advised = exercise.key.advised
        return [
            f" {quantity(float(advised[p.name]), 'mm')}" for p in exercise.parts if p.unit == "mm" and advised[p.name]
        ]
    found = [
        choice.text
        for part in exercise.parts
        for choice in part.choices
        if choice.label == model[part.name] != wrong[part.name]
    ]
    return found + ([f" {exercise.key.turn.at:g} mm"] if exercise.kind == "turn" else [])


def _made_again(exercise: Exercise) -> Iterator[str]:
    again = make(exercise.kind, exercise.seed, exercise.difficulty)
    same = (again.told, again.parts, again.measured, model_answers(again), files(again.assignment))
    if same != (exercise.told, exercise.parts, exercise.measured, model_answers(exercise), files(exercise.assignment)):
        yield "another exercise of the same seed"


def _is_right(answer: FeatureAdvice, method: str, cutter: str, entry: str) -> bool:
    """Whether a way is neither forbidden nor poor and within 15 % of the best time, by advice worked out anew."""
    return any(
        (way.method, way.cutter.id, way.entry) == (method, cutter, entry)
        and way.grade in SOUND
        and way.time <= 1.15 * answer.best.time
        for way in answer.candidates
    )


def _choose(exercise: Exercise) -> Iterator[str]:
    key, again = exercise.key, advised_anew(exercise)
    assert isinstance(key, choosing.Key)
    methods, cutters, entries = (list(key.names[name].items()) for name in ("method", "cutter", "entry"))
    for number, (label, method) in enumerate(methods):
        for place, (own, cutter) in enumerate(cutters):
            letter, entry = entries[(number + place) % len(entries)]
            marks = credits(exercise, {"method": label, "cutter": own, "entry": letter})
            if (min(marks) == 1) != _is_right(again, method, cutter, entry):
                yield f"graded otherwise than advised: {method}, {cutter}, {entry}"


def _set(exercise: Exercise) -> Iterator[str]:
    key = exercise.key
    assert isinstance(key, setting.Key)
    shares = (0.4, 0.8, 1.3, 2.5)
    for place, part in enumerate(exercise.parts):
        for times in (shares[(exercise.seed + place) % 4],):
            value = key.advised[part.name] * times
            value = max(1, round(value)) if part.name == "levels" else round(value, 2)
            right = credits(exercise, {**model_answers(exercise), part.name: f"{value}"})
            found = _reviewed(exercise, {**key.advised, part.name: value})
            if (min(right) > 0.9) and (found is None or any(one.weight in ("stop", "change") for one in found)):
                yield f"{part.name} {value} is called right, and a review finds {found}"


def _reviewed(exercise: Exercise, row: dict[str, object]):
    """The findings of a review of a plan that is read from a file."""
    import yaml

    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder) / "plan.yaml"
        place.write_text(yaml.safe_dump({"operations": [{"feature": exercise.feature_id, **row}]}), encoding="utf-8")
        plan = plan_of(read_yaml(place), "mm", problems := [])
        return None if problems or plan is None else review(plan, exercise.assignment).findings


def _trap(exercise: Exercise) -> Iterator[str]:
    key = exercise.key
    assert isinstance(key, trapping.Key)
    found = _reviewed(exercise, key.plan) or ()
    heavy = [one.rule.id for one in found if one.weight in ("stop", "change")]
    if heavy != [key.finding.rule.id]:
        yield f"a review finds {heavy}, wanted {key.finding.rule.id} alone"
    if any(one.weight in ("stop", "change") for one in _reviewed(exercise, dict(key.sound)) or ()):
        yield "the plan before it was spoiled is not sound"
    fired = {one.rule.id for one in found}
    for rule in key.rules.values():
        if rule is not key.finding.rule and (rule.id in fired or holds(rule.condition, quantised(key.finding.facts))):
            yield f"a distractor that holds: {rule.id}"


def _turn(exercise: Exercise) -> Iterator[str]:
    key, again = exercise.key, advised_anew(exercise)
    assert isinstance(key, turning.Key)
    if key_of(again.best) != key_of(key.scene.answer.best):
        yield "the first feature is advised otherwise from its files"
    then = advised_anew(exercise._replace(assignment=_of(key.second)))
    for label, way in key.ways.items():
        found = [one for one in then.candidates if key_of(one) == way]
        right = (
            any(_is_right(then, one.method, one.cutter.id, one.entry) for one in found) if then.best else way is None
        )
        if right != (label in key.right):
            yield f"{way} is {'right' if right else 'wrong'} for the second feature"
    if not min(key.turn.start, key.value) <= key.turn.at <= max(key.turn.start, key.value):
        yield "the line is not between the features"


def _of(scene) -> object:
    job = scene.assignment.job.model_copy(update={"features": (scene.feature,)})
    return scene.assignment.model_copy(update={"job": job})


def _explain(exercise: Exercise) -> Iterator[str]:
    from advisor.coach.without import best_without

    key, again = exercise.key, advised_anew(exercise)
    assert isinstance(key, explaining.Key)
    best = (again.best.method, again.best.cutter.id, again.best.entry)
    dropped: list[Rule] = []
    for one in key.statements.values():
        if not holds(one.rule.condition, quantised(one.way.facts)):
            yield f"an untrue statement: {one.rule.id}"
        then = best_without(key.scene, [one.rule])
        decides = then is None or (then.method, then.cutter.id, then.entry) != best
        if decides != one.decides:
            yield f"{one.rule.id} decides: {decides}"
        if not one.decides:
            dropped.append(one.rule)
    then = best_without(key.scene, dropped)
    if then is None or (then.method, then.cutter.id, then.entry) != best:
        yield "the distractors decide together"


CHECKS = {"choose": _choose, "set": _set, "trap": _trap, "turn": _turn, "explain": _explain}
