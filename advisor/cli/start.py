"""The entry point of the program: an interrupt ends it quietly, even while it still loads."""

import os
import sys

INTERRUPTED = 130


def run() -> None:
    """Load the command line and run it."""
    sys.unraisablehook = _unraisable
    try:
        from advisor.cli import main
    except KeyboardInterrupt:
        sys.exit(INTERRUPTED)
    main.run()


def _unraisable(what: "sys.UnraisableHookArgs") -> None:
    """An interrupt where Python cannot raise it would be told as a traceback, and the program would go on."""
    if issubclass(what.exc_type, KeyboardInterrupt):
        os._exit(INTERRUPTED)
    sys.__unraisablehook__(what)


if __name__ == "__main__":
    run()
