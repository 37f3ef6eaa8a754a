"""The advice as JSON: frozen models, stable names, one JSON Schema.

Lengths in mm, angles in degrees, forces in N, power in kW, torque in Nm, speeds in 1/min, feeds in mm/min, times in s.
Building these models takes time: import this module only where JSON or its schema is asked for.
"""

from __future__ import annotations

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from advisor.files.units import Units
from advisor.model.fields import DRAFT

Number = float
Grade = Literal["good", "workable", "poor", "forbidden"]
Coolant = Literal["flood", "through", "mist", "air", "none"]
Differs = Literal["method", "cutter", "entry"]
Verdict = Literal["for", "against", "forbids", "cautions", "concludes", "ranking"]


class Record(BaseModel):
    """Base of all records: frozen, and closed to unknown fields."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)


class FactRecord(Record):
    """A fact that a rule rests on."""

    value: Number | str
    unit: str = Field(description="empty for a ratio or a word; share for a part of one")
    limit: Number | str | None = Field(description="what the rule compares it with, if anything")


class SaidRecord(Record):
    """What one rule says here."""

    rule: str | None = Field(description="id of the rule; null where grade and time alone decided")
    verdict: Verdict
    text: str
    remedy: str
    facts: dict[str, FactRecord]
    source: str
    house: bool = Field(description="whether the rule, or a threshold that it reads, is the shop's own")


class SettingsRecord(Record):
    """The settings of an answer."""

    axial_depth: Number = Field(
        gt=0, description="of a level, mm; the pitch in helical boring, the whole depth in drilling"
    )
    radial_width: Number = Field(gt=0)
    levels: int = Field(ge=1, description="a count; turns in helical boring")
    allowance_side: Number = Field(ge=0)
    allowance_bottom: Number = Field(ge=0)
    overcut: Number = Field(ge=0)
    feed_per_tooth: Number = Field(gt=0)
    spindle_speed: Number = Field(gt=0)
    feed_per_revolution: Number | None = Field(default=None, description="of a drill, mm; else null")
    feed_rate: Number = Field(gt=0, description="mm/min; on circles in a round hole that at the wall, see centre_feed")
    centre_feed: Number | None = Field(
        description="of the cutter's centre on circles in a round hole, mm/min, as the control is given it; else null"
    )
    opening_feed: Number | None = Field(
        description="for the first cut of a level, at full width, mm/min; null where there is none"
    )
    entry_feed: Number | None = Field(
        default=None, description="into the material, mm/min; null where the cut itself goes down"
    )
    ramp_angle: Number | None = Field(description="null where nothing is ramped")
    coolant: Coolant | None = Field(default=None, description="of what the machine has")


class RestSettingsRecord(Record):
    """How a narrower cutter takes what stays in the corners."""

    axial_depth: Number = Field(gt=0, description="of a level, mm")
    levels: int = Field(ge=1, description="a count")
    radial_width: Number = Field(gt=0)
    spindle_speed: Number = Field(gt=0)
    feed_per_tooth: Number = Field(gt=0)
    feed_rate: Number = Field(gt=0, description="mm/min")


class LoadsRecord(Record):
    """What the cut asks of spindle and cutter."""

    power: Number = Field(ge=0)
    power_available: Number = Field(gt=0)
    torque: Number = Field(ge=0)
    torque_available: Number = Field(gt=0)
    force: Number = Field(ge=0, description="mean force against the wall, N")
    deflection: Number = Field(ge=0, description="of the cutter's tip, mm")
    engagement: Number = Field(gt=0, le=180)


class HeldRecord(Record):
    """A setting that was held back."""

    setting: str
    before: Number = Field(alias="from")
    after: Number = Field(alias="to")
    cause: str
    unit: str


class TimePartsRecord(Record):
    """The estimated time in parts, which sum to it. Work left in corners for a smaller cutter is in them."""

    cut: Number = Field(ge=0)
    entry: Number = Field(ge=0)
    travel: Number = Field(ge=0)
    change: Number = Field(ge=0)


class AlternativeRecord(Record):
    """A way that was set back."""

    method: str
    cutter: str
    entry: str | None
    grade: Grade
    time_s: Number | None = Field(description="null where a rule or arithmetic excludes it")
    reasons: tuple[SaidRecord, ...]
    differs: Differs
    deciding: str
    held_back: HeldRecord | None = Field(
        default=None, description="what costs most of its time, where it loses by that; else null"
    )


class NotAskedRecord(Record):
    """A value that nobody gave, and the rules that wanted it."""

    missing: str
    told: str
    rules: tuple[str, ...]


class ChangeRecord(Record):
    """A value of the input at which the advice would change."""

    input: str
    before: Number | str = Field(alias="from")
    after: Number | str = Field(alias="to")
    unit: str
    method: str | None
    cutter: str | None
    entry: str | None


class PreferredRecord(Record):
    """The preference of the shop that put the way first, and the way that would be first without any."""

    rule: str = Field(description="id of the preference")
    what: str
    reason: str
    text: str
    method: str = Field(description="of the way that would be first without, as the following")
    cutter: str
    entry: str | None
    time_s: Number
    longer_s: Number = Field(description="what the preference costs in time; below 0 where it saves some")


class FeatureRecord(Record):
    """The answer for one feature. Where no way was found, ``method`` is null and ``grade`` forbidden."""

    id: str
    kind: str
    count: int = Field(default=1, ge=1, description="how many alike the answer is for; the times are those of all")
    grade: Grade
    method: str | None
    cutter: str | None
    cutter_body: str | None
    entry: str | None
    entry_cutter: str | None = Field(description="the drill of a pre-drilled hole")
    rest_cutter: str | None = Field(
        default=None, description="the cutter of the crib that takes what stays in the corners; null if none does"
    )
    rest_settings: RestSettingsRecord | None = Field(
        default=None, description="how that cutter takes it; null where there is none, or it cannot be worked out"
    )
    settings: SettingsRecord | None
    loads: LoadsRecord | None
    held_back: tuple[HeldRecord, ...]
    time_s: Number | None
    time_parts: TimePartsRecord | None
    reasons: tuple[SaidRecord, ...]
    cautions: tuple[SaidRecord, ...]
    alternatives: tuple[AlternativeRecord, ...]
    not_asked: tuple[NotAskedRecord, ...]
    changes: tuple[ChangeRecord, ...] = ()
    ways_out: tuple[str, ...]
    house: bool = Field(default=False, description="whether a rule or threshold of the shop's own is behind the answer")
    preferred: PreferredRecord | None = Field(
        default=None, description="what the shop prefers, where that decides between ways of one rating; else null"
    )


class HouseRecord(Record):
    """What the shop's own rules change."""

    kind: Literal["moved", "off", "replaced", "added", "preference"]
    name: str = Field(description="of the threshold, or the id of the rule or preference")
    reason: str
    before: Number | None = Field(alias="from", description="of a threshold; null for a rule")
    after: Number | None = Field(alias="to")


