"""The entry point of the program: an interrupt ends it quietly, even while it still loads."""

import os
import sys
from io import BufferedWriter, FileIO, RawIOBase, TextIOWrapper

INTERRUPTED = 130


def run() -> None:
    """Load the command line and run it."""
    sys.unraisablehook = _unraisable
    try:
        _write_all()
        from advisor.cli import main
    except KeyboardInterrupt:
        sys.exit(INTERRUPTED)
    main.run()


def _write_all() -> None:
    """An unbuffered stdout (PYTHONUNBUFFERED, -u) gets a buffer: without one, what a full disk does not take is lost.

    A write to a raw stream may take a part, and the text above it forgets the rest without an error.
    """
    text = sys.stdout
    if isinstance(text, TextIOWrapper) and isinstance(text.buffer, RawIOBase):
        # Beside the old stream, which stays whole: an interrupt may come at any moment.
        whole = BufferedWriter(FileIO(text.fileno(), "wb", closefd=False))
        sys.stdout = TextIOWrapper(whole, text.encoding, text.errors, line_buffering=True)


def _unraisable(what: "sys.UnraisableHookArgs") -> None:
    """An interrupt where Python cannot raise it would be told as a traceback, and the program would go on."""
    if issubclass(what.exc_type, KeyboardInterrupt):
        os._exit(INTERRUPTED)
    sys.__unraisablehook__(what)


if __name__ == "__main__":
    run()
