"""How long advice takes in one process, and where the time goes: ``python -m tests.benchmarks.advice [FEATURES]``.

A job of twelve features with the demo crib, in a first pass and in later ones; then many features with other
numbers, for the memory.
Absolute times depend on the computer, so ratios within the run are given beside them.
"""

import cProfile
import pstats
import resource
import statistics
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from advisor.choosing.advice import advise, advise_feature
from advisor.choosing.job_advice import Advice
from advisor.inference import start
from advisor.knowledge.shipped import rule_base
from advisor.model.assignment import Assignment
from advisor.model.features import FEATURE_KINDS, FeatureBase
from advisor.model.job import Job
from advisor.paths import cases_dir
from advisor.readers.assignment import read_assignment
from advisor.readers.materials import load_materials
from advisor.render.terminal import text
from advisor.situation.bench import bench_of, shared_inference
from advisor.text.advice import advice_blocks

TWELVE: list[dict[str, Any]] = [
    {"kind": "planar_face", "length": 240, "width": 160, "depth": 2},
    {"kind": "closed_pocket", "length": 90, "width": 55, "depth": 28, "corner_radius": 8, "floor": True},
    {"kind": "closed_pocket", "length": 60, "width": 24, "depth": 12, "floor": True, "thinnest_wall": 2},
    {"kind": "open_pocket", "length": 120, "width": 70, "depth": 22, "floor": True},
    {"kind": "open_pocket", "length": 50, "width": 30, "depth": 6, "floor": True, "corner_radius": 4},
    {"kind": "slot", "length": 60, "width": 14.5, "depth": 12, "floor": True, "open_ends": 0},
    {"kind": "slot", "length": 140, "width": 26, "depth": 20, "floor": True, "open_ends": 2},
    {"kind": "step", "length": 150, "width": 30, "depth": 18},
    {"kind": "step", "length": 80, "width": 12, "depth": 55},
    {"kind": "outside_profile", "length": 240, "width": 120, "depth": 38, "stock_side": 4, "clearance_below": 5},
    {"kind": "round_hole", "diameter": 30, "depth": 20, "floor": False, "clearance_below": 5},
    {"kind": "round_hole", "diameter": 12.2, "depth": 30, "floor": True, "flat_floor": False},
]
PASSES = 15


def feature(given: dict[str, Any], number: int, times: float = 1.0) -> FeatureBase:
    """Return a feature with its lengths scaled."""
    lengths = {
        name: value * times
        if isinstance(value, int | float) and not isinstance(value, bool) and name != "open_ends"
        else value
        for name, value in given.items()
    }
    return FEATURE_KINDS[given["kind"]].model_validate(lengths | {"id": f"F{number}"})


def assignment() -> Assignment:
    """Return the job of twelve features, with the demo shop."""
    shop = read_assignment(cases_dir() / "winch-side-plate" / "job.yaml")
    features: Any = tuple(feature(given, number) for number, given in enumerate(TWELVE))
    return shop.model_copy(update={"job": Job(part="twelve", material=shop.job.material, features=features)})


def timed(work: Callable[[], object]) -> float:
    """Return how long work takes [s]."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def text_of(advice: Advice) -> str:
    """Return the advice as it is shown on a terminal."""
    return text(advice_blocks(advice), 100)


def shares(work: Callable[[], object]) -> Iterator[tuple[str, float]]:
    """Yield the share of the time by part of the house, by a profile; a profiler slows small functions most."""
    profile = cProfile.Profile()
    profile.runcall(work)
    parts = {
        "engine": ("durable",),
        "asking": ("advisor/inference", "advisor/knowledge"),
        "arithmetic": ("advisor/mechanics",),
        "reasoning": ("advisor/situation", "advisor/methods", "advisor/choosing", "advisor/analysis"),
    }
    own: dict[str, float] = dict.fromkeys([*parts, "other"], 0.0)
    for (path, _, name), (_, _, seconds, _, _) in pstats.Stats(profile).stats.items():  # type: ignore[attr-defined]
        where = next(
            (part for part, marks in parts.items() if any(mark in f"{path} {name}" for mark in marks)), "other"
        )
        own[where] += seconds
    total = sum(own.values())
    yield from ((part, seconds / total) for part, seconds in own.items())


def megabytes() -> float:
    """Return the memory that the process holds now [MB]."""
    statm = Path("/proc/self/statm")
    if statm.exists():
        return int(statm.read_text().split()[1]) * resource.getpagesize() / 1e6
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3


def memory(asked: Assignment, features: int) -> None:
    """Ask many features with other numbers each, and say how memory grows."""
    bench = bench_of(asked)
    before, start = megabytes(), time.perf_counter()
    for number in range(features):
        given = TWELVE[number % len(TWELVE)]
        advise_feature(feature(given, number, 0.7 + 0.6 * (number * 0.6180339887 % 1)), asked.crib, bench)
        if number in (features // 4, features // 2):
            print(f"  after {number + 1} features: {megabytes() - before:+.1f} MB")
    spent = time.perf_counter() - start
    print(
        f"  after {features} features: {megabytes() - before:+.1f} MB on {before:.0f} MB, "
        f"{1000 * spent / features:.2f} ms a feature, "
        f"{shared_inference().questions} questions kept"
    )


def main() -> None:
    """Run all of it and print."""
    load_materials()
    asked = assignment()
    first = timed(lambda: advise(asked))
    later = [timed(lambda: advise(asked)) for _ in range(PASSES)]
    each, middle = 1000 * first / len(TWELVE), 1000 * statistics.median(later) / len(TWELVE)
    print(f"engine: {shared_inference().name}; {len(asked.crib)} cutters, {len(TWELVE)} features")
    print(
        f"first pass {each:.2f} ms a feature (rulesets built, questions asked), "
        f"later {middle:.2f} (least {1000 * min(later) / 12:.2f})"
    )
    print(f"first / later: {each / middle:.1f}")
    advice = advise(asked)
    told = [timed(lambda: text_of(advice)) for _ in range(PASSES)]
    print(
        f"text / advice, later passes: {statistics.median(told) / statistics.median(later):.2f}; "
        f"first: {told[0] / first:.2f}"
    )
    fresh = bench_of(asked, start(rule_base()))
    for name in ("first pass", "later pass"):
        print(f"{name}: " + ", ".join(f"{part} {share:.0%}" for part, share in shares(lambda: advise(asked, fresh))))
    print("memory:")
    memory(asked, int(sys.argv[1]) if len(sys.argv) > 1 else 10_000)


if __name__ == "__main__":
    main()