class CutterUseRecord(Record):
    """A cutter of the part."""

    id: str
    body: str
    DC: Number
    ZEFP: int
    LPR: Number = Field(description="stick-out, mm")
    features: tuple[str, ...] = Field(description="ids of those that it serves")


class SparedCutterRecord(Record):
    """A cutter that the part could do without, alone: another way of its feature with cutters that others need."""

    id: str
    feature: str
    method: str
    cutter: str
    entry: str | None
    entry_cutter: str | None
    more_s: Number = Field(description="of the part, its tool change counted; below 0 it takes less")


class PartCautionRecord(Record):
    """A caution of the part, once."""

    letter: str = Field(description="by which the part table names it")
    rule: str
    features: tuple[str, ...] = Field(description="ids of those that have it")
    everywhere: bool = Field(description="whether every feature with a way has it")
    safety: bool = Field(description="whether it is about people or fire")
    text: str = Field(description="with the worst numbers of these features")
    remedy: str


class FailedRecord(Record):
    """A feature without an answer, through a fault of our own."""

    feature: str = Field(description="its id")
    error: str = Field(description="what to report")


class AdviceRecord(Record):
    """The advice for a whole job."""

    part: str
    job_units: Units = Field(description="those that the job is written in; all numbers and texts here are in mm")
    engine: str
    time_s: Number = Field(default=0.0, description="of all features, each cutter changed in once")
    cutters: tuple[CutterUseRecord, ...] = Field(default=(), description="in the order in which they come first")
    fewer_cutters: tuple[SparedCutterRecord, ...] = Field(
        default=(), description="cutters that the part could do without, each alone, as well and for little more time"
    )
    cautions: tuple[PartCautionRecord, ...] = Field(default=(), description="of the part, safety first")
    house: tuple[HouseRecord, ...] = Field(default=(), description="the shop's own rules and thresholds")
    notes: tuple[str, ...] = Field(description="what was assumed or passed over in reading the files")
    features: tuple[FeatureRecord, ...] = Field(description="those with an answer, in the order of the job")
    failed: tuple[FailedRecord, ...] = Field(
        default=(), description="those without one, through a fault of our own; the exit code is then 70"
    )


def advice_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of the advice."""
    schema = AdviceRecord.model_json_schema(mode="serialization", by_alias=True)
    return {"$schema": DRAFT, **schema, "title": "Advice"}
