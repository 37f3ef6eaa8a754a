"""The grammar of conditions: what it reads, what it refuses, and what an absent fact means."""

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.knowledge import conditions
from advisor.knowledge.conditions import (
    All,
    Compare,
    Condition,
    ConditionError,
    Known,
    facts_read,
    holds,
    leaves,
    negate,
    numbers_compared,
    parse,
    quantise,
)

LIMITS = {"loop_width_ratio_least": 1.35, "teeth_most": 4.0}


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("width_ratio < 1.35", Compare("width_ratio", "<", 1.35)),
        ("width_ratio<1.35", Compare("width_ratio", "<", 1.35)),
        ("  width_ratio   >=   2  ", Compare("width_ratio", ">=", 2.0)),
        ("reach_margin > -1.5", Compare("reach_margin", ">", -1.5)),
        ("reach_margin <= +.5", Compare("reach_margin", "<=", 0.5)),
        ("width_ratio < loop_width_ratio_least", Compare("width_ratio", "<", 1.35, "loop_width_ratio_least")),
        ("ZEFP <= teeth_most", Compare("ZEFP", "<=", 4.0, "teeth_most")),
        ("group = S", Compare("group", "=", "S")),
        ("group != S", Compare("group", "!=", "S")),
        ("material_class = S-titanium", Compare("material_class", "=", "S-titanium")),
        ({"known": "corner_radius"}, Known("corner_radius")),
        ({"not": {"known": "corner_radius"}}, Known("corner_radius", present=False)),
        ({"not": {"not": "DC < 3"}}, Compare("DC", "<", 3.0)),
        ({"any": ["DC < 3", "DC > 5"]}, conditions.Any((Compare("DC", "<", 3.0), Compare("DC", ">", 5.0)))),
        ({"all": ["DC < 3", {"known": "RE"}]}, All((Compare("DC", "<", 3.0), Known("RE")))),
    ],
)
def test_a_condition_is_a_fact_an_operator_and_a_value(text: object, wanted: Condition) -> None:
    assert parse(text, LIMITS) == wanted


@pytest.mark.parametrize(
    "slip",
    [
        "",
        "DC",
        "DC <",
        "< 3",
        "DC == 3",
        "DC => 3",
        "DC =< 3",
        "DC <> 3",
        "DC < 3 and RE > 1",
        "1 < DC",
        "DC < 3 4",
        "DC is 3",
        "__import__('os').system('x')",
        "DC < max(1, 2)",
        "DC < 3; RE > 1",
        "DC.real < 3",
        "DC < a b",
        "3",
        "not DC < 3",
        None,
        3,
        3.5,
        True,
        [],
        ["DC < 3"],
        {},
        {"any": []},
        {"any": "DC < 3"},
        {"any": {"all": ["DC < 3"]}},
        {"all": None},
        {"either": ["DC < 3"]},
        {"any": ["DC < 3"], "not": "RE > 1"},
        {"known": 3},
        {"known": ["DC"]},
        {"not": None},
        {"not": ["DC < 3"]},
        {"any": ["DC < 3", "DC <"]},
        {"not": {"all": ["DC < 3", {"any": ["RE"]}]}},
    ],
)
def test_anything_else_is_refused_and_never_run(slip: object) -> None:
    with pytest.raises(ConditionError):
        parse(slip, LIMITS)


@pytest.mark.parametrize("operator", sorted(conditions.OPERATORS))
@pytest.mark.parametrize("value", [1.0, 1.35, 2.0])
def test_not_a_comparison_is_the_opposite_comparison(operator: str, value: float) -> None:
    plain, turned = parse(f"width_ratio {operator} 1.35", {}), parse({"not": f"width_ratio {operator} 1.35"}, {})
    assert holds(plain, {"width_ratio": value}) is not holds(turned, {"width_ratio": value})


def test_negation_is_worked_inwards_to_the_comparisons() -> None:
    tree = parse({"not": {"any": ["DC < 3", {"all": ["group = S", {"known": "RE"}]}]}}, {})
    assert tree == All(
        (Compare("DC", ">=", 3.0), conditions.Any((Compare("group", "!=", "S"), Known("RE", present=False))))
    )


