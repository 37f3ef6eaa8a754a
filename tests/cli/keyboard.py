"""Somebody at a keyboard: a command whose standard input and remarks are a terminal."""

import os
import select
import signal
import subprocess
import sys
import time
from collections.abc import Iterable
from typing import NamedTuple

import pytest

from advisor.paths import data_root

LONGEST = 60.0  # s without a word from the program
END = "\x04"  # Ctrl-D
INTERRUPT = "\x03"  # Ctrl-C


class Talk(NamedTuple):
    """How a command ended, what it wrote to a pipe, and what stood on the screen."""

    code: int
    told: str
    screen: str


def talk(*words: object, typed: Iterable[str], prompt: str = "> ", **environment: str) -> Talk:
    """Return what comes of typing an answer at each prompt. A line has no end; a control sign is sent as it is.

    Skips the test where there are no terminals.
    """
    pty = pytest.importorskip("pty")
    here, there = pty.openpty()
    command = [sys.executable, "-m", "advisor.cli.start", *map(str, words)]
    known = {**os.environ, "PYTHONPATH": str(data_root()), "TERM": "xterm", **environment}
    with subprocess.Popen(
        command, env=known, stdin=there, stdout=subprocess.PIPE, stderr=there, start_new_session=True,
        preexec_fn=_own_terminal, encoding="utf-8",
    ) as running:  # fmt: skip
        os.close(there)
        screen = ""
        for line in typed:
            screen += _until(here, prompt)
            os.write(here, (line if line in (END, INTERRUPT) else f"{line}\n").encode())
        screen += _until(here, None)
        told, _ = running.communicate(timeout=LONGEST)
    os.close(here)
    return Talk(running.returncode, told, screen.replace("\r\n", "\n"))


def _own_terminal() -> None:
    """In the child: make its standard input the terminal that Ctrl-C comes from."""
    import fcntl
    import termios

    fcntl.ioctl(0, termios.TIOCSCTTY, 0)
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def _until(here: int, prompt: str | None) -> str:
    """What is written up to the next prompt, or to the end."""
    seen, start = b"", time.monotonic()
    while prompt is None or not seen.decode("utf-8", "replace").endswith(prompt):
        if not select.select([here], [], [], 1.0)[0]:
            if time.monotonic() - start > LONGEST:
                raise AssertionError(f"no prompt after {seen!r}")
            continue
        try:
            piece = os.read(here, 4096)
        except OSError:  # the other end is closed
            break
        if not piece:
            break
        seen += piece
    return seen.decode("utf-8", "replace")
