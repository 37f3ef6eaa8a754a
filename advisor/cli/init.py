"""``roughing init``: the first files of a shop, out of a few questions or options."""

import os
import sys
from collections.abc import Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from advisor.cli.asking import path_of
from advisor.cli.guard import BAD_INPUT, guarded
from advisor.cli.output import Format, first_problem, remark, show, write

if TYPE_CHECKING:
    from advisor.model.setup import SetupFields

EXAMPLE = "Example: roughing init my-shop --yes"
PROMPT = "> "


def option(field: str) -> str:
    """The option that gives a field."""
    return f"--{field.replace('_', '-')}"


@guarded
def command(
    folder: Annotated[
        Path,
        typer.Argument(
            metavar="FOLDER", parser=path_of, help="Target folder; default: this folder.", show_default=False
        ),
    ] = Path(),
    units: Annotated[str | None, typer.Option("--units", metavar="UNITS", help="mm or inch.")] = None,
    kind: Annotated[
        str | None,
        typer.Option("--kind", metavar="KIND", help="vertical, fast, heavy, old or bench; fills in what is not given."),
    ] = None,
    machine: Annotated[str | None, typer.Option("--machine", metavar="NAME", help="What you call the machine.")] = None,
    speed: Annotated[
        str | None, typer.Option("--speed", metavar="SPEED", help="Greatest spindle speed, 1/min.")
    ] = None,
    power: Annotated[
        str | None, typer.Option("--power", metavar="POWER", help="Continuous; kW, with --units inch hp.")
    ] = None,
    feed: Annotated[
        str | None, typer.Option("--feed", metavar="FEED", help="Greatest feed; mm/min, with --units inch in/min.")
    ] = None,
    rapid: Annotated[str | None, typer.Option("--rapid", metavar="FEED", help="Rapid traverse, as --feed.")] = None,
    tool_change: Annotated[
        str | None, typer.Option("--tool-change", metavar="TIME", help="Time of a tool change, s.")
    ] = None,
    coolant: Annotated[
        str | None, typer.Option("--coolant", metavar="WORDS", help="Of flood, mist, air, through; or none.")
    ] = None,
    material: Annotated[
        str | None, typer.Option("--material", metavar="NAME", help="Material of the first job.")
    ] = None,
    default: Annotated[
        bool | None,
        typer.Option("--default/--no-default", help="Make it the shop for jobs that name none.", show_default=False),
    ] = None,
    yes: Annotated[bool, typer.Option("--yes", "-y", help="Ask nothing. Use the usual values, and list them.")] = False,
    force: Annotated[bool, typer.Option("--force", help="Replace files that are there.")] = False,
) -> int:
    """Write a shop, a crib and a job to begin with, every line explained, that run at once.

    On a terminal it asks for what no option gives; Enter accepts the value offered. All files are written, or none.
    """
    given: dict[str, str | bool | None] = {
        "units": units, "kind": kind, "machine": machine, "speed": speed, "power": power, "feed": feed, "rapid": rapid,
        "tool_change": tool_change, "coolant": coolant, "material": material, "default": default,
    }  # fmt: skip
    typed = {name: value for name, value in given.items() if value is not None}
    from advisor.cli.typed import at_a_keyboard
    from advisor.readers.setup import read_fields

    read = read_fields(typed, {name: option(name) for name in typed})
    _refuse(folder, read.default, force)
    open_ones = [name for name, value in given.items() if value is None]
    needed = [name for name in open_ones if name != "default"]  # where that is not said, it is no
    if yes or not needed:
        return _write(folder, read, needed, force)
    if not at_a_keyboard():
        raise _nobody_to_ask(needed)
    asked = _ask_for(open_ones, typed, force)
    if asked is None:
        remark("", "The input ended before the last question: nothing was written.")
        return BAD_INPUT
    return _write(folder, asked, (), force)


