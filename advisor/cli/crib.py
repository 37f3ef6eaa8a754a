"""``roughing crib FILE``: a crib read, checked and looked over."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from advisor.cli.asking import path_of, shipped
from advisor.cli.failing import tell_failed
from advisor.cli.guard import INTERNAL, NO_WAY, guarded
from advisor.cli.output import Format, remark, show, show_json

if TYPE_CHECKING:
    from advisor.choosing.job_advice import Advice
    from advisor.readers.crib import CribFile

EXAMPLE = "Example: roughing crib shared/crib.csv --job cases/winch-side-plate/job.yaml"


@guarded
def command(
    file: Annotated[
        Path,
        typer.Argument(
            metavar="FILE", parser=path_of, help="The crib: a table of cutters (CSV or .xlsx).", show_default=False
        ),
    ],
    job: Annotated[
        Path | None,
        typer.Option("--job", metavar="JOB", parser=path_of, help="A job whose features the crib must serve."),
    ] = None,
    form: Annotated[Format, typer.Option("--format", help="Output format.")] = Format.text,
) -> int:
    """Read and check a crib: its cutters by body, what was assumed of them, what is missing.

    With a job, exit code 1 if the crib cannot serve a feature.
    """
    from advisor.files.problems import printable
    from advisor.readers.crib import read_crib

    found = read_crib(shipped(file))
    remark(*(printable(f"note: {note}") for note in found.notes))
    advice = _asked(job, found) if job is not None else None
    unserved = [answer for answer in advice.features if answer.best is None] if advice else []
    from advisor.render.crib_record import crib_record
    from advisor.text.crib import crib_blocks

    if form is Format.json:
        from advisor.text.words import size

        features = [{"id": answer.region.id, "what": size(answer.region)} for answer in unserved]
        show_json(crib_record(found.cutters, found.notes, features if advice else None))
        return _code(advice)
    blocks = [*crib_blocks(str(file), found.cutters, found.units)]
    if advice is not None:
        from advisor.text.unserved import unserved_blocks

        blocks += unserved_blocks(advice)
    show(blocks, form)
    return _code(advice)


def _code(advice: "Advice | None") -> int:
    """The exit code, once features without an answer are told."""
    if advice is None:
        return 0
    if tell_failed(advice.failed):
        return INTERNAL
    return 0 if all(answer.best for answer in advice.features) else NO_WAY


def _asked(job: Path, crib: "CribFile") -> "Advice":
    """The advice for a job with this crib in place of its own."""
    from advisor.readers.assignment import read_assignment
    from advisor.service import advise

    assignment = read_assignment(shipped(job))
    return advise(assignment.model_copy(update={"crib": crib.cutters}), quick=True)
