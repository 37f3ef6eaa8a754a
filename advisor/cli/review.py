"""``roughing review JOB PLAN…``: a second pair of eyes on what somebody chose."""

import os
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from advisor.cli.asking import HouseFolder, JobFile, OutputFile, ShopFile, assignment_of, keep, path_of, shipped
from advisor.cli.failing import tell_failed, told_reviews
from advisor.cli.guard import INTERNAL, guarded
from advisor.cli.output import Format, PageFormat, first_problem, remark, show, show_json, show_page
from advisor.cli.progress import patience

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from advisor.files.problems import Problem
    from advisor.model.answer import Failed
    from advisor.model.assignment import Assignment
    from advisor.model.operations import Plan
    from advisor.review.verdict import Review
    from advisor.text.blocks import Block

EXAMPLE = (
    "Example: roughing review cases/review-hatch-frame/job.yaml cases/review-hatch-frame/plans/good.yaml; or "
    'roughing review cases/guide-slot-narrow/job.yaml --say "S1: ramped slotting E10 ap 7 vf 3240 n 12000"'
)
STOPS = 1
ENDINGS = (".yaml", ".yml", ".csv", ".tsv", ".xlsx", ".xlsm")


@guarded
def command(
    job: JobFile,
    plans: Annotated[
        list[Path] | None,
        typer.Argument(
            metavar="PLAN...",
            parser=path_of,
            help="Plan files (YAML, CSV, .xlsx), and folders of them.",
            show_default=False,
        ),
    ] = None,
    say: Annotated[
        list[str] | None,
        typer.Option("--say", metavar="TEXT", help='A plan in one line: "S1: layered pocketing T07 ae 6 ap 4".'),
    ] = None,
    shop: ShopFile = None,
    house: HouseFolder = None,
    form: Annotated[PageFormat, typer.Option("--format", help="Output format.")] = PageFormat.text,
    output: OutputFile = None,
    recurs: Annotated[
        bool, typer.Option("--trend", help="For several plans, show only the findings that recur.")
    ] = False,
    by_programmer: Annotated[
        bool, typer.Option("--by-programmer", help="Also name the programmers. For coaching, not for blame.")
    ] = False,
) -> int:
    """Review what somebody chose for each feature: what to stop, to change, to consider, and what is well chosen.

    Exit code 0: done; 1: there is something to stop; 2: a fault in a file; 70: an internal error. The other features
    are then still judged.
    """
    if form is PageFormat.html and (recurs or by_programmer):
        option = "--trend" if recurs else "--by-programmer"
        raise first_problem("command line", option, "--format html", "text, json or markdown: a page is of one plan")
    if not plans and not say:
        raise first_problem("command line", "PLAN", "", "a plan file, a folder of plans, or --say with a plan")
    assignment = assignment_of(job, shop, house)
    files = _files(list(plans or ()))
    keep([*assignment.files, *files], output)
    only_trend = recurs and form is not PageFormat.json
    made = _reviewed(files, list(say or ()), assignment, not only_trend)
    if form is PageFormat.html:
        if len(made) > 1:
            raise first_problem("command line", "--format", form.value, "text, json or markdown: a page is of one plan")
        from advisor.render.page_review import review_page

        reviews, page = told_reviews(made, lambda found: review_page(found[0]))
        show_page(page, output)
    elif form is PageFormat.json:
        reviews, record = told_reviews(made, lambda found: _recorded(found, recurs, by_programmer))
        show_json(record, output)
    else:
        reviews, blocks = told_reviews(made, lambda found: tuple(_blocks(found, recurs, by_programmer)))
        show(blocks, Format(form.value), output)
    if tell_failed(dict.fromkeys(one for review in reviews for one in review.failed)):
        return INTERNAL
    return STOPS if any(review.stops for review in reviews) else 0


def _reviewed(
    paths: list[Path], said: list[str], assignment: "Assignment", with_remedies: bool
) -> list["Callable[[Sequence[Failed]], Review]"]:
    """What makes the review of each plan, less what has failed; the faults of all plans are told together."""
    from advisor.choosing.advice import advise_each
    from advisor.files.problems import BadInput, Problem
    from advisor.readers.plan_check import check_plan
    from advisor.review.isolated import beside, review_each

    problems: list[Problem] = []
    plans: list[Plan] = []
    for plan in _read(paths, said, assignment, problems):
        try:
            check_plan(plan, assignment)
        except BadInput as error:
            problems.extend(error.problems)
        plans.append(plan)
    if problems:
        raise BadInput(problems)
    with patience(len(assignment.crib)):
        advice = advise_each(assignment)
    if not advice.features:
        from advisor.text.failures import failure_text

        raise RuntimeError("; ".join(failure_text(one) for one in advice.failed))

    def of(plan: "Plan") -> "Callable[[Sequence[Failed]], Review]":
        def made(failed: "Sequence[Failed]") -> "Review":
            return review_each(plan, assignment, beside(advice, failed), with_remedies)

        return made

    return [of(plan) for plan in plans]


def _read(paths: list[Path], said: list[str], assignment: "Assignment", problems: list["Problem"]) -> list["Plan"]:
    from advisor.files.problems import BadInput, printable
    from advisor.readers.plan import read_plan
    from advisor.readers.plan_line import plan_said
    from advisor.readers.plan_rows import known_of

    plans: list[Plan] = []
    units, known = assignment.job.units, known_of(assignment)
    for path in paths:
        try:
            plans.append(read_plan(path, units, known))
        except BadInput as error:
            problems.extend(error.problems)
    if said:
        plans.append(plan_said(said, known.cutters, units, known.features, known.parts))
    remark(*(printable(f"note: {note}") for plan in plans for note in plan.notes))
    return plans


def _files(paths: list[Path]) -> list[Path]:
    """The plan files, those of a folder in the order of their names; each once, however often it is named."""
    found: list[Path] = []
    for path in map(shipped, paths):
        if os.path.isdir(path):
            inside = _plans_in(path)
            if not inside:
                raise first_problem(str(path), "the folder", "no plan in it", f"files ending in {', '.join(ENDINGS)}")
            found += inside
        else:
            found.append(path)
    once: dict[str, Path] = {}
    for path in found:
        once.setdefault(os.path.realpath(path), path)
    return list(once.values())


def _plans_in(folder: Path) -> list[Path]:
    from advisor.files.problems import BadInput, Problem

    try:
        inside = sorted(one for one in folder.iterdir() if one.suffix.casefold() in ENDINGS)
    except OSError as error:
        told = f"a folder that cannot be read ({error.strerror})"
        raise BadInput([Problem(str(folder), None, "", told, "a folder that can be read")]) from None
    return [one for one in inside if os.path.isfile(one) or not os.path.exists(one)]  # what is not to be seen is told


def _blocks(reviews: tuple["Review", ...], recurs: bool, by_programmer: bool) -> "Iterator[Block]":
    from advisor.text.review import review_blocks

    if not recurs:
        for review in reviews:
            yield from review_blocks(review)
    if recurs or by_programmer or len(reviews) > 1:
        from advisor.review.trend import trend
        from advisor.text.trend import trend_blocks

        yield from trend_blocks(reviews, trend(reviews, by_programmer))


def _recorded(reviews: tuple["Review", ...], recurs: bool, by_programmer: bool) -> object:
    from advisor.render.review_record import review_record, reviews_record

    if len(reviews) == 1 and not recurs:
        return review_record(reviews[0]).model_dump(mode="json", by_alias=True)
    from advisor.review.trend import trend

    return reviews_record(reviews, trend(reviews, by_programmer)).model_dump(mode="json", by_alias=True)
