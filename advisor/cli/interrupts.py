"""Ctrl-C and an end from outside (SIGTERM): noted, and raised as KeyboardInterrupt while the program runs."""

import signal
from collections.abc import Iterator
from contextlib import contextmanager

INTERRUPTED = 130
SIGNALS = (signal.SIGINT, signal.SIGTERM)
arrived: list[int] = []  # the signals that came; what they raise may be wrapped in an exception of a library
_finishing: list[int] = []  # how many had come when what is to be finished first began


def watch_interrupts() -> None:
    """From now on an interrupt is noted and raised as KeyboardInterrupt."""
    for number in SIGNALS:
        signal.signal(number, on_signal)


def stop_watching() -> None:
    """From now on an interrupt ends the process at once, as the system does it: nothing is left to be put in order."""
    for number in SIGNALS:
        signal.signal(number, signal.SIG_DFL)


def interrupted() -> bool:
    """Whether an interrupt came, even if it was lost on its way up."""
    return bool(arrived)


@contextmanager
def finished_first() -> Iterator[None]:
    """An interrupt is raised once what stands within is finished, such as writing; a second one at once."""
    _finishing.append(len(arrived))
    try:
        yield
    finally:
        before = _finishing.pop()
    if len(arrived) > before:
        raise KeyboardInterrupt


def on_signal(number: int, _: object) -> None:
    arrived.append(number)
    if not _finishing or len(arrived) > _finishing[0] + 1:
        raise KeyboardInterrupt
