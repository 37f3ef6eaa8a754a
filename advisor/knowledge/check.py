"""Checking a rule base: everything the loader checks, then every rule's own examples."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.files.problems import Problem
from advisor.knowledge.conditions import Facts, Value, holds
from advisor.knowledge.schema import Asked, Example, RuleBase


def check(base: RuleBase) -> tuple[Problem, ...]:
    """What is wrong with a rule base that loads: the examples that do not hold, each with its file and line."""
    return tuple(problem for rule in base.rules for problem in failing(rule))


def example_facts(rule: Asked, example: Example) -> Facts:
    """The facts of an example: what the rule is about is taken as given, unless the example says otherwise."""
    facts: dict[str, Value] = {fact: words[0] for fact, words in rule.about}
    return facts | dict(example.facts)


def failing(rule: Asked) -> Iterator[Problem]:
    """The examples of a rule or preference that do not hold."""
    for example in rule.examples:
        if holds(rule.condition, example_facts(rule, example)) != example.fires:
            shown = ", ".join(f"{fact}: {value}" for fact, value in example.facts)
            wanted = "the rule to fire" if example.fires else "the rule to stay silent"
            yield Problem(example.file, example.line, f"{rule.id}.examples", shown, wanted, None)
