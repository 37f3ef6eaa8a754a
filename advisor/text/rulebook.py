"""The rules as a reader sees them: a list, one rule in full, and which rules speak of what."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from advisor.files.problems import printable
from advisor.files.unit_scales import in_prose
from advisor.knowledge.conditions import All, Compare, Condition, Known, Value, leaves
from advisor.knowledge.measures import Measure
from advisor.knowledge.schema import Asked, Example, Preference, Rule, RuleBase
from advisor.knowledge.wording import IN_WORDS, MOST_FIGURES, PLACEHOLDER, known_text, quantity, value_text
from advisor.paths import data_root
from advisor.text.blocks import Block, Heading, Item, Items, Para, section
from advisor.text.names import PREFERS, RANKING, VERDICTS, spaced
from advisor.text.rule_page import chain_blocks
from advisor.text.sources import cited

HOUSE_RULE = " (house rule)"  # behind what the house wrote
OUTRIGHT = "It forbids outright: it takes precedence over every rule that recommends the way."


def chosen(
    base: RuleBase,
    stage: str | None = None,
    method: str | None = None,
    group: str | None = None,
    word: str | None = None,
) -> list[Asked]:
    """The rules of a stage, that name a method or a material group, or that have a word in their text; else all. What
    the shop prefers stands behind them, as if of a stage of its own.
    """
    return [
        rule
        for rule in base.asked
        if (stage is None or stage_of(rule) == stage)
        and (method is None or method in named(rule, "method"))
        and (group is None or group in groups(rule))
        and (word is None or word.casefold() in searched(rule))
    ]


def stage_of(rule: Asked) -> str:
    """The stage of a rule; of what is preferred, that ways are ranked."""
    return rule.stage if isinstance(rule, Rule) else RANKING


def named(rule: Asked, fact: str) -> set[str]:
    """The words that a rule's condition compares a fact with."""
    return {str(leaf.value) for leaf in leaves(rule.condition) if isinstance(leaf, Compare) and leaf.fact == fact}


def groups(rule: Asked) -> set[str]:
    """The material groups that a rule names, by itself or by a class of theirs."""
    return named(rule, "group") | {word.partition("-")[0] for word in named(rule, "material_class")}


def searched(rule: Asked) -> str:
    """All words of a rule, for looking one up."""
    facts = " ".join(f"{leaf.fact} {spaced(leaf.fact)}" for leaf in leaves(rule.condition))
    words = " ".join(f"{value} {spaced(value)}" for _, values in rule.about for value in values)
    told = (rule.title, rule.because, rule.remedy, rule.source) if isinstance(rule, Rule) else (rule.what, rule.reason)
    return " ".join(map(str, (rule.id, *told, facts, words))).casefold()


def list_blocks(rules: Sequence[Asked]) -> Iterator[Block]:
    """The rules stage by stage: title, verdict, id."""
    if not rules:
        yield Para("No rule matches.")
    for stage in dict.fromkeys(map(stage_of, rules)):
        found = [rule for rule in rules if stage_of(rule) == stage]
        yield Heading(f"stage {stage}", 2, f"{len(found)} {'rule' if len(found) == 1 else 'rules'}")
        yield Items(tuple(Item(_listed(rule), rule.id) for rule in found))


def _listed(rule: Asked) -> str:
    if isinstance(rule, Rule):
        return f"{rule.title} ({VERDICTS[rule.verdict]}).{own(rule)}"
    return f"{rule.what} (prefers it among ways of one rating).{HOUSE_RULE}"


def own(rule: Rule) -> str:
    """A mark behind what the house wrote."""
    return HOUSE_RULE if rule.house else ""


def rule_blocks(rule: Rule, base: RuleBase) -> Iterator[Block]:
    """One rule in full: what it says and when, why, what to do, its thresholds, source and examples."""
    yield Heading(rule.id, 1, rule.verdict)
    yield Para(f"{rule.title}.{own(rule)}")
    if rule.house:
        yield Para(f"Why the shop has it: {rule.reason}.")
    yield Para(
        f"Stage {rule.stage}; checked for each {rule.level}; {VERDICTS[rule.verdict]}{conclusion_text(rule, base)}."
    )
    yield from section("When", condition_items(rule.condition, base))
    yield Heading("Why")
    yield Para(template_text(rule.because, base))
    if rule.remedy:
        yield Heading("What to do")
        yield Para(template_text(rule.remedy, base))
    if rule.harm:
        yield Para("It is about people or fire: a shop may replace it, but not switch it off.")
    yield from section("Thresholds", _thresholds(rule, base))
    yield from section("Takes precedence over", (Item(base.by_id[other].title, other) for other in rule.overrides))
    if rule.outright:
        yield Para(OUTRIGHT)
    yield from chain_blocks(rule, base)
    yield from section("Examples", (example_text(example, base) for example in rule.examples))
    yield Heading("Source")
    yield Para(f"{cited(rule.source, rule.house)}.")
    yield Para(place(rule))


def preference_blocks(one: Preference, base: RuleBase) -> Iterator[Block]:
    """What a shop prefers, in full: of which ways, why, its thresholds and examples."""
    yield Heading(one.id, 1, PREFERS)
    yield Para(_listed(one))
    yield Para(f"Why the shop has it: {one.reason}.")
    yield Para(f"Asked for each {one.level} that is rated.")
    yield from section("When", condition_items(one.condition, base))
    yield from section("Thresholds", _thresholds(one, base))
    yield from section("Examples", (example_text(example, base) for example in one.examples))
    yield Para(place(one))


