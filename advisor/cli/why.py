"""``roughing why JOB FEATURE``: the whole evidence for one feature."""

from typing import TYPE_CHECKING, Annotated

import typer

from advisor.cli.asking import HouseFolder, JobFile, ShopFile, assignment_of, feature_meant
from advisor.cli.failing import tell_failed
from advisor.cli.guard import INTERNAL, NO_WAY, guarded
from advisor.cli.interrupts import interrupted
from advisor.cli.output import Format, show, show_json
from advisor.cli.progress import patience
from advisor.files.problems import BadInput

if TYPE_CHECKING:
    from advisor.model.assignment import Assignment

EXAMPLE = "Example: roughing why cases/winch-side-plate/job.yaml S1"


@guarded
def command(
    job: JobFile,
    feature: Annotated[
        str, typer.Argument(metavar="FEATURE", help="The id of a feature of the job.", show_default=False)
    ],
    shop: ShopFile = None,
    house: HouseFolder = None,
    method: Annotated[
        str | None, typer.Option("--not", metavar="METHOD", help="Compare this method with the advised one.")
    ] = None,
    cutter: Annotated[
        str | None, typer.Option("--cutter", metavar="ID", help="Compare this cutter with the advised one.")
    ] = None,
    entry: Annotated[
        str | None, typer.Option("--entry", metavar="WORD", help="Compare this entry with the advised one.")
    ] = None,
    form: Annotated[Format, typer.Option("--format", help="Output format.")] = Format.text,
) -> int:
    """Show the evidence for one feature: rules, the values they met, formulas with numbers, sources.

    With --not, --cutter or --entry: another way compared with the advised one, what decides, and what would allow it.
    """
    assignment = assignment_of(job, shop, house)
    known = {item.id: item for item in assignment.job.features}
    feature = feature_meant(str(job), "FEATURE", feature, f"the id of a feature: {', '.join(known)}", known)
    try:
        return _answered(assignment, feature, (method, cutter, entry), form)
    except (BadInput, OSError):
        raise
    except Exception as error:
        if interrupted():
            raise
        from advisor.model.answer import Failed

        tell_failed([Failed.of(feature, error)])
        return INTERNAL


def _answered(
    assignment: "Assignment", feature: str, other: tuple[str | None, str | None, str | None], form: Format
) -> int:
    """Work out and tell the evidence for a feature, or another way beside the advised one; the exit code."""
    from advisor import service

    if other == (None, None, None):
        with patience(len(assignment.crib)):
            advice = service.explain(assignment, feature)
        (answer,) = advice.features
        if form is Format.json:
            from advisor.render.why_record import why_record

            show_json(why_record(answer, advice))
        else:
            from advisor.text.why import why_blocks

            show(why_blocks(answer, advice), form)
        return 0 if answer.best else NO_WAY
    method, cutter, entry = other
    with patience(len(assignment.crib)):
        found = service.compare(assignment, feature, method=method, cutter=cutter, entry=entry)
    if form is Format.json:
        from advisor.render.comparison_record import beside_record

        show_json(beside_record(found))
    else:
        from advisor.text.comparison import beside_blocks

        show(beside_blocks(found), form)
    return 0 if found.answer.best else NO_WAY
