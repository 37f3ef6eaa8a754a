"""What surrounds a rule: what feeds it, what it feeds, and the cases in which it fires."""

import pytest

from advisor.knowledge.schema import Rule, reads
from advisor.knowledge.shipped import rule_base
from advisor.text.firings import Firings
from advisor.text.known_firings import firings
from advisor.text.rule_page import fed_by, feeds
from tests.cases import worked

BASE = rule_base()


@pytest.fixture(scope="module")
def fired() -> Firings:
    return firings()


def rule(rule_id: str) -> Rule:
    return BASE.by_id[rule_id]


def test_what_feeds_and_what_is_fed_are_two_ends_of_one_string() -> None:
    forth = {(one.id, other.id) for one in BASE.rules for other in feeds(one, BASE)}
    back = {(other.id, one.id) for one in BASE.rules for other, _ in fed_by(one, BASE)}
    assert forth == back
    assert ("room-is-ample", "room-and-depth-for-engagement") in forth
    assert all(BASE.by_id[one].concludes[0] in reads(BASE.by_id[other]) for one, other in forth)  # type: ignore[index]


def test_a_reason_of_the_advice_is_told_as_such(fired: Firings) -> None:
    told = {(one.case, one.feature, one.advised) for one in fired.of(rule("narrow-slot-is-ramped"))}
    assert ("guide-slot-narrow", "S1", True) in told


def test_a_rule_against_another_way_is_told_with_that_way(fired: Firings) -> None:
    one = next(one for one in fired.of(rule("slot-too-narrow-to-loop")) if one.case == "guide-slot-narrow")
    assert not one.advised
    assert one.way.startswith("engagement-limited clearing, E10")


def test_no_rule_that_forbids_fires_for_an_advised_way(fired: Firings) -> None:
    assert not [one for item in BASE.rules if item.verdict == "forbids" for one in fired.of(item) if one.advised]


def test_every_rule_that_carries_an_advice_is_told_by_the_firings(fired: Firings) -> None:
    for name, found in worked.every_feature():
        if found.best is None or worked.advice(name).assignment.house is not None:
            continue
        for item in found.best.fired:
            assert (name, found.region.id, True) in {(one.case, one.feature, one.advised) for one in fired.of(item)}
