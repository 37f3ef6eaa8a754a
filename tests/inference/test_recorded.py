"""Answers recorded from the engine, replayed against the evaluator on any Python."""

import importlib.util
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from advisor.inference import evaluator
from advisor.knowledge.conditions import quantise
from advisor.knowledge.schema import Rule
from advisor.knowledge.shipped import rule_base
from tests.inference import record

STALE = "the recording is stale: python -m tests.inference.record"
HERE = Path(__file__).parent
NEWER = "3.13"


def test_the_evaluator_gives_every_recorded_answer_of_the_engine() -> None:
    base, families = rule_base(), dict[tuple[str, ...], evaluator.Family]()
    for entry in record.read():
        ids = tuple(entry["rules"])
        assert set(ids) <= set(base.by_id), STALE
        if ids not in families:
            families[ids] = evaluator.Family([base.by_id[rule_id] for rule_id in ids])
        assert sorted(families[ids].ask(entry["facts"])) == entry["fired"], f"{STALE}; or engine and evaluator differ"


def test_what_is_recorded_is_much_and_varied() -> None:
    """Source: reasoning alone. A replay of few or all-alike answers would prove little."""
    entries = record.read()
    assert len(entries) > 500
    assert len({rule_id for entry in entries for rule_id in entry["fired"]}) > 0.65 * len(rule_base().rules)
    assert any(not entry["fired"] for entry in entries)
    numbers = [value for entry in entries for value in entry["facts"].values() if not isinstance(value, str)]
    assert all(value == quantise(value) for value in numbers)


def test_a_changed_rule_would_be_noticed() -> None:
    """The replay can fail: with one rule never firing, some recorded answer differs."""
    base = rule_base()
    rule_id = "narrow-slot-is-ramped"
    entries = [entry for entry in record.read() if rule_id in entry["fired"]]
    assert entries
    deaf: list[Rule] = [base.by_id[other] for other in entries[0]["rules"] if other != rule_id]
    assert sorted(evaluator.Family(deaf).ask(entries[0]["facts"])) != entries[0]["fired"]


@pytest.mark.skipif(importlib.util.find_spec("durable") is None, reason="the engine is not installed")
def test_the_recording_is_not_stale() -> None:
    from advisor.inference import durable

    now, then = record.questions(record.recording(durable.Family)), record.questions(record.read())
    assert now == then, f"{STALE} ({len(now - then)} new, {len(then - now)} gone)"


def _newer_python() -> str | None:
    """Return a Python 3.13 of this computer, or None."""
    homes = sorted(Path.home().glob(f".pyenv/versions/{NEWER}*/bin/python"))
    for candidate in (os.environ.get("PYTHON313"), shutil.which(f"python{NEWER}"), *map(str, reversed(homes))):
        if candidate and _runs(candidate, f"import sys; assert sys.version_info[:2] == ({NEWER.replace('.', ', ')})"):
            return candidate
    return None


def _runs(python: str, code: str) -> bool:
    try:
        return subprocess.run([python, "-c", code], capture_output=True, timeout=300, check=False).returncode == 0
    except (OSError, subprocess.TimeoutExpired):
        return False


@pytest.mark.skipif(sys.version_info >= (3, 13), reason="this Python already runs without the engine")
def test_the_evaluator_decides_alone_on_a_python_without_the_engine(tmp_path: Path) -> None:
    python = _newer_python()
    if python is None:
        pytest.skip(f"no Python {NEWER} here")
    needs = "import pydantic, yaml, pytest, hypothesis"
    if not _runs(python, needs):
        made = subprocess.run(
            [python, "-m", "venv", str(tmp_path / "venv")], capture_output=True, timeout=300, check=False
        )
        python = str(tmp_path / "venv" / "bin" / "python")
        wanted = [
            python,
            "-m",
            "pip",
            "install",
            "-q",
            "--disable-pip-version-check",
            "--only-binary=:all:",
            "pydantic",
            "PyYAML",
            "pytest",
            "hypothesis",
        ]
        try:
            got = (
                made.returncode == 0
                and subprocess.run(wanted, capture_output=True, timeout=300, check=False).returncode == 0
            )
        except subprocess.TimeoutExpired:
            got = False
        if not got:
            pytest.skip(f"Python {NEWER} is here, but pydantic and the others cannot be had for it")
    tests = [
        str(HERE.parent / "cases"),
        str(HERE / "test_recorded.py"),
        str(HERE.parent / "knowledge" / "test_conditions.py"),
    ]
    plain = "addopts=--import-mode=importlib"  # one process: that environment has nothing to spread the tests with
    command = [python, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-o", plain, *tests]
    done = subprocess.run(command, cwd=HERE.parents[1], capture_output=True, text=True, timeout=300, check=False)
    assert done.returncode == 0, done.stdout[-3000:]
    assert " passed" in done.stdout or "100%" in done.stdout
