"""What is worked out for one method with one cutter, and for one way in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from advisor.knowledge.conditions import Value
from advisor.model.cause import Held
from advisor.model.cutter import Cutter
from advisor.model.entry import EntryKind, entry_kind


class Helix(NamedTuple):
    """A helix: bore and pitch [mm], angle [deg], feed of the cutter's centre [mm/min], and what held it back."""

    bore: float
    pitch: float
    angle: float
    feed: float
    held: tuple[Held, ...]


class Load(NamedTuple):
    """What the cut asks of spindle and cutter: power [kW], torque [Nm], force against the wall [N], deflection [mm].

    Power, torque and k_c [N/mm²] are of an edge that is not worn; ``worn_power`` [kW], force and deflection, which are
    held against limits, of a worn one.
    """

    power: float
    power_available: float
    torque: float
    torque_available: float
    force: float
    deflection: float
    k_c: float
    mean_chip: float
    worn_power: float


class Pinned(NamedTuple):
    """Settings that somebody else chose: they are taken as they stand, and neither eased nor rounded.

    Lengths in mm, speed in 1/min, angle in degrees; feed per tooth and speed are pinned together or not at all.
    """

    levels: int | None = None
    axial_depth: float | None = None
    radial_width: float | None = None
    feed_per_tooth: float | None = None
    spindle_speed: float | None = None
    ramp_angle: float | None = None
    side_allowance: float | None = None


FREE = Pinned()


class Drilled(NamedTuple):
    """A hole drilled before the cut: its diameter, and how deep it has that diameter [mm]."""

    diameter: float
    full_depth: float


@dataclass(frozen=True, slots=True)
class Plan:
    """One method with one cutter in one region, as the advisor works it out; what somebody chose is the ``Plan`` of
    ``model.operations``.

    Lengths in mm, feed in mm/min, speed in 1/min, engagement in degrees, times in s. ``rate`` is the removal rate
    [mm³/min]; ``facts`` are the same and further measures, for the rules.
    """

    method: str
    cutter: Cutter
    levels: int
    axial_depth: float
    radial_width: float
    feed_per_tooth: float
    spindle_speed: float
    feed_rate: float
    engagement: float
    chip: float
    side_allowance: float
    load: Load
    cut_time: float
    travel_time: float
    rate: float
    held: tuple[Held, ...] = ()
    facts: Mapping[str, Value] = field(default_factory=dict)


class WayIn(NamedTuple):
    """One way into the material. ``time`` is absent where arithmetic already shows that it cannot be gone.

    ``cut_time`` and ``travel_time`` replace those of the plan where the way in is the cut itself, as for a ramp along
    a slot. ``plan`` replaces the whole plan where the way in makes another cut of it, as a drilled hole of a bore.
    """

    entry: str
    time: float | None
    change: float = 0.0
    cut_time: float | None = None
    travel_time: float | None = None
    ramp_angle: float | None = None
    drill: Cutter | None = None
    facts: tuple[tuple[str, Value], ...] = ()
    held: tuple[Held, ...] = ()
    plan: Plan | None = None

    @property
    def kind(self) -> EntryKind:
        """What the way in is like."""
        return entry_kind(self.entry)
