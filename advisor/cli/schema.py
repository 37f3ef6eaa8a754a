"""``roughing schema WHAT``: the JSON Schema of a file, or of the advice."""

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


@guarded
def command(
    what: Annotated[What, typer.Argument(metavar="WHAT", help="One of job, shop, crib, advice.", show_default=False)],
) -> int:
    """Print the JSON Schema (draft 2020-12) of job, shop, crib, or of the advice as JSON."""
    if what is What.advice:
        from advisor.report.record import advice_schema

        show_json(advice_schema())
        return 0
    from advisor.inputs import schemas

    show_json({What.job: schemas.job_schema, What.shop: schemas.shop_schema, What.crib: schemas.crib_schema}[what]())
    return 0
