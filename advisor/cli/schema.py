"""``roughing schema WHAT``: the JSON Schema of a file, or of the advice or a review."""

from enum import StrEnum
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
    if what is What.advice:
        from advisor.render.record import advice_schema

        show_json(advice_schema())
        return 0
    if what is What.review:
        from advisor.render.review_record import review_schema

        show_json(review_schema())
        return 0
    if what is What.review_list:
        from advisor.render.review_record import reviews_schema

        show_json(reviews_schema())
        return 0
    if what is What.advice_list:
        from advisor.render.many_record import advice_list_schema

        show_json(advice_list_schema())
        return 0
    if what is What.course:
        from advisor.coach.course import course_schema

        show_json(course_schema())
        return 0
    from advisor.readers import schemas

    found = {
        What.job: schemas.job_schema,
        What.shop: schemas.shop_schema,
        What.crib: schemas.crib_schema,
        What.plan: schemas.plan_schema,
    }
    show_json(found[what]())
    return 0
