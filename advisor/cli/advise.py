"""``roughing advise JOB...``: the answer for every feature."""

import os
from pathlib import Path
from typing import Annotated

import typer

from advisor.cli.asking import HouseFolder, OutputFile, ShopFile, assignment_of, keep, path_of, shipped
from advisor.cli.failing import nothing_left, tell_failed, told_advice
from advisor.cli.guard import INTERNAL, NO_WAY, guarded
from advisor.cli.output import AdviceFormat, Format, first_problem, recorded, show, show_json, show_page
from advisor.cli.progress import long_work

EXAMPLE = "Example: roughing advise cases/winch-side-plate/job.yaml"


@guarded
def command(
    jobs: Annotated[
        list[Path],
        typer.Argument(
            metavar="JOB...", parser=path_of, help="Job files (YAML), and folders of them.", show_default=False
        ),
    ],
    shop: ShopFile = None,
    house: HouseFolder = None,
    quick: Annotated[
        bool,
        typer.Option("--quick", help="Skip what would change the advice. Saves up to half a second a feature."),
    ] = False,
    full: Annotated[
        bool, typer.Option("--full", help="Show every reason, limit, alternative and change of each feature.")
    ] = False,
    short: Annotated[bool, typer.Option("--short", help="Show only the part table.")] = False,
    form: Annotated[
        AdviceFormat, typer.Option("--format", help="Output format; csv is the part table.")
    ] = AdviceFormat.text,
    drawn: Annotated[bool, typer.Option("--drawings/--no-drawings", help="Draw on a page, or not.")] = True,
    output: OutputFile = None,
    processes: Annotated[
        int | None,
        typer.Option(
            "--processes", metavar="N", min=1, help="Number of processes for many jobs; default: as many as help."
        ),
    ] = None,
    cluster: Annotated[
        str | None,
        typer.Option(
            "--cluster", metavar="ADDRESS", help="Send many jobs to this Dask scheduler, such as tcp://host:8786."
        ),
    ] = None,
) -> int:
    """Recommend method, cutter, entry and settings for every feature of a job, with reasons.

    Several jobs, or a folder of them, are answered in order, each under the name of its file.
    Exit code 0: done; 1: a feature is not possible with this crib; 2: a fault in a file; 70: an internal error. The
    other features are then still answered.
    """
    many = len(jobs) > 1 or os.path.isdir(shipped(jobs[0]))
    if many and form in (AdviceFormat.html, AdviceFormat.csv):
        raise first_problem("command line", "--format", form.value, "text, json or markdown: a page is of one job")
    if full and short:
        raise first_problem("command line", "--short", "--full with it", "one of the two")
    detail = "full" if full else "short" if short else "sheet"
    if output is not None and many:
        raise first_problem("command line", "--output", str(output), "one job with it: a file is of one job")
    if many:
        from advisor.cli.advise_many import advise_many

        return advise_many(jobs, shop, house, quick, Format(form.value), detail, processes, cluster)
    if cluster is not None:
        raise first_problem("command line", "--cluster", cluster, "several jobs, or a folder of them, to be sent there")
    assignment = assignment_of(jobs[0], shop, house)
    keep(assignment.files, output)
    from advisor.service import advise

    with long_work(len(assignment.job.features)) as step:
        advice = advise(assignment, quick or short or form is AdviceFormat.csv, step)
    if advice.failed and not advice.features:
        return nothing_left(advice.failed)
    if form is AdviceFormat.html:
        from advisor.render.page import advice_page

        advice, page = told_advice(advice, lambda one: advice_page(one, detail, drawn))
        show_page(page, output)
    elif form is AdviceFormat.csv:
        from advisor.render.part_csv import part_csv

        advice, table = told_advice(advice, part_csv)
        show_page(table, output)
    elif form is AdviceFormat.json:
        advice, found = told_advice(advice, recorded)
        show_json(found, output)
    else:
        from advisor.text.detail import blocks_of

        advice, blocks = told_advice(advice, lambda one: tuple(blocks_of(one, detail)))
        show(blocks, Format(form.value), output)
    if tell_failed(advice.failed):
        return INTERNAL
    return 0 if all(answer.best for answer in advice.features) else NO_WAY
