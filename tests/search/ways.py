"""Searches random jobs for answers that break a promise: ``python -m tests.search.ways [--jobs N] [--from SEED]``.

Promised is: where every way is forbidden, a way out is named, and it works when it is run again; an ordinary feature
with a fitting cutter always gets a way. One in ten is also asked with a feature of any size, far beyond what shops do.
What is found is told with the number that brings the question back.
"""

import argparse
import sys
import time
from collections import Counter

from advisor.cli.many import run_many
from tests.jobs.random_jobs import far_job
from tests.search.claims import Looked, look, look_at_ordinary

SHOWN = 5  # findings of a kind
FAR = 10  # one in so many


def every_kind(seed: int) -> tuple[Looked | None, ...]:
    """What the random question of a number gives, the ordinary one, and for one in ten the far one."""
    return look(seed), look_at_ordinary(seed), look(seed, far_job) if seed % FAR == 0 else None


def main() -> int:
    """Search, print, and give 1 if anything was found."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--jobs", type=int, default=10_000)
    parser.add_argument("--from", type=int, default=0, dest="first")
    parser.add_argument("--processes", type=int, default=1)
    given = parser.parse_args()
    start = time.perf_counter()
    every: list[tuple[Looked | None, ...]] = []
    for number, found in enumerate(
        run_many(every_kind, range(given.first, given.first + given.jobs), given.processes), 1
    ):
        every.append(found)
        if number % 1000 == 0:
            print(f"{number} of {given.jobs}, {time.perf_counter() - start:.0f} s", file=sys.stderr, flush=True)
    any_jobs = [found[0] for found in every if found[0]]
    ordinary = [found[1] for found in every if found[1]]
    far = [found[2] for found in every if found[2]]
    for what, asked in (("random jobs", any_jobs), ("jobs of any size", far)):
        print(f"{len(asked)} {what}, after {time.perf_counter() - start:.0f} s:")
        unserved, ways = sum(found.unserved for found in asked), sum(found.ways for found in asked)
        print(f"  {unserved} without a way, {ways} ways out run again")
    print(f"{len(ordinary)} ordinary jobs with a fitting cutter:")
    print(f"  {dict(Counter(found.kind for found in ordinary))}")
    findings = [finding for found in (*any_jobs, *ordinary, *far) for finding in found.findings]
    counts = Counter(finding.claim for finding in findings)
    print(f"{len(findings)} findings")
    for claim, count in counts.most_common():
        print(f"\n{count} times: {claim}")
        for finding in [finding for finding in findings if finding.claim == claim][:SHOWN]:
            print(f"  {finding.seed}: {finding.told}")
    return 1 if findings else 0


if __name__ == "__main__":
    sys.exit(main())
