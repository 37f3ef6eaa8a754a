"""``roughing rules check``: the table of what is proved, the findings with their jobs, and what it ends with."""

import json
from pathlib import Path

import pytest
from commands import roughing

pytest.importorskip("z3")
CONTRADICTS = """
add:
  - id: our-rule
    title: Our own rule
    stage: clearing
    reason: to see whether it is noticed
    about: {method: ramped_slotting}
    when: [width_ratio > 1.9]
    verdict: for
    because: At {width_ratio} it is so.
    source: {common_practice: true}
    examples: {fires: [{width_ratio: 1.91}], silent: [{width_ratio: 1.9}]}
"""


@pytest.fixture
def house(tmp_path: Path) -> Path:
    (tmp_path / "house.yaml").write_text(CONTRADICTS, encoding="utf-8")
    return tmp_path


def test_a_rule_of_the_house_that_contradicts_ends_with_2_and_its_job_is_written(house: Path, tmp_path: Path) -> None:
    jobs = tmp_path / "jobs"
    done = roughing("rules", "check", "--house", house, "--witness", jobs)
    assert done.returncode == 2
    told = " ".join(done.stdout.split())
    assert "our-rule speaks for a way that slot-too-wide-to-ramp forbids" in told
    (written,) = jobs.iterdir()
    assert "both fire for one way (seen)" in told
    advised = json.loads(roughing("advise", written / "job.yaml", "--house", house, "--format", "json").stdout)
    assert advised["features"]


def test_the_json_has_every_obligation_and_the_files_of_the_job(house: Path) -> None:
    found = json.loads(roughing("rules", "check", "--house", house, "--format", "json").stdout)["proof"]
    assert [one["obligation"] for one in found["obligations"]] == [
        "fires", "apart", "needed", "one_value", "circle", "order"
    ]  # fmt: skip
    (finding,) = found["findings"]
    assert finding["confirmed"] is True
    assert set(finding["job"]) == {"job.yaml", "shop.yaml", "crib.csv"}
    assert found["left_open"] == []


def test_the_quick_check_proves_nothing_and_says_so() -> None:
    done = roughing("rules", "check", "--no-proof")
    assert done.returncode == 0
    assert "All examples hold." in done.stdout
    assert "Proved" not in done.stdout


def test_without_the_solver_everything_else_is_checked_and_one_line_says_how_to_have_it(tmp_path: Path) -> None:
    (tmp_path / "sitecustomize.py").write_text(
        "import importlib.util as u\nfind = u.find_spec\n"
        "u.find_spec = lambda name, *more: None if name == 'z3' else find(name, *more)\n"
    )
    done = roughing("rules", "check", PYTHONPATH=f"{tmp_path}:{Path(__file__).parents[2]}")
    assert done.returncode == 0
    assert "All examples hold." in done.stdout
    assert done.stderr.strip() == (
        "proofs not run: z3-solver is not installed; pip install 'roughing-advisor[proof]' brings it"
    )
