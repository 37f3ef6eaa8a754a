"""Time and memory where there is much of something: ``python -m tests.benchmarks.many_houses [SHARE]``.

A thousand jobs each with a house of its own, that moves nearly every threshold; three hundred jobs with one house, each
by another spelling; a job of a thousand features; practice with a record of every size up to the limit. SHARE of these
numbers, 1 unless it is said. Each is the command itself, answers left out (``--quick``, one process), in a process of
its own, whose greatest memory the system tells. Beside each stands its ratio to the same with a single one.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta
from itertools import cycle, islice, product
from pathlib import Path
from typing import Any, NamedTuple

from advisor.coach import record as records
from advisor.coach.exercise import KINDS
from advisor.coach.files import files
from advisor.coach.record import Answered, Question, Record
from advisor.coach.topics import topics
from advisor.files.problems import BadInput
from advisor.knowledge.conditions import Compare, leaves
from advisor.knowledge.house import house_base
from advisor.knowledge.shipped import rule_base
from advisor.model.assignment import Assignment
from advisor.model.job import Job
from advisor.paths import cases_dir, data_root
from advisor.readers.assignment import read_assignment
from tests.benchmarks.advice import assignment
from tests.benchmarks.growth import features

JOBS, SPELLED, FEATURES = 1000, 300, 1000
RECORDS = (0.0, 0.01, 0.03, 0.1, 0.3, 0.6, 0.99)  # of the greatest record that is read
CASES = ("guide-slot-narrow", "pump-base-deep-pocket", "rack-slot-sound-axes", "press-frame-step-in-reach")


class Spent(NamedTuple):
    """What a command took: seconds of the processor, and the greatest memory [MB]."""

    seconds: float
    megabytes: float
    code: int


def spent(words: Sequence[object], said: bytes = b"", **environment: str) -> Spent:
    """Run a command, throw its answers away, and return what it took."""
    known = {**os.environ, "PYTHONPATH": str(data_root()), **environment}
    command = [sys.executable, "-m", "advisor.cli.start", *map(str, words)]
    with tempfile.TemporaryFile() as source, open(os.devnull, "wb") as nowhere:
        source.write(said)
        source.seek(0)
        process = subprocess.Popen(command, stdin=source, stdout=nowhere, stderr=nowhere, env=known, cwd=data_root())
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    return Spent(usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1000, process.returncode)


def told(label: str, found: Spent, beside: Spent, count: int) -> None:
    """Print a line: what it took, a piece, and beside the same with a single one."""
    piece = found.seconds / max(count, 1)
    print(
        f"{label:44} {found.seconds:8.1f} s {1000 * piece:8.1f} ms a piece {found.megabytes:7.0f} MB"
        f"   ratios: time {found.seconds / beside.seconds:7.2f}, memory {found.megabytes / beside.megabytes:5.2f}"
        f"   exit {found.code}",
        flush=True,
    )


def movable(folder: Path) -> list[str]:
    """Return the thresholds that rules compare with and that a house may move a little."""
    base = rule_base()
    compared = {leaf.threshold for rule in base.rules for leaf in leaves(rule.condition) if isinstance(leaf, Compare)}
    names = [each.name for each in base.thresholds.values() if each.name in compared and each.unit not in ("count",)]
    while True:
        try:
            house_base(base, house(folder, names, 0))
            return names
        except BadInput as error:
            faulty = " ".join(problem.field for problem in error.problems)
            names = [name for name in names if name not in faulty]


def house(folder: Path, names: Sequence[str], number: int) -> Path:
    """Return a folder of house rules that moves each threshold by its own small part."""
    folder.mkdir(parents=True, exist_ok=True)
    limits = rule_base().limits
    lines = (f"  {name}: {{value: {limits[name] * (0.999 - 1e-6 * number):.8f}, reason: ours}}\n" for name in names)
    (folder / "house.yaml").write_text("thresholds:\n" + "".join(lines), encoding="utf-8")
    return folder


def written(folder: Path, asked: Assignment, house_line: str = "") -> Path:
    """Write an assignment into a folder of its own, and return its job."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in files(asked.model_copy(update={"house": None})).items():
        (folder / name).write_text(text + (house_line if name == "shop.yaml" else ""), encoding="utf-8")
    return folder / "job.yaml"


