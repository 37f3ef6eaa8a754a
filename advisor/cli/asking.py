"""What the commands that advise have in common: reading the assignment, and asking."""

import os
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from advisor.cli.output import first_problem, remark

if TYPE_CHECKING:
    from advisor.files.problems import BadInput
    from advisor.knowledge.schema import RuleBase
    from advisor.model.assignment import Assignment


def path_of(text: str) -> Path:
    """The path that was typed. Raises BadParameter for an empty one, such as a variable that is not set: it would mean
    the current folder."""
    if not text:
        raise typer.BadParameter("an empty name; wanted the name of a file or folder")
    return Path(text)


JobFile = Annotated[
    Path, typer.Argument(metavar="JOB", parser=path_of, help="The job file (YAML).", show_default=False)
]
ShopFile = Annotated[
    Path | None,
    typer.Option(
        "--shop",
        metavar="FILE",
        parser=path_of,
        help="The shop file; default: the one the job names, then your default shop, then the demo shop.",
    ),
]
HouseFolder = Annotated[
    Path | None,
    typer.Option(
        "--house",
        metavar="DIR",
        parser=path_of,
        help="The shop's own rules: a folder with house.yaml, or that file.",
    ),
]
OutputFile = Annotated[
    Path | None,
    typer.Option(
        "--output", metavar="FILE", parser=path_of, help="Write the result to this file; an error leaves it unchanged."
    ),
]


def keep(inputs: Iterable[Path | None], output: Path | None) -> None:
    """Nothing, if the output is none of the files that were read. Raises BadInput if it would replace one."""
    for read in inputs:
        if output is not None and read is not None and _same(read, output):
            wanted = f"a file that is not read: it would replace {read}"
            raise first_problem("command line", "--output", str(output), wanted)


def _same(one: Path, other: Path) -> bool:
    try:
        return os.path.samefile(one, other)
    except OSError:  # one of them is not there
        return False


def shipped(path: Path) -> Path:
    """The path; where there is no such file here but the project ships one under that name, that one."""
    if os.path.exists(path) or path.is_absolute() or path.parts[:1] not in (("cases",), ("shared",)):
        return path
    from advisor.paths import data_root

    found = data_root() / path
    return found if os.path.exists(found) else path


def assignment_of(job: Path, shop: Path | None, house: Path | None) -> "Assignment":
    """The assignment of a job file, with the house rules asked for in place of the shop's own.

    What was assumed in reading goes to stderr.

    Raises:
        BadInput: a file is not as it must be.
    """
    from advisor.files.problems import BadInput, printable
    from advisor.readers.assignment import read_assignment
    from advisor.situation.bench import with_house_notes

    try:
        assignment = read_assignment(shipped(job), shipped(shop) if shop else None)
    except BadInput as error:
        raise (_with_those_of_the_house(error, house) if house else error) from None
    own = shipped(house) if house else assignment.house
    asked = with_house_notes(
        assignment.model_copy(update={"house": own, "files": (*assignment.files, *house_files(own))})
    )
    remark(*(printable(f"note: {note}") for note in _briefly(asked)))
    return asked


def _briefly(assignment: "Assignment") -> Iterator[str]:
    """The notes on an assignment, those on how its crib was read in one, since they are the same for every job."""
    cribs = assignment.files[2:3]
    own = [note for note in assignment.notes if any(note.startswith(f"{crib}:") for crib in cribs)]
    for note in assignment.notes:
        if note not in own or len(own) == 1:
            yield note
        elif note == own[0]:
            yield f"{cribs[0]}: {len(own)} notes on how it was read; roughing crib {cribs[0]} tells them"


def _with_those_of_the_house(error: "BadInput", house: Path) -> "BadInput":
    """What is wrong with the files of a job, with what is wrong with the house rules named beside it."""
    from advisor.files.problems import BadInput

    try:
        base_of(house)
    except BadInput as other:
        return BadInput((*error.problems, *other.problems), other.sample)
    return error


def feature_meant(job: str, field: str, typed: str, wanted: str, known: Iterable[str]) -> str:
    """The feature of a job that is meant, whatever the letter case.

    Raises:
        BadInput: there is none, or several are meant as well.
    """
    from advisor.files.ids import id_meant
    from advisor.files.problems import BadInput, Misfit, Problem

    try:
        found = id_meant(typed, known)
    except Misfit as error:
        fault = error.faults[0]
        raise BadInput([Problem(job, None, field, fault.found or repr(typed), fault.wanted)]) from None
    if found is None:
        raise first_problem(job, field, typed, wanted, known)
    return found


def house_files(house: Path | None) -> tuple[Path, ...]:
    """The files of a folder of house rules."""
    if house is None:
        return ()
    from advisor.knowledge.house import file_of

    return (file_of(shipped(house)),)


def base_of(house: Path | None) -> "RuleBase":
    """The shipped rule base, with the house rules of a folder in it if one is given.

    Raises:
        BadInput: the house rules are not as they must be.
    """
    from advisor.knowledge.shipped import rule_base

    if house is None:
        return rule_base()
    from advisor.knowledge.house import house_base

    return house_base(rule_base(), shipped(house))
