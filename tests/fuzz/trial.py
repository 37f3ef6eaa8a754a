"""One input tried: read, held against its files, answered, the answer held against shop and crib."""

import signal
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from time import process_time
from typing import NamedTuple

from advisor.analysis.upgrades import with_changes
from advisor.choosing.advice import advise
from advisor.choosing.job_advice import Advice
from advisor.files.problems import BadInput
from advisor.inference import start
from advisor.knowledge.house import house_base
from advisor.knowledge.shipped import rule_base
from advisor.model.assignment import Assignment
from advisor.readers.assignment import read_assignment
from advisor.readers.plan import read_plan
from advisor.readers.plan_check import check_plan
from advisor.review.verdict import review
from advisor.situation.bench import bench_of
from tests.fuzz.formats import advice_written, review_written
from tests.fuzz.oracle import MadeUp, check_answer, check_plan_read, check_read, check_written
from tests.fuzz.strategies import Files
from tests.jobs.completed import all_completed

SECONDS = 2.0  # of computing, so that a busy machine does not count
WRITING = 4.0  # more, for every format of an answer
MORE = 8.0  # for what would change the answers of two features
MOST_TOLD = 60_000  # signs of one refusal


class Slow(BaseException):
    """Raised where an input takes longer than anybody waits."""


class Outcome(NamedTuple):
    """How a trial ended: ``read``, ``refused`` or ``finding``, what the finding is, and how long it took [s]."""

    ended: str
    finding: str
    told: str
    seconds: float


@contextmanager
def at_most(seconds: float) -> Iterator[None]:
    """Raises Slow inside if that takes longer."""

    def stop(*_: object) -> None:
        raise Slow(f"more than {seconds} s")

    before = signal.signal(signal.SIGVTALRM, stop)
    signal.setitimer(signal.ITIMER_VIRTUAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)
        signal.signal(signal.SIGVTALRM, before)


def lay(files: Files, folder: Path) -> Path:
    """Write the files, and no others of earlier trials; the path of the job."""
    for name in ("plan.yaml", "plan.csv"):
        (folder / name).unlink(missing_ok=True)
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(content)
    return folder / "job.yaml"


def trial(files: Files, folder: Path, written: bool = True, turned: bool = False) -> Outcome:
    """Try the files of a folder, whatever they are.

    ``written``: also write the answer out; ``turned``: also ask what would change it, with more time.
    """
    most = SECONDS + (WRITING if written else 0) + (MORE if turned else 0)
    job = lay(files, folder)
    begun = process_time()
    try:
        with at_most(most):
            ended = _tried(files, job, written, turned)
    except BaseException as error:
        return Outcome("finding", _place(error), traceback.format_exc(), process_time() - begun)
    took = process_time() - begun
    return Outcome("finding", "Slow in C code", "", took) if took > most else Outcome(ended, "", "", took)


def _tried(files: Files, job: Path, written: bool, turned: bool) -> str:
    try:
        assignment = read_assignment(job)
        check_read(files, assignment)
        inference = _own_rules(assignment)
    except BadInput as error:
        _readable(error)
        return "refused"
    try:
        advice = all_completed(advise(assignment, bench_of(assignment, inference)))
        check_answer(advice)
        _reviewed(files, job.parent, advice, written)
        if written:
            check_written(advice)
            advice_written(advice)
        if turned:
            pairs = zip(advice.features, assignment.job.features, strict=True)
            told = tuple(with_changes(answer, feature, assignment.crib, advice.bench) for answer, feature in pairs)
            check_answer(advice._replace(features=told))
            check_written(advice._replace(features=told))
    except BadInput as error:
        # Of thresholds of the house with which no feature can be worked out, and of plans; of nothing else so late.
        if assignment.house is None and not any("plan." in problem.file for problem in error.problems):
            raise
        _readable(error)
        return "refused"
    return "read"


def _readable(error: BadInput) -> None:
    told = "\n".join(map(str, error.problems))
    if len(told) > MOST_TOLD or not told.replace("\n", "").isprintable():
        raise MadeUp("a refusal that nobody can read") from None


def _reviewed(files: Files, folder: Path, advice: Advice, written: bool) -> None:
    """The plan of the folder, if there is one, read and reviewed. Raises BadInput where it is refused."""
    for name in sorted({"plan.yaml", "plan.csv"} & set(files)):
        assignment = advice.assignment
        plan = read_plan(folder / name, assignment.job.units)
        check_plan_read(files, plan, assignment.job.units)
        check_plan(plan, assignment)
        found = review(plan, assignment, advice)
        if written:
            review_written(found)


def _own_rules(assignment: Assignment):  # type: ignore[no-untyped-def]
    """Inference with the house rules, by the evaluator, which needs no rulesets built."""
    if assignment.house is None:
        return None
    return start(house_base(rule_base(), assignment.house), "evaluator")


def _place(error: BaseException) -> str:
    """What a finding is known by: the kind of exception, and where in our own code it came up."""
    frames = [frame for frame in traceback.extract_tb(error.__traceback__) if "/advisor/" in frame.filename]
    where = f"{Path(frames[-1].filename).name}:{frames[-1].name}" if frames else "outside"
    said = str(error).split(" was read as")[0][:60] if isinstance(error, MadeUp) else ""
    return f"{type(error).__name__} in {where} {said}".strip()
