"""A wheel installed away from the checkout carries rules, tables and cases, and runs them."""

import json
import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from advisor.readers.assignment import read_assignment
from advisor.render.recording import record
from advisor.service import advise

ROOT = Path(__file__).parents[2]
RUN = "from advisor.cli.main import run; run()"


@pytest.fixture(scope="module")
def elsewhere(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("elsewhere")
    subprocess.run(
        [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(folder), str(ROOT)],
        check=True,
        capture_output=True,
    )
    (wheel,) = folder.glob("*.whl")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(folder / "site")
    return folder


def roughing(elsewhere: Path, *words: str) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PYTHONPATH": str(elsewhere / "site"), "COLUMNS": "80"}
    return subprocess.run(
        [sys.executable, "-c", RUN, *words],
        cwd=elsewhere,
        env=environment,
        capture_output=True,
        text=True,
        encoding="utf-8",
    )


def test_the_installed_package_is_the_one_that_runs(elsewhere: Path) -> None:
    shown = subprocess.run(
        [sys.executable, "-c", "import advisor, advisor.paths as p; print(advisor.__file__); print(p.rules_dir())"],
        cwd=elsewhere,
        env={**os.environ, "PYTHONPATH": str(elsewhere / "site")},
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    package, rules = map(Path, shown.splitlines())
    assert package == elsewhere / "site/advisor/__init__.py"
    assert rules == elsewhere / "site/advisor/_data/rules"


def test_the_wheel_carries_every_rule_file_and_its_examples(elsewhere: Path) -> None:
    here, there = ROOT / "rules", elsewhere / "site/advisor/_data/rules"
    files = sorted(path.relative_to(here) for path in here.rglob("*.yaml"))
    assert sorted(path.relative_to(there) for path in there.rglob("*.yaml")) == files
    assert any(path.name.endswith(".examples.yaml") for path in files)
    checked = roughing(elsewhere, "rules", "check", "--no-proof")
    assert checked.returncode == 0, checked.stderr
    assert (
        checked.stdout
        == subprocess.run(
            [sys.executable, "-c", RUN, "rules", "check", "--no-proof"],
            cwd=ROOT,
            env={**os.environ, "PYTHONPATH": str(ROOT), "COLUMNS": "80"},
            capture_output=True,
            text=True,
            encoding="utf-8",
        ).stdout
    )


def test_every_shipped_case_runs_from_the_wheel_as_from_the_checkout(elsewhere: Path) -> None:
    cases = sorted(path.name for path in (elsewhere / "site/advisor/_data/cases").iterdir() if path.is_dir())
    assert cases == sorted(path.name for path in (ROOT / "cases").iterdir() if path.is_dir())
    jobs = [str(elsewhere / "site/advisor/_data/cases" / case / "job.yaml") for case in cases]
    away = roughing(elsewhere, "advise", *jobs, "--quick", "--format", "json", "--processes", "1")
    assert away.returncode == 1, away.stderr  # of the cases, some have no way
    for case, entry in zip(cases, json.loads(away.stdout), strict=True):
        here = record(advise(read_assignment(ROOT / "cases" / case / "job.yaml"), quick=True)).model_dump(
            mode="json", by_alias=True
        )
        assert entry["advice"]["features"] == here["features"], case


def test_the_demo_of_the_readme_is_found_from_anywhere(elsewhere: Path) -> None:
    done = roughing(elsewhere, "advise", "cases/winch-side-plate/job.yaml", "--quick")
    assert done.returncode == 0
    assert "Winch side plate" in done.stdout


def test_a_first_shop_is_made_from_the_templates_of_the_wheel(elsewhere: Path, tmp_path: Path) -> None:
    done = roughing(elsewhere, "init", str(tmp_path / "shop"), "--yes")
    assert done.returncode == 0, done.stderr
    done = roughing(elsewhere, "advise", str(tmp_path / "shop" / "job.yaml"), "--quick")
    assert (done.returncode, done.stderr) == (0, "")


def test_a_page_is_made_from_the_templates_of_the_wheel(elsewhere: Path) -> None:
    done = roughing(elsewhere, "advise", "cases/guide-slot-narrow/job.yaml", "--quick", "--format", "html")
    assert done.returncode == 0, done.stderr
    assert "</svg>" in done.stdout
