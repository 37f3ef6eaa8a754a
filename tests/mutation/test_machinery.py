"""The report on mutants can tell: a rule that nothing defends is named, and a reason out of date is an error."""

from collections import Counter
from dataclasses import replace

import pytest

from advisor.knowledge.conditions import Compare, leaves
from advisor.knowledge.schema import Example, Rule, RuleBase
from advisor.knowledge.shipped import rule_base
from tests.mutation.changes import changed_rules, moved
from tests.mutation.mutants import Mutant, mutants, taken_by_arithmetic
from tests.mutation.noticing import EXAMPLES, TESTS, by_examples, noticed_quickly
from tests.mutation.report import EQUIVALENT, LEFT, Outcome, faults, table

BASE = rule_base()
RULE = BASE.by_id["cutter-ramps-badly"]  # no worked case has such a cutter
STEEP = (("ramp_angle_low", 1.0), ("RMPX", 5.0))
FAR = RULE._replace(examples=(Example((("RMPX", 0.2),), True, "", None), Example(STEEP, False, "", None)))
UNDEFENDED = replace(
    BASE,
    rules=tuple(FAR if rule is RULE else rule for rule in BASE.rules),
    by_id=dict(BASE.by_id) | {RULE.id: FAR},
)


def of(base: RuleBase, ending: str) -> Mutant:
    """Return the mutant of that rule whose name ends so."""
    return next(found for found in mutants(base) if found.id.startswith(RULE.id) and found.id.endswith(ending))


@pytest.mark.parametrize("ending", ["| 0.99", "| 1.01", "| <="])
def test_a_rule_with_examples_far_from_its_edge_is_not_defended_and_is_named(ending: str) -> None:
    assert by_examples(of(BASE, ending), BASE)
    left = of(UNDEFENDED, ending)
    assert noticed_quickly(left, UNDEFENDED) is None
    told = list(faults([Outcome(left, LEFT)], {}, whole=False))
    assert told == [f"{RULE.file}:{RULE.line}: not noticed: {left.id}"]


def test_a_dropped_condition_and_a_turned_one_are_noticed_by_examples_on_both_sides() -> None:
    assert noticed_quickly(of(UNDEFENDED, "| >="), UNDEFENDED) == EXAMPLES
    assert noticed_quickly(of(UNDEFENDED, "RMPX < ramp_angle_poor | dropped"), UNDEFENDED) == EXAMPLES


def test_the_rule_base_as_it_is_is_not_noticed() -> None:
    assert noticed_quickly(Mutant("none", "", ""), BASE) is None


def test_a_reason_for_what_is_noticed_or_is_not_there_is_an_error() -> None:
    found = [Outcome(Mutant("one", "entry", "x:1"), TESTS), Outcome(Mutant("two", "entry", "x:2"), EQUIVALENT)]
    told = list(faults(found, {"one": "because", "two": "because", "three": "because"}, whole=True))
    assert len(told) == 2
    assert told[0].endswith("noticed by tests, so strike it out: one")
    assert told[1].endswith("no such mutant, so strike it out: three")


def test_what_cannot_be_noticed_does_not_lower_the_share() -> None:
    fates = [TESTS, EXAMPLES, EQUIVALENT, LEFT]
    lines = list(table([Outcome(Mutant(str(place), "entry", ""), fate) for place, fate in enumerate(fates)]))
    assert lines[1].split()[-2:] == ["66.7", "%"]


def test_every_rule_and_every_threshold_has_mutants_each_with_a_name_of_its_own() -> None:
    found = list(mutants(BASE))
    assert not [name for name, count in Counter(mutant.id for mutant in found).items() if count > 1]
    changed = {name for mutant in found for name in mutant.rules}
    assert changed == set(BASE.by_id)
    assert {mutant.id.split(" | ")[0] for mutant in found if mutant.stage == "thresholds"} == set(BASE.thresholds)


@pytest.mark.parametrize("rule", BASE.rules, ids=lambda rule: rule.id)
def test_every_comparison_of_a_rule_is_dropped_and_turned(rule: Rule) -> None:
    ways = Counter(changed.how for changed in changed_rules(rule, BASE))
    assert ways["dropped"] >= len(list(leaves(rule.condition))) > 0
    numbers = [leaf for leaf in leaves(rule.condition) if isinstance(leaf, Compare) and not isinstance(leaf.value, str)]
    at_an_end = [
        leaf for leaf in numbers if leaf.operator in ("=", "!=") and leaf.value in BASE.measures[leaf.fact].range
    ]
    turned = sum(ways[operator] for operator in ("<", "<=", ">", ">=", "=", "!="))
    assert turned >= 3 * len(numbers) - len(at_an_end)


def test_a_little_is_a_hundredth_part_or_one_of_what_is_counted() -> None:
    assert list(moved(2.0, "")) == [1.98, 2.02, 0.0]
    assert list(moved(3.0, "count")) == [2.0, 4.0, 0.0]
    assert list(moved(0.0, "mm")) == [-0.01, 0.01]


def test_the_arithmetic_is_known_to_take_what_it_looks_up_by_a_name_put_together() -> None:
    taken = taken_by_arithmetic(BASE)
    assert {"handy_width", "helix_bore_low_inserted"} <= taken
    assert "slot_aspect_least" not in taken
