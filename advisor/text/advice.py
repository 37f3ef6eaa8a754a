"""The blocks of the advice for a whole job."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from advisor.choosing.advice import MANY, of_any_cut
from advisor.choosing.job_advice import Advice
from advisor.choosing.whole_part import worst
from advisor.files.problems import printable
from advisor.files.unit_scales import parts_in_units_of
from advisor.knowledge.schema import Rule
from advisor.knowledge.wording import quantity
from advisor.methods.registry import METHODS
from advisor.model.answer import Failed, FeatureAdvice
from advisor.situation.pairings import ways
from advisor.text.blocks import Block, Heading, Item, Items, Para, Table
from advisor.text.crib import shallow
from advisor.text.failures import failure_text
from advisor.text.feature import feature_blocks
from advisor.text.house import with_house
from advisor.text.reasons import for_every_feature, said, same_words
from advisor.text.words import entry_text, seconds

MOST_FIRST = 5  # lines before the first run
OVERVIEW = ("id", "grade", "method", "cutter", "entry", "time")


@parts_in_units_of(lambda advice: advice.assignment.job.units)
def advice_blocks(advice: Advice) -> Iterator[Block]:
    """The blocks of the advice: the job, each feature in its order, then what holds for every feature."""
    shared = for_every_feature(advice.features, advice.bench.base)
    told = {rule.id for rule, _ in shared}
    yield Heading(printable(advice.assignment.job.part), 1)
    yield Para(under_what(advice))
    yield from overview(advice)
    yield from not_answered(advice.failed)
    yield from before_first_run(advice)
    for answer in advice.features:
        yield from feature_blocks(answer, advice, frozenset(rule for rule in answer.cautions if rule.id in told))
    yield from shared_blocks(advice)
    yield from _ask_on(advice)


def not_answered(failed: Sequence[Failed]) -> tuple[Block, ...]:
    """The features for which there is no answer, through a fault of our own."""
    return (Heading("Not answered", 2), Items(tuple(Item(failure_text(one)) for one in failed))) if failed else ()


def before_first_run(advice: Advice) -> tuple[Block, ...]:
    """Fire first, then what comes loose, then what else can hurt somebody: a few lines for a job of several features.

    Each names the features it is about; it stands with these as well, with their own numbers, unless every feature has
    it in the same words.
    """
    items = tuple(item for _, item in _first(advice))
    return (Heading("Before the first run", 2), Items(items)) if items else ()


def _first(advice: Advice) -> list[tuple[Rule, Item]]:
    """What stands before the first run, each with its rule."""
    if len(advice.features) < 2:
        return []
    base, items = advice.bench.base, []
    for rule in base.of("caution"):
        having = [answer for answer in advice.features if rule in answer.cautions]
        if having and rule.harm and of_any_cut(rule) is None:
            least_safe = worst(rule, having)
            item = said(rule, least_safe.cautioned, base)
            names = ", ".join(printable(answer.region.id) for answer in having)
            whose = printable(least_safe.region.id)
            own = () if same_words(rule, having, base) else (f"The numbers are for {whose}.",)
            items.append((rule, item._replace(text=f"{names}: {item.text}", after=(*item.after, *own))))
    return items[:MOST_FIRST]


def shared_blocks(advice: Advice) -> Iterator[Block]:
    """What holds for every feature of a job that has several, told once: nothing that stands before the first run."""
    first = {rule.id for rule, _ in _first(advice)}
    shared = [one for one in for_every_feature(advice.features, advice.bench.base) if one[0].id not in first]
    if shared:
        yield Heading("For every feature", 2)
        yield Items(tuple(_said(rule, answer, advice) for rule, answer in shared))


def _ask_on(advice: Advice) -> Iterator[Block]:
    """How to ask on for the evidence."""
    if not advice.features:
        return
    first = printable(advice.features[0].region.id)
    yield Heading("More", 2)
    cutters = len(advice.assignment.crib)
    turns = f", and with {cutters} cutters also what would change the advice" if cutters > MANY else ""
    yield Para(f"roughing why JOB {first} shows every number and source{turns}.")


def under_what(advice: Advice) -> str:
    """Material and machine, with the house rules and what was assumed."""
    material, machine = advice.bench.material, advice.assignment.machine
    demo = " (demo shop)" if advice.assignment.demo_shop else ""
    assumed = f" Assumed for the machine: {'; '.join(one.text for one in machine.assumed)}." if machine.assumed else ""
    return (
        f"{printable(material.name)} ({printable(material.hardness)}), ISO group {material.group}, "
        f"on {printable(machine.name)}{demo}."
        f"{with_house(advice.bench.base)}{assumed}{''.join(f' {text}' for text in shallow(advice.assignment.crib))}"
    )


def overview(advice: Advice) -> Iterator[Block]:
    """A line for each feature of a job that has several, and the time of all."""
    if len(advice.features) + len(advice.failed) < 2:
        return
    lines = {answer.region.id: _line(answer) for answer in advice.features}
    lines |= {one.feature: (printable(one.feature), "none", "not answered", "", "", "") for one in advice.failed}
    order = [feature.id for feature in advice.assignment.job.features if feature.id in lines]
    yield Table(OVERVIEW, tuple(lines[name] for name in order))
    times = [answer.best.time for answer in advice.features if answer.best]
    yield Para(f"Total {seconds(sum(times))}, with a tool change for each feature.{not_counted(advice)}")


def not_counted(advice: Advice) -> str:
    """The features whose time is in no total: those that are not possible, and those not answered; empty where none."""
    without = sum(answer.best is None for answer in advice.features)
    left_out = f" Not counted: {without} not possible." if without else ""
    return left_out + (f" Not counted: {len(advice.failed)} not answered." if advice.failed else "")


def _line(answer: FeatureAdvice) -> tuple[str, ...]:
    best = answer.best
    if best is None:
        return (printable(answer.region.id), answer.grade, "not possible", "", "", "")
    entry = "" if METHODS[best.method].by_drill else entry_text(best.entry, None)
    return (
        printable(answer.region.id),
        answer.grade,
        ways()[best.method].title,
        printable(best.cutter.id),
        entry,
        quantity(best.time, "s"),
    )


def _said(rule: Rule, answer: FeatureAdvice, advice: Advice) -> Item:
    base = advice.bench.base
    item = said(rule, answer.cautioned, base)
    if same_words(rule, advice.features, base):
        return item
    return item._replace(after=(*item.after, f"The numbers are for {printable(answer.region.id)}."))
