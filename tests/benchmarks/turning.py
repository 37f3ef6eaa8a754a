"""How long it takes to find what would change an answer: ``python -m tests.benchmarks.turning``.

Each feature of the demo job with the demo crib; the search is compared with one answer for the same feature in the same
run, so that a busy computer slows both alike.
"""

import time
from pathlib import Path

from advisor.analysis.sensitivity import changes
from advisor.analysis.upgrades import upgrades
from advisor.choosing.advice import advise_feature
from advisor.readers.assignment import read_assignment
from advisor.situation.bench import bench_of

JOB = Path(__file__).parents[2] / "cases/winch-side-plate/job.yaml"


def main() -> None:
    """Run all of it and print."""
    assignment = read_assignment(JOB)
    bench = bench_of(assignment)
    print(f"{len(assignment.crib)} cutters; seconds, and the search as so many answers")
    for feature in assignment.job.features:
        answer = advise_feature(feature, assignment.crib, bench)
        start = time.perf_counter()
        advise_feature(feature, assignment.crib, bench)
        asked = time.perf_counter()
        found = changes(answer, feature, assignment.crib, bench)
        turned = time.perf_counter()
        wished = upgrades(answer, feature, assignment.crib, bench)
        ended = time.perf_counter()
        once = asked - start
        print(
            f"{feature.id:3} answer {once:.3f}  turns {turned - asked:.2f} ({(turned - asked) / once:.0f} answers, "
            f"{len(found)} found)  longer cutters {ended - turned:.3f} ({len(wished)} found)"
        )


if __name__ == "__main__":
    main()
