"""A plan: what somebody chose for the features of a job, operation by operation. Anything but feature and cutter may be
left out.
"""

from __future__ import annotations

from typing import Annotated, NamedTuple

from pydantic import Field

from advisor.files.units import Units
from advisor.model.entry import EntryKind, entry_kind
from advisor.model.fields import CoolantWord, Frozen, LengthSchema, UnitsField, Word, YesNo, length, whole
from advisor.model.plan_fields import (
    Angle,
    AxialDepth,
    ByCuttingSpeed,
    ByRevolution,
    CuttingSpeed,
    EntryWord,
    FeedPerRevolution,
    FeedPerTooth,
    MethodWord,
    Names,
    RadialWidth,
    Rate,
    Speed,
)

MOST_OPERATIONS = 500


class OperationRow(Frozen):
    """One operation as it is written. Lengths [mm] and feed [mm/min] once read, speed [1/min], angle [degrees]."""

    feature: Names = Field(description="the id of a feature of the job, or a list of ids")
    cutter: Word = Field(description="the id of a cutter of the crib")
    method: MethodWord | None = Field(default=None, description="a method")
    entry: EntryWord | None = Field(default=None, description="an entry")
    entry_cutter: Word | None = Field(default=None, description="the id of the drill of a pre-drilled hole")
    axial_depth: AxialDepth | None = Field(default=None, description="of a level")
    radial_width: RadialWidth | None = Field(default=None, description="radial width")
    levels: Annotated[int, whole("levels_most")] | None = Field(default=None, description="a whole number of levels")
    allowance_side: Annotated[float, length("allowance_most", above_zero=False), LengthSchema] | None = Field(
        default=None, description="stock left on the walls"
    )
    allowance_bottom: Annotated[float, length("allowance_most", above_zero=False), LengthSchema] | None = Field(
        default=None, description="stock left on the floor"
    )
    overcut: Annotated[float, length("feature_depth_most", above_zero=False), LengthSchema] | None = Field(
        default=None, description="how far the cutter goes past the bottom"
    )
    ramp_angle: Angle | None = Field(default=None, description="of the entry, degrees")
    feed_per_revolution: FeedPerRevolution | None = Field(
        default=None, description="feed per revolution, from which that per tooth is worked out"
    )
    feed_per_tooth: Annotated[FeedPerTooth | None, ByRevolution] = Field(
        default=None, validate_default=True, description="feed per tooth"
    )
    feed_rate: Rate | None = Field(default=None, description="feed rate")
    cutting_speed: CuttingSpeed | None = Field(
        default=None, description="cutting speed, m/min, from which that of the spindle is worked out"
    )
    spindle_speed: Annotated[Speed | None, ByCuttingSpeed] = Field(
        default=None, validate_default=True, description="spindle speed, 1/min"
    )
    order: Annotated[int, whole("levels_most")] | None = Field(default=None, description="its place among the others")
    coolant: CoolantWord | None = Field(default=None, description="what cools the cut")
    tabs: YesNo | None = Field(default=None, description="whether tabs, a skin or clamps hold what would come loose")

    @property
    def entry_kind(self) -> EntryKind:
        """What its way in is like, if it says one."""
        return entry_kind(self.entry)


class PlanHead(Frozen):
    """What a plan says besides its operations."""

    programmer: Word | None = Field(default=None, description="who chose; initials suffice")
    units: UnitsField | None = Field(default=None, description="mm or inch; those of the job where left out")


class PlanFile(PlanHead):
    """A plan as it is written."""

    operations: tuple[OperationRow, ...] = Field(description="a list of operations", min_length=1)


class Operation(NamedTuple):
    """One operation of a plan, with its number in the order of work and the place it stands at."""

    number: int
    row: OperationRow
    file: str
    line: int | None

    @property
    def features(self) -> tuple[str, ...]:
        """The ids of the features it cuts."""
        return self.row.feature


class Plan(NamedTuple):
    """What somebody chose, in the order of work; what the advisor works out is the ``Plan`` of ``model.plan``.

    ``notes`` tell what was assumed in reading.

    Numbers without a unit of their own were read in ``units``: those that the plan names (``units_said``), else those
    of the job.
    """

    name: str
    programmer: str | None
    operations: tuple[Operation, ...]
    notes: tuple[str, ...] = ()
    units: Units = "mm"
    units_said: bool = False
