"""Reading conditions of rules and of what a shop prefers, with every fault noted where it stands."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping, Sequence
from typing import Any as Anything

from advisor.files.checking import checked
from advisor.files.yaml_reader import Document
from advisor.knowledge import conditions
from advisor.knowledge.conditions import All, Condition, ConditionError
from advisor.knowledge.examples import ExampleReader
from advisor.knowledge.faults import Faults, one_of
from advisor.knowledge.fields import WrittenCondition
from advisor.knowledge.measures import LEVELS, Measure, later_level


class ConditionReader(ABC):
    """Reads what has a condition in one file; ``when`` says when it is asked, for faults."""

    when: str

    def __init__(
        self, document: Document, measures: Mapping[str, Measure], limits: Mapping[str, float], faults: Faults
    ) -> None:
        self.document, self.measures, self.limits, self.faults = document, measures, limits, faults
        self.examples = ExampleReader(document, measures, faults)

    @abstractmethod
    def known(self, measure: Measure) -> bool:
        """Whether a fact is known when the condition is asked."""

    def fault(self, path: tuple[Anything, ...], field: str, found: object, wanted: str) -> None:
        self.faults.add(self.document, path, field, found, wanted)

    def spelt(self, index: int, entry: Anything) -> Anything:
        """A rule with the names it is about as they are spelt: the cutter 12 is called "12"."""
        about = entry.get("about") if isinstance(entry, dict) else None
        if not isinstance(about, dict):
            return entry
        texts = self.document.texts

        def name(path: tuple[Anything, ...], held: Anything) -> Anything:
            if isinstance(held, list):
                return [name((*path, number), word) for number, word in enumerate(held)]
            return texts.get(path, held)

        named = {fact for fact in about if fact in self.measures and self.measures[fact].named}
        spelt = {fact: name((index, "about", fact), held) if fact in named else held for fact, held in about.items()}
        return entry | {"about": spelt}

    def condition_alone(self, index: int, entry: Anything) -> None:
        """Note what is wrong with the condition of a rule that has other faults."""
        if not isinstance(entry, dict):
            return
        parts = {key: entry[key] for key in ("about", "when") if key in entry}
        written = checked(WrittenCondition, self.document, (index,), {"id": "-"} | self.spelt(index, parts), [])
        if written is not None:
            name = str(entry.get("id", f"[{index + 1}]"))
            self.condition(index, name, self.about(index, written.model_copy(update={"id": name})), written.when)

    def about(self, index: int, written: WrittenCondition) -> tuple[tuple[str, tuple[str, ...]], ...]:
        name = written.id
        for fact, words in written.about.items():
            measure = self.measures.get(fact)
            if measure is None or measure.numeric:
                self.fault((index, "about", fact), f"{name}.about", fact, "a registered fact of words")
            elif strange := [word for word in words if not measure.can_be(word)]:
                self.fault((index, "about", fact), f"{name}.about.{fact}", ", ".join(sorted(strange)), one_of(measure))
        return tuple((fact, tuple(words)) for fact, words in written.about.items())

    def condition(
        self, index: int, name: str, about: tuple[tuple[str, tuple[str, ...]], ...], when: Sequence[Anything]
    ) -> Condition | None:
        parts: list[Condition] = []
        paths: list[tuple[Anything, ...]] = []
        for fact, words in about:
            tests = tuple(conditions.Compare(fact, "=", word) for word in words)
            parts.append(tests[0] if len(tests) == 1 else conditions.Any(tests))
            paths.append((index, "about", fact))
        unread = False
        for number, item in enumerate(when):
            try:
                parts.append(conditions.parse(item, self.limits))
                paths.append((index, "when", number))
            except ConditionError as error:
                found, _, wanted = str(error).partition("; wanted ")
                self.fault((index, "when", number), f"{name}.when", found, wanted or "a condition")
                unread = True
        tree = All(tuple(parts))
        for part, path in zip(parts, paths, strict=True):
            for leaf in conditions.leaves(part):
                self.leaf(path, name, leaf)
        if unread:
            return None
        return tree if all(leaf.fact in self.measures for leaf in conditions.leaves(tree)) else None

    def leaf(self, path: tuple[Anything, ...], name: str, leaf: conditions.Compare | conditions.Known) -> None:
        measure, place, about = self.measures.get(leaf.fact), f"{name}.{path[1]}", path[1] == "about"
        if measure is None:
            if not about:  # there it is told already
                self.fault(
                    path, place, leaf.fact, "a fact registered in measures.yaml; roughing rules facts lists them"
                )
            return
        if not self.known(measure):
            self.fault(
                path,
                place,
                leaf.fact,
                f"a fact known {self.when}; this one is known since {measure.since}",
            )
        if about or not isinstance(leaf, conditions.Compare):
            return
        if measure.numeric and isinstance(leaf.value, str):
            self.fault(path, place, leaf.value, f"a number or the name of a threshold to compare {leaf.fact} with")
        if measure.named and not isinstance(leaf.value, str):
            found = leaf.threshold or f"{leaf.value:g}"
            self.fault(path, place, found, f'the id in quotes: {leaf.fact} {leaf.operator} "{found}"')
        elif not measure.numeric and (not measure.can_be(leaf.value) or leaf.operator not in ("=", "!=")):
            self.fault(path, place, f"{leaf.operator} {leaf.value}", f"= or != {one_of(measure)}")

    def level_of(self, condition: Condition) -> str:
        """The level of the latest fact that a condition reads."""
        level = LEVELS[0]
        for fact in conditions.facts_read(condition):
            level = later_level(level, self.measures[fact].level)
        return level
