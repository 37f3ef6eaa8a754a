"""The proof of rules that name cutters of a crib: jobs have such cutters, and no other does for them."""

from pathlib import Path

import pytest

from advisor.knowledge.house import house_base
from advisor.knowledge.schema import RuleBase
from advisor.knowledge.shipped import rule_base

pytest.importorskip("z3")

from advisor.proof.prove import prove, with_names
from advisor.proof.search import small_jobs

BASE = rule_base()
NAMED = """add:
  - id: our-old-cutters
    title: Old cutters do no slots
    stage: clearing
    reason: they are kept for faces
    about: {feature: slot, cutter_id: [E16 old, "12"]}
    when: [method = ramped_slotting]
    verdict: against
    because: "{cutter_id} is kept for faces."
    source: {common_practice: true}
    examples: {fires: [{method: ramped_slotting}], silent: [{method: ramped_slotting, cutter_id: E16}]}
"""


@pytest.fixture(scope="module")
def base() -> RuleBase:
    return house_base(BASE, Path("ours"), NAMED)


def test_a_rule_about_named_cutters_is_shown_to_fire_by_a_job_that_has_one(base: RuleBase) -> None:
    found = prove(base, house=True, jobs=120)
    assert not found.findings
    assert not found.left


def test_jobs_for_a_rule_have_the_cutters_that_it_names(base: RuleBase) -> None:
    jobs = small_jobs(1, [base.by_id["our-old-cutters"]])
    assert {next(jobs).cutters[0]["id"] for _ in range(30)} == {"12", "E16 old"}
    assert next(small_jobs(1, [])).cutters[0]["id"] == "E1"


def test_for_the_solver_a_cutter_has_one_of_the_names_asked_for_or_another(base: RuleBase) -> None:
    measure = with_names(base).measures["cutter_id"]
    assert measure.words == ("E16 old", "12", "")
    assert not measure.named
    assert base.measures["cutter_id"].named
