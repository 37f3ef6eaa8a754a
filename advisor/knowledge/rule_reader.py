"""Reading the rules of one file, with every fault noted where it stands."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any as Anything

from advisor.files.checking import checked
from advisor.files.problems import listed
from advisor.files.yaml_reader import Document
from advisor.knowledge import conditions
from advisor.knowledge.conditions import All, Condition, ConditionError, is_number, quantise
from advisor.knowledge.examples import ExampleReader
from advisor.knowledge.faults import Faults, one_of, read_source
from advisor.knowledge.fields import WrittenConclusion, WrittenCondition, WrittenPreference, WrittenRule
from advisor.knowledge.measures import JUDGING, LEVELS, RANKING, STAGES, Measure, later_level
from advisor.knowledge.schema import PREFERS, Rule, Source
from advisor.knowledge.wording import misnamed

VERDICTS_OF_STAGE = {
    "appraisal": {"concludes"},
    "settings": {"concludes"},
    "clearing": {"for", "against", "forbids"},
    "cutter": {"for", "against", "forbids"},
    "entry": {"for", "against", "forbids", "concludes"},
    "caution": {"cautions"},
    "review": {"finds"},
}
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
        written = checked(WrittenRule, self.document, (index,), self.spelt(index, entry), self.faults.problems)
        if written is None:
            self.condition_alone(index, entry)
            return None
        name = written.id
        about = self.about(index, written)
        condition, verdict = self.condition(index, name, about, written.when), self.verdict(index, written)
        if condition is None or verdict is None:
            return None
        level = self.level(index, name, condition)
        for key in TEXTS:
            self.placeholders((index, key), f"{name}.{key}", getattr(written, key))
        return Rule(
            id=name,
            title=written.title,
            stage=self.stage,
            level=level,
            about=about,
            condition=condition,
            verdict=verdict,
            because=" ".join(written.because.split()),
            remedy=" ".join(written.remedy.split()),
            source=read_source(written.source, self.works, self.document, (index, "source"), self.faults),
            examples=self.examples.of_rule((index, "examples"), name, written.examples),
            file=self.document.name,
            line=self.document.line((index,)),
            concludes=self.conclusion(index, name, written.concludes, level),
            overrides=tuple(written.overrides),
            harm=written.harm,
            outright=written.outright,
            weight=written.weight or "",
        )

    def preference(self, index: int, entry: Anything) -> Rule | None:
        """What a shop prefers among ways of one rating, without its reason."""
        written = checked(WrittenPreference, self.document, (index,), self.spelt(index, entry), self.faults.problems)
        if written is None:
            self.condition_alone(index, entry)
            return None
        condition = self.condition(index, written.id, self.about(index, written), written.when)
        if condition is None:
            return None
        level = self.level(index, written.id, condition)
        if level == LEVELS[0]:
            wanted = "one that tells ways apart: on the cutter, the method, the entry or what is worked out"
            self.fault((index, "when"), f"{written.id}.when", "a condition on the feature alone", wanted)
        place, examples = (index, "examples"), written.examples
        return Rule(
            id=written.id,
            title=" ".join(written.what.split()),
            stage=RANKING,
            level=level,
            about=tuple((fact, tuple(words)) for fact, words in written.about.items()),
            condition=condition,
            verdict=PREFERS,
            because="",
            remedy="",
            source=Source(),
            examples=() if examples is None else self.examples.of_rule(place, written.id, examples),
            file=self.document.name,
            line=self.document.line((index,)),
        )

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
        ranked, since = self.stage == RANKING, STAGES.index(measure.since)
        last = STAGES.index(JUDGING[-1] if ranked else self.stage)
        if since > last or (measure.concluded and since == last and not ranked):
            self.fault(
                path,
                place,
                leaf.fact,
                f"a fact known before stage {self.stage}; this one is known since {measure.since}",
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

    def verdict(self, index: int, written: WrittenRule) -> str | None:
        verdict, known = written.verdict, VERDICTS_OF_STAGE[self.stage]
        if verdict not in known:
            wanted = f"{listed(sorted(known))} in stage {self.stage}"
            self.fault((index, "verdict"), f"{written.id}.verdict", verdict, wanted)
            return None
        if (verdict == "concludes") != (written.concludes is not None):
            wanted = "'concludes: {fact: ..., value: ...}' with the verdict concludes, and only there"
            self.fault((index,), written.id, verdict, wanted)
            return None
        return verdict

    def level(self, index: int, name: str, condition: Condition) -> str:
        level = LEVELS[0]
        for fact in conditions.facts_read(condition):
            level = later_level(level, self.measures[fact].level)
        if self.stage == "appraisal" and LEVELS.index(level) > LEVELS.index("cutter"):
            self.fault((index, "when"), name, f"facts of level {level}", "facts of feature and cutter in the appraisal")
        return level

    def conclusion(
        self, index: int, name: str, concludes: WrittenConclusion | None, level: str
    ) -> tuple[str, conditions.Value, str | None] | None:
        if concludes is None:
            return None
        place, value, measure = f"{name}.concludes", concludes.value, self.measures.get(concludes.fact)
        if measure is None or not measure.concluded or measure.since != self.stage:
            self.fault(
                (index, "concludes"), place, concludes.fact, f"a measure registered as concluded in stage {self.stage}"
            )
            return None
        if LEVELS.index(level) > LEVELS.index(measure.level):
            self.fault(
                (index, "concludes"), place, level, f"a rule of level {measure.level} or coarser, like the measure"
            )
        if measure.numeric:
            if isinstance(value, str) and value in self.limits:
                return measure.name, quantise(self.limits[value]), value
            if is_number(value):
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
