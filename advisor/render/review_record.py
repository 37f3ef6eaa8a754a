"""A review as JSON: frozen models, stable names, one JSON Schema. Times in s; import only where JSON is asked for."""

from __future__ import annotations

from typing import Any, Literal, cast

from pydantic import Field

from advisor.files.units import Units
from advisor.knowledge.schema import RuleBase
from advisor.model.candidate import Candidate
from advisor.model.fields import DRAFT
from advisor.model.finding import Finding
from advisor.render.figures import figures
from advisor.render.record import FactRecord, FailedRecord, Grade, Number, Record, SettingsRecord
from advisor.render.recording import fact_records, failed_records, settings_record
from advisor.review.trend import Recurring
from advisor.review.verdict import Judged, Remedy, Review
from advisor.text.findings import advised_text, finding_text, not_judged_text, not_said_text, well_chosen_text
from advisor.text.review import change_text

Weight = Literal["stop", "change", "consider"]
Role = Literal["main", "rest", "pilot"]


class RuledRecord(Record):
    """What a rule says of an operation, or of the whole plan, with the facts it rests on."""

    operation: int | None = Field(description="its number in the order of work; null where it is about the whole plan")
    feature: str | None
    rule: str
    text: str
    facts: dict[str, FactRecord]
    source: str


class CautionRecord(RuledRecord):
    """A caution about people or fire, as the advice gives it."""


class FindingRecord(RuledRecord):
    """One finding."""

    weight: Weight
    instead: str = Field(description="the advised way in one line; empty where the plan works as well")
    harm: bool = Field(description="whether it is about people or fire")
    answered: bool = Field(default=False, description="whether it is gone with the set of remedies")


class WellChosenRecord(Record):
    """What is well chosen."""

    operation: int
    feature: str
    text: str
    rule: str | None


class NotSaidRecord(Record):
    """What the plan leaves open, with what was taken for it."""

    operation: int
    feature: str
    what: str


class OperationRecord(Record):
    """One operation in one feature, worked out."""

    operation: int
    feature: str
    count: int = Field(default=1, ge=1, description="how many features alike; the time is that of all")
    role: Role = Field(description="main clears, rest takes what a wider cutter left, pilot drills the entry hole")
    method: str
    cutter: str
    entry: str | None
    grade: Grade
    time_s: Number | None
    power: Number | None
    power_available: Number | None
    deflection: Number | None


class RemedyRecord(Record):
    """An operation in one feature as it is to be changed, tried by reviewing the plan again with the whole set."""

    operation: int
    feature: str
    text: str = Field(description="what to type instead, each from what to what; empty where nothing of it changes")
    method: str
    cutter: str
    entry: str | None
    settings: SettingsRecord | None = Field(
        description="all that is then set, changed or not; null where there is none"
    )
    grade: Grade
    time_s: Number | None


class TimeRecord(Record):
    """Times of the whole; null where a part is not known."""

    plan_s: Number | None
    advised_s: Number | None


class ReviewRecord(Record):
    """The review of one plan, worst first."""

    plan: str
    programmer: str | None
    units: Units = Field(description="the unit in which numbers of the plan without one were read")
    job_units: Units = Field(description="those that the job is written in; all numbers and texts here are in mm")
    findings: tuple[FindingRecord, ...]
    well_chosen: tuple[WellChosenRecord, ...]
    not_said: tuple[NotSaidRecord, ...]
    not_judged: tuple[str, ...]
    uncovered: tuple[str, ...] = Field(description="features of the job without an operation")
    operations: tuple[OperationRecord, ...]
    cautions: tuple[CautionRecord, ...] = Field(description="about people and fire; those of every cut last")
    time: TimeRecord
    remedies: tuple[RemedyRecord, ...] = Field(
        default=(), description="one set of remedies for what is to be stopped or changed: the numbers to type"
    )
    failed: tuple[FailedRecord, ...] = Field(
        default=(), description="features without a judgement, through a fault of our own; the exit code is then 70"
    )


class RecurringRecord(Record):
    """A rule whose findings recur."""

    rule: str
    weight: Weight
    findings: int
    plans: int
    programmers: dict[str, int] = Field(description="findings by programmer; empty unless asked for")


