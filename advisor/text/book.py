"""The rule base as a handbook: contents, a chapter a stage, thresholds, measures, words, bibliography.

Everything in it is generated from the data; nothing of it is written here but headings.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping

from advisor.knowledge.glossary import Term, explained, glossary
from advisor.knowledge.measures import STAGES, Measure
from advisor.knowledge.schema import ChangeKind, Rule, RuleBase, Source, reads
from advisor.knowledge.wording import number, quantity
from advisor.text.book_parts import Bullets, Code, Grid, Head, Leaf, Link, Passage, Text
from advisor.text.house import sentence
from advisor.text.names import PREFERS, VERDICTS, spaced
from advisor.text.rule_page import fed_by, feeds, overridden_by
from advisor.text.rulebook import (
    OUTRIGHT,
    conclusion_text,
    condition_items,
    counts,
    example_text,
    place,
    template_text,
    thresholds_read,
)
from advisor.text.sources import reference, works
from advisor.version import __version__

PRACTICE, HOUSE = "source-common-practice", "source-house"
CHAPTERS = {
    "appraisal": "Appraisal: what feature and cutter are like",
    "settings": "Settings: limits and policies",
    "clearing": "Clearing: for, against and forbidden methods",
    "cutter": "Cutter: reach, fit and choice",
    "entry": "Entry: ways into the material",
    "caution": "Caution: what to watch for",
    "review": "Review: what is found in a plan",
}


def book(base: RuleBase) -> Iterator[Leaf]:
    """The leaves of the handbook, from first to last."""
    words = glossary().terms
    yield Head("Handbook of the roughing rules", 1, "top")
    yield Passage((f"Version {__version__}. {counts(base)}",))
    yield Passage(("All values are starting values: first runs with rapid and feed turned down.",), "safety")
    yield from _contents(base, words)
    if base.changes:
        yield from _changes(base)
    for stage in STAGES:
        if base.of(stage):
            yield from _chapter(stage, base)
    yield from _thresholds(base)
    yield from _measures(base)
    yield from _glossary(words, base)
    yield from _bibliography(base)


def _contents(base: RuleBase, words: Mapping[str, Term]) -> Iterator[Leaf]:
    yield Head("Contents", 2, "contents")
    chapters: list[Text] = [
        (Link(CHAPTERS.get(stage, stage), f"stage-{stage}"), f", {_rules(len(base.of(stage)))}")
        for stage in STAGES
        if base.of(stage)
    ]
    if base.changes:
        chapters.insert(0, (Link("House rules", "house"), f", {len(base.changes)}"))
    chapters.append((Link("Thresholds", "thresholds"), f", {len(base.thresholds)}"))
    chapters.append((Link("Measures", "measures"), f", {len(base.measures)}"))
    chapters.append((Link("Words of the trade", "words"), f", {len(words)}"))
    chapters.append((Link("Bibliography", "bibliography"), f", {len(works()) + 1} sources"))
    yield Bullets(tuple(chapters))


def _changes(base: RuleBase) -> Iterator[Leaf]:
    """What a shop's own rules change, and why."""
    yield Head("House rules", 2, "house")
    rows = []
    for change in base.changes:
        at = f"threshold-{change.name}" if change.name in base.thresholds else f"rule-{change.name}"
        name: Text = (Code(change.name),) if change.kind is ChangeKind.OFF else (Link(change.name, at, code=True),)
        values = [number(value, 6) for value in (change.before, change.after) if value is not None]
        rows.append(("", ((change.kind.value,), name, (" → ".join(values),), (change.reason,))))
    yield Grid(("what", "which", "from, to", "why"), tuple(rows))
    for one in base.preferences:
        yield Head(one.what, 3, f"rule-{one.id}", PREFERS)
        yield Passage((Code(one.id), f" {sentence(one)}"), "verdict")
        yield Head("When", 4)
        yield Bullets(tuple((item.text,) for item in condition_items(one.condition, base)))


