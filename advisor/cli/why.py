"""``roughing why JOB FEATURE``: the whole evidence for one feature."""

from typing import TYPE_CHECKING, Annotated, NamedTuple

import typer

from advisor.cli.asking import HouseFolder, JobFile, ShopFile, assignment_of, feature_meant
from advisor.cli.failing import tell_failed
from advisor.cli.guard import INTERNAL, NO_WAY, guarded
from advisor.cli.interrupts import interrupted
from advisor.cli.output import Format, show, show_json
from advisor.cli.progress import patience
from advisor.files.problems import BadInput

if TYPE_CHECKING:
    from advisor.model.answer import Failed
    from advisor.model.assignment import Assignment
    from advisor.text.blocks import Block

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

    A feature with stock on walls and floor is two cuts, and both are shown; in JSON they are a list then.
    """
    assignment = assignment_of(job, shop, house)
    parts = assignment.job.parts
    known = [*(item.id for item in assignment.job.features), *parts]
    feature = feature_meant(str(job), "FEATURE", feature, f"the id of a feature: {', '.join(known)}", known)
    told = [_answered(assignment, name, (method, cutter, entry), form) for name in parts.get(feature, (feature,))]
    failed = [one.failed for one in told if one.failed is not None]
    found = [one for one in told if one.failed is None]
    if form is Format.json and found:
        show_json([one.record for one in found] if feature in parts else found[0].record)
    elif found:
        show((block for one in found for block in one.blocks), form)
    if failed:
        tell_failed(failed)
        return INTERNAL
    return 0 if all(one.way for one in found) else NO_WAY


class _Told(NamedTuple):
    """The evidence for a feature as it is shown, and whether there is a way; else what went wrong, through a fault of
    our own.
    """

    way: bool = False
    blocks: "tuple[Block, ...]" = ()
    record: object = None
    failed: "Failed | None" = None


def _answered(
    assignment: "Assignment", feature: str, other: tuple[str | None, str | None, str | None], form: Format
) -> _Told:
    """The evidence for a feature, or another way beside the advised one."""
    try:
        return _worked_out(assignment, feature, other, form)
    except (BadInput, OSError):
        raise
    except Exception as error:
        if interrupted():
            raise
        from advisor.model.answer import Failed

        return _Told(failed=Failed.of(feature, error))


def _worked_out(
    assignment: "Assignment", feature: str, other: tuple[str | None, str | None, str | None], form: Format
) -> _Told:
    from advisor import service

    if other == (None, None, None):
        with patience(len(assignment.crib)):
            advice = service.explain(assignment, feature)
        (answer,) = advice.features
        if form is Format.json:
            from advisor.render.why_record import why_record

            return _Told(answer.best is not None, record=why_record(answer, advice))
        from advisor.text.why import why_blocks

        return _Told(answer.best is not None, tuple(why_blocks(answer, advice)))
    method, cutter, entry = other
    with patience(len(assignment.crib)):
        found = service.compare(assignment, feature, method=method, cutter=cutter, entry=entry)
    if form is Format.json:
        from advisor.render.comparison_record import beside_record

        return _Told(found.answer.best is not None, record=beside_record(found))
    from advisor.text.comparison import beside_blocks

    return _Told(found.answer.best is not None, tuple(beside_blocks(found)))
