"""The lines of a CSV text as an editor numbers them, and its rows."""

import csv
import io
from collections.abc import Iterator

from advisor.files.problems import BadInput, Problem

Row = tuple[int, list[str]]  # line, cells


def csv_lines(text: str) -> list[str]:
    r"""The lines of a text, each with ``\n`` at its end; a form feed or a U+2028 within a cell ends none."""
    return io.StringIO(text, newline=None).readlines()


def csv_rows(name: str, lines: list[str], delimiter: str, before: int) -> Iterator[Row]:
    """The rows that hold anything, each with its line; ``before`` is how many lines of the file come first.

    Raises:
        BadInput: cells that are not quoted as they must be.
    """
    reader = csv.reader(lines, delimiter=delimiter, strict=True)
    try:
        for cells in reader:
            stripped = [cell.strip() for cell in cells]
            if any(stripped):
                yield before + reader.line_num, stripped
    except csv.Error as error:
        found, wanted = f"an error in the CSV ({error})", "cells that are quoted in full or not"
        raise BadInput([Problem(name, before + reader.line_num, "", found, wanted)]) from None
