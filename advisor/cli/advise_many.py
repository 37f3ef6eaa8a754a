"""``roughing advise`` for several jobs: read, advised and told in order, whoever works them out."""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from advisor.cli.answers import Answer, Tally, answered, counted, tell
from advisor.cli.guard import BAD_INPUT, INTERNAL, NO_WAY
from advisor.cli.interrupts import interrupted
from advisor.cli.output import Format, ascii_only, remark
from advisor.files.problems import printable

if TYPE_CHECKING:
    from advisor.choosing.job_advice import Advice
    from advisor.cli.job_files import JobFiles
    from advisor.text.blocks import Block


class Asked(NamedTuple):
    """What is asked of every job alike. Paths are whole, so that they mean the same in any process of any folder.

    ``own_shop`` answers for jobs that name no shop: the default shop of whoever asks, not of whoever works.
    """

    shop: Path | None
    own_shop: Path | None
    house: Path | None
    quick: bool
    form: Format
    detail: str
    ascii_only: bool
    folder: str


def advise_many(
    jobs: Sequence[Path],
    shop: Path | None,
    house: Path | None,
    quick: bool,
    form: Format,
    detail: str,
    processes: int | None,
    cluster: str | None,
) -> int:
    """Advise the jobs and the folders of jobs; the gravest exit code of all is given."""
    import gc

    from advisor.cli.asking import shipped
    from advisor.cli.job_files import job_files
    from advisor.cli.many import run_many
    from advisor.paths import default_shop

    gc.enable()  # the start of the program switches it off, for one job
    found = job_files([shipped(path) for path in jobs])
    folder = os.path.join(os.getcwd(), "")
    fast = quick or detail == "short"
    asked = Asked(_whole(shop), _whole(default_shop()), _whole(house), fast, form, detail, ascii_only(), folder)
    remark(*(str(problem) for problem in found.problems))
    work = partial(advised, asked)
    return _told(found, run_many(work, [str(file) for file in found.files], processes, cluster), form)


def _whole(path: Path | None) -> Path | None:
    from advisor.cli.asking import shipped

    return Path(os.path.join(os.getcwd(), shipped(path))) if path else None


def _told(found: JobFiles, answers: Iterable[Answer], form: Format) -> int:
    from advisor.cli.lost_workers import Broken
    from advisor.cli.progress import Bar

    tally, total = Tally(), len(found.files)
    code = BAD_INPUT if found.problems else 0
    stopped = ""
    try:
        with Bar(total).shown() as bar:
            tell(answers, form, tally, bar)
    except Broken as error:
        stopped, code = f"stopped: {error}", INTERNAL
    except KeyboardInterrupt:
        remark(_so_far("interrupted", tally, found))
        raise
    remark(*tally.remarks(), *(printable(f"note: {note}") for note in found.notes))
    if stopped:
        remark(_so_far(stopped, tally, found))
    else:
        remark(tally.summary("advised", "without a way for a feature"))
    return max(code, tally.code)


def _so_far(why: str, tally: Tally, found: JobFiles) -> str:
    done, total = tally.codes.total(), len(found.files)
    return f"{why}; {done} of {counted(total)} answered" + (
        f", none from {found.files[done]} on" if done < total else ""
    )


def advised(asked: Asked, file: str) -> Answer:
    """The answer for one job, all that is wrong told in it."""
    return answered(file, partial(_advised, asked, file), asked.folder)


def _advised(asked: Asked, file: str) -> Answer:
    from advisor.readers.assignment import read_assignment
    from advisor.service import advise
    from advisor.situation.bench import with_house_notes

    assignment = read_assignment(Path(asked.folder, file), asked.shop, lambda: asked.own_shop)
    if asked.house is not None:
        assignment = assignment.model_copy(update={"house": asked.house})
    assignment = with_house_notes(assignment)
    return _told_answer(file, advise(assignment, asked.quick), asked)


def _told_answer(file: str, advice: Advice, asked: Asked) -> Answer:
    from advisor.cli.failing import told_advice
    from advisor.cli.output import as_json, recorded
    from advisor.text.detail import blocks_of
    from advisor.text.failures import failure_text

    if advice.failed and not advice.features:
        return Answer(file, INTERNAL, error=failure_text(advice.failed[0]))
    blocks: tuple[Block, ...] = ()
    text = ""
    if asked.form is Format.json:
        advice, found = told_advice(advice, recorded)
        text = as_json(found, asked.ascii_only)
    else:
        advice, blocks = told_advice(advice, lambda one: tuple(blocks_of(one, asked.detail)))
    if advice.failed and interrupted():
        raise KeyboardInterrupt
    code = 0 if all(answer.best for answer in advice.features) else NO_WAY
    failed = tuple(failure_text(one) for one in advice.failed)
    return Answer(file, INTERNAL if failed else code, blocks, text, advice.assignment.notes, failed=failed)