class ReviewsRecord(Record):
    """The reviews of several plans, with what recurs in them."""

    reviews: tuple[ReviewRecord, ...]
    trend: tuple[RecurringRecord, ...]


def review_record(review: Review) -> ReviewRecord:
    """The record of a review."""
    base = review.bench.base
    return ReviewRecord(
        plan=review.plan.name,
        programmer=review.plan.programmer,
        units=review.plan.units,
        job_units=review.assignment.job.units,
        findings=tuple(_finding(found, review) for found in review.findings),
        well_chosen=tuple(
            WellChosenRecord(
                operation=one.operation,
                feature=one.feature,
                text=well_chosen_text(one, base),
                rule=one.rule.id if one.rule else None,
            )
            for one in review.well_chosen
        ),
        not_said=tuple(
            NotSaidRecord(operation=one.operation, feature=one.feature, what=not_said_text(one))
            for one in review.not_said
        ),
        not_judged=tuple(not_judged_text(item, base) for item in review.not_judged),
        uncovered=review.uncovered,
        operations=tuple(map(_operation, review.operations)),
        cautions=tuple(_caution(found, base) for found in review.cautions),
        time=_time(review),
        remedies=tuple(map(_remedy, review.remedies.changes)),
        failed=failed_records(review.failed),
    )


def reviews_record(reviews: tuple[Review, ...], trend: tuple[Recurring, ...]) -> ReviewsRecord:
    """The record of several reviews."""
    found = tuple(
        RecurringRecord(
            rule=one.rule.id,
            weight=cast(Weight, one.weight),
            findings=one.findings,
            plans=one.plans,
            programmers=dict(one.programmers),
        )
        for one in trend
    )
    return ReviewsRecord(reviews=tuple(map(review_record, reviews)), trend=found)


def _finding(found: Finding, review: Review) -> FindingRecord:
    return FindingRecord(
        **_ruled(found, review.bench.base),
        weight=cast(Weight, found.weight),
        instead=advised_text(found.instead),
        harm=found.rule.harm,
        answered=review.remedies.answers(found),
    )


def _caution(found: Finding, base: RuleBase) -> CautionRecord:
    return CautionRecord(**_ruled(found, base))


def _ruled(found: Finding, base: RuleBase) -> dict[str, Any]:
    """What a finding and a caution have in common."""
    return {
        "operation": found.operation,
        "feature": found.feature,
        "rule": found.rule.id,
        "text": finding_text(found),
        "facts": fact_records(found.rule, found.facts, base),
        "source": str(found.rule.source),
    }


def _operation(judged: Judged) -> OperationRecord:
    candidate = judged.candidate
    load = candidate.plan.load if candidate.plan else None
    return OperationRecord(
        operation=judged.operation.number,
        feature=judged.feature_id,
        count=judged.advice.region.copies,
        role=cast(Role, judged.role),
        method=candidate.method,
        cutter=candidate.cutter.id,
        entry=candidate.entry,
        grade=cast(Grade, candidate.grade),
        time_s=_seconds(candidate),
        power=figures(load.power) if load else None,
        power_available=figures(load.power_available) if load else None,
        deflection=figures(load.deflection) if load else None,
    )


def _remedy(remedy: Remedy) -> RemedyRecord:
    changed = remedy.changed
    return RemedyRecord(
        operation=remedy.planned.operation.number,
        feature=remedy.planned.feature_id,
        text=change_text(remedy),
        method=changed.method,
        cutter=changed.cutter.id,
        entry=changed.entry,
        settings=settings_record(changed),
        grade=cast(Grade, changed.grade),
        time_s=_seconds(changed),
    )


def _seconds(candidate: Candidate) -> float | None:
    return None if candidate.time == float("inf") else figures(candidate.time)


def _time(review: Review) -> TimeRecord:
    plan, advised = review.time_plan, review.time_advised
    return TimeRecord(
        plan_s=None if plan is None else figures(plan), advised_s=None if advised is None else figures(advised)
    )


def review_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of the review of one plan."""
    schema = ReviewRecord.model_json_schema(mode="serialization", by_alias=True)
    return {"$schema": DRAFT, **schema, "title": "Review"}


def reviews_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of the reviews of several plans, with what recurs."""
    schema = ReviewsRecord.model_json_schema(mode="serialization", by_alias=True)
    return {"$schema": DRAFT, **schema, "title": "Reviews"}
