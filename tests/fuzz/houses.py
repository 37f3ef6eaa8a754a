"""Houses whose thresholds are at the ends of their ranges: each alone, then many at once. Run by hand:

    python -m tests.fuzz.houses --houses 1500

Each is read, and answers a handful of worked cases: advice, why and a review. It works, or is refused at reading with
file and line; nothing else happens. Ends with 1 if there is a finding; each kind is shown with the number of its first
house, and ``--keep`` keeps the folder of that.
"""

import argparse
import os
import sys
import tempfile
import time
import traceback
from collections import Counter
from concurrent.futures import ProcessPoolExecutor, as_completed
from functools import cache
from math import isfinite
from multiprocessing import get_context
from pathlib import Path
from random import Random
from typing import NamedTuple

from advisor.analysis.upgrades import with_changes
from advisor.choosing.advice import advise
from advisor.choosing.job_advice import Advice
from advisor.files.problems import BadInput
from advisor.inference import start
from advisor.knowledge.house import house_base
from advisor.knowledge.schema import Threshold
from advisor.knowledge.shipped import rule_base
from advisor.knowledge.threshold_order import orders
from advisor.model.assignment import Assignment
from advisor.model.candidate import Candidate
from advisor.model.operations import Operation, OperationRow, Plan
from advisor.paths import cases_dir
from advisor.readers.assignment import read_assignment
from advisor.readers.plan import read_plan
from advisor.readers.plan_check import check_plan
from advisor.review.verdict import review
from advisor.situation.bench import Bench, bench_of
from tests.fuzz.formats import advice_written, review_written
from tests.fuzz.oracle import MadeUp, check_answer, check_written
from tests.fuzz.trial import Slow, at_most
from tests.jobs.completed import all_completed

CASES = (  # every kind of feature, thin walls and floors, holes, hardened steel, inserts, way through what lies beneath
    "guide-slot-narrow", "rack-slot-sound-axes", "cover-plate-clearance-below", "bracket-hole-over-the-table",
    "manifold-hole-thin-bottom", "vane-bracket-thin-floor", "sensor-housing-thin-wall", "die-insert-hardened",
    "press-bed-tall-profile", "turbine-lug-deep-pocket", "keyway-cut-to-size", "lever-pocket-tight-corners",
    "gear-case-magnesium", "valve-body-inch", "die-holder-with-drill", "winch-side-plate",
)  # fmt: skip
REVIEWED = "review-hatch-frame"
ASKED = 3  # cases a house
TURNED = 5  # one house in so many is also asked what would change an answer
SECONDS = 30.0  # of computing, for one house with all that is asked of it
AT_ONCE = (2, 5, 20, 80, 259)  # thresholds
PORTION = 50
Values = dict[str, float]


class House(NamedTuple):
    """What a house moves, and which of it is beyond its range."""

    values: Values
    beyond: str = ""


class Outcome(NamedTuple):
    """How a house ended: ``works``, ``refused`` or ``finding``; what the finding is, all of it, and how long [s]."""

    ended: str
    finding: str
    told: str
    seconds: float


