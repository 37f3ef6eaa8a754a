"""The lock of a learner's record: one session at a time, whatever becomes of the program."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager

from advisor.coach.record import file_of, name_of
from advisor.files.problems import BadInput, Problem
from advisor.files.whole_file import sweep, writing


@contextmanager
def session_of(who: str) -> Iterator[None]:
    """While this lasts, no other session of the learner can begin. A crash ends it too.

    Raises:
        BadInput: there is one already.
        Unwritable: the folder of the records cannot be written to.
    """
    path = file_of(who).with_suffix(".open")
    with writing(path):
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        held = os.open(path, os.O_WRONLY | os.O_CREAT | getattr(os, "O_NONBLOCK", 0), 0o600)  # waits for no pipe
    try:
        if not stat.S_ISREG(os.fstat(held).st_mode):
            raise BadInput([Problem(str(path), None, "", "what is no plain file", "that moved away")])
        try:
            _lock(held)
        except OSError:
            found = f"a session of {name_of(who)} that is still open"
            raise BadInput([Problem(str(path), None, "", found, "that one ended first, or another --who")]) from None
        sweep(file_of(who))  # nobody else writes it now
        yield
    finally:
        os.close(held)


def _lock(number: int) -> None:
    """Take the only lock of an open file, which ends with the program. Raises OSError where another has it."""
    try:
        import fcntl
    except ImportError:  # Windows
        import msvcrt

        msvcrt.locking(number, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
        return
    fcntl.flock(number, fcntl.LOCK_EX | fcntl.LOCK_NB)
