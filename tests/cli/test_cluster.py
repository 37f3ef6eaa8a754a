"""Many jobs sent to a cluster: a real scheduler and its workers on loopback."""

import json
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from advisor.paths import cases_dir
from tests.cli.clusters import scheduler, wait_for_workers, worker
from tests.cli.commands import roughing

SLOT = cases_dir() / "guide-slot-narrow" / "job.yaml"
CASES = sorted(cases_dir().glob("*/job.yaml"))
NOBODY = "tcp://127.0.0.1:9"  # the port that discards, where nobody listens


@pytest.fixture(scope="module")
def cluster(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a scheduler with two workers, each in a folder of its own."""
    one, other = tmp_path_factory.mktemp("one"), tmp_path_factory.mktemp("other")
    with scheduler(one) as (address, _), worker(address, one), worker(address, other):
        wait_for_workers(address, 2)
        yield address


@pytest.fixture(scope="module")
def here() -> subprocess.CompletedProcess[str]:
    """What one process gives for the cases."""
    return roughing("advise", "cases", "--quick", "--processes", "1")


def test_a_cluster_gives_what_one_process_gives(cluster: str, here: subprocess.CompletedProcess[str]) -> None:
    there = roughing("advise", "cases", "--quick", "--cluster", cluster)
    assert there.stdout == here.stdout
    assert there.stderr == here.stderr
    assert there.returncode == here.returncode == 1


def test_one_bad_file_does_not_stop_the_rest_on_a_cluster(cluster: str, tmp_path: Path) -> None:
    (tmp_path / "bad.yaml").write_text("part: A\nfeatures: 3\n", encoding="utf-8")
    words = ("advise", SLOT, "bad.yaml", SLOT.parent, "--quick", "--format", "json")
    here = roughing(*words, "--processes", "1", folder=tmp_path)
    there = roughing(*words, "--cluster", cluster, folder=tmp_path)
    assert (there.returncode, there.stdout, there.stderr) == (2, here.stdout, here.stderr)
    assert [sorted(entry) for entry in json.loads(there.stdout)] == [["advice", "file"], ["faults", "file"]]
    assert "bad.yaml:2: features: found 3" in there.stderr


def test_a_worker_that_is_lost_costs_no_answer(here: subprocess.CompletedProcess[str], tmp_path: Path) -> None:
    with scheduler(tmp_path) as (address, _), worker(address, tmp_path) as lost, worker(address, tmp_path):
        wait_for_workers(address, 2)
        command = [sys.executable, "-m", "advisor.cli.start", "advise", "cases", "--quick", "--cluster", address]
        with (
            (tmp_path / "remarks.txt").open("w") as remarks,
            subprocess.Popen(command, stdout=subprocess.PIPE, stderr=remarks, text=True) as running,
        ):
            assert running.stdout is not None
            told = running.stdout.readline()  # the work is under way
            lost.kill()
            told += running.stdout.read()
    assert running.returncode == 1, (tmp_path / "remarks.txt").read_text()
    assert told == here.stdout


@pytest.mark.parametrize("what", ["scheduler", "only worker"])
def test_what_cannot_be_done_without_is_told_with_how_far_it_came(what: str, tmp_path: Path) -> None:
    with scheduler(tmp_path) as (address, centre), worker(address, tmp_path) as alone:
        wait_for_workers(address, 1)
        command = [sys.executable, "-m", "advisor.cli.start", "advise", "cases", "--quick", "--cluster", address]
        with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as running:
            assert running.stdout is not None
            running.stdout.readline()
            (centre if what == "scheduler" else alone).kill()
            _, remarks = running.communicate(timeout=300)
    assert running.returncode == 70
    assert "Traceback" not in remarks
    assert "stopped: " in remarks
    assert f" of {len(CASES)} jobs answered, none from cases/" in remarks


def test_a_worker_with_another_advisor_is_refused(tmp_path: Path) -> None:
    package = tmp_path / "advisor"
    (package / "cli").mkdir(parents=True)
    (package / "cli" / "__init__.py").touch()
    (package / "__init__.py").write_text('__version__ = "0.0.1"\n', encoding="utf-8")
    (package / "cli" / "cluster.py").write_text("def version():\n    return '0.0.1'\n", encoding="utf-8")
    with scheduler(tmp_path) as (address, _), worker(address, tmp_path, PYTHONPATH=str(tmp_path)):
        wait_for_workers(address, 1)
        ended = roughing("advise", "cases", "--cluster", address)
    assert ended.returncode == 2
    assert ended.stdout == ""
    assert "0.0.1; wanted the same roughing on every worker" in ended.stderr


@pytest.mark.parametrize("address", [NOBODY, "nonsense://x", ""])
def test_an_address_where_no_scheduler_answers_is_told_in_one_line(address: str) -> None:
    ended = roughing("advise", "cases", "--cluster", address)
    assert ended.returncode == 2
    assert ended.stdout == ""
    assert ended.stderr.startswith(f"--cluster: ADDRESS: found {address!r}, where no scheduler answers")
    assert len(ended.stderr.splitlines()) == 1


def test_without_the_extra_it_is_said_what_to_install(tmp_path: Path) -> None:
    (tmp_path / "distributed.py").write_text("raise ImportError\n", encoding="utf-8")
    ended = roughing("advise", "cases", "--cluster", NOBODY, PYTHONPATH=str(tmp_path))
    assert ended.returncode == 2
    assert "pip install 'roughing-advisor[cluster]'" in ended.stderr


def test_one_job_is_not_sent_to_a_cluster() -> None:
    ended = roughing("advise", SLOT, "--quick", "--cluster", NOBODY)
    assert (ended.returncode, ended.stdout) == (2, "")
    assert "--cluster: found 'tcp://127.0.0.1:9'; wanted several jobs" in ended.stderr
