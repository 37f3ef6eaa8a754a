"""The whole evidence for one feature: rules with the values they met, numbers worked out, thresholds, sources."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

from advisor.choosing.job_advice import Advice
from advisor.files.problems import printable
from advisor.files.unit_scales import parts_in_units_of, scale_of
from advisor.knowledge.conditions import Facts
from advisor.knowledge.evidence import METRIC, Ground, Worked, chain, ground, thresholds_used
from advisor.knowledge.schema import Rule, RuleBase
from advisor.knowledge.wording import quantity
from advisor.model.answer import FeatureAdvice
from advisor.text.advice import under_what
from advisor.text.alternatives import choice_text, difference_text
from advisor.text.blocks import Block, Heading, Item, Pairs, Para, section
from advisor.text.changes import breakpoints
from advisor.text.feature import heading, own_changes, settings, what
from advisor.text.glossary import used_blocks
from advisor.text.house import met_anyway
from advisor.text.measures import asked_for
from advisor.text.missing import unasked
from advisor.text.names import VERDICTS, spaced
from advisor.text.reasons import comes_to_nothing, reasons, repair_texts
from advisor.text.rulebook import thresholds_read
from advisor.text.section_text import sketch_blocks
from advisor.text.sources import cited, cited_text
from advisor.text.words import held_back, held_text, no_way, way_text, ways_text

METRIC_TOLD = (
    "Formulas marked metric are in mm, mm/min, m/min, N, N/mm², N/mm, kW and Nm, as in handbooks; 1 {unit} is "
    "{millimetres} mm. The value in the units of the job follows. All other formulas are in the units of the job."
)


@dataclass(frozen=True)
class Evidence:
    """The evidence for one feature of a job."""

    answer: FeatureAdvice
    advice: Advice

    @property
    def base(self) -> RuleBase:
        """The rule base that was asked."""
        return self.advice.bench.base

    @property
    def facts(self) -> Facts:
        """The facts of the answer."""
        return self.answer.cautioned

    def grounds(self, rules: Iterable[Rule]) -> list[Ground]:
        """The evidence for each of the rules."""
        return [ground(rule, self.facts, self.base) for rule in rules]

    @cached_property
    def reasons(self) -> list[Ground]:
        """The evidence for the reasons."""
        return self.grounds(reasons(self.answer))

    @cached_property
    def cautions(self) -> list[Ground]:
        """The evidence for the cautions."""
        return self.grounds(self.answer.cautions)

    @cached_property
    def concluded(self) -> list[Ground]:
        """The evidence for the other rules that set limits or qualities for this answer."""
        told = {rule.id for rule in reasons(self.answer)}
        best = self.answer.best
        fired = (*self.answer.about_feature, *(best.fired if best else ()))
        found = {
            rule.id: rule
            for rule in fired
            if rule.verdict == "concludes" and rule.id not in told and not (best and comes_to_nothing(rule, best))
        }
        return self.grounds(found.values())

    @cached_property
    def worked(self) -> tuple[Worked, ...]:
        """Every number of the answer and all it rests on."""
        return chain(asked_for(self.facts), self.facts, self.base) if self.answer.best else ()

    @cached_property
    def set_back(self) -> list[tuple[str, str, list[Ground]]]:
        """Each way that was set back: the way with its grade, what decided, and the rules against it."""
        return [
            (
                f"{way_text(other.candidate)} ({other.candidate.grade})",
                difference_text(other.difference, self.base),
                [ground(rule, other.candidate.facts, self.base) for rule in other.reasons],
            )
            for other in self.answer.alternatives
        ]

    @property
    def sentences(self) -> Iterator[str]:
        """The sentences of the evidence."""
        grounds = (*self.reasons, *self.concluded, *self.cautions)
        for found in (*grounds, *(item for _, _, rules in self.set_back for item in rules)):
            yield f"{found.text} {found.remedy}"
        for way, deciding, _ in self.set_back:
            yield f"{way.rpartition(' (')[0]}. {deciding}"

    @cached_property
    def thresholds(self) -> tuple[tuple[str, str, str, str], ...]:
        """The thresholds that formulas and conditions rest on: name, value, what it is, source in full."""
        grounds = [
            *self.reasons,
            *self.concluded,
            *self.cautions,
            *(item for _, _, found in self.set_back for item in found),
        ]
        measures = [*self.worked, *(item for found in grounds for item in found.measures)]
        return thresholds_of(self.base, thresholds_used(measures, self.base), (found.rule for found in grounds))


def thresholds_of(base: RuleBase, names: Iterable[str], rules: Iterable[Rule]) -> tuple[tuple[str, str, str, str], ...]:
    """The named thresholds and those that the rules read: name, value, what it is, source in full."""
    every = dict.fromkeys([*names, *(name for rule in rules for name in thresholds_read(rule, base))])
    found = (base.thresholds[name] for name in every)
    return tuple((item.name, quantity(item.value, item.unit), item.meaning, cited(item.source)) for item in found)


@parts_in_units_of(lambda answer, advice: advice.assignment.job.units)
def why_blocks(answer: FeatureAdvice, advice: Advice) -> Iterator[Block]:
    """The blocks of the evidence for one feature."""
    evidence, base = Evidence(answer, advice), advice.bench.base
    yield Heading(f"{printable(advice.assignment.job.part)}: evidence", 1)
    yield Para(under_what(advice))
    yield heading(answer)
    if answer.best is None:
        yield Para(no_way(answer.region))
        yield from section("Why not", _obstacles(evidence))
    else:
        yield Pairs((*what(answer.best), *settings(answer.best, base)))
    yield from _from_the_side(answer, base)
    chosen = () if answer.chosen is None else (choice_text(answer.chosen, base),)
    yield from section("Why", (*chosen, *(_rule(found) for found in evidence.reasons)))
    yield from section("House rules applied", (*own_changes(answer, base), *met_anyway(answer, base)))
    yield from section("Also concluded", (_rule(found) for found in evidence.concluded))
    yield from section("Cautions", (_rule(found) for found in evidence.cautions))
    if answer.best:
        yield from section("Limited by", (held_text(held, base) for held in held_back(answer.best)))
        yield from section("Calculations", (_number(item) for item in evidence.worked))
        if any(METRIC in item.value for item in evidence.worked):
            yield Para(METRIC_TOLD.format(unit=scale_of("mm").unit, millimetres=f"{1 / scale_of('mm').factor:.6g}"))
        yield from section("Alternatives", _set_back(evidence))
    yield from section(
        "Thresholds",
        (f"{name} = {value}: {told}. Source: {source}." for name, value, told, source in evidence.thresholds),
    )
    yield from section("Tables", tables(advice))
    yield from section("What would change the advice", breakpoints(answer))
    yield from section("A cutter worth buying" if answer.best else "What would make it possible", repair_texts(answer))
    yield from section("Not given", (unasked(item, base) for item in answer.not_asked))
    yield from used_blocks(evidence.sentences)


def _from_the_side(answer: FeatureAdvice, base: RuleBase) -> Iterator[Block]:
    """The side section of the answer, or of the nearest way where none was found."""
    if (shown := answer.shown) is None:
        return
    head, sketch = sketch_blocks(shown, answer.region, base.limits)
    yield head
    if answer.best is None:
        yield Para(f"{way_text(shown)} ({shown.grade}), the nearest to being allowed.")
    yield sketch


def tables(advice: Advice) -> Iterator[str]:
    """Which rows of the tables the numbers were taken from, with their sources."""
    material = advice.bench.material
    forces = f"cutting forces: {cited_text(material.source)}"
    speeds = "speeds and chips: common practice, no source"
    yield f"{printable(material.name)}: class {material.cutting_class}; {forces}; {speeds}."


def _rule(found: Ground) -> Item:
    rule = found.rule
    safety = "Safety: " if rule.harm else ""
    remedy = (found.remedy,) if found.remedy else ()
    source = f"Source: {cited(rule.source, rule.house)}."
    formulas = tuple(formula_text(item) for item in found.measures if item.formula)
    own = (f"House rule: {rule.reason}.",) if rule.reason else ()
    after = (*own, *remedy, since(found), source)
    return Item(f"{found.text}{found.own}", rule.id, f"{safety}{rule.title}.", after, formulas)


def since(found: Ground) -> str:
    """What the rule makes of the feature, and the conditions with the values that met them."""
    verdict = VERDICTS[found.rule.verdict].capitalize()
    conditions = "; ".join(_met(condition) for condition in found.conditions)
    return (
        f"{verdict}{_conclusion(found.rule)} because {conditions}."
        if conditions
        else f"{verdict}{_conclusion(found.rule)}."
    )


def _met(condition: str) -> str:
    """A condition that was met; a word that is just what was asked is told once."""
    told, asked, wanted = condition.partition("; asked: is ")
    return told if asked and told.endswith(f" is {wanted}") else condition


def _conclusion(rule: Rule) -> str:
    if rule.concludes is None:
        return ""
    fact, value, threshold = rule.concludes
    return f" that {spaced(fact)} is {threshold or spaced(str(value))}"


def _number(item: Worked) -> Item:
    what = "" if item.what == spaced(item.name) else f", {item.what}"
    if item.formula:
        return Item(f"{item.name}{what}:", code=(formula_text(item),))
    origin = "" if item.origin in ("", item.what) else f"; {item.origin}"
    return Item(f"{item.name} = {item.value}{what}{origin}")


def formula_text(item: Worked) -> str:
    """A formula in names, in numbers, and its value."""
    return f"{item.name} = {item.formula} = {item.numbers} = {item.value}"


def _obstacles(evidence: Evidence) -> Iterator[Item]:
    for candidates, rule in evidence.answer.obstacles:
        item = _rule(ground(rule, candidates[0].facts, evidence.base))
        yield item._replace(text=f"{ways_text(candidates)}: {item.text}")


def _set_back(evidence: Evidence) -> Iterator[Item]:
    for way, deciding, grounds in evidence.set_back:
        if not grounds or grounds[0].text != deciding:
            yield Item(f"{way}: {deciding}")
        for found in grounds:
            item = _rule(found)
            text = f"{way}: {item.text}" if found.text == deciding else item.text
            yield item._replace(text=text, strong="", after=item.after[-2:])
