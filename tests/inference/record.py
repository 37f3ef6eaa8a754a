"""Records the engine's answers to the questions of all worked cases: ``python -m tests.inference.record``.

The recording is replayed against the evaluator on any Python, also where the engine cannot be installed.
"""

import gzip
import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from advisor.choosing.advice import advise
from advisor.inference import Inference, evaluator
from advisor.inference.questions import Family
from advisor.knowledge.conditions import Facts
from advisor.knowledge.schema import Rule
from advisor.knowledge.shipped import rule_base
from advisor.paths import cases_dir
from advisor.readers.assignment import read_assignment
from advisor.readers.plan import read_plan
from advisor.review.verdict import review
from advisor.situation.bench import bench_of
from tests import plain_yaml
from tests.review.planning import read_and_reviewed

PLACE = Path(__file__).with_name("recorded.json.gz")
PLANS = Path(__file__).parents[2] / "cases" / "plans.yaml"
SOME = 2  # of the faulty plans one in so many
Recording = list[dict[str, Any]]


class Listening:
    """A family that notes each question and its answer."""

    def __init__(self, rules: Sequence[Rule], inner: Family, into: Recording) -> None:
        self._rules, self._inner, self._into = [rule.id for rule in rules], inner, into

    def ask(self, facts: Facts) -> tuple[str, ...]:
        """Ask, note, and give the answer."""
        answer = self._inner.ask(facts)
        self._into.append({"rules": self._rules, "facts": dict(facts), "fired": sorted(answer)})
        return answer


def recording(engine: Any) -> Recording:
    """Return every question of all cases and their plans with the answer of an engine, a ``Family`` class."""
    found: Recording = []
    inference = Inference(rule_base(), lambda rules: Listening(rules, engine(rules), found), "recording")
    for folder in sorted(path for path in cases_dir().iterdir() if (path / "expected.yaml").is_file()):
        assignment = read_assignment(folder / "job.yaml")
        advice = advise(assignment, bench_of(assignment, inference))
        for plan in sorted(folder.glob("plans/*")):
            review(read_plan(plan, assignment.job.units), assignment, advice)
    for entry in plain_yaml.load(PLANS)["faulty"][::SOME]:
        read_and_reviewed(entry["job"], entry.get("say") or entry["plan"], inference)
    return found


def questions(found: Recording) -> set[str]:
    """Return the questions and answers of a recording, each as text, so that two recordings can be compared."""
    return {json.dumps(entry, sort_keys=True) for entry in found}


def read() -> Recording:
    """Return what was recorded."""
    entries: Recording = json.loads(gzip.decompress(PLACE.read_bytes()))["entries"]
    families: list[list[str]] = json.loads(gzip.decompress(PLACE.read_bytes()))["families"]
    return [entry | {"rules": families[entry["rules"]]} for entry in entries]


def write(found: Recording) -> None:
    """Write a recording, the same bytes for the same answers."""
    families = sorted({tuple(entry["rules"]) for entry in found})
    place = {family: number for number, family in enumerate(families)}
    entries = [entry | {"rules": place[tuple(entry["rules"])]} for entry in found]
    text = json.dumps({"families": families, "entries": entries}, sort_keys=True, separators=(",", ":"))
    PLACE.write_bytes(gzip.compress(text.encode(), mtime=0))


def main() -> None:
    """Record by the engine, and say how much."""
    from advisor.inference import durable

    found = recording(durable.Family)
    write(found)
    print(f"{len(found)} answers of {durable.NAME} in {PLACE} ({PLACE.stat().st_size / 1000:.0f} kB)", file=sys.stderr)


if __name__ == "__main__":
    main()


__all__ = ["PLACE", "evaluator", "questions", "read", "recording", "write"]