def many_jobs(top: Path, share: float) -> None:
    """Jobs with a house each, and jobs that share one under many spellings."""
    names = movable(top / "tried")
    asked = [read_assignment(cases_dir() / name / "job.yaml") for name in CASES]
    quick = ("--quick", "--processes", "1")
    for number in range(count := round(JOBS * share)):
        house(top / "own" / f"{number:04}" / "house", names, number)
        written(top / "own" / f"{number:04}", asked[number % len(asked)], "house: house\n")
    one = spent(["advise", top / "own" / "0000" / "job.yaml", "--quick"])
    told("one job with a house", one, one, 1)
    told(f"{count} jobs, {count} houses", spent(["advise", top / "own", *quick]), one, count)
    house(top / "house", names, 0)
    for number in range(count := round(SPELLED * share)):
        spelled = "../" * 2 + f"shared/{number:04}/../../" * (number % 7) + "./" * (number % 5) + "house"
        written(top / "shared" / f"{number:04}", asked[number % len(asked)], f"house: {spelled}\n")
    told(f"{count} jobs, one house, many spellings", spent(["advise", top / "shared", *quick]), one, count)


def many_features(top: Path, share: float) -> None:
    """A job with so many features, none with the numbers of another."""
    beside: Spent | None = None
    for count in dict.fromkeys((1, round(FEATURES * share / 10), round(FEATURES * share))):
        shop = assignment()
        parts: Any = tuple(features(count))
        job = Job(part="much in it", material=shop.job.material, features=parts)
        found = spent(["advise", written(top / f"features-{count}", shop.model_copy(update={"job": job})), "--quick"])
        beside = beside or found
        told(f"one job, {count} features", found, beside, count)


def practised(most: int) -> Record:
    """Return a record whose text has at most so many signs."""
    begun = datetime(2020, 1, 1, tzinfo=UTC)

    def answers() -> Iterator[Answered]:
        for number, (topic, kind) in enumerate(cycle(product(topics(), KINDS))):
            question = Question(kind=kind, seed=number, difficulty=1 + number % 5, topic=topic)
            yield Answered(
                question=question,
                topic=topic,
                first=number % 3 / 2,
                score=1.0,
                tries=1 + number % 2,
                missed=("slot-too-narrow-to-loop",) if number % 3 == 0 else (),
                when=begun + timedelta(minutes=7 * number),
            )

    one = len(records.as_text(Record(who="anna", answers=tuple(islice(answers(), 1000))))) / 1000
    return Record(who="anna", answers=tuple(islice(answers(), int(most / one))))


def practice(top: Path, share: float) -> None:
    """The report on, and two questions with, records of every size."""
    first: tuple[Spent, ...] = ()
    for part in RECORDS:
        os.environ[records.PLACE] = str(top / f"data-{part}")
        record = practised(int(records.LARGEST * part * share))
        records.write(record, "anna")
        size = records.file_of("anna").stat().st_size / 1e6
        found = tuple(
            spent(["coach", *words], said)
            for words, said in ((("report", "--who", "anna"), b""), (("--who", "anna"), b"skip\nskip\nquit\n"))
        )
        first = first or found
        label = f"record of {size:.2f} MB, {len(record.answers)} answers"
        for name, one, beside in zip(("report", "questions"), found, first, strict=True):
            told(f"{label}: {name}", one, beside, 1)


def main() -> None:
    """Measure all of it and print."""
    share = float(sys.argv[1]) if len(sys.argv) > 1 else 1.0
    begun = time.perf_counter()
    with tempfile.TemporaryDirectory() as folder:
        for part in (many_jobs, many_features, practice):
            part(Path(folder), share)
    print(f"{time.perf_counter() - begun:.0f} s in all")


if __name__ == "__main__":
    main()