@pytest.mark.parametrize("operator", sorted(conditions.OPERATORS))
def test_an_absent_fact_makes_every_comparison_false_negated_or_not(operator: str) -> None:
    assert not holds(parse(f"corner_ratio {operator} 1", {}), {})
    assert not holds(parse({"not": f"corner_ratio {operator} 1"}, {}), {})
    assert not holds(parse({"not": {"any": [f"corner_ratio {operator} 1", "DC > 100"]}}, {}), {"DC": 10.0})


def test_only_presence_speaks_of_an_absent_fact() -> None:
    assert holds(parse({"not": {"known": "corner_radius"}}, {}), {})
    assert not holds(parse({"known": "corner_radius"}, {}), {})
    assert holds(parse({"known": "corner_radius"}, {}), {"corner_radius": 0.0})


def test_a_rule_without_conditions_holds_of_everything_and_an_empty_choice_of_nothing() -> None:
    assert holds(All(()), {})
    assert not holds(conditions.Any(()), {"DC": 3.0})


def _leaf() -> st.SearchStrategy[Condition]:
    fact = st.sampled_from("abc")
    number = st.builds(Compare, fact, st.sampled_from(sorted(conditions.OPERATORS)), st.sampled_from([1.0, 2.0, 3.0]))
    return number | st.builds(Known, fact, st.booleans())


def _branch(inner: st.SearchStrategy[Condition]) -> st.SearchStrategy[Condition]:
    parts = st.lists(inner, min_size=1, max_size=3).map(tuple)
    return st.builds(All, parts) | st.builds(conditions.Any, parts)


trees = st.recursive(_leaf(), _branch, max_leaves=8)


@given(trees, st.fixed_dictionaries({fact: st.sampled_from([0.5, 1.0, 2.0, 3.5]) for fact in "abc"}))
def test_where_all_is_known_a_condition_or_its_opposite_holds(tree: Condition, facts: dict[str, float]) -> None:
    assert holds(tree, facts) is not holds(negate(tree), facts)


@given(trees, st.dictionaries(st.sampled_from("abc"), st.sampled_from([0.5, 1.0, 2.0, 3.5])))
def test_where_something_is_absent_never_both_hold(tree: Condition, facts: dict[str, float]) -> None:
    assert not (holds(tree, facts) and holds(negate(tree), facts))
    assert negate(negate(tree)) == tree


@given(trees)
def test_the_facts_read_are_those_of_the_leaves(tree: Condition) -> None:
    assert facts_read(tree) == {leaf.fact for leaf in leaves(tree)} == facts_read(negate(tree))


@pytest.mark.parametrize(
    ("value", "seen"),
    [
        (1.35, 1.35),
        (1.349999999, 1.35),
        (1.00004, 1.0),
        (1.00006, 1.0001),
        (0.00001, 0.0),
        (-0.00001, 0.0),
        (1e16, 1e12),
        (-1e300, -1e12),
    ],
)
def test_numbers_are_seen_to_four_decimals(value: float, seen: float) -> None:
    assert quantise(value) == seen
    assert str(quantise(value)) != "-0.0"


@given(st.floats(allow_nan=False))
def test_no_number_that_is_asked_is_written_with_an_exponent(value: float) -> None:
    assert "e" not in json.dumps(quantise(value)).lower()
    assert "inf" not in json.dumps(quantise(value)).lower()
    assert quantise(quantise(value)) == quantise(value)


@pytest.mark.parametrize("word", ["nan", "inf", "infinity"])
def test_not_a_number_is_no_number(word: str) -> None:
    read: Any = parse(f"width_ratio < {word}", {})
    assert read.value == word


def test_only_numbers_that_are_there_are_compared_with_numbers() -> None:
    condition = All((parse("width_ratio < 1.5", {}), parse("method = drilling", {}), parse({"known": "depth"}, {})))
    told = [(leaf.fact, value, limit) for leaf, value, limit in numbers_compared(condition, {"width_ratio": 1.2})]
    assert told == [("width_ratio", 1.2, 1.5)]
    assert list(numbers_compared(condition, {"width_ratio": "narrow", "method": "drilling", "depth": 3.0})) == []
