"""What the README shows is what the program prints."""

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
RUN = "from advisor.cli.main import run; run()"


def printed(*words: str) -> str:
    environment = {**os.environ, "COLUMNS": "80", "PYTHONPATH": str(ROOT)}
    done = subprocess.run(
        [sys.executable, "-c", RUN, *words], cwd=ROOT, env=environment, capture_output=True, text=True, encoding="utf-8"
    )
    return done.stdout


def blocks() -> dict[str, str]:
    """The sessions of the README: what was typed, and what came out."""
    found = re.findall(r"```\n\$ roughing ([^\n]+)\n(.*?)```", README, re.DOTALL)
    return dict(found)


def engine_left_out(text: str) -> str:
    return re.sub(r"by\s+(durable-rules|(the\s+)?Python\s+evaluator)\.", "by ENGINE.", text)


def test_the_session_of_the_readme_is_real() -> None:
    shown = blocks()["advise cases/guide-slot-narrow/job.yaml"]
    out = printed("advise", "cases/guide-slot-narrow/job.yaml")
    assert engine_left_out(shown).split() == engine_left_out(out).split()


def test_the_evidence_of_the_readme_is_real() -> None:
    shown = blocks()["why cases/guide-slot-narrow/job.yaml S1"].replace("...\n", "")
    assert shown.strip() in printed("why", "cases/guide-slot-narrow/job.yaml", "S1")


def test_the_readme_starts_with_the_job_and_then_two_commands() -> None:
    marks = re.findall(r"<!-- (main|test) command -->\n```\n([^\n]+)\n```", README)
    assert [name for name, _ in marks] == ["main", "test"]
    assert README.index("<!-- main command -->") < README.index("## ")


def test_every_command_of_the_first_ten_minutes_runs(tmp_path: Path) -> None:
    section = README[README.index("## Your own part in ten minutes") :]
    lines = section.split("```")[1].strip().splitlines()
    assert lines[0].startswith("roughing init ")
    for line in lines:
        words = shlex.split(line)[1:] + (["--yes"] if line == lines[0] else [])
        environment = {**os.environ, "PYTHONPATH": str(ROOT)}
        done = subprocess.run(
            [sys.executable, "-c", RUN, *words], cwd=tmp_path, env=environment, capture_output=True, text=True,
            encoding="utf-8",
        )  # fmt: skip
        assert (done.returncode, done.stderr) == (0, ""), line


def test_the_review_of_the_readme_is_real() -> None:
    words = ("review", "cases/review-hatch-frame/job.yaml", "--say", "T1: E12P5L ap 29.5 ae 6")
    shown = blocks()['review cases/review-hatch-frame/job.yaml --say "T1: E12P5L ap 29.5 ae 6"'].replace("...\n", "")
    assert engine_left_out(printed(*words)).split()[: len(shown.split())] == engine_left_out(shown).split()
