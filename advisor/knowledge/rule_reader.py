"""Reading the rules of one file, with every fault noted where it stands."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any as Anything

from advisor.files.problems import listed
from advisor.files.yaml_reader import Document
from advisor.knowledge import conditions
from advisor.knowledge.conditions import All, Condition, ConditionError, quantise
from advisor.knowledge.examples import ExampleReader
from advisor.knowledge.faults import Faults, one_of, read_source
from advisor.knowledge.measures import LEVELS, STAGES, Measure, later_level
from advisor.knowledge.schema import VERDICTS, WEIGHTS, Rule
from advisor.knowledge.wording import misnamed

NEEDED = ("id", "title", "verdict", "because", "source", "examples")
ALLOWED = {*NEEDED, "about", "when", "remedy", "overrides", "outright", "harm", "concludes", "weight"}
VERDICTS_OF_STAGE = {
    "appraisal": {"concludes"},
    "settings": {"concludes"},
    "clearing": {"for", "against", "forbids"},
    "cutter": {"for", "against", "forbids"},
    "entry": {"for", "against", "forbids", "concludes"},
    "caution": {"cautions"},
    "review": {"finds"},
}
WEIGHED = ("finds", "against", "forbids")


TEXTS = ("because", "remedy")  # that numbers are put into


class RuleReader:
    """Reads the rules of one file."""

    def __init__(
        self,
        document: Document,
        stage: str,
        measures: Mapping[str, Measure],
        limits: Mapping[str, float],
        works: set[str],
        faults: Faults,
    ) -> None:
        self.document, self.stage, self.measures = document, stage, measures
        self.limits, self.works, self.faults = limits, works, faults
        self.examples = ExampleReader(document, measures, faults)

    def rules(self) -> Iterator[Rule]:
        entries = self.document.value
        if not isinstance(entries, list):
            self.fault((), "the file", type(entries).__name__, "a list of rules")
            return
        for index, entry in enumerate(entries):
            before = len(self.faults.problems)
            rule = self.rule(index, entry)
            if rule is not None and len(self.faults.problems) == before:
                yield rule

    def ids(self) -> Iterator[str]:
        """The ids of all rules, also of those with faults."""
        for entry in self.document.value if isinstance(self.document.value, list) else ():
            if isinstance(entry, dict) and "id" in entry:
                yield str(entry["id"])

    def fault(self, path: tuple[Anything, ...], field: str, found: object, wanted: str) -> None:
        self.faults.add(self.document, path, field, found, wanted)

    def rule(self, index: int, entry: Anything) -> Rule | None:
        if not isinstance(entry, dict):
            self.fault((index,), f"rule {index + 1}", entry, "a mapping")
            return None
        name = str(entry.get("id", f"rule {index + 1}"))
        missing, strange = [key for key in NEEDED if not entry.get(key)], sorted(set(entry) - ALLOWED)
        if missing or strange:
            told = (("missing", missing), ("unknown", strange))
            self.fault(
                (index,),
                name,
                "; ".join(f"{what} {', '.join(map(str, keys))}" for what, keys in told if keys),
                f"{', '.join(NEEDED)} and, where wanted, {', '.join(sorted(ALLOWED - set(NEEDED)))}",
            )
            return None
        if not self.marks(index, name, entry):
            return None
        about = self.about(index, name, entry.get("about") or {})
        if not about and not entry.get("when"):
            self.fault((index,), name, "neither about nor when", "a condition: else the rule is about everything")
        condition = self.condition(index, name, about, entry.get("when") or [])
        verdict = self.verdict(index, name, entry)
        if condition is None or verdict is None:
            return None
        level = self.level(index, name, condition)
        for key in TEXTS:
            self.placeholders((index, key), f"{name}.{key}", str(entry.get(key, "")))
        return Rule(
            id=name,
            title=str(entry["title"]),
            stage=self.stage,
            level=level,
            about=about,
            condition=condition,
            verdict=verdict,
            because=" ".join(str(entry["because"]).split()),
            remedy=" ".join(str(entry.get("remedy", "")).split()),
            source=read_source(entry["source"], self.works, self.document, (index, "source"), self.faults),
            examples=self.examples.of_rule((index, "examples"), name, entry["examples"]),
            file=self.document.name,
            line=self.document.line((index,)),
            concludes=self.conclusion(index, name, entry.get("concludes"), level) if verdict == "concludes" else None,
            overrides=tuple(entry.get("overrides") or ()),
            harm=bool(entry.get("harm", False)),
            outright=bool(entry.get("outright", False)),
            weight=entry.get("weight", ""),
        )

    def marks(self, index: int, name: str, entry: dict[str, Anything]) -> bool:
        """Whether harm, outright, overrides and the condition are of the right kind; what is not is noted."""
        before = len(self.faults.problems)
        overrides = entry.get("overrides", [])
        if not isinstance(entry.get("harm", False), bool):
            self.fault((index, "harm"), f"{name}.harm", entry["harm"], "true or false")
        outright = entry.get("outright", False)
        if not isinstance(outright, bool) or (outright and entry["verdict"] != "forbids"):
            self.fault((index, "outright"), f"{name}.outright", outright, "true or false, with the verdict forbids")
        weight, verdict = entry.get("weight"), entry["verdict"]
        fits = weight in WEIGHTS and verdict in WEIGHED
        if not fits and (weight is not None or verdict == "finds"):
            wanted = f"one of {listed(WEIGHTS)}, with the verdicts {', '.join(WEIGHED)}; finds must have one"
            self.fault((index, "weight"), f"{name}.weight", weight, wanted)
        if not isinstance(overrides, list) or not all(isinstance(other, str) for other in overrides):
            self.fault((index, "overrides"), f"{name}.overrides", overrides, "a list of ids")
        elif name in overrides:
            self.fault((index, "overrides"), f"{name}.overrides", name, "other rules than itself")
        if not entry.get("about") and not entry.get("when"):
            self.fault((index,), name, "neither about nor when", "a condition: else the rule is about everything")
        return len(self.faults.problems) == before

    def about(self, index: int, name: str, entry: Anything) -> tuple[tuple[str, tuple[str, ...]], ...]:
        pairs = []
        if not isinstance(entry, dict):
            self.fault((index, "about"), f"{name}.about", entry, "facts of words, each with a word or a list of words")
            return ()
        for fact, value in entry.items():
            words = tuple(str(word) for word in (value if isinstance(value, list) else [value]))
            if not words:
                self.fault((index, "about", fact), f"{name}.about.{fact}", "an empty list", "at least one word")
            measure = self.measures.get(fact)
            if measure is None or measure.numeric:
                self.fault((index, "about", fact), f"{name}.about", fact, "a registered fact of words")
            elif strange := set(words) - set(measure.words):
                self.fault((index, "about", fact), f"{name}.about.{fact}", ", ".join(sorted(strange)), one_of(measure))
            pairs.append((str(fact), words))
        return tuple(pairs)

    def condition(
        self, index: int, name: str, about: tuple[tuple[str, tuple[str, ...]], ...], when: Anything
    ) -> Condition | None:
        parts: list[Condition] = []
        for fact, words in about:
            tests = tuple(conditions.Compare(fact, "=", word) for word in words)
            parts.append(tests[0] if len(tests) == 1 else conditions.Any(tests))
        if not isinstance(when, list):
            self.fault((index, "when"), f"{name}.when", when, "a list of conditions")
            return None
        for number, item in enumerate(when):
            try:
                parts.append(conditions.parse(item, self.limits))
            except ConditionError as error:
                self.fault((index, "when", number), f"{name}.when", error, "a condition")
                return None
        tree = All(tuple(parts))
        for leaf in conditions.leaves(tree):
            self.leaf(index, name, leaf)
        return tree if all(leaf.fact in self.measures for leaf in conditions.leaves(tree)) else None

    def leaf(self, index: int, name: str, leaf: conditions.Compare | conditions.Known) -> None:
        measure, place = self.measures.get(leaf.fact), f"{name}.when"
        if measure is None:
            self.fault((index, "when"), place, leaf.fact, "a fact registered in measures.yaml")
            return
        late = STAGES.index(measure.since) > STAGES.index(self.stage)
        if late or (measure.concluded and STAGES.index(measure.since) >= STAGES.index(self.stage)):
            self.fault(
                (index, "when"),
                place,
                leaf.fact,
                f"a fact known before stage {self.stage}; this one is known since {measure.since}",
            )
        if not isinstance(leaf, conditions.Compare):
            return
        if measure.numeric and isinstance(leaf.value, str):
            self.fault(
                (index, "when"), place, leaf.value, f"a number or the name of a threshold to compare {leaf.fact} with"
            )
        if not measure.numeric and (leaf.value not in measure.words or leaf.operator not in ("=", "!=")):
            self.fault((index, "when"), place, f"{leaf.operator} {leaf.value}", f"= or != {one_of(measure)}")

    def verdict(self, index: int, name: str, entry: dict[str, Anything]) -> str | None:
        verdict = entry["verdict"]
        if verdict not in VERDICTS or verdict not in VERDICTS_OF_STAGE[self.stage]:
            self.fault(
                (index, "verdict"),
                f"{name}.verdict",
                verdict,
                f"{listed(sorted(VERDICTS_OF_STAGE[self.stage]))} in stage {self.stage}",
            )
            return None
        if (verdict == "concludes") != ("concludes" in entry):
            self.fault(
                (index,),
                name,
                verdict,
                "'concludes: {fact: ..., value: ...}' with the verdict concludes, and only there",
            )
            return None
        return str(verdict)

    def level(self, index: int, name: str, condition: Condition) -> str:
        level = LEVELS[0]
        for fact in conditions.facts_read(condition):
            level = later_level(level, self.measures[fact].level)
        if self.stage == "appraisal" and LEVELS.index(level) > LEVELS.index("cutter"):
            self.fault((index, "when"), name, f"facts of level {level}", "facts of feature and cutter in the appraisal")
        return level

    def conclusion(
        self, index: int, name: str, entry: Anything, level: str
    ) -> tuple[str, conditions.Value, str | None] | None:
        place = f"{name}.concludes"
        if not isinstance(entry, dict) or set(entry) != {"fact", "value"} or not isinstance(entry["fact"], str):
            self.fault((index, "concludes"), place, entry, "{fact: ..., value: ...}")
            return None
        measure, value = self.measures.get(entry["fact"]), entry["value"]
        if measure is None or not measure.concluded or measure.since != self.stage:
            self.fault(
                (index, "concludes"), place, entry["fact"], f"a measure registered as concluded in stage {self.stage}"
            )
            return None
        if LEVELS.index(level) > LEVELS.index(measure.level):
            self.fault(
                (index, "concludes"), place, level, f"a rule of level {measure.level} or coarser, like the measure"
            )
        if measure.numeric:
            if isinstance(value, str) and value in self.limits:
                return measure.name, quantise(self.limits[value]), value
            if isinstance(value, int | float) and not isinstance(value, bool):
                return measure.name, quantise(float(value)), None
        elif value in measure.words:
            return measure.name, str(value), None
        self.fault(
            (index, "concludes"),
            place,
            value,
            one_of(measure) if measure.words else "a number or a threshold",
        )
        return None

    def placeholders(self, path: tuple[Anything, ...], field: str, text: str) -> None:
        for found, wanted in misnamed(text, {*self.measures, *self.limits}):
            self.fault(path, field, found, wanted)
