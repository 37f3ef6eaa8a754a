"""What is typed at standard input, a line at a time, whatever bytes come."""

import sys
from io import TextIOWrapper


def any_bytes() -> None:
    """Let bytes of another encoding be read as signs that no answer has, rather than end the command."""
    if isinstance(sys.stdin, TextIOWrapper):
        sys.stdin.reconfigure(errors="replace")


def typed_line() -> str:
    """The next line with its end, empty at the end of input. Raises BadInput where it cannot be read."""
    from advisor.files.problems import BadInput, Problem

    try:
        return sys.stdin.readline() if sys.stdin is not None else ""
    except OSError as error:
        found = f"what cannot be read ({error.strerror})"
        raise BadInput([Problem("standard input", None, "", found, "answers")]) from None
    except UnicodeError as error:
        found = f"what is no text in {sys.stdin.encoding} ({getattr(error, 'reason', None) or error})"
        raise BadInput([Problem("standard input", None, "", found, "answers")]) from None


def at_a_keyboard() -> bool:
    """Whether somebody can be asked at a terminal: sees the questions, on stderr, and can answer them."""
    return all(stream is not None and stream.isatty() for stream in (sys.stdin, sys.stderr))
