"""The blocks of the advice for a whole job."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.inputs.problems import printable
from advisor.reasoning.advice import Advice, FeatureAdvice
from advisor.report.blocks import Block, Heading, Item, Items, Para
from advisor.report.feature import feature_blocks
from advisor.report.reasons import cautioned_facts, for_every_feature, said, same_words
from advisor.report.words import seconds
from advisor.rulebase.schema import Rule


def advice_blocks(advice: Advice) -> Iterator[Block]:
    """The blocks of the advice: the job, each feature in its order, then what holds for every feature."""
    shared = for_every_feature(advice.features, advice.bench.base)
    told = {rule.id for rule, _ in shared}
    yield Heading(printable(advice.assignment.job.part), 1)
    yield Para(under_what(advice))
    for answer in advice.features:
        yield from feature_blocks(answer, advice, frozenset(rule for rule in answer.cautions if rule.id in told))
    yield from _together(advice)
    if shared:
        yield Heading("For every feature", 2)
        yield Items(tuple(_said(rule, answer, advice) for rule, answer in shared))


def under_what(advice: Advice) -> str:
    """Material, machine and who answered, in one sentence each."""
    material, machine = advice.bench.material, advice.assignment.machine
    demo = ", a machine of the demo shop" if advice.assignment.demo_shop else ""
    inch = " The job is in inches; all is told in mm." if advice.assignment.job.units != "mm" else ""
    assumed = f" Assumed of the machine: {'; '.join(machine.assumed)}." if machine.assumed else ""
    return (
        f"{printable(material.name)}, group {material.group}, on {printable(machine.name)}{demo}. "
        f"Rules asked of {advice.bench.inference.name}.{inch}{assumed}"
    )


def _together(advice: Advice) -> Iterator[Block]:
    times = [answer.best.time for answer in advice.features if answer.best]
    if len(times) > 1:
        left_out = len(advice.features) - len(times)
        without = f"; {left_out} without a way not counted" if left_out else ""
        yield Heading("All features", 2)
        yield Para(f"{seconds(sum(times))} in the order of the job, each with a tool change of its own{without}.")


def _said(rule: Rule, answer: FeatureAdvice, advice: Advice) -> Item:
    base = advice.bench.base
    item = said(rule, cautioned_facts(answer), base)
    if same_words(rule, advice.features, base):
        return item
    return item._replace(after=(*item.after, f"The numbers are those of {printable(answer.region.id)}."))
