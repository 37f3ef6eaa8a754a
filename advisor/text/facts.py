"""The facts and measures that a condition may use: name, what, unit, values, and a condition of a shipped rule."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from advisor.knowledge.conditions import Compare, leaves
from advisor.knowledge.measures import LEVELS, STAGES, Measure
from advisor.knowledge.schema import RuleBase, reads
from advisor.knowledge.wording import counted, number
from advisor.text.blocks import Block, Heading, Item, Items, Para
from advisor.text.names import spaced

KNOWN_FOR = {
    "feature": "of the feature, material and machine",
    "cutter": "of a cutter in the feature",
    "method": "of a method with a cutter",
    "candidate": "of a way that is worked out: method, cutter and entry",
}
UNITS = {"count": "a count", "share": "a share: 0.5 is 50 %", "": "no unit"}
MOST_READERS = 6  # rules that are named beside a fact
MOST_IN_FULL = 12  # facts that are told with the rules that read them


def facts_meant(base: RuleBase, words: Sequence[str]) -> list[Measure]:
    """The measures that have all the words in their name, meaning, unit or values; one that a word names comes first,
    then those with the words in their name.
    """
    asked = [word.casefold().replace(" ", "_") for word in words]
    found = [measure for measure in base.measures.values() if all(word in _searched(measure) for word in asked)]

    def place(measure: Measure) -> tuple[bool, bool]:
        name = measure.name.casefold()
        return name not in asked, not all(word in name for word in asked)

    return sorted(found, key=place) if asked else found


def _searched(measure: Measure) -> str:
    text = " ".join((measure.name, spaced(measure.name), measure.meaning, measure.unit, *measure.words)).casefold()
    return f"{text} {text.replace(' ', '_')}"


def values_text(measure: Measure) -> str:
    """The values that a fact may have, with its unit."""
    if measure.named:
        return "an id of the crib, in quotes"
    if measure.range is None:
        return " | ".join(measure.words)
    least, most = (number(value, 6) for value in measure.range)
    return f"{least} to {most}{f' {measure.unit}' if measure.unit not in UNITS else ''}; {_unit(measure)}"


def _unit(measure: Measure) -> str:
    return UNITS.get(measure.unit, f"in {measure.unit}")


def example(measure: Measure, base: RuleBase) -> str:
    """A condition on a fact: of the first shipped rule that has one, else one that is made of its values."""
    for rule in base.rules:
        for leaf in leaves(rule.condition):
            if isinstance(leaf, Compare) and leaf.fact == measure.name and not rule.house:
                return f"{leaf.fact} {leaf.operator} {leaf.threshold or _value(leaf.value)}"
    if measure.named:
        return f'{measure.name} = "E12"'
    if measure.range is None:
        return f"{measure.name} = {measure.words[0]}"
    least, most = measure.range
    middle = 0.5 * (least + most) if most < 1000 else max(least, 1.0)
    return f"{measure.name} > {_value(middle)}"


def _value(value: float | str) -> str:
    return value if isinstance(value, str) else f"{value:g}"


def facts_blocks(found: Sequence[Measure], base: RuleBase) -> Iterator[Block]:
    """The facts by whom they are known for: a few in full, many with what is needed to write a condition."""
    if not found:
        yield Para("No fact matches.")
    for level in LEVELS:
        here = [measure for measure in found if measure.level == level]
        if here:
            yield Heading(KNOWN_FOR[level].capitalize(), 2, counted(str(len(here)), "fact"))
            yield Items(tuple(_item(measure, base, len(found) <= MOST_IN_FULL) for measure in here))


def _item(measure: Measure, base: RuleBase, full: bool) -> Item:
    after = [f"Values: {values_text(measure)}. From stage {first_stage(measure)} on."]
    if full:
        read = [asked.id for asked in base.asked if measure.name in reads(asked)]
        after += ["Concluded by rules."] if measure.concluded else []
        more = f" and {len(read) - MOST_READERS} more" if len(read) > MOST_READERS else ""
        after += [f"Read by: {', '.join(read[:MOST_READERS])}{more}."] if read else []
    formulas = tuple(
        f"{measure.name} = {formula}{f'  ({spaced(key)})' if key else ''}" for key, formula in measure.formulas
    )
    code = (f"- {example(measure, base)}", *(formulas if full else ()))
    meaning = f"{measure.meaning}."
    return Item(meaning[0].upper() + meaning[1:], "", f"{measure.name}:", tuple(after), code)


def first_stage(measure: Measure) -> str:
    """The first stage whose rules may read a fact: one that rules conclude can only be read after their stage."""
    place = STAGES.index(measure.since)
    return STAGES[min(place + 1, len(STAGES) - 1)] if measure.concluded else measure.since
