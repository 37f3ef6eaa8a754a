"""What is wrong with a file: told by file, line, field, what was found, what is wanted and the nearest known word."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import islice

LONGEST_SHOWN = 60
LONGEST_FIELD = 160
LONGEST_FOUND = 600
MOST_PROBLEMS = 100  # of one refusal: nobody reads more
MORE = "more problems than are listed here"
LONGEST_COMPARED = 80
CLOSE_ENOUGH = 0.6
MOST_LISTED = 24


def printable(text: str) -> str:
    """Return the text with control characters escaped, so that a bad file cannot drive the terminal."""
    return text if text.isprintable() else "".join(c if c.isprintable() else ascii(c)[1:-1] for c in text)


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong in one place. `found` and `wanted` are phrases that complete "found ..." and "wanted ..."."""

    file: str
    line: int | None
    field: str
    found: str
    wanted: str
    nearest: str | None = None

    def __str__(self) -> str:
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        field = f"{_cut(self.field, LONGEST_FIELD)}: " if self.field else ""
        hint = f" Did you mean {self.nearest}?" if self.nearest else ""
        return printable(f"{place}: {field}found {_cut(self.found, LONGEST_FOUND)}; wanted {self.wanted}.{hint}")


def _cut(text: str, longest: int) -> str:
    return text if len(text) <= longest else text[:longest] + "…"


class BadInput(Exception):
    """Raised by every reader for what is wrong with what it was given.

    `problems` is never empty, and no longer than anybody reads: if there are more, the last one says so. `sample` is
    text that would have been read, to copy from; mostly there is none.
    """

    def __init__(self, problems: Iterable[Problem], sample: str = "") -> None:
        first = tuple(islice(problems, MOST_PROBLEMS + 1))
        if not first:
            raise ValueError("BadInput needs at least one problem")
        if len(first) > MOST_PROBLEMS:
            first = (*first[:-1], Problem(first[-1].file, None, "", MORE, "these corrected first"))
        self.problems: tuple[Problem, ...] = first
        self.sample = sample
        super().__init__("\n".join(map(str, self.problems)))


@dataclass(frozen=True, slots=True)
class Fault:
    """A problem that does not yet know its file and line; `field` is relative to the value that was checked."""

    wanted: str
    found: str | None = None
    field: str | None = None
    nearest: str | None = None


class Misfit(ValueError):
    """Raised inside a model by a value that does not fit. A `ValueError`, so that pydantic gathers it with others."""

    def __init__(self, *faults: Fault) -> None:
        self.faults = faults
        super().__init__("; ".join(fault.wanted for fault in faults))


def misfit(wanted: str, *, found: str | None = None, field: str | None = None, nearest: str | None = None) -> Misfit:
    """Return a `Misfit` with a single fault."""
    return Misfit(Fault(wanted, found, field, nearest))


def shown(value: object) -> str:
    """Return a short phrase for a value out of a file, for `Problem.found`."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return repr(value if len(value) <= LONGEST_SHOWN else value[:LONGEST_SHOWN] + "…") if value else "empty text"
    if isinstance(value, dict):
        return "a mapping"
    if isinstance(value, list | tuple):
        return f"a list of {len(value)}"
    text = f"{value:.15g}" if isinstance(value, float) else str(value)
    return text if len(text) <= LONGEST_SHOWN else text[:LONGEST_SHOWN] + "…"


def listed(words: Iterable[str]) -> str:
    """Return the words as "a, b or c", cut short if they are very many."""
    *most, last = words
    if len(most) > MOST_LISTED:
        most, last = most[:MOST_LISTED], f"{len(most) + 1 - MOST_LISTED} more"
    return f"{', '.join(most)} or {last}" if most else last


def nearest_word(word: str, known: Iterable[str]) -> str | None:
    """Return the known word most like `word`, whatever the letter case, or None if none is much like it."""
    if not word or len(word) > LONGEST_COMPARED:
        return None
    from difflib import get_close_matches  # only when something is wrong: keeps the start of the program quick

    by_folded = {name.casefold(): name for name in known}
    close = get_close_matches(word.casefold(), by_folded, n=1, cutoff=CLOSE_ENOUGH)
    return by_folded[close[0]] if close else None
