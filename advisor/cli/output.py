"""Where results and remarks go: results to stdout in what it can show, everything else to stderr."""

import os
import sys
from collections.abc import Iterable
from contextlib import suppress
from enum import StrEnum
from errno import EBADF
from typing import TYPE_CHECKING, Any, TextIO

from advisor.files.whole_file import write_whole, writing

if TYPE_CHECKING:
    from pathlib import Path

    from advisor.choosing.job_advice import Advice
    from advisor.text.blocks import Block

USUAL_COLUMNS = 80


class Format(StrEnum):
    """How a result is written."""

    text = "text"
    json = "json"
    markdown = "markdown"


class PageFormat(StrEnum):
    """How a result is written that can be a page with drawings too."""

    text = "text"
    json = "json"
    markdown = "markdown"
    html = "html"


class AdviceFormat(StrEnum):
    """How an advice is written: as a page, or its part table for a spreadsheet, too."""

    text = "text"
    json = "json"
    markdown = "markdown"
    html = "html"
    csv = "csv"


def show(blocks: Iterable["Block"], form: Format, file: "Path | None" = None) -> None:
    """Write blocks to stdout, as text (coloured on a terminal only) or as Markdown; or to a file, whole or not at
    all. Raises Unwritable where that fails.
    """
    from advisor.render.signs import can_show

    if file is not None:
        from advisor.render import markdown, terminal

        show_page(markdown.text(blocks) if form is Format.markdown else terminal.text(blocks, columns(), True), file)
        return

    signs = can_show(getattr(sys.stdout, "encoding", None))
    if form is Format.markdown:
        from advisor.render import markdown

        write(markdown.text(blocks), signs)
        return
    from advisor.render import terminal

    if sys.stdout is not None and coloured(sys.stdout):
        with writing(None):
            _show_coloured(terminal.lines(blocks, columns(), signs))
    else:
        write(terminal.text(blocks, columns(), signs))


def show_json(found: Any, file: "Path | None" = None) -> None:
    """Write plain values to a file, or to stdout as JSON, in ASCII where that can show no more."""
    show_page(as_json(found, file is None and ascii_only()) + "\n", file)


def as_json(found: Any, in_ascii: bool) -> str:
    """Plain values as JSON text, without a line end; what could drive a terminal is written as an escape."""
    import json

    text = json.dumps(found, indent=2, ensure_ascii=in_ascii, allow_nan=False)
    unshown = (sign for sign in set(text) if not sign.isprintable() and not sign.isspace())
    return text.translate({ord(sign): json.dumps(sign)[1:-1] for sign in unshown})


def ascii_only() -> bool:
    """Whether stdout may not bear more than ASCII."""
    return (getattr(sys.stdout, "encoding", None) or "").lower().replace("-", "") != "utf8"


def write(text: str, signs: bool = True) -> None:
    """Write text to stdout; what it cannot show is spelt out. Raises Unwritable where that fails or there is none."""
    with writing(None):
        if sys.stdout is None:
            raise OSError(EBADF, "no standard output")
        _write(text, sys.stdout, signs)


def flush() -> None:
    """Write out what stdout still holds. Raises Unwritable where that fails."""
    with writing(None):
        if sys.stdout is not None:
            sys.stdout.flush()


def show_page(text: str, file: "Path | None") -> None:
    """Write a text to a file, whole or not at all, or to stdout. Raises Unwritable where it cannot be written."""
    if file is None:
        write(text)
        return
    from advisor.files.problems import printable

    write_whole(file, text)
    remark(printable(f"written to {file}"))


def remark(*texts: str) -> None:
    """Write remarks to stderr, a line each. Where nobody listens, they are lost and nothing else is."""
    with suppress(OSError, ValueError):
        for text in texts:
            if sys.stderr is not None:
                _write(f"{text}\n", sys.stderr)


def _write(text: str, stream: TextIO, signs: bool = True) -> None:
    if not signs or not _encodable(text, stream):
        from advisor.render.signs import plain

        text = plain(text)
    stream.write(text)


def _encodable(text: str, stream: TextIO) -> bool:
    try:
        text.encode(stream.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def columns() -> int:
    """The width of the terminal, or of COLUMNS."""
    import shutil

    return shutil.get_terminal_size((USUAL_COLUMNS, 24)).columns


def coloured(stream: TextIO) -> bool:
    """Whether to use colour: on a terminal that knows it, unless NO_COLOR is set."""
    return on_terminal(stream) and not os.environ.get("NO_COLOR")


def on_terminal(stream: TextIO | None) -> bool:
    """Whether a stream goes to a terminal that can do more than print line after line."""
    return stream is not None and stream.isatty() and os.environ.get("TERM") != "dumb"


def _show_coloured(found: Iterable[Any]) -> None:
    from rich.console import Console
    from rich.text import Text

    console = Console(highlight=False, markup=False, emoji=False, soft_wrap=True)
    for line in found:
        shown = Text()
        for piece, style in line.pieces:
            shown.append(piece, style)
        console.print(shown)


def first_problem(file: str, field: str, found: str, wanted: str, known: Iterable[str] = ()) -> Exception:
    """A problem with what was asked, to be raised like one of a file."""
    from advisor.files.problems import BadInput, Problem, nearest_word

    return BadInput([Problem(file, None, field, repr(found), wanted, nearest_word(found, known))])


def recorded(advice: "Advice") -> object:
    """The record of an advice, as it is written in JSON."""
    from advisor.render.recording import record

    return record(advice).model_dump(mode="json", by_alias=True)
