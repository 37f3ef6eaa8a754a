"""The words of the trade that the texts use, each told in two sentences: what it is, and what follows for roughing."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from advisor.files.cache import kept
from advisor.knowledge import trade_words
from advisor.knowledge.schema import RuleBase, Source
from advisor.knowledge.wording import PLACEHOLDER, quantity
from advisor.paths import shared_dir

NEEDED = {"short", "long", "source"}
MAY_HAVE = {"also", "measure", "everyday"}


class Term(NamedTuple):
    """A word of the trade: the other forms it is found under, what it is, what follows for roughing.

    ``measure`` names the measure that gives its number in a feature. Thresholds stand in braces in the sentences. An
    ``everyday`` word needs no mention where it is used.
    """

    name: str
    also: tuple[str, ...]
    short: str
    long: str
    measure: str | None
    source: Source
    everyday: bool

    @property
    def forms(self) -> tuple[str, ...]:
        """Every form the word is found under."""
        return (self.name, *self.also)


class Glossary(NamedTuple):
    """The words by name, in the order of the file."""

    terms: Mapping[str, Term]


@cache
def glossary() -> Glossary:
    """The shipped glossary, read once a process; from a checked copy where there is one.

    Raises:
        BadInput: the glossary is damaged.
    """
    file, bibliography = shared_dir() / "glossary.yaml", shared_dir() / "sources.yaml"
    return kept(Glossary, [file, bibliography], lambda: read_glossary(file, bibliography))


def read_glossary(file: Path, bibliography: Path) -> Glossary:
    """The glossary of a file.

    Raises:
        BadInput: the file cannot be read or an entry is not as it must be; all faults at once.
    """
    from advisor.files.problems import BadInput  # only here: with a copy at hand nothing needs the readers
    from advisor.files.yaml_reader import read_yaml
    from advisor.knowledge.faults import Faults, read_source

    faults, works = Faults(), set(read_yaml(bibliography).value or {})
    document = read_yaml(file)
    terms: dict[str, Term] = {}
    for name, entry in (document.value or {}).items():
        if not _well_formed(entry):
            faults.add(document, (name,), name, entry, "short, long, source; perhaps also (a list), measure, everyday")
            continue
        source = read_source(entry["source"], works, document, (name, "source"), faults)
        also, everyday = tuple(map(str, entry.get("also", ()))), bool(entry.get("everyday", False))
        terms[name] = Term(name, also, entry["short"], entry["long"], entry.get("measure"), source, everyday)
    if faults.problems:
        raise BadInput(tuple(faults.problems))
    return Glossary(terms)


def _well_formed(entry: Any) -> bool:
    return (
        isinstance(entry, dict)
        and set(entry) >= NEEDED
        and set(entry) <= NEEDED | MAY_HAVE
        and all(isinstance(entry[name], str) for name in ("short", "long"))
        and isinstance(entry.get("also", []), list)
    )


def explained(term: Term, base: RuleBase) -> tuple[str, str]:
    """The two sentences of a word, with the thresholds of a rule base put in."""
    return filled(term.short, base), filled(term.long, base)


def filled(sentence: str, base: RuleBase) -> str:
    """A sentence of the glossary with the thresholds of a rule base put in."""

    def put(match: re.Match[str]) -> str:
        threshold = base.thresholds[match.group(1)]
        return quantity(threshold.value, threshold.unit)

    return PLACEHOLDER.sub(put, sentence)


def folded(word: str) -> str:
    """A word as it is looked up: whatever the letter case, with spaces for underscores and hyphens."""
    return " ".join(re.sub(r"[_\-]", " ", word.casefold()).split())


def by_form(words: Glossary) -> dict[str, Term]:
    """Each word under all of its folded forms; a word's own name outranks a form of another."""
    forms = {folded(form): term for term in words.terms.values() for form in term.also}
    return forms | {folded(term.name): term for term in words.terms.values()}


def looked_up(typed: str, words: Glossary) -> tuple[Term, ...]:
    """The words of the glossary that a typed word may mean: none where nobody knows it, several where it is asked.

    What stands in the glossary comes first; else what the trade says for one of ours leads to the word of that.
    """
    forms = {trade_words.folded(form): term for form, term in by_form(words).items()}
    if (found := forms.get(trade_words.folded(typed))) is not None:
        return (found,)
    table = trade_words.trade_words()
    terms: dict[str, Term] = {}
    for section in (*table.sections.values(), table.columns["crib"]):
        for ours in section.meanings(typed):
            said = (ours, *section.ours.get(ours, ()))
            own = next((forms[word] for word in map(trade_words.folded, said) if word in forms), None)
            terms |= {own.name: own} if own else {}
    if not terms:  # a unit leads to what it measures: SFM, IPT
        for setting, units in table.units.items():
            own = forms.get(trade_words.folded(setting)) if setting in table.sections["settings"].ours else None
            if own and trade_words.folded(typed) in map(trade_words.folded, units):
                terms[own.name] = own
    return tuple(terms.values())


def occurring(texts: Iterable[str], words: Glossary) -> tuple[Term, ...]:
    """The words of the trade that occur in some texts, in the order of the alphabet. The longest form counts."""
    forms = by_form(words)
    found = {forms[match] for match in _pattern(frozenset(forms)).findall(folded(" ".join(texts)))}
    return tuple(sorted(found, key=lambda term: term.name.casefold()))


@cache
def _pattern(forms: frozenset[str]) -> re.Pattern[str]:
    longest_first = sorted(forms, key=lambda form: (-len(form), form))
    return re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, longest_first))})(?!\w)")
