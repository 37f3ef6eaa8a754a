"""Whether the checks would notice a small mistake in any rule or threshold: ``python -m tests.mutation.report``.

Each mutant is the shipped rule base with one thing wrong. Reported is, for each stage, how many the rules' own
examples notice, how many of the rest the worked cases' expectations, how many of the rest the tests; what is left is
listed. Nothing can notice an override that another one always makes up for, as the solver shows, nor what
``equivalent.yaml`` holds with the reason. Exit code 0: none is left
unexplained; 1: some are, or the list of reasons is out of date; 2: the rule base itself does not pass.

With ``--record FILE`` each outcome is written to a file as it comes, and a report that was broken off goes on from
there; the file is of use for one state of the rule base and its tests.
"""

import argparse
import multiprocessing
import sys
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import NamedTuple

import yaml

from advisor.knowledge.check import check
from advisor.knowledge.schema import RuleBase
from advisor.knowledge.shipped import rule_base
from tests.mutation.mutants import Mutant, mutants
from tests.mutation.noticing import CASES, EXAMPLES, TESTS, as_it_is, noticed_quickly, planned, recorded
from tests.mutation.suite import by_suite, cannot_matter, tests_for
from tests.review import test_thirty_plans

LIST = Path(__file__).with_name("equivalent.yaml")
FOUND: list[Mutant] = []  # what the forked processes look at
EQUIVALENT, LEFT = "equivalent", "left"
HEADS = (EXAMPLES, CASES, TESTS, EQUIVALENT, LEFT)


class Outcome(NamedTuple):
    """A mutant and what became of it: what noticed it, that nothing can, or that it is left."""

    mutant: Mutant
    fate: str


def noticed(place: int) -> str | None:
    """Return what notices the mutant at a place: the quick checks, else the tests as they are; or that nothing can."""
    mutant, base = FOUND[place], rule_base()
    if (by := noticed_quickly(mutant, base)) is not None:
        return by
    if cannot_matter(mutant, base):
        return EQUIVALENT
    return TESTS if by_suite(mutant, base) else None


def outcomes(jobs: int, record: Path | None) -> Iterator[tuple[str, str]]:
    """Yield the id of each mutant with what notices it, or that it is left: those of the record, then the others."""
    known = dict(line.split("\t") for line in record.read_text().splitlines()) if record and record.exists() else {}
    yield from ((mutant.id, known[mutant.id]) for mutant in FOUND if mutant.id in known)
    base = rule_base()
    recorded(), as_it_is(base)  # worked out once; the processes that are forked have it at hand
    if any(mutant.of_review for mutant in FOUND):
        for name in test_thirty_plans.kept():
            planned(name, base)
    places = [place for place, mutant in enumerate(FOUND) if mutant.id not in known]
    with ProcessPoolExecutor(jobs, multiprocessing.get_context("fork")) as pool:
        for place, by in zip(places, pool.map(noticed, places, chunksize=4), strict=True):
            name, fate = FOUND[place].id, by or LEFT
            if record:
                with record.open("a") as file:
                    file.write(f"{name}\t{fate}\n")
            yield name, fate


def fails_itself(base: RuleBase) -> str | None:
    """Return what the rule base fails as it is, of all that its mutants are asked."""
    plain = {tests_for(mutant): Mutant("none", mutant.stage, "") for mutant in FOUND}
    quickly = (check(base) and EXAMPLES) or noticed_quickly(Mutant("none", "review", ""), base)
    return quickly or (TESTS if any(by_suite(each, base) for each in plain.values()) else None)


def table(found: Sequence[Outcome]) -> Iterator[str]:
    """Yield the lines of the table: a stage each, then all together."""
    yield f"{'stage':<12}{'mutants':>9}" + "".join(f"{head:>12}" for head in HEADS) + f"{'noticed':>10}"
    stages = list(dict.fromkeys(outcome.mutant.stage for outcome in found))
    for stage in (*stages, *(["all"] if len(stages) > 1 else [])):
        counts = Counter(outcome.fate for outcome in found if stage in (outcome.mutant.stage, "all"))
        total = counts.total()
        seen, can = total - counts[EQUIVALENT] - counts[LEFT], total - counts[EQUIVALENT]
        share = f"{100 * seen / can:.1f} %" if can else "-"
        yield f"{stage:<12}{total:>9}" + "".join(f"{counts[head]:>12}" for head in HEADS) + f"{share:>10}"


def faults(found: Sequence[Outcome], reasons: Mapping[str, str], whole: bool) -> Iterator[str]:
    """Yield what is wrong: mutants that nothing notices, reasons for what is noticed or does not exist any more."""
    for outcome in found:
        mutant = outcome.mutant
        if outcome.fate == LEFT:
            yield f"{mutant.place}: not noticed: {mutant.id}"
        elif mutant.id in reasons and outcome.fate != EQUIVALENT:
            yield f"{LIST}: noticed by {outcome.fate}, so strike it out: {mutant.id}"
    if whole:
        known = {outcome.mutant.id for outcome in found}
        yield from (f"{LIST}: no such mutant, so strike it out: {name}" for name in reasons if name not in known)


def main(arguments: Sequence[str] | None = None) -> int:
    """Report on all mutants, or on those of a stage; return the exit code."""
    parser = argparse.ArgumentParser(description="Whether the checks notice a small mistake in any rule or threshold.")
    parser.add_argument("--stage", help="only this stage, or thresholds, or arithmetic")
    parser.add_argument("--jobs", type=int, default=2, help="how many processes (2)")
    parser.add_argument("--record", type=Path, help="a file that keeps each outcome as it comes, to go on from")
    asked = parser.parse_args(arguments)
    reasons: dict[str, str] = yaml.safe_load(LIST.read_text(encoding="utf-8")) or {}
    base = rule_base()
    FOUND[:] = [mutant for mutant in mutants(base) if asked.stage in (None, mutant.stage)]
    if not FOUND:
        parser.error(f"no stage {asked.stage}")
    if by := fails_itself(base):
        print(f"The rule base as it is does not pass its own {by}; nothing can be said of mutants.", file=sys.stderr)
        return 2
    fates = dict(outcomes(asked.jobs, asked.record))
    found = [
        Outcome(mutant, EQUIVALENT if fates[mutant.id] == LEFT and mutant.id in reasons else fates[mutant.id])
        for mutant in FOUND
    ]
    wrong = list(faults(found, reasons, asked.stage is None))
    print("\n".join([*table(found), *wrong]))
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
