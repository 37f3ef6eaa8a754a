"""Reading and writing for whoever uses the package from Python: files and texts in, answers as text or data out."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from advisor.analysis.comparison import Beside
from advisor.choosing.job_advice import Advice
from advisor.files.unit_scales import OURS, in_units_of
from advisor.model.assignment import Assignment
from advisor.model.operations import Plan
from advisor.readers import assignment as assignments
from advisor.readers import plan as plans
from advisor.readers.plan_rows import known_of
from advisor.review.verdict import Review
from advisor.situation.bench import with_house_notes
from advisor.text.blocks import Block

PathName = str | os.PathLike[str]
Answer = Advice | Beside | Review  # what ``advise`` or ``explain``, ``compare`` and ``review_plan`` give


def read_job(path: PathName, *, shop: PathName | None = None, house: PathName | None = None) -> Assignment:
    """The job of a file with its material, machine and crib.

    Args:
        path: the job file.
        shop: the shop file, instead of the one that the job names; where it names none, of the user's default shop,
            or of the demo shop.
        house: the folder of the shop's own rules, instead of the one that the shop names. The rules are read with the
            first answer, which raises ``BadInput`` where they are not as they must be.

    Raises:
        BadInput: with everything that is wrong with the files, each with file, line and field.
    """
    return _with_house(assignments.read_assignment(Path(path), _path(shop)), house)


def parse_job(
    text: str, *, folder: PathName = ".", shop: PathName | None = None, house: PathName | None = None
) -> Assignment:
    """The job of a YAML text; a shop that it names is looked for from ``folder``. For the rest as ``read_job``."""
    return _with_house(assignments.parse_assignment(text, Path(folder), _path(shop)), house)


def read_plan(path: PathName, job: Assignment) -> Plan:
    """The plan of a YAML or CSV file; plain lengths are in the units of the job unless the file says otherwise.

    Raises:
        BadInput: with everything that is wrong with the file.
    """
    return plans.read_plan(Path(path), job.job.units, known_of(job))


def parse_plan(text: str, job: Assignment) -> Plan:
    """The plan of a YAML text; for the rest as ``read_plan``."""
    return plans.parse_plan(text, job.job.units, known_of(job))


def parse_operations(text: str, job: Assignment) -> Plan:
    """The plan of operations in a line each, such as ``S1: layered pocketing E10 ap 4 ae 6``.

    Raises:
        BadInput: with everything that cannot be understood.
    """
    from advisor.readers.plan_line import plan_said

    known = known_of(job)
    return plan_said([text], known.cutters, job.job.units, known.features, known.parts)


def as_text(answer: Answer, columns: int = 80) -> str:
    """An answer as the command shows it, no line wider than ``columns`` (30 at least)."""
    from advisor.render import terminal

    return terminal.text(_blocks(answer), columns)


def as_markdown(answer: Answer) -> str:
    """An answer in Markdown."""
    from advisor.render import markdown

    return markdown.text(_blocks(answer))


def as_html(answer: Advice | Review) -> str:
    """Advice or a review as one HTML document, with drawings."""
    from advisor.render.page import advice_page
    from advisor.render.page_review import review_page

    return advice_page(answer) if isinstance(answer, Advice) else review_page(answer)


@in_units_of(lambda answer: OURS)
def as_data(answer: Answer) -> dict[str, Any]:
    """An answer as the command writes it in JSON, in dicts, lists, texts and numbers; in mm whatever the units of the
    job, which it says.
    """
    if isinstance(answer, Beside):
        from advisor.render.comparison_record import beside_record

        return beside_record(answer)
    if isinstance(answer, Review):
        from advisor.render.review_record import review_record

        return review_record(answer).model_dump(mode="json", by_alias=True)
    from advisor.render.recording import record

    return record(answer).model_dump(mode="json", by_alias=True)


def _blocks(answer: Answer) -> Iterator[Block]:
    if isinstance(answer, Beside):
        from advisor.text.comparison import beside_blocks

        return beside_blocks(answer)
    if isinstance(answer, Review):
        from advisor.text.review import review_blocks

        return review_blocks(answer)
    from advisor.text.sheet import sheet_blocks

    return sheet_blocks(answer)


def _path(given: PathName | None) -> Path | None:
    return None if given is None else Path(given)


def _with_house(found: Assignment, house: PathName | None) -> Assignment:
    return with_house_notes(found if house is None else found.model_copy(update={"house": Path(house)}))
