"""Interrupted, killed, side by side: a file is the old one or the new one, and nothing is left lying about."""

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from advisor.cli import guard, interrupts
from advisor.cli.interrupts import INTERRUPTED
from advisor.files import cache as kept_module
from advisor.files.cache import LEFT_OVER, kept
from advisor.files.whole_file import write_whole
from advisor.paths import cases_dir, data_root
from tests.cli.commands import begun, roughing

SLOT = cases_dir() / "guide-slot-narrow" / "job.yaml"
# An interrupt at the line of this number, counted over what starts and ends the program.
AT_LINE = """
import os, sys
from advisor.cli import interrupts, main, start
number, line = int(sys.argv.pop(1)), int(sys.argv.pop(1))
files, passed = (start.__file__, interrupts.__file__, main.__file__), 0
def call(frame, event, _):
    return at if frame.f_code.co_filename in files and frame.f_code.co_name != "<module>" else None
def at(frame, event, _):
    global passed
    passed += event == "line"
    if passed == line:
        passed += 1
        os.kill(os.getpid(), number)
    return at
run, watch = start.run, start.watch_interrupts
start.watch_interrupts = lambda: (watch(), sys.settrace(call), sys._getframe(1).__setattr__("f_trace", at))
run()
"""


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_a_book_is_the_old_one_or_the_new_one(number: int, tmp_path: Path) -> None:
    book = tmp_path / "handbook.html"
    start = time.monotonic()
    assert roughing("rules", "book", "--format", "html", "--output", book).returncode == 0
    whole, new = time.monotonic() - start, book.read_bytes()
    for _ in range(5):
        book.write_text("the old one", encoding="utf-8")
        with begun("rules", "book", "--format", "html", "--output", book) as running:
            time.sleep(random.uniform(0, whole))
            running.send_signal(number)
            _, told = running.communicate(timeout=300)
        assert book.read_bytes() in (b"the old one", new)
        assert "Traceback" not in told
        assert running.returncode in (0, INTERRUPTED, -number)
        assert [path.name for path in tmp_path.iterdir()] == ["handbook.html"]


def test_an_interrupt_at_any_moment_ends_quietly(tmp_path: Path) -> None:
    for moment in (0.0, 0.05, 0.1, 0.2, 0.3):
        with begun("advise", SLOT, "--quick", XDG_CACHE_HOME=str(tmp_path)) as running:
            time.sleep(moment)
            running.send_signal(signal.SIGINT)
            _, told = running.communicate(timeout=300)
        assert running.returncode in (0, INTERRUPTED, -signal.SIGINT)
        assert told == ""
    assert not list(tmp_path.rglob("*.part"))


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_an_interrupt_at_any_line_of_the_start_and_the_end_ends_quietly(number: int) -> None:
    ends = []
    while 0 not in ends[1:]:
        ran = subprocess.run(
            [sys.executable, "-c", AT_LINE, str(int(number)), str(len(ends)), "--version"],
            capture_output=True, text=True, env={**os.environ, "PYTHONPATH": str(data_root())}, timeout=300,
        )  # fmt: skip
        assert ran.stderr == "", ran.stderr
        ends.append(ran.returncode)
    assert set(ends) == {0, INTERRUPTED, -number}
    assert len(ends) > 20


@pytest.mark.parametrize("interrupt", [True, False])
def test_an_interrupt_that_a_class_in_the_making_wraps_is_still_one(interrupt: bool) -> None:
    """Before Python 3.12 what goes wrong in ``__set_name__`` comes up as a RuntimeError."""
    program = (
        "import os, signal, sys\n"
        "from advisor.cli import main, start\n"
        "def run():\n"
        "    try:\n"
        f"        if {interrupt}: os.kill(os.getpid(), signal.SIGINT)\n"
        "    finally:\n"
        "        raise RuntimeError('x')\n"
        "main.run = run\n"
        "start.run()\n"
    )
    ended = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, cwd=data_root(), timeout=300
    )
    assert (ended.returncode, "RuntimeError: x" in ended.stderr) == ((INTERRUPTED, False) if interrupt else (1, True))


