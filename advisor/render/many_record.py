"""The advice for many jobs as JSON: a list with an entry a file, in order."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, ConfigDict, Field, TypeAdapter

from advisor.model.fields import DRAFT
from advisor.render.record import AdviceRecord


class _Entry(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")

    file: str = Field(description="the job file, as it was named")


class FaultRecord(_Entry):
    """One thing wrong in one place of a file."""

    line: int | None
    field: str
    found: str
    wanted: str
    nearest: str | None = Field(description="the known word most like the one found")


class AdvisedRecord(_Entry):
    """A job that was advised."""

    advice: AdviceRecord


class FaultyRecord(_Entry):
    """A job that was not advised, since it or a file it names is not as it must be."""

    faults: tuple[FaultRecord, ...] = Field(min_length=1)


class FailedRecord(_Entry):
    """A job that was not advised, since the program failed at it."""

    error: str


def advice_list_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of the advice for many jobs."""
    entry: TypeAdapter[Any] = TypeAdapter(tuple[AdvisedRecord | FaultyRecord | FailedRecord, ...])
    return {"$schema": DRAFT, **entry.json_schema(mode="serialization", by_alias=True), "title": "Advice for many jobs"}
