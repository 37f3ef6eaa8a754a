"""Streams and surroundings: pipes, colours, encodings, interrupts, faults of our own."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from advisor import service
from advisor.cli import output
from advisor.cli.main import app
from advisor.inference import Disagreement
from tests.cli.commands import NO_WAY, WINCH, all_of, at_a_terminal, roughing


def test_piped_output_has_no_colours() -> None:
    assert "\x1b" not in roughing("advise", WINCH, "--quick").stdout


@pytest.mark.parametrize(
    ("environment", "colour"),
    [({}, True), ({"NO_COLOR": "1"}, False), ({"TERM": "dumb"}, False), ({"NO_COLOR": ""}, True)],
)
def test_a_terminal_gets_colours_unless_it_asks_for_none(environment: dict[str, str], colour: bool) -> None:
    pty = pytest.importorskip("pty")
    here, there = pty.openpty()
    known = {name: value for name, value in os.environ.items() if name not in ("NO_COLOR", "COLUMNS")}
    words = [sys.executable, "-m", "advisor.cli.start", "rules", "show", "shank-rubs"]
    with subprocess.Popen(
        words, stdout=there, stderr=subprocess.DEVNULL, env={**known, "TERM": "xterm", **environment}
    ) as running:
        os.close(there)
        told = all_of(here)
    assert running.returncode == 0
    assert b"shank-rubs" in told
    assert (b"\x1b[" in told) is colour


@pytest.mark.parametrize("columns", [50, 80])
def test_a_narrow_terminal_is_kept_to(columns: int) -> None:
    told = roughing("advise", WINCH, "--quick", COLUMNS=str(columns)).stdout
    assert max(len(line) for line in told.splitlines()) <= columns


def test_an_output_of_ascii_alone_gets_ascii() -> None:
    ended = roughing("advise", WINCH, "--quick", PYTHONIOENCODING="ascii", COLUMNS="50")
    assert ended.returncode == 0
    assert ended.stdout.isascii()
    assert "240 x 55 mm" in ended.stdout
    assert max(len(line) for line in ended.stdout.splitlines()) <= 50


@pytest.mark.parametrize("form", ["json", "markdown"])
def test_every_format_can_be_written_in_ascii(form: str) -> None:
    ended = roughing("advise", WINCH, "--quick", "--format", form, PYTHONIOENCODING="ascii")
    assert ended.returncode == 0
    assert ended.stdout.isascii()


def test_a_plain_locale_is_no_obstacle() -> None:
    assert roughing("advise", WINCH, "--quick", LC_ALL="C", PYTHONUTF8="0", PYTHONCOERCECLOCALE="0").returncode == 0


def test_a_home_that_cannot_be_written_is_no_obstacle() -> None:
    elsewhere = {"HOME": "/proc", "XDG_CACHE_HOME": "/proc/cache", "XDG_CONFIG_HOME": "/proc/config"}
    ended = roughing("advise", WINCH, "--quick", **elsewhere)
    assert ended.returncode == 0
    assert ended.stderr == "note: no shop given: using the demo shop\n"


@pytest.mark.skipif(os.name == "nt", reason="needs a shell with pipes")
def test_a_reader_that_stops_early_is_left_in_peace() -> None:
    words = f"'{sys.executable}' -m advisor.cli.start why '{WINCH}' P1 2>&1 >&3 | cat"
    ended = subprocess.run(f"{{ {words}; }} 3>&1 | head -c 1", shell=True, capture_output=True, text=True, check=False)
    assert ended.stderr == ""
    assert "Traceback" not in ended.stdout
    assert "Exception" not in ended.stdout


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a full device")
def test_a_full_disk_is_told_in_one_line() -> None:
    with open("/dev/full", "w", encoding="utf-8") as full:
        words = [sys.executable, "-m", "advisor.cli.start", "advise", str(WINCH), "--quick"]
        ended = subprocess.run(words, stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert ended.returncode == 74
    assert "the result cannot be written" in ended.stderr
    assert "Traceback" not in ended.stderr


def test_an_interrupt_ends_quietly(monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(service, "advise_feature", interrupted)
    ended = CliRunner().invoke(app, ["advise", str(WINCH)])
    assert ended.exit_code == 130
    assert ended.stdout == ""


@pytest.mark.parametrize(
    "fault", [Disagreement("engine fired ['a'], evaluator ['b']"), RuntimeError("x"), ZeroDivisionError()]
)
def test_a_fault_of_our_own_gives_no_advice(monkeypatch: pytest.MonkeyPatch, fault: Exception) -> None:
    def broken(*_: object, **__: object) -> None:
        raise fault

    monkeypatch.setattr(service, "advise_feature", broken)
    ended = CliRunner().invoke(app, ["advise", str(WINCH)])
    assert ended.exit_code == 70
    assert ended.stdout == ""
    assert re.search(r"^internal error, no advice given: ", ended.stderr, re.MULTILINE)
    assert "Traceback" not in ended.stderr


def test_remarks_are_lost_quietly_where_nobody_listens(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(output.sys, "stderr", None)
    output.remark("nobody hears")


def test_results_do_not_depend_on_who_listens(tmp_path: Path) -> None:
    """To a pipe, with the remarks to another; to a file, with remarks to nobody; with a terminal for the remarks."""
    piped = roughing("advise", NO_WAY)
    with open(tmp_path / "told.txt", "wb") as file:
        words = [sys.executable, "-m", "advisor.cli.start", "advise", str(NO_WAY)]
        written = subprocess.run(words, stdout=file, stderr=subprocess.DEVNULL, check=False)
    assert "Not possible with this crib" in piped.stdout
    assert (tmp_path / "told.txt").read_text(encoding="utf-8") == piped.stdout
    assert piped.returncode == written.returncode == 1
    heard = at_a_terminal("advise", NO_WAY)
    assert (heard.code, heard.told.decode()) == (1, piped.stdout)
