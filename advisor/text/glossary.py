"""Words of the trade as a reader asks for them: one explained, all listed, those that some evidence uses."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, NamedTuple

from advisor.files.problems import printable
from advisor.knowledge.glossary import Term, explained, glossary, occurring
from advisor.text.blocks import Block, Heading, Item, Items, Para
from advisor.text.names import spaced
from advisor.text.sources import cited

if TYPE_CHECKING:
    from advisor.knowledge.evidence import Worked
    from advisor.knowledge.schema import RuleBase
    from advisor.model.answer import FeatureAdvice


class Here(NamedTuple):
    """What a word comes to in a feature: its measure worked out, or in ``missing`` why there is no such number."""

    feature: str
    worked: Worked | None
    missing: str


def here(term: Term, answer: FeatureAdvice, base: RuleBase) -> Here:
    """The number of a word in a feature, as advised."""
    from advisor.knowledge.evidence import worked

    feature, facts = printable(answer.region.id), answer.cautioned
    if term.measure is None:
        return Here(feature, None, "the word has no number of its own")
    if term.measure in facts:
        return Here(feature, worked(term.measure, facts, base), "")
    measure = base.measures[term.measure]
    way = "the advised way" if answer.best else "a feature without a way"
    return Here(feature, None, measure.not_given or f"{way} has no {spaced(term.measure)}")


def here_text(found: Here) -> str:
    """What a word comes to in a feature, in one sentence."""
    item = found.worked
    if item is None:
        return f"In {found.feature}: {found.missing}."
    name = spaced(item.name)
    if item.formula:
        return f"In {found.feature}: {name} = {item.formula} = {item.numbers} = {item.value}."
    told = "" if item.what in (item.name, name) else f", {item.what}"
    return f"In {found.feature}: {name} {item.value}{told}."


def word_blocks(term: Term, base: RuleBase, found: Here | None = None) -> Iterator[Block]:
    """A word in two sentences, with its number in a feature if one was asked about."""
    yield Heading(term.name, 1)
    yield Para(" ".join(explained(term, base)))
    if found is not None:
        yield Para(here_text(found))
    if term.also:
        yield Para(f"Also: {', '.join(term.also)}.")
    yield Para(f"Source: {cited(term.source)}.")


def list_blocks(base: RuleBase) -> Iterator[Block]:
    """All words in the order of the alphabet, each with its first sentence."""
    terms = sorted(glossary().terms.values(), key=lambda term: term.name.casefold())
    yield Heading("Words", 1, f"{len(terms)} words")
    yield Items(tuple(Item(explained(term, base)[0], strong=f"{term.name}:") for term in terms))


def used_blocks(sentences: Iterable[str]) -> Iterator[Block]:
    """The words of the trade in some sentences."""
    names = used(sentences)
    if names:
        yield Heading("Words used here")
        yield Para(f"{', '.join(names)}. roughing words TERM explains one.")


def used(sentences: Iterable[str]) -> list[str]:
    """The names of the words of the trade that occur in some sentences, those of every day left out."""
    return [term.name for term in occurring(sentences, glossary()) if not term.everyday]
