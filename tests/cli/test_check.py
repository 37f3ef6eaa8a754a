"""``roughing rules check``: the table of what is proved, the findings with their jobs, and what it ends with."""

import gc
import json
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

import pytest

from advisor.cli.progress import at_work
from advisor.paths import data_root
from tests.cli.commands import at_a_terminal, roughing

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


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("house")
    (folder / "house.yaml").write_text(CONTRADICTS, encoding="utf-8")
    return folder


class Checked(NamedTuple):
    """How a check ended, and the folder of the jobs that it wrote."""

    done: subprocess.CompletedProcess[str]
    jobs: Path


@pytest.fixture(scope="module")
def checked(house: Path, tmp_path_factory: pytest.TempPathFactory) -> Checked:
    """The check of that house over pipes; a proof takes seconds, so it is made once."""
    jobs = tmp_path_factory.mktemp("checked") / "jobs"
    return Checked(roughing("rules", "check", "--house", house, "--witness", jobs), jobs)


def test_a_rule_of_the_house_that_contradicts_ends_with_2_and_its_job_is_written(house: Path, checked: Checked) -> None:
    done, jobs = checked
    assert done.returncode == 2
    told = " ".join(done.stdout.split())
    assert "our-rule recommends a way that slot-too-wide-to-ramp forbids" in told
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


def test_a_terminal_sees_that_rules_are_being_proved_and_the_result_is_clean(house: Path) -> None:
    _, told, seen = at_a_terminal("rules", "check", "--house", house)
    assert b"working out the cases" in seen
    assert b"proving the rules: no way is good and forbidden" in seen
    assert b"proving" not in told
    assert b"\x1b" not in told


def test_a_pipe_is_told_how_long_the_proof_takes_in_a_plain_line(checked: Checked) -> None:
    first, *more, last = checked.done.stderr.splitlines()
    assert str(checked.jobs) in last
    assert re.fullmatch(r"proving 1 rule: (a few seconds|\d+ s|\d+ min) at most", first)
    assert all(" of at most " in line for line in more), "on a busy machine also how far it is"


def test_memory_is_given_back_while_long_work_lasts() -> None:
    """The start of the program switches that off, for a short run."""
    gc.disable()
    try:
        with at_work("waiting"):
            assert gc.isenabled()
    finally:
        gc.enable()


def test_hundreds_of_rules_of_the_house_are_proved_in_bounded_memory(tmp_path: Path) -> None:
    """Three hundred took 2.4 GB and minutes once."""
    if not Path("/proc/self/status").exists():
        pytest.skip("no way here to ask for the most memory that a program had")
    (tmp_path / "house.yaml").write_text("add:" + "".join(map(one_of_many, range(MANY))), encoding="utf-8")
    command = [sys.executable, "-c", MEASURED, "rules", "check", "--house", str(tmp_path), "--format", "json"]
    environment = {**os.environ, "PYTHONPATH": str(data_root())}
    done = subprocess.run(command, env=environment, capture_output=True, encoding="utf-8", timeout=300, check=False)
    found = json.loads(done.stdout)["proof"]
    assert {one["names"][0] for one in found["findings"]} >= {f"our-rule-{number}" for number in range(2, MANY)}
    assert int(done.stderr.split()[-1]) < MOST_MEMORY


MEASURED = """
import re, sys
from advisor.cli.main import run
try:
    run()
finally:  # what getrusage tells counts the program that started this one, too
    print(re.search(r"VmHWM:\\s*(\\d+)", open("/proc/self/status").read())[1], file=sys.stderr)
"""
MOST_MEMORY = 200_000  # kB
MANY = 20  # at 8 MB each, as they took once, they would need more than that beside the program


def one_of_many(number: int) -> str:
    return f"""
  - id: our-rule-{number}
    title: Own rule {number}
    stage: clearing
    reason: broken cutters
    about: {{method: {("ramped_slotting", "layered_pocketing")[number % 2]}}}
    when: [depth_ratio > {0.5 + number / 20:.2f}]
    verdict: against
    because: "{{depth_ratio}} diameters is deep."
    source: {{common_practice: true}}
    examples: {{fires: [{{depth_ratio: {0.51 + number / 20:.2f}}}], silent: [{{depth_ratio: {0.5 + number / 20:.2f}}}]}}
"""


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
