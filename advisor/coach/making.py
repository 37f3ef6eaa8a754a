"""Making an exercise: scenes are invented, or taken from jobs, until one of the wanted difficulty gives a question."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from random import Random

from advisor.coach.difficulty import difficulty as measured
from advisor.coach.exercise import DIFFICULTIES, KINDS, Exercise, NoExercise, kind_word
from advisor.coach.hints import hints_of
from advisor.coach.invent import invented
from advisor.coach.kinds import of_kind
from advisor.coach.scene import Known, Scene, is_sound, narrowed, scene_of, with_crib
from advisor.coach.table import table
from advisor.coach.topics import asks_what_for, topics
from advisor.coach.would_run import against_its_purpose, would_run
from advisor.files.problems import listed
from advisor.files.unit_scales import showing
from advisor.model.assignment import Assignment

MILLS = 2  # that a crib has at least, but for a round hole


def make(
    kind: str, seed: int, difficulty: int, topic: str | None = None, sources: Sequence[Assignment] = ()
) -> Exercise:
    """An exercise of a kind and difficulty (1 to 5), about a topic if one is named; of the jobs given, else invented.

    Raises:
        NoExercise: none can be made.
        ValueError: there is no such kind, difficulty or topic.
    """
    _check(kind, difficulty, topic)
    if topic is not None and kind not in topics()[topic].kinds:
        kinds = listed(kind_word(one) for one in topics()[topic].kinds)
        raise NoExercise(f"no exercise of kind {kind_word(kind)} about {topic}; take one of {kinds}")
    rng = Random(f"{kind}/{seed}/{difficulty}/{topic or ''}")
    known: Known = {}
    own = sum(len(assignment.job.features) for assignment in sources)  # few features soon repeat themselves
    rounds = min(table().rounds, own or table().rounds)
    for place in range(rounds):
        far = table().far if not sources and place < rounds / 3 else float("inf")
        for level, scene in _graded(topic, difficulty, sources, rng, known):
            if abs(level - difficulty) > far:
                continue
            with showing(scene.assignment.job.units):
                posed = of_kind(kind).pose(scene, difficulty, rng, topic)
                hints = hints_of(posed.topic, kind, posed.clues, scene.bench.base) if posed else ()
            if posed:
                return Exercise(
                    kind,
                    seed,
                    difficulty,
                    posed.topic,
                    posed.scene.assignment,
                    scene.feature.id,
                    posed.told,
                    posed.parts,
                    posed.key,
                    level,
                    posed.rules,
                    hints,
                )
    where = "in these jobs" if sources else "among invented jobs"
    raise NoExercise(
        f"no exercise of kind {kind_word(kind)}{f' about {topic}' if topic else ''} was found {where}; try another kind"
    )


def _graded(
    topic: str | None, difficulty: int, sources: Sequence[Assignment], rng: Random, known: Known
) -> Iterator[tuple[float, Scene]]:
    """Some scenes with their difficulty: those that are as wanted at once, then the others, the nearest first."""
    others = []
    for _ in range(table().tries):
        scene = sound_scene(topic, difficulty, sources, rng, known)
        if scene is None:
            continue
        level = measured(scene)
        if abs(level - difficulty) <= table().near_enough:
            yield level, scene
        else:
            others.append((level, scene))
    yield from sorted(others, key=lambda pair: abs(pair[0] - difficulty))


def _check(kind: str, difficulty: int, topic: str | None) -> None:
    if kind not in KINDS:
        raise ValueError(f"kind {kind!r}; wanted one of {listed(KINDS)}")
    if difficulty not in DIFFICULTIES:
        raise ValueError(
            f"difficulty {difficulty!r}; wanted a whole number from {DIFFICULTIES[0]} to {DIFFICULTIES[-1]}"
        )
    if topic is not None and topic not in topics():
        raise ValueError(f"topic {topic!r}; wanted one of {listed(topics())}")


def sound_scene(
    topic: str | None, difficulty: int, sources: Sequence[Assignment], rng: Random, known: Known
) -> Scene | None:
    """A sound scene that a shop would run, if the one that came up is."""
    assignment = narrowed(sources, rng, known) if sources else invented(topic, difficulty, rng)
    if assignment is None:
        return None
    scene = scene_of(assignment)
    if not sources and not asks_what_for(topic):
        scene = _to_the_purpose(scene)
    if not sources and not scene.answer.region.round and len(_mills(scene)) < MILLS:
        return None
    return scene if is_sound(scene) and would_run(scene) else None


def _mills(scene: Scene) -> list[str]:
    return [cutter.id for cutter in scene.assignment.crib if not cutter.kind.drill]


def _to_the_purpose(scene: Scene) -> Scene:
    """The scene without the cutters that are made for something else."""
    made_for_it = {way.cutter.id for way in scene.answer.candidates if not against_its_purpose(way)}
    drills = {cutter.id for cutter in scene.assignment.crib if cutter.kind.drill}
    kept = made_for_it | drills
    return scene if len(kept) == len(scene.assignment.crib) else with_crib(scene, kept)
