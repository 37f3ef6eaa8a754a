"""A senior's course is read with clear words for each slip; the shipped one gives every exercise that it names."""

from pathlib import Path

import jsonschema
import pytest

from advisor.coach.course import course_schema, read_course
from advisor.coach.grading import grade, model_answers
from advisor.files.problems import BadInput
from advisor.files.yaml_reader import read_yaml
from advisor.paths import cases_dir, shared_dir
from tests.coach.made import make

SHIPPED = shared_dir() / "courses" / "first-weeks.yaml"
JOB = cases_dir() / "guide-slot-narrow" / "job.yaml"
EXERCISE = f"{{job: {JOB}, feature: S1, kind: choose, topic: narrow-slots}}"


def read(folder: Path, text: str) -> None:
    (folder / "course.yaml").write_text(text, encoding="utf-8")
    read_course(folder / "course.yaml")


def test_every_exercise_of_the_shipped_course_can_be_made_and_answered() -> None:
    for own in read_course(SHIPPED).exercises:
        exercise = make(own.row.kind, 1, own.row.difficulty, own.row.topic, [own.assignment])
        assert exercise.topic == own.row.topic
        assert grade(exercise, model_answers(exercise)).right


def test_the_shipped_course_keeps_to_its_schema() -> None:
    jsonschema.validate(read_yaml(SHIPPED).value, course_schema())


def test_a_name_alone_is_a_course_of_all_topics(tmp_path: Path) -> None:
    read(tmp_path, "course: Ours\n")
    assert len(read_course(tmp_path / "course.yaml").topics) > 5


def test_a_feature_of_a_course_is_found_whatever_its_letter_case(tmp_path: Path) -> None:
    read(tmp_path, f"course: Ours\nexercises: [{EXERCISE.replace('feature: S1', 'feature: s1')}]\n")
    (own,) = read_course(tmp_path / "course.yaml").exercises
    assert [feature.id for feature in own.assignment.job.features] == ["S1"]


SLIPS = {
    "topics: [narrow-slot]": (2, "topics", "Did you mean narrow-slots"),
    "topics: [reach, reach]": (2, "topics", "twice"),
    "remarks: [{rule: shank-rub, text: Mind it.}]": (2, "remarks", "Did you mean shank-rubs"),
    "remarks: [{rule: shank-rubs, text: ''}]": (2, "remarks", "a remark"),
    "remarks: [{rule: shank-rubs, text: a}, {rule: shank-rubs, text: b}]": (2, "remarks", "twice"),
    f"exercises: [{EXERCISE.replace('kind: choose', 'kind: choice')}]": (2, "kind", "choose"),
    f"exercises: [{EXERCISE.replace('kind: choose', 'kind: set')}]": (2, "kind", "as narrow-slots has them"),
    f"exercises: [{EXERCISE.replace('feature: S1', 'feature: S9')}]": (2, "feature", "S1"),
    f"exercises: [{EXERCISE.replace('job.yaml', 'jab.yaml')}]": (None, "", "no such file"),
    f"exercises: [{EXERCISE[:-1]}, difficulty: 6}}]": (2, "difficulty", "1 to 5"),
    f"topics: [reach]\nexercises: [{EXERCISE}]": (3, "topic", "a topic of the course"),
    "lessons: []": (2, "", "a known field"),
}


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_is_told_with_line_and_field(tmp_path: Path, slip: str) -> None:
    line, field, said = SLIPS[slip]
    with pytest.raises(BadInput) as refused:
        read(tmp_path, f"course: Ours\n{slip}\n")
    (problem,) = refused.value.problems
    assert problem.line == line
    assert field in problem.field
    assert said in str(problem)
