"""Running the program as a user does: in a process of its own."""

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import NamedTuple

import pytest

from advisor.paths import cases_dir, data_root

WINCH = cases_dir() / "winch-side-plate" / "job.yaml"
NO_WAY = cases_dir() / "valve-block-no-way" / "job.yaml"


def roughing(*words: object, folder: Path | None = None, **environment: str) -> subprocess.CompletedProcess[str]:
    """Return how a command ended, with what it wrote; all bytes read as UTF-8."""
    known = {name: value for name, value in os.environ.items() if name not in ("COLUMNS", "NO_COLOR", "FORCE_COLOR")}
    path = os.pathsep.join([str(data_root()), known.get("PYTHONPATH", "")])
    return subprocess.run(
        [sys.executable, "-m", "advisor.cli.start", *map(str, words)],
        capture_output=True,
        cwd=folder or data_root(),
        env={**known, "PYTHONPATH": path, **environment},
        encoding="utf-8",
        timeout=300,
        check=False,
    )


READY = """
import signal
from advisor.cli import start
if hasattr(signal, "SIGHUP"):
    signal.signal(signal.SIGHUP, signal.SIG_DFL)  # nohup, that the tests may run under, has it ignored
watch = start.watch_interrupts
start.watch_interrupts = lambda: print("ready", flush=True) or watch()
start.run()
"""


@contextmanager
def begun(*words: object, alone: bool = False, **environment: str) -> Iterator[subprocess.Popen[str]]:
    """A command in a process of its own, from the moment that it minds interrupts; ``alone`` in a group of its own."""
    known = {**os.environ, "PYTHONPATH": str(data_root()), **environment}
    with subprocess.Popen(
        [sys.executable, "-c", READY, *map(str, words)], start_new_session=alone,
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=known, cwd=data_root(), encoding="utf-8",
    ) as running:  # fmt: skip
        try:
            assert running.stdout is not None
            assert running.stdout.readline() == "ready\n"
            yield running
        finally:
            running.kill()


class Seen(NamedTuple):
    """How a command ended, what it wrote to a pipe, and what a terminal saw of its remarks."""

    code: int
    told: bytes
    remarks: bytes


def at_a_terminal(*words: object) -> Seen:
    """Return what comes of a command whose stderr is a terminal. Skips the test where there are none."""
    pty = pytest.importorskip("pty")
    here, there = pty.openpty()
    command = [sys.executable, "-m", "advisor.cli.start", *map(str, words)]
    environment = {**os.environ, "PYTHONPATH": str(data_root()), "TERM": "xterm"}
    with subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, stderr=there) as process:
        os.close(there)
        told, _ = process.communicate(timeout=300)
    return Seen(process.returncode, told, all_of(here))


def all_of(here: int) -> bytes:
    """Return what was written to the other end of a terminal, which is closed."""
    seen = b""
    with suppress(OSError):  # the other end is closed: all is read
        while piece := os.read(here, 4096):
            seen += piece
    os.close(here)
    return seen
