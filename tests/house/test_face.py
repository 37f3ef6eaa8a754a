"""The face for Python: what the README shows runs, and says the same as the command."""

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest
import yaml

import advisor

ROOT = Path(__file__).parents[2]
JOB = ROOT / "cases" / "winch-side-plate" / "job.yaml"
HATCH = ROOT / "cases" / "review-hatch-frame"
NARROW = ROOT / "cases" / "guide-slot-narrow" / "job.yaml"


def command(*words: str) -> str:
    run = [sys.executable, "-m", "advisor.cli.start", *words]
    return subprocess.run(run, capture_output=True, text=True, cwd=ROOT, check=False, encoding="utf-8").stdout


def test_the_lines_of_the_readme_run_in_a_fresh_interpreter() -> None:
    lines = re.search(r"```python\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), re.DOTALL)
    assert lines is not None
    assert len([line for line in lines.group(1).splitlines() if line.strip()]) <= 5
    done = subprocess.run([sys.executable, "-c", lines.group(1)], capture_output=True, text=True, cwd=ROOT, check=True)
    features = [feature["id"] for feature in yaml.safe_load(JOB.read_text(encoding="utf-8"))["features"]]
    assert [line.split()[0] for line in done.stdout.splitlines()] == features
    assert {line.split()[1] for line in done.stdout.splitlines()} <= {"good", "workable", "poor"}


def test_data_and_text_are_those_of_the_command() -> None:
    job = advisor.read_job(NARROW)
    answer = advisor.advise(job)
    assert advisor.as_data(answer) == json.loads(command("advise", str(NARROW), "--format", "json"))
    assert advisor.as_markdown(answer) == command("advise", str(NARROW), "--format", "markdown")
    other = advisor.compare(job, "S1", method="layered pocketing")
    asked = ("why", str(NARROW), "S1", "--not", "layered pocketing")
    assert advisor.as_data(other) == json.loads(command(*asked, "--format", "json"))
    assert advisor.as_markdown(other) == command(*asked, "--format", "markdown")


def test_data_tell_the_feed_of_the_centre_that_a_plan_in_a_round_hole_is_given() -> None:
    """It is the feed at the wall times the way of the centre over that along the wall; elsewhere there is none."""
    hole = "{id: B1, kind: round_hole, diameter: 12, depth: 12, floor: true, purpose: bore, allowance_side: 1}"
    slot = "{id: S1, kind: slot, length: 60, width: 12, depth: 6, floor: true, open_ends: 0}"
    job = advisor.parse_job(f"{{part: X, material: S355J2, machine: vmc-40-12k, features: [{hole}, {slot}]}}")
    round_hole, straight = advisor.as_data(advisor.advise(job))["features"]
    told, bore, DC = round_hole["settings"], 12 - 2 * 1, 6
    assert round_hole["cutter"] == "E6H6"
    assert told["centre_feed"] == pytest.approx(told["feed_rate"] * (bore - DC) / bore, rel=1e-3)
    assert straight["settings"]["centre_feed"] is None


def test_a_review_is_that_of_the_command() -> None:
    job, file = advisor.read_job(HATCH / "job.yaml"), HATCH / "plans" / "full-flute-overload.yaml"
    plan = advisor.read_plan(file, job)
    words = ("review", str(HATCH / "job.yaml"), str(file))
    found = advisor.review_plan(plan, job)
    assert advisor.as_data(found) == json.loads(command(*words, "--format", "json"))
    assert advisor.as_html(found) == command(*words, "--format", "html")
    parsed = advisor.parse_plan(file.read_text(encoding="utf-8"), job)
    assert advisor.review_plan(parsed, job).findings == found.findings
    said = advisor.parse_operations("T1: E12P5L ap 29.5 ae 6", job)
    assert advisor.as_data(advisor.review_plan(said, job))["findings"]


def test_a_text_is_read_as_its_file() -> None:
    parsed = advisor.parse_job(JOB.read_text(encoding="utf-8"), folder=JOB.parent)
    read = advisor.read_job(JOB)
    assert parsed == read.model_copy(update={"files": parsed.files})
    assert JOB not in parsed.files


def test_faults_have_their_place() -> None:
    with pytest.raises(advisor.BadInput) as fault:
        advisor.parse_job("part: x\nmaterial: C45\nmachine: vmc-40-12k\nfeatures:\n- {id: A, kind: slot, width: 0}\n")
    problems = fault.value.problems
    assert {problem.file for problem in problems} == {"job"}
    assert all(problem.line == 5 and problem.wanted for problem in problems)
    with pytest.raises(advisor.BadInput):
        advisor.compare(advisor.read_job(NARROW), "S1", method="nonsense")
    for ask in (advisor.explain, advisor.compare):
        with pytest.raises(advisor.BadInput, match="found 'nothing'; wanted a feature of the job: S1"):
            ask(advisor.read_job(NARROW), "nothing")


def test_an_answer_has_all_that_is_shown_of_it() -> None:
    """Writing it asks neither rules nor cutters again."""
    answer = advisor.advise(advisor.read_job(NARROW))
    before = answer.bench.inference.questions
    advisor.as_text(answer)
    advisor.as_html(answer)
    advisor.as_data(answer)
    assert answer.bench.inference.questions == before
    assert answer.features[0].alternatives


def test_every_name_of_the_face_is_there_and_documented() -> None:
    for name in advisor.__all__:
        assert getattr(advisor, name).__doc__, name
    assert set(advisor.__all__) <= set(dir(advisor))
    with pytest.raises(AttributeError, match="nonsense"):
        advisor.nonsense  # noqa: B018
    assert (Path(advisor.__file__).parent / "py.typed").is_file()
