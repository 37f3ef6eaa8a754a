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
from advisor.coach.kinds.untrue import same_fault
from advisor.coach.making import make
from advisor.coach.reading import read
from advisor.coach.would_run import would_run
from advisor.files.yaml_reader import read_yaml
from advisor.knowledge.conditions import holds
from advisor.knowledge.evidence import quantised
from advisor.knowledge.wording import quantity
from advisor.model.answer import FeatureAdvice
from advisor.readers.assignment import read_assignment
from advisor.readers.plan import plan_of
from advisor.review.verdict import review

MUCH_SLOWER = {"good": 2, "workable": 1.5}


def credits(exercise: Exercise, answers: dict[str, str]) -> list[float]:
    """The credit of each part, without the texts that take time."""
    mine = {part.name: read(part, answers[part.name]) for part in exercise.parts}
    return [credit for _, credit, _ in of_kind(exercise.kind).mark(exercise, mine)]


def wrong_answers(exercise: Exercise) -> dict[str, str]:
    """Answers that are wrong in every part, if there are any."""
    model = dict(model_answers(exercise))
    for part in exercise.parts:
        if part.choices:
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
    yield from _hints(exercise)
    yield from _run_in_a_shop(exercise)
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


def _hints(exercise: Exercise) -> Iterator[str]:
    """Two different questions, with their numbers, and without the answer."""
    if len(set(exercise.hints)) != 2:
        yield f"hints: {exercise.hints}"
    for hint in exercise.hints:
        if "?" not in hint or "{" in hint:
            yield f"a hint that asks nothing, or lacks a number: {hint}"
        if leaked := [word for word in secrets(exercise) if word.casefold() in hint.casefold()]:
            yield f"the hint leaks {leaked}: {hint}"


def _run_in_a_shop(exercise: Exercise) -> Iterator[str]:
    """The answer is rated good, quick enough, and with a cutter that is made for it."""
    best = exercise.key.scene.best
    if best.grade != "good":
        yield f"the answer is {best.grade}"
    if not would_run(exercise.key.scene):
        yield "no shop would run it"


def _told(exercise: Exercise) -> Iterator[str]:
    """A wrong answer is told why."""
    graded = grade(exercise, wrong_answers(exercise))
    if graded.right:
        yield "a wrong answer is right"
        return
    if not graded.reason:
        yield "no reason"
    for name, _, told in graded.parts:
        if not told:
            yield f"{name}: nothing said"


def secrets(exercise: Exercise) -> list[str]:
    """What a hint must not say."""
    model = model_answers(exercise)
    if exercise.kind == "set":
        advised = exercise.key.advised
        lengths = [p.name for p in exercise.parts if p.unit == "mm" and advised[p.name]]
        return [f" {quantity(float(advised[name]), 'mm')}" for name in lengths]
    found = [
        choice.text
        for part in exercise.parts
        for choice in part.choices
        if choice.label == model[part.name] and not part.listed
    ]
    return found + ([f" {exercise.key.turn.at:g} mm"] if exercise.kind == "turn" else [])


def _made_again(exercise: Exercise) -> Iterator[str]:
    again = make(exercise.kind, exercise.seed, exercise.difficulty)
    same = (again.told, again.parts, again.measured, model_answers(again), files(again.assignment))
    if same != (exercise.told, exercise.parts, exercise.measured, model_answers(exercise), files(exercise.assignment)):
        yield "another exercise of the same seed"


def _choose(exercise: Exercise) -> Iterator[str]:
    """One answer is right by advice worked out anew, and each of the others is plainly wrong: poor, forbidden or much
    slower.
    """
    key, again = exercise.key, advised_anew(exercise)
    assert isinstance(key, choosing.Key)
    for label, way in key.ways.items():
        found = next(
            (one for one in again.candidates if _named(one) == _named(way)),
            None,
        )
        best = found is not None and _named(found) == _named(again.best)
        if best != (label == key.right):
            yield f"{label} is {'right' if best else 'wrong'} by the files"
        if label != key.right and found is not None and found.time < MUCH_SLOWER.get(found.grade, 0) * again.best.time:
            yield f"{label} would do as well: {found.grade}, {found.time:.0f} s beside {again.best.time:.0f} s"


