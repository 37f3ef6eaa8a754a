"""A course: topics in the order in which a senior teaches them, exercises out of job files, and remarks to rules."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Annotated, Any, Literal, NamedTuple

from pydantic import BeforeValidator, Field, WithJsonSchema

from advisor.coach.exercise import DIFFICULTIES, KINDS
from advisor.coach.topics import topics
from advisor.files.checking import checked, problem_at, raise_if_any, repeated
from advisor.files.ids import id_meant
from advisor.files.problems import BadInput, Fault, Misfit, Problem, listed, misfit, nearest_word, shown
from advisor.files.yaml_reader import Document, YamlPath, read_yaml
from advisor.knowledge.shipped import rule_base
from advisor.model.assignment import Assignment
from advisor.model.fields import Frozen, PathText, Word
from advisor.readers.assignment import read_assignment

LONGEST_REMARK = 600
MOST = 500


def _remark(raw: Any) -> str:
    if not isinstance(raw, str) or not (text := " ".join(raw.split())):
        raise misfit("a remark in words")
    if len(text) > LONGEST_REMARK or not text.isprintable():
        raise misfit(f"a remark of at most {LONGEST_REMARK} signs, without control characters")
    return text


def _difficulty(raw: Any) -> int:
    if isinstance(raw, bool) or raw not in DIFFICULTIES:
        raise misfit(f"a whole number from {DIFFICULTIES[0]} to {DIFFICULTIES[-1]}")
    return int(raw)


_Remark = Annotated[str, BeforeValidator(_remark), WithJsonSchema({"type": "string", "minLength": 1})]
_DIFFICULTY_SCHEMA = WithJsonSchema({"type": "integer", "minimum": DIFFICULTIES[0], "maximum": DIFFICULTIES[-1]})
Kind = Literal["choose", "set", "trap", "turn", "explain"]


class ExerciseRow(Frozen):
    """An exercise out of a job file, as it is written."""

    job: PathText = Field(description="a job file, from the folder of the course")
    feature: Word = Field(description="the id of a feature of the job")
    kind: Kind = Field(description=f"one of {', '.join(KINDS)}")
    topic: Word = Field(description="the id of a topic")
    difficulty: Annotated[int, BeforeValidator(_difficulty), _DIFFICULTY_SCHEMA] = Field(
        default=2, description="1 to 5, for what is spoiled or asked; the feature is what it is"
    )
    note: _Remark | None = Field(default=None, description="said with the question")


class RemarkRow(Frozen):
    """A remark to a rule, as it is written."""

    rule: Word = Field(description="the id of a rule")
    text: _Remark = Field(description="what the senior says about it")


class CourseFile(Frozen):
    """A course as it is written."""

    course: Word = Field(description="the name of the course")
    topics: tuple[Word, ...] = Field(default=(), description="topics in their order; all where left out")
    exercises: tuple[ExerciseRow, ...] = Field(default=(), description="own exercises, in their order")
    remarks: tuple[RemarkRow, ...] = Field(default=(), description="remarks to rules")


class OwnExercise(NamedTuple):
    """An exercise of a course: its name in the course, its row, the job file, and the job with this feature alone."""

    name: str
    row: ExerciseRow
    job: Path
    assignment: Assignment


class Course(NamedTuple):
    """A course. ``topics`` are ids, in the order in which new ones are begun; ``remarks`` are by the id of the rule."""

    name: str
    topics: tuple[str, ...]
    exercises: tuple[OwnExercise, ...]
    remarks: Mapping[str, str]


def read_course(path: Path) -> Course:
    """The course of a YAML file.

    Raises:
        BadInput: with everything that is wrong with the file, and with the jobs that it names.
    """
    problems: list[Problem] = []
    document = read_yaml(path, plain=True)
    if _entries(document.value) > MOST:
        raise BadInput([problem_at(document, (), Fault(f"at most {MOST} topics, exercises and remarks", "more"))])
    row = checked(CourseFile, document, (), document.value, problems)
    raise_if_any(problems)
    if row is None:
        raise AssertionError("no course, yet no problem was found")
    problems += _unknown(row, document)
    repeated(document, {("topics", place): name for place, name in enumerate(row.topics)}, problems)
    repeated(document, {("remarks", place, "rule"): one.rule for place, one in enumerate(row.remarks)}, problems)
    own = tuple(_own(row, path, document, problems))
    raise_if_any(problems)
    return Course(row.course, row.topics or tuple(topics()), own, {one.rule: one.text for one in row.remarks})


def _entries(value: Any) -> int:
    """How many entries the lists of a course have, whatever they are: of too many none is looked at."""
    lists = value.values() if isinstance(value, dict) else ()
    return sum(len(one) for one in lists if isinstance(one, list | dict))


def course_schema() -> dict[str, Any]:
    """The JSON Schema of a course file."""
    from advisor.readers.schemas import schema_of

    return schema_of(CourseFile, "Course")


def _unknown(row: CourseFile, document: Document) -> Iterator[Problem]:
    """What names no topic, no rule, or a kind that a topic has no exercises of."""
    rules = rule_base().by_id
    named = [
        *((("topics", place), name) for place, name in enumerate(row.topics)),
        *((("exercises", place, "topic"), one.topic) for place, one in enumerate(row.exercises)),
    ]
    path: YamlPath
    for path, name in named:
        if name not in topics():
            wanted = f"a topic: {listed(topics())}"
            yield problem_at(document, path, Fault(wanted, shown(name), None, nearest_word(name, topics())))
        elif path[0] == "exercises" and row.topics and name not in row.topics:
            yield problem_at(document, path, Fault(f"a topic of the course: {listed(row.topics)}"))
    for place, one in enumerate(row.exercises):
        if one.topic in topics() and one.kind not in (kinds := topics()[one.topic].kinds):
            yield problem_at(document, ("exercises", place, "kind"), Fault(f"{listed(kinds)}, as {one.topic} has them"))
    for place, remark in enumerate(row.remarks):
        if remark.rule not in rules:
            fault = Fault("the id of a rule", shown(remark.rule), None, nearest_word(remark.rule, rules))
            yield problem_at(document, ("remarks", place, "rule"), fault)


def _own(row: CourseFile, path: Path, document: Document, problems: list[Problem]) -> Iterator[OwnExercise]:
    """The exercises with their jobs; each job is read once, and the faults of all of them are told."""
    jobs: dict[Path, Assignment | None] = {}
    for place, one in enumerate(row.exercises):
        file = path.parent / one.job
        if file not in jobs:
            jobs[file] = _job(file, problems)
        assignment = jobs[file]
        if assignment is None:
            continue
        known = [feature.id for feature in assignment.job.features]
        try:
            alone = only(assignment, one.feature and (id_meant(one.feature, known) or one.feature))
        except Misfit as error:
            problems.append(problem_at(document, ("exercises", place, "feature"), error.faults[0]))
            continue
        if alone is None:
            fault = Fault(f"a feature of {file}: {listed(known)}", None, None, nearest_word(one.feature, known))
            problems.append(problem_at(document, ("exercises", place, "feature"), fault))
            continue
        yield OwnExercise(f"{row.course}/{place + 1}", one, file, alone)


def _job(file: Path, problems: list[Problem]) -> Assignment | None:
    try:
        return read_assignment(file)
    except BadInput as error:
        problems.extend(error.problems)
        return None


def only(assignment: Assignment, feature_id: str | None) -> Assignment | None:
    """A job with one of its features alone; nothing where it has no such feature. Without an id the job as it is."""
    if feature_id is None:
        return assignment
    features = tuple(feature for feature in assignment.job.features if feature.id == feature_id)
    job = assignment.job.model_copy(update={"features": features})
    return assignment.model_copy(update={"job": job}) if features else None
