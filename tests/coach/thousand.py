"""Make exercises of every kind and hold each against the advisor: ``python -m tests.coach.thousand [HOW MANY] [KIND]``.

Prints for each kind how many were made, how long one takes, what is wrong with any, and the difficulty that was
measured beside the one that was set. Every tenth is also answered wrongly and made again.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from statistics import mean

from advisor.coach.exercise import DIFFICULTIES, KINDS, NoExercise
from advisor.coach.making import make
from tests.coach.soundness import faults

WHOLE_EVERY = 10


def main(many: int, kinds: tuple[str, ...]) -> int:
    """Make so many exercises of each kind, print what was found; gives the number of faults."""
    bad = 0
    for kind in kinds:
        times, none, topics = [], 0, Counter()
        measured: dict[int, list[float]] = {level: [] for level in DIFFICULTIES}
        for seed in range(many):
            level, start = DIFFICULTIES[seed % len(DIFFICULTIES)], time.process_time()
            try:
                exercise = make(kind, seed, level)
            except NoExercise:
                none += 1
                continue
            times.append(time.process_time() - start)
            measured[level].append(exercise.measured)
            topics[exercise.topic] += 1
            for fault in faults(exercise, whole=seed % WHOLE_EVERY == 0):
                bad += 1
                print(f"{kind} {seed} at {level}: {fault}", flush=True)
        levels = ", ".join(f"{level}: {mean(found):.2f}" for level, found in measured.items() if found)
        print(f"{kind}: {len(times)} made, {none} not; {mean(times):.3f} s each, {max(times):.2f} s the longest (CPU)")
        print(f"  measured difficulty by setting {levels}\n  topics {dict(topics)}", flush=True)
    print(f"{bad} faults")
    return bad


if __name__ == "__main__":
    sys.exit(bool(main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000, tuple(sys.argv[2:]) or KINDS)))
