"""A job of many features: its answers are those of a job of few, and memory does not grow with all their candidates."""

import gc
from pathlib import Path

import pytest
from typer.testing import CliRunner

from advisor import service
from advisor.cli.main import app
from advisor.model.candidate import Candidate
from advisor.readers.assignment import read_assignment

KINDS = (
    "kind: closed_pocket, length: {a}, width: 55, depth: 28, corner_radius: 8, floor: true",
    "kind: slot, length: {a}, width: 14.5, depth: 12, floor: true, open_ends: 0",
    "kind: step, length: {a}, width: 30, depth: 18",
    "kind: slot, length: {a}, width: 1.5, depth: 12, floor: true, open_ends: 0",  # without a way
)


def job(folder: Path, count: int) -> Path:
    lines = [
        f"  - {{id: F{number}, {KINDS[number % len(KINDS)].format(a=80 + number / 2)}}}\n" for number in range(count)
    ]
    file = folder / "job.yaml"
    head = "part: Plate\nunits: mm\nmaterial: C45\nmachine: vmc-40-12k\nfeatures:\n"
    file.write_text(head + "".join(lines), encoding="utf-8")
    return file


@pytest.mark.parametrize(
    ("form", "quick"), [("text", ["--quick"]), ("json", ["--quick"]), ("html", ["--quick"]), ("json", [])]
)
def test_the_answers_are_those_whose_candidates_are_all_kept(
    form: str, quick: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    words = ["advise", str(job(tmp_path, 8 if quick else 2)), "--format", form, *quick]
    whole = CliRunner().invoke(app, words)
    monkeypatch.setattr(service, "KEPT", 1)
    again = CliRunner().invoke(app, words)
    assert (again.exit_code, again.stdout) == (whole.exit_code, whole.stdout)
    assert whole.exit_code == (1 if quick else 0), "of eight, two are without a way"
    assert ("F7" if quick else "F1") in whole.stdout


def candidates_alive() -> int:
    gc.collect()
    return sum(isinstance(found, Candidate) for found in gc.get_objects())


def test_what_is_held_of_a_job_does_not_grow_by_all_candidates_of_each_feature(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(service, "KEPT", 4)
    before = candidates_alive()
    few, many = (service.advise(read_assignment(job(tmp_path, count)), quick=True) for count in (4, 16))
    whole = sum(len(answer.candidates) for answer in few.features)
    assert [len(answer.candidates) for answer in many.features][:4] == [len(one.candidates) for one in few.features]
    assert not any(answer.candidates for answer in many.features[4:])
    told = sum(1 + len(answer.alternatives) + len(answer.obstacles) for answer in many.features)
    assert candidates_alive() - before <= 2 * whole + told, "and what is told of each feature"
