"""``roughing init``: a shop, a crib and a job that run at once; nothing is lost, and nobody is waited for."""

import os
import re
import shlex
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import get_args

import pytest
from typer.testing import CliRunner

from advisor.cli import init
from advisor.cli.main import app
from advisor.files.whole_file import write_whole
from advisor.model.fields import Coolant
from advisor.model.setup import SetupFields
from advisor.paths import CONFIG, data_root
from advisor.readers.assignment import read_assignment
from advisor.readers.setup import machine_kinds, questions
from tests.cli.commands import begun, roughing
from tests.cli.keyboard import END, INTERRUPT, talk

FILES = ["crib.csv", "job.yaml", "shop.yaml"]
ALL = (
    "--units", "inch", "--kind", "old", "--machine", "knee 3", "--speed", "3600 rpm", "--power", "7.5", "--feed", "150",
    "--rapid", "300 in/min", "--tool-change", "0", "--coolant", "mist", "--material", "1045",
)  # fmt: skip


def run(*words: object, **environment: str) -> tuple[int, str, str]:
    """The exit code, stdout and stderr of a command, run within this process."""
    found = CliRunner().invoke(app, [str(word) for word in words], env=environment)
    return found.exit_code, found.stdout, found.stderr


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


# What is written


@pytest.mark.parametrize("units", ["mm", "inch"])
def test_what_is_written_runs_at_once(units: str, tmp_path: Path) -> None:
    assert roughing("init", tmp_path / "new" / "shop", "--yes", "--units", units).returncode == 0
    assert names(tmp_path / "new" / "shop") == FILES
    ended = roughing("advise", tmp_path / "new" / "shop" / "job.yaml")
    assert (ended.returncode, ended.stderr) == (0, "")
    assert "First part" in ended.stdout


def test_without_a_folder_the_files_stand_here(tmp_path: Path) -> None:
    assert roughing("init", "--yes", folder=tmp_path).returncode == 0
    assert names(tmp_path) == FILES
    assert roughing("advise", "job.yaml", "--quick", folder=tmp_path).returncode == 0


def test_the_next_command_that_is_told_can_be_pasted(tmp_path: Path) -> None:
    folder = tmp_path / "my shop's"
    last = roughing("init", folder, "--yes", COLUMNS="50").stdout.splitlines()[-1]
    assert shlex.split(last) == ["roughing", "advise", str(folder / "job.yaml")]


def test_what_nobody_said_is_said_aloud(tmp_path: Path) -> None:
    code, told, remarks = run("init", tmp_path, "--yes", "--kind", "bench", "--material", "6082")
    assert (code, remarks) == (0, "")
    taken = dict(re.findall(r"^ +(--[\w-]+) +(.*)$", told, re.MULTILINE))
    assert taken == {
        "--units": "mm", "--machine": "bench-1", "--speed": "8000 1/min", "--power": "2.2 kW", "--feed": "4000 mm/min",
        "--rapid": "6000 mm/min", "--tool-change": "60 s", "--coolant": "air",
    }  # fmt: skip


def test_where_all_is_said_nothing_is_asked_or_taken(tmp_path: Path) -> None:
    code, told, remarks = run("init", tmp_path, *ALL)
    assert (code, remarks) == (0, "")
    assert "Taken" not in told
    machine = read_assignment(tmp_path / "job.yaml").machine
    assert (machine.name, machine.spindle.speed[-1], machine.tool_change) == ("knee 3", 3600, 0)
    assert (machine.feed_max, machine.rapid) == (3810, 7620)
    assert machine.spindle.power[-1] == pytest.approx(7.5 * 0.7457, abs=0.001)


def test_the_help_names_every_kind_of_machine_and_coolant() -> None:
    told = run("init", "--help", COLUMNS="200")[1]
    for word in (*machine_kinds(), *get_args(Coolant)):
        assert re.search(rf"\b{word}\b", told), word


# What is not as it must be


def test_every_slip_is_told_at_once_and_nothing_is_written(tmp_path: Path) -> None:
    slips = {
        "--units": ("cm", "mm or inch"), "--kind": ("verticle", "Did you mean vertical?"), "--speed": ("fast", "1/min"),
        "--power": ("15 PS", "15 kW"), "--feed": ("-3", "more than 0"), "--rapid": ("0.01", "at least 0.1 mm/min"),
        "--tool-change": ("6 min", "s"), "--coolant": ("none, air", "none alone"), "--material": ("C54", "material"),
        "--machine": (" ", "text"),
    }  # fmt: skip
    code, told, remarks = run(
        "init", tmp_path / "new", "--yes", *(word for slip in slips.items() for word in (slip[0], slip[1][0]))
    )
    assert (code, told) == (2, "")
    lines = {line.split(": ")[1]: line for line in remarks.splitlines()}
    assert sorted(lines) == sorted(slips)
    for option, (_, wanted) in slips.items():
        assert wanted in lines[option]
    assert not (tmp_path / "new").exists()


