"""``roughing coach``: practice at the terminal; ``report``, ``sheet`` and ``record`` beside it."""

import gc
import sys
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer
from typer.core import TyperGroup

from advisor.cli import coach_record
from advisor.cli.asking import OutputFile, keep, path_of, shipped
from advisor.cli.coach_record import ME, Who
from advisor.cli.guard import BAD_INPUT, guarded
from advisor.cli.interrupts import INTERRUPTED
from advisor.cli.output import (
    Format,
    PageFormat,
    first_problem,
    flush,
    on_terminal,
    remark,
    show,
    show_json,
    show_page,
    write,
)
from advisor.cli.typed import any_bytes, typed_line

if TYPE_CHECKING:
    from collections.abc import Mapping

    from advisor.coach.course import Course
    from advisor.coach.picking import Wish
    from advisor.model.assignment import Assignment
    from advisor.text.blocks import Block

EXAMPLE = "Example: roughing coach narrow-slots --minutes 10; or roughing coach report"
PRACTISE = "practise"
PROMPT = "> "
GO_ON = "Enter goes on, q leaves"
LONGEST_SESSION = 600.0


class Group(TyperGroup):
    """A group whose first word may also be a topic: ``roughing coach reach`` practises."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """The words of the command line, with the command that is meant where none is named."""
        named = bool(args) and (args[0] in self.commands or args[0] in ctx.help_option_names)
        completing = ctx.resilient_parsing and not args  # the command itself is being typed
        if not named and not completing:
            args = [PRACTISE, *args]
        return super().parse_args(ctx, args)


app = typer.Typer(
    name="coach",
    cls=Group,
    help="Practise the reasons: questions at the terminal, a report, sheets for the wall. TOPIC may stand at once.",
    epilog=EXAMPLE,
    rich_markup_mode=None,
    no_args_is_help=False,
)


def _kind(typed: str | None) -> str | None:
    """The kind that is meant by its word."""
    from advisor.coach.exercise import kind_meant

    return None if typed is None else kind_meant(typed)


Kind = Annotated[
    str | None,
    typer.Option("--kind", metavar="KIND", callback=_kind, help="One of choose, set, trap, change, explain."),
]
Difficulty = Annotated[int | None, typer.Option("--difficulty", metavar="N", help="1 to 5; else as it goes.")]


@app.command(PRACTISE, epilog=EXAMPLE, short_help="Questions, hints, reasons (needs not be named).")
@guarded
def practise(
    topic: Annotated[
        list[str] | None,
        typer.Argument(metavar="[TOPIC]", help="A topic; left out: what is due and weakest.", show_default=False),
    ] = None,
    minutes: Annotated[float, typer.Option("--minutes", metavar="N", help="How long to practise.")] = 10.0,
    who: Who = ME,
    sources: Annotated[
        list[Path] | None,
        typer.Option(
            "--from", metavar="JOB", parser=path_of, help="Ask about this job file or folder of jobs; several in turn."
        ),
    ] = None,
    course: Annotated[
        Path | None,
        typer.Option("--course", metavar="FILE", parser=path_of, help="A course: topics, exercises, remarks."),
    ] = None,
    kind: Kind = None,
    difficulty: Difficulty = None,
    seed: Annotated[
        int | None, typer.Option("--seed", metavar="N", help="Begin with this very question; then the next numbers.")
    ] = None,
) -> int:
    """Practise: choose, see what would happen at the machine, meet the case where the answer changes.

    At every question: ? or h for a hint, why, skip, help, and q to leave. What is answered is kept.
    """
    from advisor.coach import record as records
    from advisor.coach.exercise import NoExercise
    from advisor.coach.lock import session_of
    from advisor.coach.report import end_blocks
    from advisor.coach.session import Seat, practise

    if not 0 < minutes <= LONGEST_SESSION:
        raise first_problem("command line", "--minutes", str(minutes), f"more than 0, at most {LONGEST_SESSION:g}")
    wish = _wish(topic, kind, difficulty, seed, sources, course)
    gc.enable()  # a session is long
    any_bytes()
    with session_of(who):
        record = records.read(who)
        seat = Seat(_show, _ask, lambda changed: records.write(changed, who), utc_now, _pause)
        try:
            ended = practise(record, wish, seat, minutes)
        except NoExercise as error:
            return _none_made(error)
    _show(tuple(end_blocks(ended.asked, ended.record, utc_now(), coach_record.said_by(who))))
    return INTERRUPTED if ended.interrupted else 0


@app.command("report", epilog="Example: roughing coach report --who anna", short_help="What is firm and what is not.")
@guarded
def report(
    who: Who = ME,
    form: Annotated[PageFormat, typer.Option("--format", help="How the report is written.")] = PageFormat.text,
    output: OutputFile = None,
) -> int:
    """Show which topics are firm, shaky and never asked, and three things to talk about next."""
    from advisor.coach import record as records
    from advisor.coach.report import report_blocks, report_of, report_values

    keep([records.file_of(who)], output)
    found = report_of(records.read(who), utc_now(), coach_record.said_by(who))
    if form is PageFormat.json:
        show_json(report_values(found), output)
    elif form is PageFormat.html:
        from advisor.coach.page import report_page

        show_page(report_page(found), output)
    else:
        show(report_blocks(found), Format(form.value), output)
    return 0


@app.command("sheet", epilog="Example: roughing coach sheet --topic reach --output reach.html", short_help="On paper.")
@guarded
def sheet(
    output: Annotated[
        Path, typer.Option("--output", metavar="FILE", parser=path_of, help="The page; whole or not at all.")
    ],
    topic: Annotated[
        list[str] | None, typer.Option("--topic", metavar="TOPIC", help="A topic; several in turn; else all.")
    ] = None,
    count: Annotated[int, typer.Option("--count", metavar="N", help="How many exercises, 1 to 40.")] = 6,
    seed: Annotated[int, typer.Option("--seed", metavar="N", help="Another number, another sheet.")] = 1,
    kind: Kind = None,
    difficulty: Difficulty = None,
    form: Annotated[PageFormat, typer.Option("--format", help="html alone.")] = PageFormat.html,
) -> int:
    """Write a sheet of exercises and, on pages of its own, the answers: for use without a computer."""
    from advisor.coach.exercise import NoExercise
    from advisor.coach.page import sheet_page
    from advisor.coach.sheet import MOST, sheet_of

    if form is not PageFormat.html:
        raise first_problem("command line", "--format", form.value, "html: a sheet is printed")
    if not 1 <= count <= MOST:
        raise first_problem("command line", "--count", str(count), f"1 to {MOST}")
    named = [_topic(one) for one in topic or ()]
    _check(kind, difficulty, named)
    try:
        found = sheet_of(named, count, seed, kind, difficulty)
    except NoExercise as error:
        return _none_made(error)
    show_page(sheet_page(found), output)
    return 0


app.add_typer(coach_record.app, name="record")


def _none_made(why: Exception) -> int:
    remark(f"coach: {why}.")
    return BAD_INPUT


def _wish(
    topic: list[str] | None,
    kind: str | None,
    difficulty: int | None,
    seed: int | None,
    sources: list[Path] | None,
    course: Path | None,
) -> "Wish":
    from advisor.coach.picking import Wish

    named = _topic(" ".join(topic)) if topic else None
    _check(kind, difficulty, [named] if named else [])
    return Wish(named, kind, difficulty, seed, _jobs(sources or []), _course(course))


def _topic(asked: str) -> str:
    """The id of a topic, however it is written."""
    from advisor.coach.topics import topics
    from advisor.files.problems import BadInput, Problem, nearest_word

    forms = {_folded(form): one.id for one in topics().values() for form in (one.id, one.title)}
    if (found := forms.get(_folded(asked))) is None:
        words = {word: topic for form, topic in forms.items() for word in form.split()} | forms
        nearest = words.get(nearest_word(_folded(asked), words) or "")
        wanted = f"one of {', '.join(topics())}"
        raise BadInput([Problem("coach", None, "TOPIC", repr(asked), wanted, nearest)])
    return found


def _folded(word: str) -> str:
    return " ".join(word.casefold().replace("-", " ").replace("_", " ").split())


def _check(kind: str | None, difficulty: int | None, named: Sequence[str]) -> None:
    """What was asked for can be had. Raises BadInput."""
    from advisor.coach.exercise import DIFFICULTIES, KINDS, kind_word
    from advisor.coach.topics import topics

    if kind is not None and kind not in KINDS:
        words = [kind_word(one) for one in KINDS]
        raise first_problem("command line", "--kind", kind, f"one of {', '.join(words)}", words)
    if difficulty is not None and difficulty not in DIFFICULTIES:
        wanted = f"a whole number from {DIFFICULTIES[0]} to {DIFFICULTIES[-1]}"
        raise first_problem("command line", "--difficulty", str(difficulty), wanted)
    for one in named:
        if kind is not None and kind not in topics()[one].kinds:
            words = [kind_word(own) for own in topics()[one].kinds]
            raise first_problem("command line", "--kind", kind_word(kind), f"one of {', '.join(words)} for {one}")


def _jobs(named: list[Path]) -> "Mapping[str, Assignment]":
    """The jobs to ask about, by their absolute paths; the faults of all of them are told."""
    from advisor.cli.asking import assignment_of
    from advisor.cli.job_files import job_files
    from advisor.files.problems import BadInput, Problem

    found = job_files([shipped(path) for path in named])
    problems: list[Problem] = list(found.problems)
    jobs: dict[str, Assignment] = {}
    for path in found.files:
        try:
            jobs[str(path.resolve())] = assignment_of(path, None, None)
        except BadInput as error:
            problems.extend(error.problems)
    if problems:
        raise BadInput(problems)
    return jobs


def _course(path: Path | None) -> "Course | None":
    if path is None:
        return None
    from advisor.coach.course import read_course

    return read_course(shipped(path))


def utc_now() -> datetime:
    return datetime.now(UTC)


def _show(blocks: Sequence["Block"]) -> None:
    """Show blocks with an empty line after them, at once."""
    show(blocks, Format.text)
    write("\n")
    flush()


def _ask(asked: str) -> str | None:
    """What is typed; nothing at the end of input. What comes over a pipe is shown, so that a recording can be read."""
    try:
        write(f"{asked} {PROMPT}")
        flush()
        line = typed_line()
    except KeyboardInterrupt:
        write("\n")  # what is shown next begins a line
        raise
    typed = line.rstrip("\r\n")
    if not line or not on_terminal(sys.stdin):
        write(f"{_echo(typed)}\n")
    return typed if line else None


def _pause() -> str | None:
    """What is typed after a screen, at a terminal; elsewhere nobody waits."""
    if not (on_terminal(sys.stdin) and on_terminal(sys.stdout)):
        return ""
    typed = _ask(GO_ON)
    write("\n")
    return typed


def _echo(typed: str) -> str:
    """What was typed as it can be shown: no longer than an answer may be, and with nothing that drives a terminal."""
    from advisor.coach.reading import LONGEST
    from advisor.files.problems import printable

    return printable(typed if len(typed) <= LONGEST else f"{typed[:LONGEST]}…")
