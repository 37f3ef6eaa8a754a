"""What surrounds every command: whatever happens, it ends in order and never in a traceback."""

import functools
import os
import sys
from collections.abc import Callable
from contextlib import suppress
from typing import TYPE_CHECKING, NoReturn, ParamSpec

from advisor.cli.interrupts import INTERRUPTED, interrupted

if TYPE_CHECKING:
    from advisor.files.problems import Problem

NO_WAY, BAD_INPUT, INTERNAL, UNWRITABLE = 1, 2, 70, 74
P = ParamSpec("P")


def guarded(command: Callable[P, int]) -> Callable[P, None]:
    """The command with its ends in order; the command gives its exit code."""

    @functools.wraps(command)
    def run(*args: P.args, **kwargs: P.kwargs) -> None:
        leave(outcome_of(lambda: command(*args, **kwargs)))

    del run.__wrapped__  # its return is not the command's
    run.__signature__ = _signature(command)  # type: ignore[attr-defined]
    return run


def _signature(command: Callable[P, int]) -> object:
    import inspect

    return inspect.signature(command).replace(return_annotation=None)


def outcome_of(command: Callable[[], int]) -> int:
    from advisor.cli.output import flush, remark
    from advisor.files.problems import BadInput, printable
    from advisor.files.whole_file import Unwritable

    try:
        code = command()
        flush()
    except BadInput as error:
        remark(*(str(problem) for problem in error.problems), *error.sample.splitlines())
        return BAD_INPUT
    except BrokenPipeError:
        return closed_pipe()
    except Unwritable as error:
        return INTERRUPTED if interrupted() else unwritable(error)
    except KeyboardInterrupt:
        return INTERRUPTED
    except Exception as error:
        if interrupted():
            return INTERRUPTED
        if isinstance(error, OSError) and error.filename is not None:
            remark(str(_unreadable(error)))
            return BAD_INPUT
        # Whatever went wrong inside is told in one line, without advice.
        remark(printable(f"internal error, no advice given: {type(error).__name__}: {error}"))
        return INTERNAL
    return code


def unwritable(error: OSError) -> int:
    """The exit code where a result cannot be written, which is told in one line."""
    from advisor.cli.output import remark
    from advisor.files.problems import printable

    closed_pipe()
    where = "" if error.filename is None else f" to {error.filename}"
    remark(printable(f"the result cannot be written{where}: {error.strerror or error}"))
    return UNWRITABLE


def _unreadable(error: OSError) -> "Problem":
    """What is wrong with a file that no reader told of."""
    from advisor.files.problems import Problem

    found = f"what cannot be read ({error.strerror})"
    return Problem(os.fsdecode(error.filename), None, "", found, "a file or folder that can be read")


def closed_pipe() -> int:
    """Nobody reads any more: say nothing further, not even at exit."""
    with suppress(OSError, ValueError, AttributeError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return 0


def leave(code: int) -> NoReturn:
    """End the command with an exit code."""
    import typer

    raise typer.Exit(code)
