"""``roughing why JOB FEATURE``: the whole evidence for one feature."""

from typing import Annotated

import typer

from advisor.cli.asking import HouseFolder, JobFile, ShopFile, assignment_of
from advisor.cli.guard import NO_WAY, guarded
from advisor.cli.output import Format, first_problem, show, show_json

EXAMPLE = "Example: roughing why cases/winch-side-plate/job.yaml S1"


@guarded
def command(
    job: JobFile,
    feature: Annotated[
        str, typer.Argument(metavar="FEATURE", help="The id of a feature of the job.", show_default=False)
    ],
    shop: ShopFile = None,
    house: HouseFolder = None,
    form: Annotated[Format, typer.Option("--format", help="How the evidence is written.")] = Format.text,
) -> int:
    """Show the evidence for one feature: rules, the values they met, formulas with numbers, sources."""
    assignment = assignment_of(job, shop, house)
    known = {item.id: item for item in assignment.job.features}
    if feature not in known:
        raise first_problem(str(job), "FEATURE", feature, f"the id of a feature: {', '.join(known)}", known)
    from advisor.reasoning.advice import Advice, advise_feature
    from advisor.reasoning.bench import bench_of

    bench = bench_of(assignment)
    answer = advise_feature(known[feature], assignment.crib, bench)
    advice = Advice(assignment, bench, (answer,))
    if form is Format.json:
        from advisor.report.why_record import why_record

        show_json(why_record(answer, advice))
    else:
        from advisor.report.why import why_blocks

        show(why_blocks(answer, advice), form)
    return 0 if answer.best else NO_WAY