@pytest.mark.parametrize("given", [(), ("--units", "inch", "--machine", "a")])
def test_without_a_terminal_it_says_what_to_give_and_does_not_wait(given: tuple[str, ...], tmp_path: Path) -> None:
    code, told, remarks = run("init", tmp_path / "new", *given)
    assert (code, told) == (2, "")
    (line,) = remarks.splitlines()
    open_ones = [option for option in map(init.option, SetupFields.model_fields) if option not in ("--default", *given)]
    assert re.findall(r"--[\w-]+", line) == [*open_ones, "--yes"]
    assert not (tmp_path / "new").exists()


def test_a_pipe_that_stays_open_is_not_waited_for(tmp_path: Path) -> None:
    start = time.monotonic()
    with begun("init", tmp_path / "new") as running:
        _, told = running.communicate(timeout=60)
    assert running.returncode == 2
    assert "--yes" in told
    assert time.monotonic() - start < 50


def test_nobody_is_asked_who_cannot_see_the_question(tmp_path: Path) -> None:
    pty = pytest.importorskip("pty")
    here, there = pty.openpty()
    command = [sys.executable, "-m", "advisor.cli.start", "init", str(tmp_path / "new")]
    ended = subprocess.run(
        command, stdin=there, capture_output=True, text=True, timeout=60, check=False, cwd=data_root()
    )
    os.close(here)
    os.close(there)
    assert (ended.returncode, ended.stdout) == (2, "")
    assert "no terminal to ask at" in ended.stderr


@pytest.mark.parametrize("name", FILES)
def test_no_file_is_replaced(name: str, tmp_path: Path) -> None:
    (tmp_path / name).write_text("mine", encoding="utf-8")
    code, told, remarks = run("init", tmp_path, "--yes")
    assert (code, told) == (2, "")
    assert (
        remarks
        == f"{tmp_path / name}: found a file that is there already; wanted another folder, or --force to replace it.\n"
    )
    assert names(tmp_path) == [name]
    assert (tmp_path / name).read_text(encoding="utf-8") == "mine"


def test_files_are_replaced_where_that_is_asked_for(tmp_path: Path) -> None:
    for name in FILES:
        (tmp_path / name).write_text("mine", encoding="utf-8")
    assert run("init", tmp_path, "--yes", "--force")[0] == 0
    assert read_assignment(tmp_path / "job.yaml").job.part == "First part"
    assert names(tmp_path) == FILES


def test_a_link_that_leads_nowhere_is_a_file_that_is_there(tmp_path: Path) -> None:
    (tmp_path / "crib.csv").symlink_to("nowhere")
    assert run("init", tmp_path, "--yes")[0] == 2
    assert names(tmp_path) == ["crib.csv"]


