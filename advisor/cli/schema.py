"""``roughing schema WHAT``: the JSON Schema of a file, or of the advice or a review."""

from enum import StrEnum
from importlib import import_module
from typing import Annotated

import typer

from advisor.cli.guard import guarded
from advisor.cli.output import show_json

EXAMPLE = "Example: roughing schema job"


class What(StrEnum):
    """What there is a schema of."""

    job = "job"
    shop = "shop"
    crib = "crib"
    advice = "advice"
    advice_list = "advice-list"
    plan = "plan"
    review = "review"
    course = "course"
    review_list = "review-list"


MADE_BY = {  # module and function; only the one that is asked for is imported
    What.job: ("readers.schemas", "job_schema"),
    What.shop: ("readers.schemas", "shop_schema"),
    What.crib: ("readers.schemas", "crib_schema"),
    What.course: ("coach.course", "course_schema"),
    What.advice: ("render.record", "advice_schema"),
    What.advice_list: ("render.many_record", "advice_list_schema"),
    What.plan: ("readers.schemas", "plan_schema"),
    What.review: ("render.review_record", "review_schema"),
    What.review_list: ("render.review_record", "reviews_schema"),
}


@guarded
def command(
    what: Annotated[
        What,
        typer.Argument(
            metavar="WHAT",
            help="One of job, shop, crib, course, advice, advice-list, plan, review, review-list.",
            show_default=False,
        ),
    ],
) -> int:
    """Print the JSON Schema (draft 2020-12) of job, shop, crib, plan, course, or of the advice or a review as JSON."""
    module, function = MADE_BY[what]
    show_json(getattr(import_module(f"advisor.{module}"), function)())
    return 0
