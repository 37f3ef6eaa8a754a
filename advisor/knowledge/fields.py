"""How rules, thresholds and measures are written: the fields of each and their kinds, before anything is looked up."""

from __future__ import annotations

from typing import Annotated, Any, Literal, Self

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, model_validator

from advisor.files.problems import listed, misfit, shown
from advisor.knowledge.faults import SOURCE
from advisor.knowledge.measures import LEVELS, STAGES
from advisor.knowledge.schema import WEIGHTS

WEIGHED = ("finds", "against", "forbids")

Text = Annotated[str, Field(min_length=1, description="text")]
Words = Annotated[
    list[str],
    BeforeValidator(lambda raw: [raw] if isinstance(raw, str) else raw),
    Field(min_length=1, description="a word or a list of words"),
]
Span = Annotated[list[float], Field(min_length=2, max_length=2, description="two numbers, the lower first")]
Formulas = Annotated[
    dict[str, str],
    BeforeValidator(lambda raw: {"": raw} if isinstance(raw, str) else raw),
    Field(description="an expression, or a mapping from method, entry or body to one"),
]


class Written(BaseModel):
    """Base of them all: closed to unknown fields, and a field is of its kind or wrong. Built on first use."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, defer_build=True)


class WrittenConclusion(Written):
    """What a rule concludes."""

    fact: Text
    value: Any = Field(description="a word, a number or a threshold")


class WrittenCondition(Written):
    """What has an id and a condition."""

    id: Text
    about: dict[str, Words] = Field({}, description="facts of words, each with a word or a list of words")
    when: list[Any] = Field([], description="a list of conditions")

    @model_validator(mode="after")
    def _asks_something(self) -> Self:
        if not self.about and not self.when:
            raise misfit("a condition: else the rule is about everything", found="neither about nor when")
        return self


class WrittenPreference(WrittenCondition):
    """What a shop prefers among ways of one rating; ``examples`` are read by themselves."""

    what: Text = Field(description="what the shop prefers, as it goes on after “your shop prefers”")
    examples: Any = None


class WrittenRule(WrittenCondition):
    """A rule in the normal form; ``source`` and ``examples`` are read by themselves."""

    title: Text
    verdict: Text
    weight: Literal[*WEIGHTS] | None = None  # type: ignore[valid-type]
    concludes: WrittenConclusion | None = Field(None, description="{fact: ..., value: ...}")
    because: Text
    remedy: str = ""
    harm: bool = Field(False, description="true or false")
    outright: bool = Field(False, description="true or false, with the verdict forbids")
    overrides: list[str] = Field([], description="a list of ids")
    source: Any = Field(description=SOURCE)
    examples: Any = Field(description="fires and silent, each a list of at least one set of facts")

    @model_validator(mode="after")
    def _belongs_together(self) -> Self:
        if self.outright and self.verdict != "forbids":
            raise misfit("true or false, with the verdict forbids", found="true", field="outright")
        if (self.verdict not in WEIGHED) if self.weight else self.verdict == "finds":
            wanted = f"one of {listed(WEIGHTS)}, with the verdicts {', '.join(WEIGHED)}; finds must have one"
            raise misfit(wanted, found=shown(self.weight), field="weight")
        if self.id in self.overrides:
            raise misfit("other rules than itself", found=self.id, field="overrides")
        return self


class WrittenThreshold(Written):
    """A threshold; ``source`` is read by itself."""

    value: float = Field(description="a number")
    unit: str = Field(description="a unit, or empty text")
    range: Span
    beyond: str = ""
    at_most: Words = []
    what: Text
    source: Any = Field(description=SOURCE)

    @model_validator(mode="after")
    def _in_its_range(self) -> Self:
        if not self.range[0] <= self.value <= self.range[1]:
            wanted = f"two numbers, the lower first, with {self.value:g} between them or one of them"
            raise misfit(wanted, found=f"{self.range[0]:g} and {self.range[1]:g}", field="range")
        return self


class WrittenMeasure(Written):
    """A measure of the register."""

    what: Text
    level: Literal[*LEVELS]  # type: ignore[valid-type]
    since: Literal[*STAGES] = "appraisal"  # type: ignore[valid-type]
    unit: str = ""
    range: Span | None = None
    words: Words | None = None
    named: bool = False
    formula: Formulas = {}
    needs: list[str] = []
    not_given: str = ""
    concluded: bool = False

    @model_validator(mode="after")
    def _numbers_or_words(self) -> Self:
        if (self.range is not None) + (self.words is not None) + self.named != 1:
            wanted = "one of the three: a [least, most] range, a list of words, or named: true"
            raise misfit(wanted, found="none or several of them")
        return self