def house(number: int) -> House:
    """The house of a number: the first ones move one threshold to one end, the others many by chance."""
    every = tuple(rule_base().thresholds.values())
    if number < 2 * len(every):
        one = every[number // 2]
        return House({one.name: (one.least, one.greatest)[number % 2]})
    chance = Random(number)
    if number < 4 * len(every):  # the same, and the others moved so far that the order is kept
        one = every[number // 2 - len(every)]
        return House(in_order({one.name: (one.least, one.greatest)[number % 2]}))
    moved = chance.sample(every, min(len(every), chance.choice(AT_ONCE)))
    values = {one.name: _value(chance, one) for one in moved}
    if chance.random() < 0.1:
        return House(values)
    values = in_order(values)
    if chance.random() < 0.1:
        one = chance.choice(moved)
        far = chance.choice((1e-3, 1.0, 1e6))
        end = chance.choice((one.least - far, one.greatest + far))
        return House(values | {one.name: end}, one.name)
    return House(values)


def _value(chance: Random, one: Threshold) -> float:
    """Mostly an end of the range, or close to it, else a value between."""
    count = one.unit == "count"
    near = 1.0 if count else 1e-4
    inside = chance.uniform(one.least, one.greatest)
    found = chance.choice((one.least, one.greatest, one.least, one.greatest, one.least + near, inside))
    return float(min(one.greatest, round(found) if count else round(found, 6)))


def in_order(values: Values) -> Values:
    """The values with others moved too, as far as their ranges go, until each is at most what it must be."""
    base, found = rule_base(), dict(values)
    for _ in range(20):
        broken = False
        for low, high in orders(base):
            least, most = (found.get(one.name, one.value) for one in (low, high))
            if least > most:
                broken = True
                at = least if low.name in values and least <= high.greatest else max(most, low.least)
                found |= {low.name: min(at, least), high.name: max(at, most)}
        if not broken:
            break
    return found


def lay(found: House, folder: Path) -> Path:
    """Write the house into a folder."""
    lines = (f"  {name}: {{value: {value!r}, reason: tried}}\n" for name, value in found.values.items())
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "house.yaml").write_text("thresholds:\n" + "".join(lines), encoding="utf-8")
    return folder


@cache
def shipped_of(case: str) -> tuple[Assignment, Advice]:
    """A case without any house, and its advice."""
    assignment = read_assignment(cases_dir() / case / "job.yaml")
    assignment = assignment.model_copy(update={"house": None})
    return assignment, all_completed(advise(assignment, bench_of(assignment, _inference())))


@cache
def _inference():  # type: ignore[no-untyped-def]
    return start(rule_base(), "evaluator")


def trial(number: int, folder: Path) -> Outcome:
    """Try the house of a number."""
    begun, found = time.process_time(), house(number)
    try:
        with at_most(SECONDS):
            ended = _tried(number, found, lay(found, folder))
    except (Exception, Slow) as error:
        return Outcome("finding", _place(error), traceback.format_exc(), time.process_time() - begun)
    return Outcome(ended, "", "", time.process_time() - begun)


def _tried(number: int, found: House, folder: Path) -> str:
    try:
        base = house_base(rule_base(), folder)
    except BadInput as error:
        if any(problem.line is None or not problem.file.endswith("house.yaml") for problem in error.problems):
            raise MadeUp("a refusal without file and line") from None
        if found.beyond and not any(problem.field.startswith(found.beyond) for problem in error.problems):
            raise MadeUp("refused, and not for what is beyond its range") from None
        return "refused"
    if found.beyond:
        raise MadeUp(f"{found.beyond} was read though it is beyond its range")
    inference = start(base, "evaluator")
    for case in _cases(number):
        assignment, shipped = shipped_of(case)
        advice = all_completed(advise(assignment, bench_of(assignment, inference)))
        _held(advice)
        if case == CASES[number % len(CASES)] and number % TURNED == 0:
            _turned(advice)
        if case == REVIEWED:
            plans = sorted((cases_dir() / case / "plans").iterdir())
            _reviewed(read_plan(plans[number % len(plans)], assignment.job.units), assignment, advice)
        _reviewed(_plan_of(shipped), assignment, advice)
        _reviewed(_plan_of(advice), assignment, advice)
    return "works"


def _cases(number: int) -> tuple[str, ...]:
    """The cases that a house is asked: all in turn, and one with plans to review."""
    return (
        *(CASES[(number + place * 5) % len(CASES)] for place in range(ASKED)),
        *((REVIEWED,) if number % 4 == 0 else ()),
    )


def _held(advice: Advice) -> None:
    check_answer(advice)
    check_written(advice)
    advice_written(advice)
    for answer in advice.features:
        for way in answer.candidates:
            sensible(way, advice.bench)


def _turned(advice: Advice) -> None:
    """Ask what would change the first answer, and write that out."""
    feature, answer = advice.assignment.job.features[0], advice.features[0]
    told = with_changes(answer, feature, advice.assignment.crib, advice.bench)
    advice_written(advice._replace(features=(told,)))


def sensible(way: Candidate, bench: Bench) -> None:
    """Every fact of a way lies in the range of its measure, and it takes a time, unless forbidden. Raises MadeUp."""
    for name, value in way.facts.items():
        measure = bench.base.measures.get(name)
        if measure is None or isinstance(value, str):
            continue
        least, most = measure.range or (-1e12, 1e12)
        if not least - 1e-9 <= value <= most:
            raise MadeUp(f"{name} {value:.6g} outside {least:g} to {most:g} ({way.method})")
    if way.grade != "forbidden" and not (isfinite(way.time) and way.time > 0):
        raise MadeUp(f"a time of {way.time} s ({way.method})")


def _plan_of(advice: Advice) -> Plan:
    """The plan that does what the advice says."""
    ways = [(answer.region.id, answer.best) for answer in advice.features if answer.best is not None]
    rows = [OperationRow.model_construct(**_row(name, way)) for name, way in ways]
    return Plan("a plan", None, tuple(Operation(place, row, "a plan", None) for place, row in enumerate(rows, 1)))


def _row(feature: str, way: Candidate) -> dict[str, object]:
    plan = way.plan
    assert plan is not None
    empty: dict[str, object] = dict.fromkeys(OperationRow.model_fields)
    return empty | {
        "feature": (feature,),
        "cutter": way.cutter.id,
        "method": way.method,
        "entry": way.entry,
        "entry_cutter": way.drill.id if way.drill else None,
        "axial_depth": plan.axial_depth,
        "radial_width": plan.radial_width,
        "feed_per_tooth": plan.feed_per_tooth,
        "spindle_speed": plan.spindle_speed,
    }


def _reviewed(plan: Plan, assignment: Assignment, advice: Advice) -> None:
    if not plan.operations:
        return
    check_plan(plan, assignment)
    review_written(review(plan, assignment, advice))


def _place(error: BaseException) -> str:
    frames = [frame for frame in traceback.extract_tb(error.__traceback__) if "/advisor/" in frame.filename]
    where = f"{Path(frames[-1].filename).name}:{frames[-1].name}" if frames else "outside"
    said = "".join(sign for sign in str(error) if not sign.isdigit())[:90]
    return f"{type(error).__name__} in {where} {said}".strip()


def tried(first: int, count: int) -> list[tuple[int, Outcome]]:
    """Try houses in this process."""
    with tempfile.TemporaryDirectory() as place:
        return [(number, trial(number, Path(place))) for number in range(first, first + count)]


def main() -> int:
    """Try, and print the summary."""
    known = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    known.add_argument("--houses", type=int, default=1500)
    known.add_argument("--first", type=int, default=0)
    known.add_argument("--processes", type=int, default=os.cpu_count() or 1)
    known.add_argument("--keep", type=Path, help="a folder for the houses of what was found")
    asked = known.parse_args()
    ended, findings, slowest, begun = Counter[str](), {}, (0.0, 0), time.monotonic()
    starts = range(asked.first, asked.first + asked.houses, PORTION)
    with ProcessPoolExecutor(asked.processes, get_context("spawn"), max_tasks_per_child=1) as pool:
        portions = [pool.submit(tried, at, min(PORTION, asked.first + asked.houses - at)) for at in starts]
        for portion in as_completed(portions):
            for number, outcome in portion.result():
                ended[outcome.ended] += 1
                slowest = max(slowest, (outcome.seconds, number))
                if outcome.finding:
                    ended[outcome.finding] += 1
                    if outcome.finding not in findings:
                        print(f"found: {outcome.finding} (house {number})", file=sys.stderr, flush=True)
                    findings.setdefault(outcome.finding, (number, outcome.told))
            done = ended["works"] + ended["refused"] + ended["finding"]
            print(f"{done} of {asked.houses}", end="\r", file=sys.stderr, flush=True)
    print(f"{asked.houses} houses: {ended['works']} work, {ended['refused']} refused with file and line, "
          f"{ended['finding']} findings")  # fmt: skip
    print(f"slowest {slowest[0]:.1f} s (house {slowest[1]}), {time.monotonic() - begun:.0f} s in all")
    print(f"distinct findings: {len(findings)}")
    for name, (number, told) in findings.items():
        print(f"- {name}: {ended[name]} times, first house {number}\n{told}")
        if asked.keep:
            lay(house(number), asked.keep / str(number))
    return 1 if findings else 0


if __name__ == "__main__":
    sys.exit(main())
