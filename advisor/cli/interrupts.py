"""Ctrl-C and an end from outside (SIGTERM): noted, and raised as KeyboardInterrupt while the program runs."""

import signal
from typing import NoReturn

INTERRUPTED = 130
SIGNALS = (signal.SIGINT, signal.SIGTERM)
_came: list[int] = []  # the signals that came; what they raise may be wrapped in an exception of a library


def watch_interrupts() -> None:
    """From now on an interrupt is noted and raised as KeyboardInterrupt."""
    for number in SIGNALS:
        signal.signal(number, _interrupted)


def stop_watching() -> None:
    """From now on an interrupt ends the process at once, as the system does it: nothing is left to be put in order."""
    for number in SIGNALS:
        signal.signal(number, signal.SIG_DFL)


def interrupted() -> bool:
    """Whether an interrupt came, even if it was lost on its way up."""
    return bool(_came)


def _interrupted(number: int, _: object) -> NoReturn:
    _came.append(number)
    raise KeyboardInterrupt
