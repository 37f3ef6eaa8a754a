"""Searching for a job step by step: the one whose facts come nearest to a condition is changed a little."""

from __future__ import annotations

import random
from collections.abc import Sequence, Set

from advisor.inference import Inference
from advisor.knowledge.conditions import All, Compare, Condition, Facts, Known, holds
from advisor.knowledge.measures import EARLY
from advisor.knowledge.schema import Rule
from advisor.proof.example_job import Shows, Witness
from advisor.proof.jobs import Run, run
from advisor.proof.search import beside, small_jobs

CANDIDATE, CAUTION = "candidate", "caution"
FIRST, STEPS, STARTS = 150, 450, 8
PART = 0.9  # most that a condition counts that is not met


def guided_witness(rules: Sequence[Rule], shows: Shows, inference: Inference, seed: int = 1) -> Witness:
    """A job that shows something, of those that come nearer and nearer to the conditions of some rules."""
    tries, chance, jobs = 0, random.Random(seed), small_jobs(seed, rules)
    for _ in range(STARTS):
        best, least = None, -1.0
        for step in range(FIRST + STEPS):
            job = next(jobs, None) if step < FIRST or best is None else beside(best, chance)
            found = job and run(job, inference)
            if found is None:
                continue
            tries += 1
            if shows(found):
                return Witness(found.job, tries)
            if (closeness := closest(rules, found)) >= least:
                best, least = found.job, closeness
    return Witness(None, tries)


def closest(rules: Sequence[Rule], found: Run) -> float:
    """How near a job comes to meeting the conditions of some rules, for what it comes nearest with: 1 is met, each.

    What is only asked of the advised way counts half for any other way.
    """
    stages = {rule.stage for rule in rules}
    if not stages <= {*EARLY, CAUTION}:
        return _within(rules, found, {CANDIDATE})
    return _within(rules, found, stages) + (_within(rules, found, {CANDIDATE}) / 2 if CAUTION in stages else 0.0)


def _within(rules: Sequence[Rule], found: Run, scopes: Set[str]) -> float:
    asked = (one.facts for one in found.asked if one.scope in scopes)
    return max((sum(nearness(rule.condition, facts) for rule in rules) for facts in asked), default=-1.0)


def nearness(condition: Condition, facts: Facts) -> float:
    """How near facts come to a condition: 1 where they meet it, less the further off its numbers are."""
    if holds(condition, facts):
        return 1.0
    if isinstance(condition, Known):
        return 0.0
    if isinstance(condition, Compare):
        value, wanted = facts.get(condition.fact), condition.value
        if isinstance(value, str) or isinstance(wanted, str) or value is None:
            return 0.0
        least, most = sorted((abs(value), abs(wanted)))
        return PART * least / most if most and value * wanted >= 0 else PART / 2
    parts = [nearness(part, facts) for part in condition.parts]
    return PART * (sum(parts) / len(parts) if isinstance(condition, All) else max(parts, default=0.0))