def place(rule: Asked) -> str:
    """The file and line of a rule; from the root of the project where it is shipped with it."""
    file = Path(rule.file)
    shown = file.relative_to(data_root()) if file.is_relative_to(data_root()) else file
    return printable(f"{shown}{f':{rule.line}' if rule.line else ''}")


def conclusion_text(rule: Rule, base: RuleBase) -> str:
    """What a rule concludes, or weighs in a review, in words; empty for other verdicts."""
    if rule.concludes is None:
        return f", in a review with the weight {rule.weight}" if rule.weight else ""
    fact, value, threshold = rule.concludes
    told = quantity(value, base.measures[fact].unit) if isinstance(value, float) else spaced(str(value))
    return f" that {spaced(fact)} is {told}{f' ({threshold})' if threshold else ''}"


def condition_items(condition: Condition, base: RuleBase) -> Iterator[Item]:
    """The conditions that must all hold, one an entry; alternatives in one entry with 'or' between them."""
    parts = condition.parts if isinstance(condition, All) else (condition,)
    for part in parts:
        yield Item(condition_text(part, base))
    if not parts:
        yield Item("always")


def condition_text(condition: Condition, base: RuleBase) -> str:
    """A condition in words, with the values of its thresholds."""
    if isinstance(condition, Known):
        return known_text(condition)
    if isinstance(condition, Compare):
        return _comparison(condition, base)
    if isinstance(condition, All):
        return " and ".join(condition_text(part, base) for part in condition.parts)
    facts = {leaf.fact for part in condition.parts for leaf in leaves(part)}
    if len(facts) == 1 and all(isinstance(part, Compare) and part.operator == "=" for part in condition.parts):
        fact = facts.pop()
        told = (value_text(base.measures[fact], part.value) for part in condition.parts if isinstance(part, Compare))
        return f"{spaced(fact)} is {' or '.join(told)}"
    return ", or ".join(
        f"({text})" if " and " in text else text for text in (condition_text(part, base) for part in condition.parts)
    )


def _comparison(leaf: Compare, base: RuleBase) -> str:
    name = spaced(leaf.fact)
    if isinstance(leaf.value, str):
        return f"{name} is {'' if leaf.operator == '=' else 'not '}{value_text(base.measures[leaf.fact], leaf.value)}"
    value = quantity(leaf.value, base.measures[leaf.fact].unit)
    named_by = f" ({leaf.threshold})" if leaf.threshold else ""
    return f"{name} is {IN_WORDS[leaf.operator] if leaf.operator != '=' else 'just'} {value}{named_by}"


def template_text(template: str, base: RuleBase) -> str:
    """A rule's text with the names of the measures in angle brackets, and thresholds with their values."""
    return in_prose(PLACEHOLDER.sub(lambda match: _placeholder(match.group(1), base), template))


def _placeholder(name: str, base: RuleBase) -> str:
    if name in base.measures:
        return f"<{spaced(name)}>"
    threshold = base.thresholds[name]
    return quantity(threshold.value, threshold.unit)


def thresholds_read(rule: Asked, base: RuleBase) -> list[str]:
    """The names of the thresholds that a rule compares with, concludes or names in its text."""
    compared = (leaf.threshold for leaf in leaves(rule.condition) if isinstance(leaf, Compare) and leaf.threshold)
    if not isinstance(rule, Rule):
        return list(dict.fromkeys(compared))
    concluded = (rule.concludes[2],) if rule.concludes and rule.concludes[2] else ()
    told = (match.group(1) for match in PLACEHOLDER.finditer(f"{rule.because} {rule.remedy}"))
    return list(dict.fromkeys(name for name in (*compared, *concluded, *told) if name in base.thresholds))


def _thresholds(rule: Asked, base: RuleBase) -> Iterator[Item]:
    for name in thresholds_read(rule, base):
        threshold = base.thresholds[name]
        yield Item(
            f"{quantity(threshold.value, threshold.unit)}: {threshold.meaning}. Source: {cited(threshold.source)}.",
            name,
        )


def example_text(example: Example, base: RuleBase) -> str:
    """An example as a sentence."""
    facts = ", ".join(f"{spaced(name)} {_value(value, base.measures[name])}" for name, value in example.facts)
    return f"{'fires at' if example.fires else 'does not fire at'} {facts}"


def _value(value: Value, measure: Measure) -> str:
    return value_text(measure, value) if measure.named else quantity(value, measure.unit, MOST_FIGURES)


def counts(base: RuleBase) -> str:
    """How many rules, thresholds, measures and examples a rule base has, and how they are spread over the stages."""
    stages: dict[str, int] = {}
    for rule in base.rules:
        stages[rule.stage] = stages.get(rule.stage, 0) + 1
    spread = ", ".join(f"{count} {stage}" for stage, count in stages.items())
    examples = sum(len(rule.examples) for rule in base.rules)
    rules, others = (
        f"{len(base.rules)} rules ({spread})",
        f"{len(base.thresholds)} thresholds, {len(base.measures)} measures",
    )
    return f"{rules}, {others}, {examples} examples."
