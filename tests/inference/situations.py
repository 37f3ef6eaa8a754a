"""Random situations for a rule base: real ones with some facts disturbed, and ones drawn from what measures allow."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from advisor.choosing.advice import advise
from advisor.inference import Inference
from advisor.inference.questions import Witnessed
from advisor.knowledge.conditions import Compare, Situation, Value, leaves
from advisor.knowledge.measures import LEVELS, STAGES, Measure
from advisor.knowledge.schema import RuleBase
from advisor.paths import cases_dir
from advisor.readers.assignment import read_assignment
from advisor.situation.bench import bench_of
from advisor.situation.pairings import ways

OFF = (0.0, 1e-4, -1e-4, 5e-5, -5e-5)  # beside a value that a rule compares with: on it, one step off, half a step off
MOST_DISTURBED = 8
FRESH = 0.25  # of the situations: drawn from the measures alone


class Domain(NamedTuple):
    """What a fact may be: words, or numbers of which rules compare it with some."""

    measure: Measure
    words: tuple[str, ...]
    cuts: tuple[float, ...]

    def draw(self, source: random.Random) -> Value:
        """Return a value, a number most often beside one that a rule compares with."""
        if self.words:
            return source.choice(self.words)
        low, high = self.measure.range or (-1e6, 1e6)
        if self.cuts and source.random() < 0.75:
            return source.choice(self.cuts) + source.choice(OFF)
        return source.uniform(low, high) if source.random() < 0.5 else min(high, max(low, source.expovariate(0.1)))


def domains(base: RuleBase) -> dict[str, Domain]:
    """Return the domain of every fact that a rule reads, by name."""
    cuts: dict[str, set[float]] = {}
    for rule in base.rules:
        for leaf in leaves(rule.condition):
            found = cuts.setdefault(leaf.fact, set())
            if isinstance(leaf, Compare) and not isinstance(leaf.value, str):
                found.add(leaf.value)
    return {
        fact: Domain(base.measures[fact], base.measures[fact].words, tuple(sorted(values)))
        for fact, values in cuts.items()
    }


def real(inference: Inference, cases: Sequence[str] = ()) -> list[Situation]:
    """Return the facts of every candidate of some worked cases; of all cases, unless some are named."""
    names = cases or sorted(path.parent.name for path in cases_dir().glob("*/job.yaml"))
    found = []
    for name in names:
        assignment = read_assignment(cases_dir() / name / "job.yaml")
        for answer in advise(assignment, bench_of(assignment, inference)).features:
            found.extend(item.facts for item in answer.candidates)
    return found


def situations(count: int, seed: int, known: Sequence[Situation], base: RuleBase) -> Iterator[Situation]:
    """Yield so many random situations; each is about a method."""
    source, every, methods = random.Random(seed), domains(base), tuple(ways())
    names = tuple(every)
    for _ in range(count):
        if source.random() < FRESH:
            facts: Situation = {name: every[name].draw(source) for name in names if source.random() < 0.7}
        else:
            facts = dict(source.choice(known))
            for name in source.sample(names, source.randint(0, MOST_DISTURBED)):
                if source.random() < 0.2:
                    facts.pop(name, None)
                else:
                    facts[name] = every[name].draw(source)
        facts["method"] = facts.get("method") or source.choice(methods)
        yield facts


def families(inference: Inference, method: str) -> list[Witnessed]:
    """Return every family of rules that is asked about a method."""
    found = [inference.family(stage, level, method) for stage in STAGES for level in LEVELS]
    return [family for family in found if family is not None]


class Tally(NamedTuple):
    """What came of asking: situations, questions of the engine, and how often each rule fired."""

    situations: int
    questions: int
    fired: dict[str, int]


def asked(inference: Inference, found: Iterator[Situation]) -> Tally:
    """Ask the engine itself about each situation, all its rules, and compare with the evaluator.

    Raises:
        Disagreement: engine and evaluator differ.
    """
    by_method = {method: families(inference, method) for method in ways()}
    fired = {rule.id: 0 for rule in inference.base.rules}
    count = questions = 0
    for facts in found:
        count += 1
        for family in by_method[str(facts["method"])]:
            questions += 1
            for rule in family.fresh(facts):
                fired[rule.id] += 1
    return Tally(count, questions, fired)
