"""Whether the engine lives through a million questions: ``python -m tests.benchmarks.endurance [QUESTIONS]``.

All are asked in one process and of the engine itself, about the shipped rule base; each situation is another one. The
memory that the process holds is told ten times on the way, and at the end its growth: the last over the first.
"""

import itertools
import random
import resource
import sys
import time
from pathlib import Path

from advisor.inference import start
from advisor.knowledge.shipped import rule_base
from advisor.situation.pairings import ways
from tests.inference.situations import families, real, situations

QUESTIONS, SEED, TIMES = 1_000_000, 21, 10
CASES = ("winch-side-plate", "guide-slot-narrow", "die-holder-with-drill", "spar-pocket-titanium", "valve-body-inch")


def megabytes() -> float:
    """Return the memory that the process holds now [MB]."""
    return int(Path("/proc/self/statm").read_text().split()[1]) * resource.getpagesize() / 1e6


def endure(count: int) -> float:
    """Ask so many questions, print the memory on the way, and return the last over the first."""
    inference = start(rule_base(), "durable")
    known = real(inference, CASES)
    by_method = {method: families(inference, method) for method in ways()}
    seeds = random.Random(SEED)
    endless = itertools.chain.from_iterable(
        situations(1000, seeds.randrange(10**9), known, rule_base()) for _ in itertools.count()
    )
    asked = fired = 0
    held: list[float] = []
    begun = time.perf_counter()
    for facts in endless:
        for family in by_method[str(facts["method"])]:
            fired += len(family.engine.ask(family.question(facts)))
            asked += 1
        if asked * TIMES >= count * (len(held) + 1):
            held.append(megabytes())
            print(f"{asked:9} questions, {fired:9} firings: {held[-1]:6.1f} MB, {time.perf_counter() - begun:4.0f} s")
        if asked >= count:
            break
    print(f"last / first: {held[-1] / held[0]:.3f}")
    return held[-1] / held[0]


if __name__ == "__main__":
    endure(int(sys.argv[1]) if len(sys.argv) > 1 else QUESTIONS)
