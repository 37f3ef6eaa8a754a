"""What a piece of work gives back for one file of many, whoever did it, and how all of them are told in order."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from typing import TYPE_CHECKING, NamedTuple

from advisor.cli.guard import BAD_INPUT, INTERNAL, NO_WAY
from advisor.cli.interrupts import finished_first, interrupted
from advisor.cli.output import Format, as_json, ascii_only, flush, remark, show, write
from advisor.files.problems import BadInput, Problem, printable
from advisor.text.blocks import Block, Heading, Para

if TYPE_CHECKING:
    from advisor.cli.progress import Bar

NESTED = "    "  # how far the record of a file is set in within the list of all


class Answer(NamedTuple):
    """The answer for one file: blocks or a record as JSON text, or what is wrong. ``code`` is its own exit code.

    ``failed`` tells of features without an answer in one that has others.
    """

    file: str
    code: int
    blocks: tuple[Block, ...] = ()
    record: str = ""
    notes: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()
    error: str = ""
    failed: tuple[str, ...] = ()


def answered(file: str, work: Callable[[], Answer], folder: str) -> Answer:
    """The answer of a piece of work, its faults in it. Where the file is named as from ``folder``, others are too."""
    if os.path.isabs(file):
        folder = ""
    try:
        found = work()
    except BadInput as error:
        found = Answer(file, BAD_INPUT, problems=error.problems)
    except Exception as error:  # one file that goes wrong inside does not stop the rest
        if interrupted():
            raise KeyboardInterrupt from error
        return Answer(file, INTERNAL, error=printable(f"{type(error).__name__}: {error}"))
    return found._replace(
        notes=tuple(note.replace(folder, "") for note in found.notes),
        problems=tuple(
            Problem(
                each.file.removeprefix(folder),
                each.line,
                each.field,
                each.found.replace(folder, ""),
                each.wanted.replace(folder, ""),
                each.nearest,
            )
            for each in found.problems
        ),
    )


class Tally:
    """How the files came out so far."""

    def __init__(self) -> None:
        self.codes: Counter[int] = Counter()
        self.notes: dict[str, list[str]] = {}
        self.told: set[str] = set()

    def add(self, answer: Answer) -> Iterator[str]:
        """Count an answer in; the lines to tell of it at once, each once whatever the number of files it is in."""
        self.codes[answer.code] += 1
        for note in answer.notes:
            self.notes.setdefault(note, []).append(answer.file)
        lines = [str(problem) for problem in answer.problems]
        lines += [printable(f"{answer.file}: {told}") for told in answer.failed]
        if answer.error:
            lines.append(f"{printable(answer.file)}: internal error, no answer given: {answer.error}")
        for line in lines:
            if line not in self.told:
                self.told.add(line)
                yield line

    def remarks(self) -> Iterator[str]:
        """What was assumed or passed over in reading, once for all the files it holds for."""
        for note, files in self.notes.items():
            where = f"{files[0]}: {note}" if len(files) == 1 else f"{note} ({len(files)} jobs)"
            yield printable(f"note: {where}")

    @property
    def code(self) -> int:
        """The exit code of all: the gravest."""
        return max((code for code, count in self.codes.items() if count), default=0)

    def summary(self, well: str, poor: str) -> str:
        """How many files there were and how they came out; ``well`` and ``poor`` say what codes 0 and 1 mean."""
        kinds = {0: well, NO_WAY: poor, BAD_INPUT: "not read", INTERNAL: "ended by an internal error"}
        parts = [f"{self.codes[code]} {words}" for code, words in kinds.items() if self.codes[code]]
        return ": ".join([counted(self.codes.total()), *([", ".join(parts)] if parts else [])])


def counted(number: int) -> str:
    """A number of jobs in words."""
    return f"{number} job{'' if number == 1 else 's'}"


def tell(answers: Iterable[Answer], form: Format, tally: Tally, bar: Bar) -> None:
    """Write the answers to stdout as they come, each under the name of its file; what is wrong goes to stderr.

    As JSON the list is closed also where an interrupt, or lost workers, end it early.
    """
    rows = _Rows() if form is Format.json else _Sections(form)
    try:
        for answer in answers:
            with bar.away():
                remark(*tally.add(answer))
                rows.add(answer)
            bar.step()
    except OSError:  # nothing more can be written
        raise
    except BaseException:
        rows.close()
        raise
    rows.close()


class _Rows:
    """The answers as the entries of a JSON list, which is well formed whenever it is closed."""

    def __init__(self) -> None:
        self.opened = False

    def add(self, answer: Answer) -> None:
        """Write an entry, whole."""
        text = (",\n" if self.opened else "[\n") + _entry(answer)
        with finished_first():
            write(text)
            flush()
            self.opened = True

    def close(self) -> None:
        """End the list."""
        with finished_first():
            write("\n]\n" if self.opened else "[]\n")
            flush()


class _Sections:
    """The answers as text or Markdown, each under the name of its file."""

    def __init__(self, form: Format) -> None:
        self.form, self.opened = form, False

    def add(self, answer: Answer) -> None:
        """Write an answer."""
        if self.opened:
            write("\n")
        self.opened = True
        show((Heading(printable(answer.file), 1),), self.form)
        write("\n")
        show(answer.blocks or (Para(_why_none(answer)),), self.form)
        flush()

    def close(self) -> None:
        """Nothing is left to be written."""


def _why_none(answer: Answer) -> str:
    if answer.error:
        return "No answer: an internal error, see standard error."
    faults = len(answer.problems)
    return f"Not read: {faults} fault{'' if faults == 1 else 's'}, see standard error."


def _entry(answer: Answer) -> str:
    """The entry of a file in the list of all, in JSON."""

    def dumped(value: object) -> str:
        return as_json(value, ascii_only())

    if answer.record:
        name, found = "advice", answer.record
    elif answer.error:
        name, found = "error", dumped(answer.error)
    else:
        fields = ("file", "line", "field", "found", "wanted", "nearest")
        name, found = "faults", dumped([{name: getattr(each, name) for name in fields} for each in answer.problems])
    nested = found.replace("\n", f"\n{NESTED}")
    return f'  {{\n{NESTED}"file": {dumped(answer.file)},\n{NESTED}"{name}": {nested}\n  }}'
