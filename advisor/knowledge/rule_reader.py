"""Reading the rules of one file, with every fault noted where it stands."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any as Anything

from advisor.files.checking import checked
from advisor.files.problems import listed
from advisor.files.yaml_reader import Document
from advisor.knowledge import conditions
from advisor.knowledge.condition_reader import ConditionReader
from advisor.knowledge.conditions import Condition, is_number, quantise
from advisor.knowledge.faults import Faults, one_of, read_source
from advisor.knowledge.fields import WrittenConclusion, WrittenRule
from advisor.knowledge.measures import LEVELS, STAGES, Measure
from advisor.knowledge.schema import Rule
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


class RuleReader(ConditionReader):
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
        super().__init__(document, measures, limits, faults)
        self.stage, self.works, self.when = stage, works, f"before stage {stage}"

    def known(self, measure: Measure) -> bool:
        """Whether a fact is known in the stage."""
        since, last = STAGES.index(measure.since), STAGES.index(self.stage)
        return since < last or (since == last and not measure.concluded)

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
        level = self.level_of(condition)
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
