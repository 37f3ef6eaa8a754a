"""What is proved of the rules that the project ships: everything, with nothing left open."""

from collections.abc import Sequence

import pytest

from advisor.knowledge.conditions import Facts
from advisor.knowledge.schema import Rule
from advisor.knowledge.shipped import rule_base
from advisor.proof.context import Court
from advisor.proof.example_job import Shows, Witness
from advisor.proof.obligations import EXAMINED
from advisor.proof.prove import Proof, prove

MOST_TRIES = 1000  # some seconds


@pytest.fixture(scope="module")
def searches() -> dict[str, int]:
    """How many jobs were tried in each search of the proof, by the rules that it was for; there once it is proved."""
    return {}


@pytest.fixture(scope="module")
def proof(searches: dict[str, int]) -> Proof:
    seek = Court.seek

    def counted(court: Court, facts: Facts, rules: Sequence[Rule], shows: Shows, *, unseen: bool = False) -> Witness:
        found = seek(court, facts, rules, shows, unseen=unseen)
        searches[" and ".join(rule.id for rule in rules)] = found.tries
        return found

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(Court, "seek", counted)
        return prove(rule_base())


def test_nothing_is_wrong_with_our_own_rules(proof: Proof) -> None:
    assert [found.text for found in proof.findings] == []


def test_nothing_is_left_open_or_undecided(proof: Proof) -> None:
    assert proof.left == ()


def test_every_obligation_is_shown_to_the_last(proof: Proof) -> None:
    assert [tally.obligation for tally in proof.tallies] == list(EXAMINED)
    assert all(tally.proved == tally.asked > 0 for tally in proof.tallies)


def test_what_is_seldom_seen_is_written_down_and_not_searched_for_long(proof: Proof, searches: dict[str, int]) -> None:
    """One such search once took longer than all the rest of the proof."""
    long = {rules: tries for rules, tries in searches.items() if tries > MOST_TRIES}
    assert long == {}, "write a job in which it is seen into cases/seldom.yaml"


def test_every_rule_fires_in_a_job(proof: Proof) -> None:
    assert proof.tallies[0].by_job == len(rule_base().rules)


def test_of_every_rule_for_and_every_one_that_forbids_it_is_shown_that_they_never_meet(proof: Proof) -> None:
    """Pair by pair, by name: a pair that nobody asked of would hide a contradiction behind the others."""
    rules = rule_base().rules
    wanted = {
        (one.id, other.id)
        for one in rules
        for other in rules
        if (one.verdict, other.verdict) == ("for", "forbids")
        and not other.outright
        and other.id not in one.overrides
        and one.id not in other.overrides
    }
    assert ("narrow-slot-is-ramped", "slot-too-wide-to-ramp") in wanted
    apart = next(tally for tally in proof.tallies if tally.obligation == "apart")
    assert set(apart.shown) == wanted, "by the solver, with no job to the contrary"
    assert len(apart.shown) == len(wanted) == apart.queries


def test_of_every_two_rules_that_conclude_otherwise_it_is_shown_that_they_never_meet(proof: Proof) -> None:
    rules = [rule for rule in rule_base().rules if rule.concludes]
    wanted = {
        tuple(sorted((one.id, other.id)))
        for one in rules
        for other in rules
        if one.concludes[0] == other.concludes[0]
        and one.concludes[1] != other.concludes[1]
        and other.id not in one.overrides
        and one.id not in other.overrides
    }
    one_value = next(tally for tally in proof.tallies if tally.obligation == "one_value")
    assert set(one_value.shown) == wanted


def test_no_rule_has_to_be_looked_for(proof: Proof) -> None:
    """``cases/seldom.yaml`` has a job for each that seldom fires by chance; looking for one takes up to minutes."""
    assert proof.tallies[0].queries == 0
