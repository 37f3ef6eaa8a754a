"""More never hurts, by the thousand: ``python -m tests.search.more_report [--jobs N] [--from SEED] [WHAT ...]``.

Asks random jobs on a machine and on one that can do more of one thing (feed, power, torque, stiffness, acceleration,
speed), and tells each way and each answer that got slower. The relations, and where they do not hold, stand in
``more.py``.
"""

import argparse
import sys
import time
from functools import partial

from advisor.cli.many import run_many
from tests.search.more import WHAT, compared


def main() -> int:
    """Ask, print, and give 1 if anything got slower."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("what", nargs="*", metavar="WHAT", help=f"of {', '.join(WHAT)}; all if none is given")
    parser.add_argument("--jobs", type=int, default=2000)
    parser.add_argument("--from", type=int, default=0, dest="first")
    parser.add_argument("--processes", type=int, default=1)
    given = parser.parse_args()
    if unknown := set(given.what) - set(WHAT):
        parser.error(f"not known: {', '.join(sorted(unknown))}")
    found = []
    for what in given.what or WHAT:
        start, seeds = time.perf_counter(), range(given.first, given.first + given.jobs)
        every = list(run_many(partial(compared, what=what), seeds, given.processes))
        slower = [one for each in every for one in each.slower]
        ways, quicker, worse = (sum(each[place] for each in every) for place in range(3))
        told = f"{ways} ways, {quicker} quicker, {worse} with a worse grade, {len(slower)} slower"
        print(f"{what}: {given.jobs} jobs, {told}, {time.perf_counter() - start:.0f} s")
        for one in slower:
            print(f"  {one}")
        found += slower
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