def _refuse(folder: Path, default: bool | None, force: bool) -> None:
    """Nothing, if the files may be written as far as can be known now. Raises BadInput."""
    from advisor.files.all_files import refuse_existing

    if os.path.lexists(folder) and not os.path.isdir(folder):
        raise first_problem("command line", "FOLDER", str(folder), "a folder, or a name that is not there yet")
    if not force:
        refuse_existing(_places(folder, bool(default)).values(), _wanted())


def _wanted() -> str:
    return "another folder, or --force to replace it"


def _places(folder: Path, default: bool) -> dict[str, Path]:
    """Where each file goes, by its name."""
    from advisor.paths import SHOP, config_dir
    from advisor.render.setup_files import CRIB, JOB

    shop = config_dir() if default else folder
    return {SHOP: shop / SHOP, CRIB: shop / CRIB, JOB: folder / JOB}


def _nobody_to_ask(names: list[str]) -> Exception:
    from advisor.files.problems import BadInput, Problem

    words = ", ".join(map(option, names))
    found = f"no value for {words}, and no terminal to ask at"
    return BadInput([Problem("command line", None, "", found, "these options, or --yes to use the usual values")])


def _ask_for(names: list[str], typed: Mapping[str, str | bool], force: bool) -> "SetupFields | None":
    """Ask for some fields at the terminal, each until its answer can be used; nothing where the input ends."""
    from advisor.cli.typed import any_bytes
    from advisor.files.problems import printable
    from advisor.paths import default_shop
    from advisor.readers.setup import completed, machine_kinds, questions, read_fields
    from advisor.text.setup import kind_lines, prompt, typed_value

    any_bytes()
    known = dict(typed)
    if "default" in names and not force and (there := default_shop()) is not None:
        remark(printable(f"Your default shop stays as it is: {there}"))
        known["default"] = False
    remark("Press Enter to accept the value in brackets. Every value can be changed in the files later.")
    for name, question in questions().items():
        if name not in names or name in known:
            continue
        if name == "kind":
            remark("Kinds of machine:", *kind_lines(machine_kinds()))
        whole = completed(read_fields(known))
        answer = _answer(name, prompt(question, whole.units or "mm", typed_value(name, whole)), known)
        if answer is None:
            return None
        if answer:
            known[name] = answer
    return read_fields(known)


def _answer(name: str, asked: str, known: Mapping[str, str | bool]) -> str | None:
    """What is typed, once it can be used; empty for what is offered, nothing at the end of input."""
    from advisor.cli.typed import typed_line
    from advisor.files.problems import BadInput
    from advisor.readers.setup import read_fields

    while True:
        _show_prompt(f"{asked} {PROMPT}")
        try:
            line = typed_line()
        except KeyboardInterrupt:
            remark("")  # what comes next stands on a line of its own
            raise
        answer = line.strip()
        if not line or not answer:
            return answer if line else None
        try:
            read_fields({**known, name: answer})
        except BadInput as error:
            for problem in error.problems:
                hint = f" Did you mean {problem.nearest}?" if problem.nearest else ""
                remark(f"  Wanted {problem.wanted}.{hint}")
        else:
            return answer


def _show_prompt(text: str) -> None:
    """Show a question, on stderr, which is not what is written."""
    if sys.stderr is not None:
        with suppress(OSError, ValueError):
            sys.stderr.write(text)
            sys.stderr.flush()


def _write(folder: Path, read: "SetupFields", taken: Sequence[str], force: bool) -> int:
    """Write the files and tell of them, and of the fields for which the usual value was taken."""
    from advisor.cli.interrupts import finished_first
    from advisor.files.all_files import write_all
    from advisor.readers.setup import completed, questions, setup_of
    from advisor.render.setup_files import JOB, setup_files
    from advisor.text.setup import first_command, told_value, written_blocks

    texts = setup_files(setup_of(read))
    places = _places(folder, bool(read.default))
    with finished_first():
        write_all({places[name]: text for name, text in texts.items()}, _wanted(), force)
    whole, asked = completed(read), questions()
    pairs = [(option(name), told_value(name, whole, asked)) for name in taken]
    show(written_blocks([places[name] for name in texts], pairs, bool(read.default)), Format.text)
    write(f"\n{first_command(places[JOB])}")
    return 0