def _named(way) -> tuple[str, str, str | None]:
    return way.method, way.cutter.id, way.entry


def _set(exercise: Exercise) -> Iterator[str]:
    key = exercise.key
    assert isinstance(key, setting.Key)
    shares = (0.4, 0.8, 1.3, 2.5)
    for place, part in enumerate(exercise.parts):
        for times in (shares[(exercise.seed + place) % 4],):
            value = key.advised[part.name] * times
            value = max(1, round(value)) if part.name == "levels" else round(value, 2)
            right = credits(exercise, {**model_answers(exercise), part.name: f"{value}"})
            found = _reviewed(exercise, key.with_({part.name: value}))
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
    if not heavy or heavy[0] != key.finding.rule.id:
        yield f"a review finds {heavy}, wanted {key.finding.rule.id} first"
    if any(one.weight in ("stop", "change") for one in _reviewed(exercise, dict(key.sound)) or ()):
        yield "the plan before it was spoiled is not sound"
    fired = {one.rule.id for one in found}
    for label, rule in key.rules.items():
        true = rule.id in fired
        if true != (label in key.true) or true != (min(credits(exercise, {"fault": label})) == 1):
            yield f"{rule.id} is {'true' if true else 'untrue'}, and graded otherwise"
        if not true and holds(rule.condition, quantised(key.finding.facts)):
            yield f"a distractor that holds: {rule.id}"
        if not true and any(same_fault(rule.id, other) for other in fired):
            yield f"a distractor that is true by another name: {rule.id}"


def _turn(exercise: Exercise) -> Iterator[str]:
    key, again = exercise.key, advised_anew(exercise)
    assert isinstance(key, turning.Key)
    if key_of(again.best) != key_of(key.scene.answer.best):
        yield "the first feature is advised otherwise from its files"
    then = advised_anew(exercise._replace(assignment=_of(key.second)))
    for label, answer in key.ways.items():
        alike = [
            one
            for one in then.candidates
            if one.entry is not None
            and _answer(one, key.by_entry) == answer
            and (not key.by_entry or _named(one)[:2] == _named(then.best)[:2])
        ]
        best = answer is None if then.best is None else answer == _answer(then.best, key.by_entry)
        if best != (label == key.right):
            yield f"{answer} is {'right' if best else 'wrong'} for the second feature"
        if (
            not best
            and then.best is not None
            and any(one.time < MUCH_SLOWER.get(one.grade, 0) * then.best.time for one in alike)
        ):
            yield f"{answer} would do as well"
    if not min(key.turn.start, key.value) <= key.turn.at <= max(key.turn.start, key.value):
        yield "the line is not between the features"


def _answer(way, by_entry: bool) -> tuple[str, ...]:
    return (way.entry,) if by_entry else (way.method, way.cutter.body)


def _of(scene) -> object:
    job = scene.assignment.job.model_copy(update={"features": (scene.feature,)})
    return scene.assignment.model_copy(update={"job": job})


def _explain(exercise: Exercise) -> Iterator[str]:
    key, again = exercise.key, advised_anew(exercise)
    assert isinstance(key, explaining.Key)
    if _named(again.best) != _named(key.scene.best):
        yield "advised otherwise from its files"
    found = next(way for way in again.candidates if _named(way) == _named(key.way))
    fired = {rule.id for rule in found.fired}
    if found.grade not in ("poor", "forbidden"):
        yield f"why not {_named(found)}: it is {found.grade}"
    for rule in key.rules.values():
        if (rule.id in fired) != (rule is key.rule):
            yield f"{rule.id} is {'true too' if rule.id in fired else 'untrue'}"
        if rule is not key.rule and any(same_fault(rule.id, other) for other in fired):
            yield f"a distractor that is true by another name: {rule.id}"


CHECKS = {"choose": _choose, "set": _set, "trap": _trap, "turn": _turn, "explain": _explain}