def _rules(count: int) -> str:
    return f"{count} rule{'' if count == 1 else 's'}"


def _chapter(stage: str, base: RuleBase) -> Iterator[Leaf]:
    found = base.of(stage)
    yield Head(CHAPTERS.get(stage, stage), 2, f"stage-{stage}")
    yield Bullets(tuple((Link(rule.title, f"rule-{rule.id}"), f": {VERDICTS[rule.verdict]}") for rule in found))
    for rule in found:
        yield from _section(rule, base)


def _section(rule: Rule, base: RuleBase) -> Iterator[Leaf]:
    yield Head(rule.title, 3, f"rule-{rule.id}", rule.verdict)
    house = f" House rule: {rule.reason.rstrip('.')}." if rule.house else ""
    verdict = (
        f"{VERDICTS[rule.verdict].capitalize()}{conclusion_text(rule, base)}; checked for each {rule.level}.{house}"
    )
    yield Passage((Code(rule.id), f" {verdict}"), "verdict")
    if rule.harm:
        yield Passage(("It is about people or fire: a shop may replace it, but not switch it off.",), "safety")
    yield Head("When", 4)
    yield Bullets(tuple((item.text,) for item in condition_items(rule.condition, base)))
    yield Head("Why", 4)
    yield Passage((template_text(rule.because, base),))
    if rule.remedy:
        yield Head("What to do", 4)
        yield Passage((template_text(rule.remedy, base),))
    yield from _linked("Thresholds", _named_thresholds(rule, base))
    yield from _linked("Measures read", _named_measures(rule, base))
    yield from _linked("Takes precedence over", (_to(base.by_id[other]) for other in rule.overrides))
    if rule.outright:
        yield Passage((OUTRIGHT,))
    yield from _linked("Overridden by", (_to(other) for other in overridden_by(rule, base)))
    yield from _linked("Depends on", ((f"{spaced(fact)}: ", *_to(other)) for other, fact in fed_by(rule, base)))
    yield from _linked("Used by", (_to(other) for other in feeds(rule, base)))
    yield from _linked("Fires at", _examples(rule, base, True))
    yield from _linked("Does not fire at", _examples(rule, base, False))
    yield Head("Source", 4)
    yield Passage((*source_text(rule.source), ". ", Code(place(rule))))


def _linked(title: str, items: Iterator[Text]) -> Iterator[Leaf]:
    found = tuple(items)
    if found:
        yield Head(title, 4)
        yield Bullets(found)


def _to(rule: Rule) -> Text:
    return (Link(rule.title, f"rule-{rule.id}"),)


def _named_thresholds(rule: Rule, base: RuleBase) -> Iterator[Text]:
    for name in thresholds_read(rule, base):
        threshold = base.thresholds[name]
        told = f" {quantity(threshold.value, threshold.unit)}: {threshold.meaning}"
        yield (Link(name, f"threshold-{name}", code=True), told)


def _named_measures(rule: Rule, base: RuleBase) -> Iterator[Text]:
    for name in sorted(reads(rule)):
        yield (Link(name, f"measure-{name}", code=True), f" {base.measures[name].meaning}")


def _examples(rule: Rule, base: RuleBase, fires: bool) -> Iterator[Text]:
    for example in rule.examples:
        if example.fires is fires:
            told = example_text(example, base)
            yield (told.removeprefix("fires at ").removeprefix("does not fire at "),)


def source_text(source: Source) -> Text:
    """A source with a link to its entry in the bibliography."""
    at = _place_of(source)
    if source.house:
        return (Link("the house", at), f": {source.house}")
    if source.work is None:
        return (Link("common practice, no source", at),)
    memory = "; from memory, not looked up" if source.from_memory else ""
    return (Link(reference(source.work), at), f"{f', {source.section}' if source.section else ''}{memory}")


