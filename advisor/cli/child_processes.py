"""What becomes of the processes that the program started when it is killed and cannot end them itself."""

from __future__ import annotations

import os
import sys
import threading
import time

LOOKED_AFTER = 0.2  # s between looks for the process that started this one


def end_with(starter: int) -> None:
    """Have this process end, within ``LOOKED_AFTER``, once the process that started it, by its number, is gone.

    Whatever it works at is given up: nobody is left to take its results. Meant to be called first thing in a worker.
    """
    threading.Thread(target=_outlive_not, args=(starter,), daemon=True).start()


def _outlive_not(starter: int) -> None:
    _wait_for_the_end_of(starter)
    os._exit(1)  # no leave is taken of anybody: the pipes to them are broken


def _wait_for_the_end_of(starter: int) -> None:
    if sys.platform == "win32":  # there a process keeps the number of its parent, but may wait for its end
        import _winapi

        handle = _winapi.OpenProcess(_winapi.SYNCHRONIZE, False, starter)
        _winapi.WaitForSingleObject(handle, _winapi.INFINITE)
        return
    while os.getppid() == starter:  # an orphan is given another parent
        time.sleep(LOOKED_AFTER)
