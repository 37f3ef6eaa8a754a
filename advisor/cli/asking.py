"""What the commands that advise have in common: reading the assignment, and asking."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from advisor.cli.output import remark

if TYPE_CHECKING:
    from advisor.inputs.assignment import Assignment

JobFile = Annotated[Path, typer.Argument(metavar="JOB", help="The job file (YAML).", show_default=False)]
ShopFile = Annotated[
    Path | None,
    typer.Option("--shop", metavar="FILE", help="The shop file; else the one the job names, else the demo shop."),
]
HouseFolder = Annotated[Path | None, typer.Option("--house", metavar="DIR", help="A folder of the shop's own rules.")]


def shipped(path: Path) -> Path:
    """The path; where there is no such file here but the project ships one under that name, that one."""
    if path.exists() or path.is_absolute() or path.parts[:1] not in (("cases",), ("shared",)):
        return path
    from advisor.paths import data_root

    found = data_root() / path
    return found if found.exists() else path


def assignment_of(job: Path, shop: Path | None, house: Path | None) -> "Assignment":
    """The assignment of a job file; what was assumed in reading goes to stderr.

    Raises:
        BadInput: a file is not as it must be, or house rules are asked for.
    """
    from advisor.inputs.assignment import read_assignment
    from advisor.inputs.problems import BadInput, Problem, printable

    if house is not None:
        raise BadInput(
            [Problem(str(house), None, "--house", "a folder of house rules", "none: house rules are not built yet")]
        )
    assignment = read_assignment(shipped(job), shipped(shop) if shop else None)
    remark(*(printable(f"note: {note}") for note in assignment.notes))
    if assignment.house is not None:
        remark(
            printable(f"note: {assignment.house}: house rules are not built yet; the shop's own rules were not read")
        )
    return assignment
