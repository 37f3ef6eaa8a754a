"""What is proved of the rules that the project ships: everything, with nothing left open."""

import pytest

from advisor.proof.obligations import EXAMINED
from advisor.proof.prove import Proof, prove
from advisor.rulebase.shipped import rule_base


@pytest.fixture(scope="module")
def proof() -> Proof:
    return prove(rule_base())


def test_nothing_is_wrong_with_our_own_rules(proof: Proof) -> None:
    assert [found.text for found in proof.findings] == []


def test_nothing_is_left_open_or_undecided(proof: Proof) -> None:
    assert proof.left == ()


def test_every_obligation_is_shown_to_the_last(proof: Proof) -> None:
    assert [tally.obligation for tally in proof.tallies] == list(EXAMINED)
    assert all(tally.proved == tally.asked > 0 for tally in proof.tallies)


def test_every_rule_fires_in_a_job(proof: Proof) -> None:
    assert proof.tallies[0].by_job == len(rule_base().rules)


def test_that_no_way_is_spoken_for_and_forbidden_is_shown_by_the_solver(proof: Proof) -> None:
    apart = proof.tallies[1]
    assert apart.by_solver > 50
    assert apart.queries == apart.by_solver
