"""``roughing coach record``: what is kept of a learner, to be exported or deleted."""

from shlex import quote
from typing import Annotated

import typer

from advisor.cli.guard import guarded
from advisor.cli.output import first_problem, remark, write

app = typer.Typer(help="The record of a learner: export or delete it.", rich_markup_mode=None)
ME = "me"
Who = Annotated[str, typer.Option("--who", metavar="NAME", help="Whose record; each learner has one.")]


def said_by(who: str) -> str:
    """The learner as a command names one, to be put after ``roughing coach``; nothing for the one it means anyway."""
    return "" if who == ME else f" --who {quote(who)}"


@app.command("export", epilog="Example: roughing coach record export --who anna > anna.json")
@guarded
def export(who: Who = ME) -> int:
    """Write the whole record as JSON to standard output."""
    from advisor.coach import record as records

    write(records.as_text(records.read(who)))
    return 0


@app.command("where", epilog="Example: roughing coach record where --who anna")
@guarded
def where(who: Who = ME) -> int:
    """Say where the record lies."""
    from advisor.coach import record as records
    from advisor.files.problems import printable

    write(f"{printable(str(records.file_of(who)))}\n")
    return 0


@app.command("delete", epilog="Example: roughing coach record delete --who anna --yes")
@guarded
def delete(
    who: Who = ME,
    sure: Annotated[bool, typer.Option("--yes", help="Delete it: it cannot be had back.")] = False,
) -> int:
    """Delete the record, and copies of it that were put aside."""
    from advisor.coach import record as records
    from advisor.coach.lock import session_of
    from advisor.files.problems import printable

    if not sure:
        raise first_problem("command line", "--yes", "nothing", "--yes with it: a record deleted is lost")
    with session_of(who):
        there = records.delete(who)
    remark(printable(f"{records.file_of(who)}: {'deleted' if there else 'there was no record'}"))
    return 0
