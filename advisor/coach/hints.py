"""Hints: two questions about the part, written for each topic in ``shared/hints.yaml``, with its numbers put in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any, NamedTuple

from advisor.coach.scene import Scene
from advisor.files.problems import listed, printable
from advisor.files.yaml_reader import read_yaml
from advisor.knowledge.conditions import Facts
from advisor.knowledge.schema import RuleBase
from advisor.knowledge.wording import PLACEHOLDER, fact_text
from advisor.paths import shared_dir

EACH = "each"  # {DC:each} is the diameter of every cutter there is to choose from
ANY = "any"


class Clues(NamedTuple):
    """What a hint may speak of: what is ``asked`` for, the facts that are told or known, and those of each cutter.

    ``hidden`` are the words of the answer, which no hint has in it.
    """

    asked: tuple[str, ...]
    facts: Facts
    each: Mapping[str, Facts] = {}
    hidden: tuple[str, ...] = ()


def hints_of(topic: str, kind: str, clues: Clues, base: RuleBase) -> tuple[str, ...]:
    """The hints to a question, the first to be given first: those of the topic that fit, else those for any."""
    for entry in (*hint_table()[topic], *hint_table()[ANY]):
        if kind not in entry.get("kinds", (kind,)) or not set(clues.asked) & set(entry.get("asks", clues.asked)):
            continue
        texts = tuple(_filled(entry[name], clues, base) for name in ("first", "second"))
        if all(texts) and not any(word.casefold() in text.casefold() for text in texts for word in clues.hidden):
            return texts
    raise AssertionError(f"no hint for {topic} and {kind}")


@cache
def hint_table() -> dict[str, list[dict[str, Any]]]:
    """The hints of each topic, in the order in which they are tried."""
    found: dict[str, list[dict[str, Any]]] = read_yaml(shared_dir() / "hints.yaml").value
    return found


def known_facts(scene: Scene, facts: Facts, levels: tuple[str, ...]) -> Facts:
    """The facts that belong to these levels: of a feature, of a cutter, of a way."""
    measures = scene.bench.base.measures
    return {name: value for name, value in facts.items() if name in measures and measures[name].level in levels}


def facts_of_cutters(scene: Scene) -> Mapping[str, Facts]:
    """The facts of each cutter in the feature, by its id as it is shown; drills are left to round holes."""
    found: dict[str, Facts] = {}
    for way in scene.answer.candidates:
        if not way.cutter.kind.drill or scene.answer.region.round:
            found.setdefault(printable(way.cutter.id), known_facts(scene, way.facts, ("feature", "cutter")))
    order = [printable(cutter.id) for cutter in scene.assignment.crib]
    return {name: found[name] for name in order if name in found}


def _filled(template: str, clues: Clues, base: RuleBase) -> str:
    """A hint with its numbers; nothing where one of them is not known."""
    put = {match[0]: _value(match[1], match[2], clues, base) for match in PLACEHOLDER.finditer(template)}
    if not all(put.values()):
        return ""
    return PLACEHOLDER.sub(lambda match: put[match[0]], template)


def _value(name: str, form: str | None, clues: Clues, base: RuleBase) -> str:
    if form == EACH:
        return "; ".join(_of_each(name, clues, base))
    return _told(base, name, clues.facts) if name in clues.facts else ""


def _told(base: RuleBase, name: str, facts: Facts) -> str:
    """The value of a fact as a shop writes it."""
    text = fact_text(base, name, facts)
    return text.upper() if text == "hss" else text


def _of_each(name: str, clues: Clues, base: RuleBase) -> Iterator[str]:
    """The values of the cutters, each with those that have it."""
    having: dict[str, list[str]] = {}
    for cutter, facts in clues.each.items():
        if name in facts:
            having.setdefault(_told(base, name, facts), []).append(cutter)
    for value, cutters in having.items():
        yield value if len(having) == 1 else f"{value} ({listed(cutters)})"
