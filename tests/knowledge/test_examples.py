"""Every rule's own examples, one test a rule; and what the shipped rule base must be as a whole."""

import re
from collections import Counter

import pytest

from advisor.knowledge.conditions import Compare, Value, facts_read, holds, leaves, quantise
from advisor.knowledge.measures import LEVELS
from advisor.knowledge.schema import Example, Rule, reads
from advisor.knowledge.shipped import rule_base

BASE = rule_base()
each_rule = pytest.mark.parametrize("rule", BASE.rules, ids=lambda rule: rule.id)  # thousands of examples


def given(rule: Rule, example: Example) -> dict[str, Value]:
    """Return the facts of an example; what the rule is about holds unless the example says otherwise."""
    return {fact: words[0] for fact, words in rule.about} | dict(example.facts)


@each_rule
def test_a_rule_does_what_its_examples_say(rule: Rule) -> None:
    assert {example.fires for example in rule.examples} == {True, False}
    wrong = [each for each in rule.examples if holds(rule.condition, given(rule, each)) is not each.fires]
    assert wrong == []


@each_rule
def test_examples_are_made_of_values_that_their_facts_can_have(rule: Rule) -> None:
    for fact, value in (each for example in rule.examples for each in example.facts):
        measure = BASE.measures[fact]
        if measure.numeric:
            assert isinstance(value, float), f"{fact} is a number"
            assert measure.range is not None
            assert measure.range[0] <= value <= measure.range[1], f"{fact} = {value} is out of {measure.range}"
        else:
            assert value in measure.words, f"{fact} = {value} is none of {measure.words}"


@each_rule
def test_every_threshold_that_a_rule_names_decides_something(rule: Rule) -> None:
    """Source: reasoning alone. Just below, on and just above the limit, all else as in an example that fires,
    the answer must differ.
    """
    firing = [given(rule, example) for example in rule.examples if example.fires]
    for leaf in leaves(rule.condition):
        if isinstance(leaf, Compare) and not isinstance(leaf.value, str):
            answers = {
                holds(rule.condition, facts | {leaf.fact: quantise(leaf.value + shift)})
                for facts in firing
                for shift in (-1e-4, 0.0, 1e-4)
            }
            assert answers == {True, False}, (
                f"{leaf.fact} {leaf.operator} {leaf.value} changes nothing in any example that fires"
            )


def test_ids_say_what_is_so_in_plain_words() -> None:
    for rule in BASE.rules:
        assert re.fullmatch(r"[a-z][a-z0-9-]*[a-z0-9]", rule.id), rule.id
        assert rule.because.rstrip().endswith((".", "?")), rule.id


def test_no_two_rules_of_a_stage_bear_the_same_title() -> None:
    twice = {
        title: count for title, count in Counter((rule.stage, rule.title) for rule in BASE.rules).items() if count > 1
    }
    assert not twice


def test_a_threshold_is_never_named_like_a_measure_or_a_word() -> None:
    words = {word for measure in BASE.measures.values() for word in measure.words}
    assert not set(BASE.thresholds) & (set(BASE.measures) | words)


def test_no_concluded_fact_goes_unread() -> None:
    """A conclusion that nobody reads, neither a rule nor the arithmetic, is a rule for nothing."""
    by_rules = {fact for rule in BASE.rules for fact in reads(rule)}
    by_arithmetic = {
        "side_allowance_usual",
        "hole_allowance",
        "hole_left_most",
        "bottom_allowance_usual",
        "bottom_policy",
        "wall_level_ratio",
        "corner_level_share",
        "floor_level_ratio",
        "side_allowance_thin",
        "bottom_allowance_thin",
        "coolant_speed_factor",
        "skin_speed_factor",
        "substrate_speed_factor",
        "speed_gain_here",
        "level_share_most",
        "slot_level_share_most",
        "reach_factor",
        "deep_factor_here",
        "radial_share_most",
        "chip_floor",
        "hole_worth",
        "entry_feed_share",
    }
    concluded = {rule.concludes[0] for rule in BASE.rules if rule.concludes}
    assert concluded - by_rules - by_arithmetic - {"way_in", "chips_out", "coolant"} == set()


def test_every_measure_a_rule_may_conclude_is_concluded_by_some_rule() -> None:
    concluded = {rule.concludes[0] for rule in BASE.rules if rule.concludes}
    assert {name for name, measure in BASE.measures.items() if measure.concluded} == concluded


def test_cautions_about_people_and_fire_are_marked_as_such() -> None:
    """None of these may be switched off."""
    people = {rule.id for rule in BASE.rules if rule.file.endswith("people.yaml")}
    assert people
    assert people <= {rule.id for rule in BASE.rules if rule.harm}
    assert all(rule.verdict in ("cautions", "finds") for rule in BASE.rules if rule.harm)


def test_a_rule_is_asked_at_the_level_of_the_most_particular_fact_it_reads() -> None:
    for rule in BASE.rules:
        wanted = max(
            (BASE.measures[fact].level for fact in facts_read(rule.condition)), key=LEVELS.index, default="feature"
        )
        assert rule.level == wanted, rule.id


def test_overriding_never_runs_in_a_circle() -> None:
    overrides = {rule.id: set(rule.overrides) for rule in BASE.rules}
    for start in overrides:
        seen, waiting = set(), list(overrides[start])
        while waiting:
            other = waiting.pop()
            assert other != start, f"{start} overrides itself in the end"
            if other not in seen:
                seen.add(other)
                waiting.extend(overrides[other])


def test_an_overridden_rule_never_knows_less_about_the_feature() -> None:
    """A rule may only set aside one of its own stage, or a stronger word would be lost; a review comes after all."""
    for rule in BASE.rules:
        for other in rule.overrides:
            assert rule.stage in (BASE.by_id[other].stage, "review"), rule.id
            assert not BASE.by_id[other].harm, rule.id
