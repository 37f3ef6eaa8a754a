"""``roughing advise JOB``: the answer for every feature."""

from typing import Annotated

import typer

from advisor.cli.asking import HouseFolder, JobFile, ShopFile, assignment_of
from advisor.cli.guard import NO_WAY, guarded
from advisor.cli.output import Format, show, show_json

EXAMPLE = "Example: roughing advise cases/winch-side-plate/job.yaml"


@guarded
def command(
    job: JobFile,
    shop: ShopFile = None,
    house: HouseFolder = None,
    quick: Annotated[
        bool,
        typer.Option("--quick", help="Leave out what would change each answer; up to half a second a feature less."),
    ] = False,
    form: Annotated[Format, typer.Option("--format", help="How the advice is written.")] = Format.text,
) -> int:
    """Recommend method, cutter, entry and settings for every feature of a job, with reasons.

    Ends with 0, with 1 if no way was found for a feature, with 2 if a file is not as it must be.
    """
    assignment = assignment_of(job, shop, house)
    from advisor.reasoning.advice import advise

    advice = advise(assignment)
    if not quick:
        from advisor.reasoning.wishes import asked_back

        pairs = zip(advice.features, assignment.job.features, strict=True)
        told = (asked_back(answer, feature, assignment.crib, advice.bench) for answer, feature in pairs)
        advice = advice._replace(features=tuple(told))
    if form is Format.json:
        from advisor.report.recording import record

        show_json(record(advice).model_dump(mode="json", by_alias=True))
    else:
        from advisor.report.advice import advice_blocks

        show(advice_blocks(advice), form)
    return 0 if all(answer.best for answer in advice.features) else NO_WAY
