"""The first step of an answer: a question back that names the measure to look at, and nothing of the answer."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.analysis.rival import deciding_facts
from advisor.coach.telling import wordy
from advisor.knowledge.conditions import Compare, Facts
from advisor.knowledge.schema import Rule, RuleBase
from advisor.text.blocks import Block, Heading, Para

TITLE = "Look again"
LONGEST = 60  # signs of a formula that is shown in a hint
PLAIN = "Which number of this feature decides here? Hold it against the cutter's."


def hint_blocks(
    rules: Iterable[Rule], facts: Facts, base: RuleBase, hidden: Iterable[str] = (), plain: str = PLAIN
) -> tuple[Block, ...]:
    """A question about the first measure that a rule rests on; none of the ``hidden`` words is in it."""
    words = [word.casefold() for word in hidden]
    for rule in rules:
        text = _question(rule, facts, base)
        if text and not any(word in text.casefold() for word in words):
            return question(text)
    return question(plain)


def question(text: str) -> tuple[Block, ...]:
    """A hint of one's own words."""
    return Heading(TITLE), Para(text)


def measure_question(leaf: Compare, base: RuleBase) -> str:
    """A question about the number that a comparison looks at."""
    measure = base.measures[leaf.fact]
    name = leaf.fact if leaf.fact.isupper() else wordy(leaf.fact)
    how = measure.formula()
    worked = f" Work it out: {wordy(how)}." if how and len(how) < LONGEST else ""
    return f"Look at the {name}: {measure.meaning}.{worked} How much is it, and how much should it be?"


def _question(rule: Rule, facts: Facts, base: RuleBase) -> str:
    for leaf in deciding_facts(rule, facts):
        measure = base.measures.get(leaf.fact)
        if measure is None:
            continue
        if isinstance(leaf, Compare) and not isinstance(leaf.value, str):
            return measure_question(leaf, base)
        return f"Look at the {wordy(leaf.fact)}: {measure.meaning}. What is it here, and what does that rule out?"
    return ""
