"""Tries inputs by the hundred thousand and sums up what came of it. Run by hand:

    python -m tests.fuzz.report --inputs 100000

Each portion runs in a fresh process that may not grow without bound. Ends with 1 if there is a finding; each kind of
finding is shown with the seed of its first input, and its files are kept in ``--keep``.
"""

import argparse
import os
import resource
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from multiprocessing import get_context
from pathlib import Path
from random import Random
from typing import NamedTuple

ALL = ("job", "shop", "crib", "house", "plan")
PORTION = 2000
WRITTEN = 10  # one answer in so many is also written out
TURNED = 40  # one input in so many is also asked what would change its answers
MOST_MEMORY = 3_000_000_000  # bytes of address space: beyond, MemoryError is a finding
WANTED_MEMORY = 500  # MB in use
STUCK = 1800  # seconds by the clock after which a portion is given up: stuck in C code; others may be at work beside it


class Portion(NamedTuple):
    """Inputs of one kind, of these seeds."""

    kind: str
    first: int
    count: int


class Sum(NamedTuple):
    """What came of a portion."""

    portion: Portion
    ended: Counter[str]
    findings: dict[str, tuple[int, str]]
    slowest: tuple[float, int]
    memory: float


def tried(portion: Portion) -> Sum:
    """Try a portion in this process."""
    import faulthandler

    from tests.fuzz.strategies import folder
    from tests.fuzz.trial import trial

    faulthandler.dump_traceback_later(STUCK, exit=True)
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
    ended: Counter[str] = Counter()
    findings: dict[str, tuple[int, str]] = {}
    slowest = (0.0, 0)
    with tempfile.TemporaryDirectory(dir="/dev/shm" if Path("/dev/shm").is_dir() else None) as place:
        for seed in range(portion.first, portion.first + portion.count):
            files = folder(Random(seed), portion.kind)
            found = trial(files, Path(place), written=seed % WRITTEN == 0, turned=seed % TURNED == 0)
            ended[found.ended] += 1
            slowest = max(slowest, (found.seconds, seed))
            if found.finding:
                ended[found.finding] += 1
                findings.setdefault(found.finding, (seed, found.told))
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    if memory > WANTED_MEMORY:
        findings["more than 500 MB"] = (portion.first, "")
    faulthandler.cancel_dump_traceback_later()
    return Sum(portion, ended, findings, slowest, memory)


def portions(inputs: int, kinds: list[str], seed: int) -> Iterator[Portion]:
    """The inputs in portions, the kinds in turn."""
    each = -(-inputs // len(kinds))
    for first in range(0, each, PORTION):
        for kind in kinds:
            yield Portion(kind, seed + first, min(PORTION, each - first))


def sums(wanted: list[Portion], processes: int, until: float) -> Iterator[Sum]:
    """What came of each portion, as they come; none is begun later than ``until``. One that died is a finding."""
    waiting = list(wanted)
    context = get_context("spawn")
    with ProcessPoolExecutor(processes, context, max_tasks_per_child=1) as pool:
        running = {pool.submit(tried, waiting.pop(0)) for _ in range(min(processes, len(waiting)))}
        while running:
            done = next(as_completed(running))
            running.remove(done)
            yield done.result()
            if waiting and time.monotonic() < until:
                running.add(pool.submit(tried, waiting.pop(0)))


def main() -> int:
    """Try, and print the summary."""
    known = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    known.add_argument("--inputs", type=int, default=10_000)
    known.add_argument("--seconds", type=float, default=float("inf"), help="begin nothing new after this time")
    known.add_argument("--kind", choices=ALL, action="append")
    known.add_argument("--seed", type=int, default=0)
    known.add_argument("--processes", type=int, default=os.cpu_count() or 1)
    known.add_argument("--keep", type=Path, help="a folder for the files of what was found")
    asked = known.parse_args()
    kinds = asked.kind or list(ALL)
    by_kind: dict[str, Counter[str]] = {kind: Counter() for kind in kinds}
    findings: dict[str, tuple[Portion, int, str]] = {}
    slowest, memory, done = (0.0, 0, ""), 0.0, 0
    begun = time.monotonic()
    wanted = list(portions(asked.inputs, kinds, asked.seed))
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    try:
        for one in sums(wanted, asked.processes, begun + asked.seconds):
            by_kind[one.portion.kind] += one.ended
            slowest = max(slowest, (*one.slowest, one.portion.kind))
            memory = max(memory, one.memory)
            done += one.portion.count
            print(f"{done} of {asked.inputs}", end="\r", file=sys.stderr, flush=True)
            for name, (seed, told) in one.findings.items():
                if name not in findings:
                    findings[name] = (one.portion, seed, told)
                    print(f"found: {name} ({one.portion.kind}, seed {seed})", file=sys.stderr, flush=True)
    except KeyboardInterrupt:
        print("broken off; this is what there was until then", file=sys.stderr)
    for kind, ended in by_kind.items():
        tried_of_it = ended["read"] + ended["refused"] + ended["finding"]
        print(f"{kind:6} {tried_of_it:8} inputs: {ended['read']} read and answered, {ended['refused']} refused, "
              f"{ended['finding']} findings")  # fmt: skip
    print(f"slowest {slowest[0]:.2f} s ({slowest[2]}, seed {slowest[1]}), memory at most {memory:.0f} MB, "
          f"{time.monotonic() - begun:.0f} s in all")  # fmt: skip
    print(f"distinct findings: {len(findings)}")
    for name, (portion, seed, told) in findings.items():
        times = sum(ended[name] for ended in by_kind.values())
        print(f"- {name}: {times} times, first {portion.kind} seed {seed}\n{told}")
        if asked.keep:
            _keep(asked.keep / f"{portion.kind}-{seed}", portion.kind, seed)
    return 1 if findings else 0


def _keep(place: Path, kind: str, seed: int) -> None:
    from tests.fuzz.strategies import folder
    from tests.fuzz.trial import lay

    place.mkdir(parents=True, exist_ok=True)
    lay(folder(Random(seed), kind), place)


if __name__ == "__main__":
    sys.exit(main())
