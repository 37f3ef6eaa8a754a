"""What the commands that advise have in common: reading the assignment, and asking."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from advisor.cli.output import remark

if TYPE_CHECKING:
    from advisor.inputs.assignment import Assignment
    from advisor.rulebase.schema import RuleBase

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
    """The assignment of a job file, with the house rules asked for in place of the shop's own.

    What was assumed in reading goes to stderr.

    Raises:
        BadInput: a file is not as it must be.
    """
    from advisor.inputs.assignment import read_assignment
    from advisor.inputs.problems import printable

    assignment = read_assignment(shipped(job), shipped(shop) if shop else None)
    remark(*(printable(f"note: {note}") for note in assignment.notes))
    return assignment if house is None else assignment.model_copy(update={"house": shipped(house)})


def base_of(house: Path | None) -> "RuleBase":
    """The shipped rule base, with the house rules of a folder in it if one is given.

    Raises:
        BadInput: the house rules are not as they must be.
    """
    from advisor.rulebase.shipped import rule_base

    if house is None:
        return rule_base()
    from advisor.rulebase.house import house_base

    return house_base(rule_base(), shipped(house))
