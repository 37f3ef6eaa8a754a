"""Running the worked cases, to see which rules fire in them."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.choosing.advice import advise
from advisor.knowledge.conditions import holds
from advisor.knowledge.evidence import quantised
from advisor.knowledge.measures import EARLY
from advisor.knowledge.schema import RuleBase
from advisor.model.answer import FeatureAdvice
from advisor.model.candidate import Candidate
from advisor.paths import cases_dir
from advisor.readers.assignment import read_assignment
from advisor.situation.bench import bench_of, shared_inference
from advisor.text.firings import Firing, Firings
from advisor.text.words import way_text


def run() -> Firings:
    """Where each shipped rule fires in the shipped cases."""
    inference = shared_inference()
    base = inference.base
    found: dict[str, list[Firing]] = {rule.id: [] for rule in base.rules}
    for folder in sorted(path.parent for path in cases_dir().glob("*/job.yaml")):
        assignment = read_assignment(folder / "job.yaml")
        bench = bench_of(assignment, inference)
        for answer in advise(assignment, bench).features:
            for rule_id, firing in _of_feature(folder.name, answer, base):
                found[rule_id].append(firing)
    return Firings({rule_id: tuple(every) for rule_id, every in found.items()})


def _of_feature(case: str, answer: FeatureAdvice, base: RuleBase) -> Iterator[tuple[str, Firing]]:
    """One firing at most a rule: for the advised way if it fires there, else for the best of the others."""
    seen: set[str] = set()
    early = [rule for rule in base.rules if rule.stage in EARLY]
    for rule in (*answer.about_feature, *answer.cautions):
        if rule.id not in seen:
            seen.add(rule.id)
            yield rule.id, Firing(case, answer.region.id, answer.best is not None, _way(answer.best))
    for item in answer.candidates:
        facts = quantised(item.facts)
        for rule in (*item.fired, *(rule for rule in early if holds(rule.condition, facts))):
            if rule.id not in seen:
                seen.add(rule.id)
                yield rule.id, Firing(case, answer.region.id, item is answer.best, _way(item))


def _way(item: Candidate | None) -> str:
    return way_text(item) if item else "not possible"
