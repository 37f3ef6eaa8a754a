"""The entry point of the program: an interrupt ends it quietly, even while it still loads or already leaves."""

import os
import sys
from io import BufferedWriter, FileIO, RawIOBase, TextIOWrapper

from advisor.cli.interrupts import INTERRUPTED, interrupted, stop_watching, watch_interrupts


def run() -> None:
    """Load the command line and run it. From the first line to the last an interrupt ends in the exit code alone."""
    try:
        try:
            watch_interrupts()
            sys.unraisablehook = on_unraisable
            _write_all()
            from advisor.cli import main

            main.run()
        finally:
            stop_watching()
    except KeyboardInterrupt:
        sys.exit(INTERRUPTED)
    except Exception:
        if interrupted():  # and wrapped: before Python 3.12 a class that is made while a module loads does so
            sys.exit(INTERRUPTED)
        raise


def _write_all() -> None:
    """An unbuffered stdout (PYTHONUNBUFFERED, -u) gets a buffer: without one, what a full disk does not take is lost.

    A write to a raw stream may take a part, and the text above it forgets the rest without an error.
    """
    text = sys.stdout
    if isinstance(text, TextIOWrapper) and isinstance(text.buffer, RawIOBase):
        # Beside the old stream, which stays whole: an interrupt may come at any moment.
        whole = BufferedWriter(FileIO(text.fileno(), "wb", closefd=False))
        sys.stdout = TextIOWrapper(whole, text.encoding, text.errors, line_buffering=True)


def on_unraisable(what: "sys.UnraisableHookArgs") -> None:
    """An interrupt where Python cannot raise it would be told as a traceback, and the program would go on. What an
    object says that an interrupt left half made is not told: the program ends anyway.
    """
    if issubclass(what.exc_type, KeyboardInterrupt):
        os._exit(INTERRUPTED)
    if not interrupted():
        sys.__unraisablehook__(what)


if __name__ == "__main__":
    run()
