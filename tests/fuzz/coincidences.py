"""Tries jobs and plans whose sizes coincide, and the jobs a hair beside them. Run by hand:

    python -m tests.fuzz.coincidences --jobs 50000 --processes 2

One job in two goes through the readers; the others keep every last bit, as lengths that are worked out do. Ends with 1
if there is a finding; each kind is shown with the numbers of its first jobs.
"""

import argparse
import sys
import time
import traceback
from collections import Counter
from functools import cache
from pathlib import Path
from random import Random
from typing import Any, NamedTuple

from advisor.analysis.upgrades import with_changes
from advisor.choosing.advice import advise
from advisor.choosing.job_advice import Advice
from advisor.files.problems import BadInput
from advisor.inference import start
from advisor.knowledge.shipped import rule_base
from advisor.mechanics.lengths import HAIR
from advisor.model.answer import FeatureAdvice
from advisor.readers.plan_check import check_plan
from advisor.review.verdict import review
from advisor.situation.bench import bench_of
from tests.fuzz.coincident import Made, assignment_of, feature_of, made, plan_of
from tests.fuzz.formats import advice_written, review_written
from tests.fuzz.oracle import check_answer, check_written
from tests.jobs.completed import all_completed

LAST_BITS = (1e-12, -1e-12)
WRITTEN, TURNED, PLANNED, BESIDE = 25, 400, 3, 4  # one in so many
SHOWN = 6  # findings of a kind


class Found(NamedTuple):
    """How a trial ended (``answered``, ``refused`` or ``finding``), and what the finding is."""

    ended: str
    finding: str = ""
    told: str = ""


@cache
def inference():  # type: ignore[no-untyped-def]
    return start(rule_base(), "evaluator")


def answered(job: Made, nudges: dict[str, float], read: bool) -> Advice:
    """The advice for the job with its sizes nudged. Raises ValueError where the readers refuse it."""
    assignment = assignment_of(job, feature_of(job, nudges, read))
    return advise(assignment, bench_of(assignment, inference()))


def outcome(answer: FeatureAdvice) -> dict[str, Any]:
    """What an answer comes to: the way advised, and of every way its grade, levels and settings."""
    found: dict[str, Any] = {"best": None}
    if answer.best is not None:
        best = answer.best
        found["best"] = (best.method, best.cutter.id, best.entry, best.drill and best.drill.id, best.grade)
    for way in answer.candidates:
        key = (way.method, way.cutter.id, way.entry, way.drill.id if way.drill else None)
        plan = way.plan
        numbers = (plan.levels, plan.axial_depth, plan.radial_width, plan.feed_rate, way.time) if plan else ()
        found[str(key)] = (way.grade, tuple(f"{number:.4g}" for number in numbers))
    return found


def apart(one: FeatureAdvice, other: FeatureAdvice) -> str:
    """In what two answers differ by more than the last figures; empty where in nothing."""
    first, second = outcome(one), outcome(other)
    for key in first.keys() | second.keys():
        if first.get(key) != second.get(key) and not _near(first.get(key), second.get(key)):
            return f"{key}: {first.get(key)} and {second.get(key)}"
    return ""


def _near(one: Any, other: Any) -> bool:
    """Whether grade and numbers are the same but for the last of the figures, or for a hair."""
    if not (isinstance(one, tuple) and isinstance(other, tuple)) or one[0] != other[0] or len(one) != 2:
        return False
    if not isinstance(one[1], tuple) or len(one[1]) != len(other[1]):
        return False
    return all(
        abs(float(a) - float(b)) <= max(2e-3 * abs(float(a)), HAIR)
        for a, b in zip(one[1], other[1], strict=True)
        if a != b
    )


def trial(seed: int) -> Found:
    """Try the job of a number: answered without fault, and as the job beside it."""
    try:
        return _tried(seed)
    except BaseException as error:
        if isinstance(error, KeyboardInterrupt):
            raise
        frames = [frame for frame in traceback.extract_tb(error.__traceback__) if "/advisor/" in frame.filename]
        where = f"{Path(frames[-1].filename).name}:{frames[-1].name}" if frames else "outside"
        said = str(error)[:60] if isinstance(error, AssertionError) else ""
        return Found("finding", f"{type(error).__name__} in {where} {said}".strip(), traceback.format_exc())


def _tried(seed: int) -> Found:
    job = made(seed)
    try:
        feature = feature_of(job, job.nudges, job.read)
    except ValueError:
        return Found("refused")
    assignment = assignment_of(job, feature)
    advice = all_completed(advise(assignment, bench_of(assignment, inference())))
    check_answer(advice)
    if seed % WRITTEN == 0:
        check_written(advice)
        advice_written(advice)
    if seed % TURNED == 0:
        told = with_changes(advice.features[0], feature, job.crib, advice.bench)
        check_answer(advice._replace(features=(told,)))
    if seed % PLANNED == 0:
        _review(job, advice, seed)
    if seed % BESIDE == 0 and (found := beside(job)):
        return Found("finding", "another answer a hair beside", f"seed {seed}: {found}")
    return Found("answered")


def _review(job: Made, advice: Advice, seed: int) -> None:
    try:
        plan = plan_of(job, Random(seed + 1))
        check_plan(plan, advice.assignment)
    except (BadInput, ValueError):
        return
    found = review(plan, advice.assignment, advice)
    if seed % (WRITTEN * PLANNED) == 0:
        review_written(found)


def _hair(job: Made, bits: float) -> dict[str, float]:
    """Every size a hair more or less, by turns."""
    return {name: bits * (-1) ** place for place, name in enumerate(job.sizes)}


def beside(job: Made) -> str:
    """In what the answers a hair beside the very coincidence differ from that at it; empty where in nothing."""
    for read in (True, False):
        try:
            answers = [
                answered(job, nudges, read).features[0] for nudges in ({}, *(_hair(job, bits) for bits in LAST_BITS))
            ]
        except BadInput:
            raise
        except ValueError as error:
            if "validation error" in str(error):
                return ""
            raise
        for other in answers[1:]:
            if found := apart(answers[0], other):
                return f"{'read' if read else 'raw'}: {found}"
    return ""


def main() -> int:
    """Try, and print the summary."""
    known = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    known.add_argument("--jobs", type=int, default=10_000)
    known.add_argument("--from", type=int, default=0, dest="first")
    known.add_argument("--processes", type=int, default=1)
    known.add_argument("--seconds", type=float, default=float("inf"), help="end after this time")
    asked = known.parse_args()
    from advisor.cli.many import run_many

    begun, ended, kinds = time.monotonic(), Counter[str](), Counter[str]()
    firsts: dict[str, list[tuple[int, str]]] = {}
    seeds = range(asked.first, asked.first + asked.jobs)
    for seed, found in zip(seeds, run_many(trial, seeds, asked.processes), strict=False):
        ended[found.ended] += 1
        if found.finding:
            kinds[found.finding] += 1
            if len(alike := firsts.setdefault(found.finding, [])) < SHOWN:
                alike.append((seed, found.told))
                print(f"found: {found.finding} (seed {seed})", file=sys.stderr, flush=True)
        if time.monotonic() - begun > asked.seconds:
            break
    told = ", ".join(f"{ended[word]} {word}" for word in ("answered", "refused", "finding"))
    print(f"{ended.total()} jobs: {told}; {time.monotonic() - begun:.0f} s")
    for name, alike in firsts.items():
        print(f"- {name}: {kinds[name]} times, first seed {alike[0][0]}", *(told for _, told in alike), sep="\n")
    return 1 if firsts else 0


if __name__ == "__main__":
    sys.exit(main())
