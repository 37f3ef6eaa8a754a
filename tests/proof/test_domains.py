"""What the solver is told of facts is true of every fact of every worked case: else it would show too much."""

import itertools
from collections.abc import Mapping
from typing import Any

import pytest
import z3

from advisor.inference import start
from advisor.knowledge.conditions import quantise
from advisor.knowledge.shipped import rule_base
from advisor.proof.domains import PLANNED, constraints
from advisor.proof.formulas import Constraint
from advisor.proof.jobs import run
from advisor.proof.search import small_jobs
from advisor.proof.translate import known, meant, number, seen
from tests.cases import worked
from tests.jobs.small import asked, solid

BASE = rule_base()
TRUTHS = constraints(BASE)
NEAR = 1e-6  # binary numbers miss an equation by so much of their size


def given(facts: Mapping[str, float | str], planned: bool) -> list[z3.BoolRef]:
    """The facts of a candidate as the solver would have them; a number meant is known but for its last bits."""
    found = [z3.Bool(PLANNED) == planned]
    for name, measure in BASE.measures.items():
        value = facts.get(name)
        found.append(known(name) == (value is not None))
        if value is None or measure.named:  # a name may be any word
            continue
        if isinstance(value, str):
            found.append(seen(measure) == measure.words.index(value))
        else:
            little = max(abs(value), 1.0) * NEAR
            found += [seen(measure) == number(quantise(value))]
            found += [meant(measure) >= number(value - little), meant(measure) <= number(value + little)]
    return found


def untrue(facts: Mapping[str, float | str], planned: bool) -> list[Constraint]:
    every, solver = z3.Solver(), z3.Solver()
    every.add(*given(facts, planned), *(truth.term for truth in TRUTHS))
    if str(every.check()) == "sat":
        return []
    solver.add(*given(facts, planned))
    wrong = []
    for truth in TRUTHS:
        solver.push()
        solver.add(truth.term)
        if str(solver.check()) == "unsat":
            wrong.append(truth)
        solver.pop()
    return wrong


def test_what_the_solver_takes_for_true_is_true_of_jobs() -> None:
    inference = start(BASE, "evaluator")
    asked, kinds = 0, set()
    for job in itertools.islice(small_jobs(1), 24):
        found = run(job, inference)
        if found is None or found.advice is None:
            continue
        for candidate in found.advice.candidates[:1]:
            assert not untrue(candidate.facts, candidate.entry is not None), job
            asked += 1
            kinds.add((candidate.facts["feature"], candidate.method))
    assert asked > 9
    assert len(kinds) > 4


@pytest.mark.parametrize(
    "island", [{"island": 20}, {"island": 20, "island_length": 30}, {"island": 10, "island_length": 76}]
)
@pytest.mark.parametrize(("kind", "given"), [
    ("closed_pocket", {}), ("closed_pocket", {"corner_radius": 8}), ("closed_pocket", {"corner_radius": 30}),
    ("open_pocket", {}), ("open_pocket", {"open_sides": 2}), ("open_pocket", {"open_at": "long_side"}),
    ("open_pocket", {"open_sides": 2, "open_at": "long_side"}), ("open_pocket", {"open_sides": 3}),
    ("open_pocket", {"open_sides": 2, "open_at": "corner", "corner_radius": 8}),
])  # fmt: skip
def test_what_the_solver_takes_for_true_is_true_past_islands(
    kind: str, given: dict[str, Any], island: dict[str, Any]
) -> None:
    pocket = {"kind": kind, "length": 100, "width": 60, "depth": 12, "floor": True} | given | island
    found = asked(pocket, [solid(10, 22)])
    assert not untrue(found.candidates[0].facts, found.candidates[0].entry is not None)


def test_facts_that_no_job_has_are_told_apart() -> None:
    """The last test can fail: a wrong depth ratio is noticed."""
    candidate = worked.feature("guide-slot-narrow", "S1").candidates[0]
    facts = dict(candidate.facts)
    assert not untrue(facts, planned=True)
    facts["depth_ratio"] = float(facts["depth_ratio"]) + 0.01
    assert any("depth_ratio" in truth.facts for truth in untrue(facts, planned=True))


def test_what_the_solver_takes_for_true_is_true_of_the_worked_cases() -> None:
    for _, found in list(worked.every_feature())[::8]:
        for candidate in found.candidates[:1]:
            assert not untrue(candidate.facts, candidate.entry is not None), (found.region.id, candidate.method)
