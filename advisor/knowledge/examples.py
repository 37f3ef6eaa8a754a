"""Reading the examples of rules: those inside a rule, and those in the file beside the file of rules.

The rules of ``slots.yaml`` keep the two examples that explain most; the others stand in ``slots.examples.yaml``, by the
id of the rule. Every fault is noted where it stands.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any as Anything

from advisor.files.problems import Problem, nearest_word
from advisor.files.yaml_reader import Document
from advisor.knowledge.conditions import GREATEST, Value, is_number, quantise
from advisor.knowledge.faults import Faults, one_of
from advisor.knowledge.measures import Measure
from advisor.knowledge.schema import Example

ENDING = ".examples.yaml"
KINDS = ("fires", "silent")
Place = tuple[Anything, ...]


def is_examples_file(path: Path) -> bool:
    """Whether a file holds examples of the rules in the file beside it."""
    return path.name.endswith(ENDING)


def rules_of(path: Path) -> Path:
    """The file of rules that a file of examples belongs to."""
    return path.with_name(f"{path.name.removesuffix(ENDING)}.yaml")


class ExampleReader:
    """Reads the examples of one file."""

    def __init__(self, document: Document, measures: Mapping[str, Measure], faults: Faults) -> None:
        self.document, self.measures, self.faults = document, measures, faults

    def fault(self, path: Place, field: str, found: object, wanted: str) -> None:
        self.faults.add(self.document, path, field, found, wanted)

    def of_rule(self, path: Place, name: str, entry: Anything) -> tuple[Example, ...]:
        """The examples inside a rule: at least one that fires and one that is silent."""
        if not isinstance(entry, dict) or set(entry) != set(KINDS) or not all(entry.values()):
            wanted = "fires and silent, each a list of at least one set of facts"
            self.fault(path, f"{name}.examples", entry, wanted)
            return ()
        return tuple(self.lists(path, name, entry))

    def of_file(self, written: Mapping[str, frozenset[str]]) -> dict[str, tuple[Example, ...]]:
        """The examples of a file beside a file of rules, by the id of the rule.

        ``written`` are the ids of all rules, each with the files that it stands in.
        """
        rules, entries = rules_of(Path(self.document.name)), self.document.value
        own = {name for name, files in written.items() if str(rules) in files}
        if not isinstance(entries, dict):
            wanted = f"ids of rules in {rules.name}, each with lists of examples under fires and silent"
            self.fault((), "the file", entries, wanted)
            return {}
        found = {}
        for name, entry in entries.items():
            if name in own:
                found[name] = self.beside(name, entry)
                continue
            elsewhere = ", ".join(sorted(written.get(name, ())))
            told = f"the id of a rule in {elsewhere}" if elsewhere else "the id of no rule"
            near, wanted = nearest_word(name, own), f"the id of a rule in {rules.name}"
            line = self.document.line((name,))
            self.faults.problems.append(Problem(self.document.name, line, name, told, wanted, near))
        return found

    def beside(self, name: str, entry: Anything) -> tuple[Example, ...]:
        """What stands beside a rule: examples that fire, silent ones, or both."""
        if not isinstance(entry, dict) or not entry or set(entry) - set(KINDS) or not all(entry.values()):
            wanted = "fires, silent or both, each a list of at least one set of facts"
            self.fault((name,), f"{name}.examples", entry, wanted)
            return ()
        return tuple(self.lists((name,), name, entry))

    def lists(self, path: Place, name: str, entry: Mapping[str, Anything]) -> Iterator[Example]:
        """The examples under the two keys, as far as they can be read; those that fire come first."""
        for kind in (kind for kind in KINDS if kind in entry):
            if not isinstance(entry[kind], list):
                self.fault((*path, kind), f"{name}.examples", entry[kind], "a list of sets of facts")
                continue
            for number, facts in enumerate(entry[kind]):
                place = (*path, kind, number)
                if pairs := self.facts(place, name, facts):
                    yield Example(pairs, kind == "fires", self.document.name, self.document.line(place))

    def name(self, measure: Measure, path: Place, value: Anything) -> Anything:
        """A value as it is spelt where it is a name: the cutter 12 is called "12"."""
        return self.document.texts.get(path, value) if measure.named else value

    def facts(self, path: Place, name: str, facts: Anything) -> tuple[tuple[str, Value], ...]:
        """The facts of one example; empty where there are none, which is noted like every other fault."""
        if not isinstance(facts, dict) or not facts:
            self.fault(path, f"{name}.examples", facts, "facts and their values, such as {width_ratio: 1.2}")
            return ()
        pairs: list[tuple[str, Value]] = []
        for fact, value in facts.items():
            measure = self.measures.get(fact)
            if measure is None:
                self.fault((*path, fact), f"{name}.examples", fact, "a registered fact")
            elif measure.numeric and is_number(value):
                pairs.append((fact, quantise(float(value))))
            elif measure.can_be(value := self.name(measure, (*path, fact), value)):
                pairs.append((fact, str(value)))
            else:
                wanted = f"a number within ±{GREATEST:g}" if measure.numeric else one_of(measure)
                self.fault((*path, fact), f"{name}.examples.{fact}", value, wanted)
        return tuple(pairs)