@pytest.mark.parametrize("wrapped", [RuntimeError("x"), OSError("x")])
def test_an_interrupt_that_a_library_wraps_is_still_one(wrapped: Exception, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken() -> int:
        raise wrapped

    monkeypatch.setattr(interrupts, "arrived", [signal.SIGINT])
    assert guard.outcome_of(broken) == INTERRUPTED


def test_a_write_that_is_broken_off_leaves_the_old_file_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "answer.html"
    file.write_text("old", encoding="utf-8")
    for name in ("fsync", "replace"):

        def interrupted(*_: object) -> None:
            raise KeyboardInterrupt

        with monkeypatch.context() as patch:
            patch.setattr(os, name, interrupted)
            with pytest.raises(KeyboardInterrupt):
                write_whole(file, "new")
        assert [path.read_text(encoding="utf-8") for path in tmp_path.iterdir()] == ["old"]


@pytest.mark.skipif(not Path("/dev/stdout").exists(), reason="needs /dev/stdout")
def test_a_page_for_standard_output_is_added_to_the_log_it_goes_to(tmp_path: Path) -> None:
    log, page = tmp_path / "log", tmp_path / "page.html"
    words = ["advise", SLOT, "--quick", "--format", "html", "--output"]
    assert roughing(*words, page).returncode == 0
    log.write_text("begun\n", encoding="utf-8")
    for name in ("/dev/stdout", log):
        with log.open("ab") as out:
            command = [sys.executable, "-m", "advisor.cli.start", *map(str, words), str(name)]
            assert subprocess.run(command, stdout=out, stderr=subprocess.DEVNULL, cwd=data_root()).returncode == 0
    assert log.read_bytes() == b"begun\n" + 2 * page.read_bytes()
    assert roughing(*words, "/dev/stdout").stdout.encode() == page.read_bytes()


def test_a_path_that_is_no_text_may_stand_in_what_is_written(tmp_path: Path) -> None:
    write_whole(tmp_path / "x", "house rules of /b\udcffd")
    assert (tmp_path / "x").read_bytes() == rb"house rules of /b\udcffd"


@pytest.fixture
def copies(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder where checked copies are kept."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.delenv(kept_module.SWITCH, raising=False)
    return tmp_path / "cache" / "roughing-advisor"


def once(numbers: list[int] | None) -> list[int]:
    """Keep these numbers, or what was kept before if there are none."""

    def read() -> list[int]:
        if numbers is None:
            raise AssertionError("the copy was not used")
        return numbers

    return kept(list, [Path(__file__)], read)


def test_a_damaged_copy_is_passed_over_and_written_anew(copies: Path) -> None:
    once([314159])
    (copy,) = copies.glob("*.pickle")
    assert once(None) == [314159]
    whole = copy.read_bytes()
    for place in range(0, len(whole), 3):
        damaged = bytearray(whole)
        damaged[place] ^= 4
        copy.write_bytes(damaged)
        assert once([314159]) == [314159]  # never another number
        assert copy.read_bytes() == whole
    for content in (b"", whole[:40], whole[:-1], whole + b"x"):
        copy.write_bytes(content)
        with pytest.raises(AssertionError, match="not used"):
            once(None)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs named pipes")
def test_a_pipe_in_place_of_a_copy_is_not_waited_for(copies: Path) -> None:
    once([1])
    (copy,) = copies.glob("*.pickle")
    copy.unlink()
    os.mkfifo(copy)
    assert once([1]) == [1]
    assert copy.is_file()


def test_a_copy_that_is_broken_off_leaves_nothing(copies: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "replace", interrupted)
    with pytest.raises(KeyboardInterrupt):
        once([1])
    assert list(copies.iterdir()) == []


def test_what_a_killed_process_left_is_swept_away_but_not_what_another_one_writes(copies: Path) -> None:
    copies.mkdir(parents=True)
    old, young = copies / "new-1.part", copies / "new-2.part"
    for half in (old, young):
        half.write_bytes(b"half")
    past = time.time() - 2 * LEFT_OVER
    os.utime(old, (past, past))
    once([1])
    assert not old.exists()
    assert young.exists()


def test_of_a_file_the_halves_that_killed_processes_left_go_with_the_next_writing(tmp_path: Path) -> None:
    page, past = tmp_path / "page.html", time.time() - 2 * LEFT_OVER
    names = [".page.html-0123456789abcdef.part", ".page.html-fedcba9876543210.part", ".page.html-mine.part"]
    old, young, mine = (tmp_path / name for name in names)
    for half in (old, young, mine):
        half.write_bytes(b"half")
        os.utime(half, (past, past) if half != young else None)
    write_whole(page, "whole")
    assert sorted(tmp_path.iterdir()) == sorted([page, young, mine])


def test_many_at_once_get_the_same_answer(tmp_path: Path) -> None:
    alone = roughing("advise", SLOT, "--quick", XDG_CACHE_HOME=str(tmp_path / "alone")).stdout
    with (
        begun("advise", SLOT, "--quick", XDG_CACHE_HOME=str(tmp_path / "shared")) as one,
        begun("advise", SLOT, "--quick", XDG_CACHE_HOME=str(tmp_path / "shared")) as other,
        begun("advise", SLOT, "--quick", XDG_CACHE_HOME=str(tmp_path / "shared")) as killed,
    ):
        killed.kill()
        told = [running.communicate(timeout=300)[0] for running in (one, other)]
    assert told == [alone, alone]
    assert roughing("advise", SLOT, "--quick", XDG_CACHE_HOME=str(tmp_path / "shared")).stdout == alone
