"""Random rule bases from a fixed seed, and random facts for them."""

import random

from hypothesis import strategies as st

from advisor.knowledge.conditions import All, Any, Compare, Condition, Facts, Known, Value, quantise
from advisor.knowledge.schema import Rule, Source

NUMBERS = tuple(f"x{place}" for place in range(6))
WORDS = tuple(f"w{place}" for place in range(3))
VALUES = (-2.5, -1.0, 0.0, 0.0001, 0.5, 1.0, 1.35, 2.0, 7.0, 1e12)
CHOICES = ("slot", "step", "S-titanium")


THRESHOLDS = {"handy": 1.35, "deep": 7.0, "free": 0.0001}


def sources() -> st.SearchStrategy[object]:
    """Return a strategy for conditions as a rule's ``when`` writes them: all that the grammar allows, nested."""
    number = st.builds(
        "{} {} {}".format,
        st.sampled_from(NUMBERS),
        st.sampled_from(("<", "<=", ">", ">=", "=", "!=")),
        st.sampled_from((*VALUES[:-1], *THRESHOLDS, "1e3", "-2.50", ".5")),
    )
    word = st.builds("{} {} {}".format, st.sampled_from(WORDS), st.sampled_from(("=", "!=")), st.sampled_from(CHOICES))
    known = st.builds(lambda fact: {"known": fact}, st.sampled_from(NUMBERS + WORDS))
    return st.recursive(
        st.one_of(number, word, known),
        lambda inner: st.one_of(
            st.builds(lambda parts: {"any": parts}, st.lists(inner, min_size=1, max_size=4)),
            st.builds(lambda parts: {"all": parts}, st.lists(inner, min_size=1, max_size=4)),
            st.builds(lambda part: {"not": part}, inner),
        ),
        max_leaves=10,
    )


def rule(rule_id: str, condition: Condition) -> Rule:
    """Return a rule that says nothing but has this condition."""
    whole = condition if isinstance(condition, All) else All((condition,))
    return Rule(
        id=rule_id,
        title=rule_id,
        stage="clearing",
        level="candidate",
        about=(),
        condition=whole,
        verdict="against",
        because="",
        remedy="",
        source=Source(),
        examples=(),
        file="random",
        line=None,
    )


def tree(source: random.Random, depth: int = 3) -> Condition:
    """Return a random condition; at most a few dozen alternatives, so that a ruleset can bear it."""
    if depth and source.random() < 0.6:
        parts = tuple(tree(source, depth - 1) for _ in range(source.randint(1, 3)))
        return All(parts) if source.random() < 0.5 else Any(parts)
    if source.random() < 0.2:
        return Known(source.choice(NUMBERS + WORDS), source.random() < 0.5)
    if source.random() < 0.3:
        return Compare(source.choice(WORDS), source.choice(("=", "!=")), source.choice(CHOICES))
    return Compare(source.choice(NUMBERS), source.choice(("<", "<=", ">", ">=", "=", "!=")), source.choice(VALUES))


def facts(source: random.Random) -> Facts:
    """Return random facts, many of them just at, above or below what a rule compares with; some absent."""
    found: dict[str, Value] = {}
    for name in NUMBERS:
        if source.random() < 0.8:
            found[name] = quantise(source.choice(VALUES) + source.choice((-1e-4, 0.0, 0.0, 1e-4)))
    for name in WORDS:
        if source.random() < 0.8:
            found[name] = source.choice(CHOICES)
    return found
