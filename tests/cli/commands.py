"""Running the program as a user does: in a process of its own."""

import os
import subprocess
import sys
from contextlib import suppress
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
        timeout=120,
        check=False,
    )


class Seen(NamedTuple):
    """How a command ended, what it wrote to a pipe, and what a terminal saw of its remarks."""

    code: int
    told: bytes
    remarks: bytes


def at_a_terminal(*words: object, timeout: int = 60) -> Seen:
    """Return what comes of a command whose stderr is a terminal. Skips the test where there are none."""
    pty = pytest.importorskip("pty")
    here, there = pty.openpty()
    command = [sys.executable, "-m", "advisor.cli.start", *map(str, words)]
    environment = {**os.environ, "PYTHONPATH": str(data_root()), "TERM": "xterm"}
    with subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, stderr=there) as process:
        os.close(there)
        told, _ = process.communicate(timeout=timeout)
    return Seen(process.returncode, told, all_of(here))


def all_of(here: int) -> bytes:
    """Return what was written to the other end of a terminal, which is closed."""
    seen = b""
    with suppress(OSError):  # the other end is closed: all is read
        while piece := os.read(here, 4096):
            seen += piece
    os.close(here)
    return seen