def test_a_file_is_no_folder(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("mine", encoding="utf-8")
    code, _, remarks = run("init", tmp_path / "file", "--yes")
    assert code == 2
    assert f"FOLDER: found '{tmp_path / 'file'}'; wanted a folder" in remarks
    code, _, remarks = run("init", tmp_path / "file" / "below", "--yes")
    assert code == 74
    assert "cannot be written" in remarks
    assert (tmp_path / "file").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_an_interrupt_leaves_all_or_nothing(number: int, tmp_path: Path) -> None:
    start = time.monotonic()
    assert roughing("init", tmp_path / "whole", "--yes").returncode == 0
    whole = time.monotonic() - start
    for step in range(12):
        folder = tmp_path / f"new-{step}"
        with begun("init", folder, "--yes") as running:
            time.sleep(whole * step / 12)
            running.send_signal(number)
            _, told = running.communicate(timeout=60)
        assert running.returncode in (0, 130, -number)
        assert "Traceback" not in told
        assert not folder.exists() or names(folder) == FILES


# At a terminal


def test_at_a_terminal_it_asks_and_enter_takes_what_is_offered(tmp_path: Path) -> None:
    seen = talk("init", tmp_path / "new", typed=[""] * len(questions()))
    assert seen.code == 0
    assert all(question.ask in seen.screen for question in questions().values())
    assert all(kind.title in seen.screen for kind in machine_kinds().values())
    assert "Taken" not in seen.told  # all of it stood in the questions
    by_default = tmp_path / "by default"
    assert run("init", by_default, "--yes")[0] == 0
    for name in FILES:
        assert (tmp_path / "new" / name).read_bytes() == (by_default / name).read_bytes()


def test_at_a_terminal_a_slip_is_asked_again(tmp_path: Path) -> None:
    typed = [
        "inch", "hvy", "heavy", 'Böhm #1: "big"', "", "40", "800 kW", "800", "", "12 s", "flod", "flood and air",
        "6082-T9", "4140", "n",
    ]  # fmt: skip
    seen = talk("init", tmp_path / "new", typed=typed)
    assert seen.code == 0
    assert seen.screen.count("Wanted ") == 4
    assert "Did you mean heavy?" in seen.screen
    found = read_assignment(tmp_path / "new" / "job.yaml")
    assert (found.job.units, found.machine.name, found.machine.feed_max) == ("inch", 'Böhm #1: "big"', 20320)
    assert (found.machine.rapid, found.machine.coolant) == (20320, ("flood", "air"))
    assert found.material.name == "42CrMo4"


def test_at_a_terminal_what_an_option_says_is_not_asked(tmp_path: Path) -> None:
    seen = talk("init", tmp_path / "new", *ALL[:-2], "--no-default", typed=["C45"])
    assert seen.code == 0
    assert questions()["material"].ask in seen.screen
    assert questions()["units"].ask not in seen.screen


@pytest.mark.parametrize(("key", "code"), [(END, 2), (INTERRUPT, 130)])
def test_whoever_leaves_in_the_middle_leaves_nothing(key: str, code: int, tmp_path: Path) -> None:
    seen = talk("init", tmp_path / "new", typed=["mm", "vertical", key])
    assert (seen.code, seen.told) == (code, "")
    assert "Traceback" not in seen.screen
    assert not (tmp_path / "new").exists()


# The default shop


def test_a_default_shop_answers_for_the_job_and_for_any_other(tmp_path: Path) -> None:
    settings = tmp_path / "settings"
    environment = {CONFIG: str(settings)}
    ended = roughing("init", tmp_path / "new", "--yes", "--default", "--machine", "ours", **environment)
    assert ended.returncode == 0
    assert (names(tmp_path / "new"), names(settings)) == (["job.yaml"], ["crib.csv", "shop.yaml"])
    ended = roughing("advise", tmp_path / "new" / "job.yaml", "--quick", **environment)
    assert ended.returncode == 0
    assert ended.stderr == f"note: no shop given: using your default shop, {settings / 'shop.yaml'}\n"
    assert "on ours." in ended.stdout


def test_at_a_terminal_the_shop_becomes_the_default_one_by_a_yes(tmp_path: Path) -> None:
    settings = tmp_path / "settings"
    seen = talk("init", tmp_path / "new", *ALL, "--kind", "old", typed=[], **{CONFIG: str(settings)})
    assert (seen.code, settings.exists()) == (0, False)  # all else was said: nobody is asked
    seen = talk("init", tmp_path / "other", *ALL[:-2], typed=["C45", "y"], **{CONFIG: str(settings)})
    assert seen.code == 0
    assert names(settings) == ["crib.csv", "shop.yaml"]


def test_a_default_shop_is_not_replaced_unasked(tmp_path: Path) -> None:
    settings = tmp_path / "settings"
    settings.mkdir()
    (settings / "shop.yaml").write_text("mine", encoding="utf-8")
    environment = {CONFIG: str(settings)}
    assert run("init", tmp_path / "new", "--yes", "--default", **environment)[0] == 2
    assert not (tmp_path / "new").exists()
    seen = talk("init", tmp_path / "new", *ALL[:-2], typed=["C45"], **environment)
    assert seen.code == 0
    assert "Your default shop stays as it is" in seen.screen
    assert names(tmp_path / "new") == FILES
    assert (settings / "shop.yaml").read_text(encoding="utf-8") == "mine"


def test_where_the_last_file_cannot_be_written_the_others_are_as_before(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "shop.yaml").write_text("mine", encoding="utf-8")

    def full(path: Path, text: str | bytes) -> None:
        if path.name == "job.yaml":
            raise OSError(28, "No space left on device", str(path))
        write_whole(path, text)

    monkeypatch.setattr("advisor.files.all_files.write_whole", full)
    assert run("init", tmp_path, "--yes", "--force")[0] != 0
    assert names(tmp_path) == ["shop.yaml"]
    assert (tmp_path / "shop.yaml").read_text(encoding="utf-8") == "mine"
