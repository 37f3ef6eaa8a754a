"""Kills practice and the writing of pages at random moments: ``python -m tests.fuzz.kills [TIMES] [SEED]``.

So many times each: a session that answers question after question into a record of some size, and ``advise --output``
over a page that is there. After every kill the record holds all that it held before, in order, and every answer but
that to the last question shown; a session can begin at once, and sweeps away what was left half written; the page is
the old one or a whole new one. Prints what the kills hit, and each finding with its number.
Ends with 1 if there is one.
"""

from __future__ import annotations

import os
import random
import re
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path

from advisor.coach import record as records
from advisor.coach.lock import session_of
from advisor.files.problems import BadInput
from advisor.paths import cases_dir, data_root
from tests.benchmarks.many_houses import practised

TIMES, SEED, QUESTIONS = 300, 1, 6
SIGNALS = (signal.SIGKILL, signal.SIGKILL, signal.SIGTERM, signal.SIGINT, signal.SIGHUP)
SIZES = (0, 20_000, 1_000_000)  # of the record before; the greater, the longer each writing of it takes
JOB = cases_dir() / "guide-slot-narrow" / "job.yaml"
OLD = "the old page"
SHOWN = re.compile(rb"^Question (\d+):", re.MULTILINE)


def killed(words: Sequence[object], number: int, moment: float | None, said: bytes = b"") -> tuple[bytes, bytes, float]:
    """Run a command, kill it after so many seconds, and return what it wrote to either stream and how long it ran."""
    with tempfile.TemporaryFile() as source, tempfile.TemporaryFile() as told, tempfile.TemporaryFile() as remarks:
        source.write(said)
        source.seek(0)
        begun = time.perf_counter()
        process = subprocess.Popen(
            [sys.executable, "-m", "advisor.cli.start", *map(str, words)],
            stdin=source, stdout=told, stderr=remarks, cwd=data_root(),
            env={**os.environ, "PYTHONPATH": str(data_root()), "PYTHONUNBUFFERED": "1"},
        )  # fmt: skip
        try:
            process.wait(moment)
        except subprocess.TimeoutExpired:
            process.send_signal(number)
        process.wait(60)
        spent = time.perf_counter() - begun
        for stream in (told, remarks):
            stream.seek(0)
        return told.read(), remarks.read(), spent


def tracebacks(remarks: bytes) -> Iterator[str]:
    """Yield a traceback as a finding; one before the first line of the program runs is that of a Python that starts."""
    if b"Traceback" in remarks:
        ours = b", in run\n" in remarks or b"KeyboardInterrupt" not in remarks
        yield f"finding: {remarks.decode(errors='replace')[-300:]}" if ours else "interrupt, Python was still starting"


class Practice:
    """A learner whose sessions are killed; the record goes on from one to the next."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.whole = folder, 0.0
        os.environ[records.PLACE] = str(folder)

    def tried(self, rng: random.Random) -> Iterator[str]:
        """Kill a session, and yield what was hit, and what is wrong behind a colon."""
        if rng.random() < 0.2 or not self.whole:
            records.write(practised(rng.choice(SIZES)), "anna")
        before = records.read("anna")
        words, said = ("coach", "--who", "anna", "--kind", "choose"), b"why\n" * QUESTIONS + b"quit\n"
        if not self.whole:
            self.whole = killed(words, signal.SIGKILL, None, said)[2]
            before = records.read("anna")
        moment = rng.uniform(0, self.whole)
        told, remarks, _ = killed(words, rng.choice(SIGNALS), moment, said)
        halves = [path.name for path in records.folder().glob(".*.part")]
        yield f"session, {'a record half written' if halves else 'between writings'}"
        try:
            found = records.read("anna")
            with session_of("anna"):
                pass
        except BadInput as error:
            yield f"finding: {error}"
            return
        shown = max((int(number) for number in SHOWN.findall(told)), default=0)
        kept = len(found.answers) - len(before.answers)
        if found.answers[: len(before.answers)] != before.answers:
            yield "finding: answers of before are lost or changed"
        if not max(shown - 1, 0) <= kept <= max(shown, 0):
            yield f"finding: question {shown} was shown, yet {kept} answers were kept"
        yield from tracebacks(remarks)
        if left := [path.name for path in records.folder().iterdir() if path.name not in ("anna.json", "anna.open")]:
            yield f"finding: the next session leaves {left}"


class Page:
    """A page that is written anew over an old one."""

    def __init__(self, folder: Path) -> None:
        self.page = folder / "page.html"
        self.words = ("advise", JOB, "--quick", "--format", "html", "--output", self.page)
        self.whole = killed(self.words, signal.SIGKILL, None)[2]
        self.new = self.page.read_text(encoding="utf-8")

    def tried(self, rng: random.Random) -> Iterator[str]:
        """Kill the command, and yield what was hit, and what is wrong behind a colon."""
        self.page.write_text(OLD, encoding="utf-8")
        _, remarks, _ = killed(self.words, rng.choice(SIGNALS), rng.uniform(0, 1.1 * self.whole))
        found = self.page.read_text(encoding="utf-8")
        yield f"page, {'the old one' if found == OLD else 'the new one'} stands"
        if found not in (OLD, self.new):
            yield f"finding: a page of {len(found)} signs that is neither the old one nor the new one"
        yield from tracebacks(remarks)
        others = [path for path in self.page.parent.iterdir() if path != self.page]
        if any(not re.fullmatch(r"\.page\.html-[0-9a-f]{16}\.part", path.name) for path in others) or len(others) > 1:
            yield f"finding: {others} are left"
        for path in others:
            path.unlink()


def main(times: int, seed: int) -> int:
    """Kill so many of each, print what came of it, and return the exit code."""
    seen: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as one, tempfile.TemporaryDirectory() as other:
        for kind in (Practice(Path(one)), Page(Path(other))):
            for number in range(times):
                for line in kind.tried(random.Random(f"{seed} {type(kind).__name__} {number}")):
                    seen[line.partition(":")[0]] += 1
                    if line.startswith("finding"):
                        print(f"{type(kind).__name__} {number}: {line}", flush=True)
    for what, count in sorted(seen.items()):
        print(f"{count:6} {what}")
    return 1 if seen["finding"] else 0


if __name__ == "__main__":
    sys.exit(main(*(int(word) for word in (*sys.argv[1:], *(str(TIMES), str(SEED))[len(sys.argv) - 1 :]))))