def _thresholds(base: RuleBase) -> Iterator[Leaf]:
    yield Head("Thresholds", 2, "thresholds")
    read_by: dict[str, list[Rule]] = {name: [] for name in base.thresholds}
    for rule in base.rules:
        for name in thresholds_read(rule, base):
            read_by[name].append(rule)
    rows = tuple(
        (
            f"threshold-{item.name}",
            (
                (Code(item.name),),
                (quantity(item.value, item.unit),),
                (item.meaning,),
                source_text(item.source),
                _links(read_by[item.name]) or ("arithmetic",),
            ),
        )
        for item in base.thresholds.values()
    )
    yield Grid(("name", "value", "what", "source", "read by"), rows)


def _links(rules: list[Rule]) -> Text:
    found: list[str | Link] = []
    for rule in rules:
        found += [", "] if found else []
        found.append(Link(rule.id, f"rule-{rule.id}"))
    return tuple(found)


def _measures(base: RuleBase) -> Iterator[Leaf]:
    yield Head("Measures", 2, "measures")
    read_by: dict[str, list[Rule]] = {name: [] for name in base.measures}
    for rule in base.rules:
        for name in reads(rule):
            read_by[name].append(rule)
    rows = tuple(
        (
            f"measure-{item.name}",
            (
                (Code(item.name),),
                (item.meaning,),
                (f"{item.level}, from {item.since} on",),
                (_values(item),),
                _formulas(item),
                _links(read_by[item.name]) or ("arithmetic",),
            ),
        )
        for item in base.measures.values()
    )
    yield Grid(("name", "what", "known for", "values", "formula", "read by"), rows)


def _values(item: Measure) -> str:
    if item.named:
        return "as the crib has them"
    if item.range is None:
        return ", ".join(spaced(word) for word in item.words)
    least, most = (number(value, 6) for value in item.range)
    return f"{least} to {most} {item.unit}".rstrip()


def _formulas(item: Measure) -> Text:
    found: list[str | Code] = []
    for key, formula in item.formulas:
        found += ["; "] if found else []
        found += [f"{spaced(key)}: "] if key else ["else: "] if found else []
        found.append(Code(formula))
    return tuple(found) or (("concluded by rules",) if item.concluded else ("given, or worked out by the program",))


def _glossary(words: Mapping[str, Term], base: RuleBase) -> Iterator[Leaf]:
    yield Head("Words of the trade", 2, "words")
    rows = []
    for term in sorted(words.values(), key=lambda term: term.name.casefold()):
        link: Text = ()
        if term.measure is not None and term.measure in base.measures:
            link = (" ", Link(term.measure, f"measure-{term.measure}", code=True))
        also = f" Also: {', '.join(term.also)}." if term.also else ""
        rows.append((f"word-{_slug(term.name)}", ((term.name,), (" ".join(explained(term, base)) + also, *link))))
    yield Grid(("word", "what it means"), tuple(rows))


def _slug(term: str) -> str:
    return "-".join("".join(sign if sign.isalnum() else " " for sign in term.casefold()).split())


def _bibliography(base: RuleBase) -> Iterator[Leaf]:
    yield Head("Bibliography", 2, "bibliography")
    cited = Counter(_place_of(source) for source in _sources(base))
    entries = [(PRACTICE, "common practice, no source", "practice")]
    if cited[HOUSE]:
        entries.append((HOUSE, "the shop's own reasons", "house rules"))
    for key, work in works().items():
        seen = "" if work.get("seen") else ", not seen"
        entries.append((f"source-{key}", reference(key), f"{work.get('kind', 'work')}{seen}"))
    rows = ((at, ((text,), (kind,), (str(cited[at]),))) for at, text, kind in entries)
    yield Grid(("source", "kind", "rules and thresholds that cite it"), tuple(rows))


def _sources(base: RuleBase) -> Iterator[Source]:
    yield from (rule.source for rule in base.rules)
    yield from (threshold.source for threshold in base.thresholds.values())


def _place_of(source: Source) -> str:
    """The entry of the bibliography that a source leads to."""
    return HOUSE if source.house else PRACTICE if source.work is None else f"source-{source.work}"
