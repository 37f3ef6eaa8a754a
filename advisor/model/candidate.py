"""One way of roughing a feature: a method with a cutter and an entry, worked out and rated."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from advisor.knowledge.conditions import Situation
from advisor.knowledge.schema import Rule
from advisor.model.cutter import Cutter
from advisor.model.entry import EntryKind, entry_kind
from advisor.model.plan import Plan, WayIn

GRADES = ("good", "workable", "poor", "forbidden")
GOOD, WORKABLE, POOR, FORBIDDEN = range(len(GRADES))
SOUND = ("good", "workable")  # the grades of ways that nothing speaks against
NO_PREFERENCES: Mapping[str, bool] = {}
NOT_AT_ALL, HELD_BACK, FREELY = range(3)  # whether a workable way may come before a good one


class Candidate(NamedTuple):
    """One way of roughing the feature, with the rules that fired about it and what they make of it.

    ``time`` is in seconds, infinite where arithmetic or a rule already excludes the candidate; ``plan`` and ``way_in``
    are then absent where nothing could be worked out. ``compliance`` is how far the cutter's tip bends for each newton
    that pushes it aside [mm/N]. ``without_drill`` is there for a pre-drilled hole that is not worth its drill: the time
    of the same cutter's other way in [s]. ``overtakes`` tells whether it may, if workable, come before a good one.
    ``time_factor`` is above 1 for a cutter so slender that it is likely to chatter, and for one that is ground for
    another material: by so much it must be quicker. ``foot_time`` is that of a second cutter for the fillet along the
    floor [s], which is not in ``time``. ``meets`` tells of each preference of the shop, by its id and in
    the order of the shop, whether it is met.
    """

    method: str
    cutter: Cutter
    entry: str | None
    grade: str
    time: float
    fired: tuple[Rule, ...]
    facts: Situation
    plan: Plan | None = None
    way_in: WayIn | None = None
    compliance: float = 0.0
    without_drill: float | None = None
    overtakes: int = FREELY
    time_factor: float = 1.0
    foot_time: float = 0.0
    meets: Mapping[str, bool] = NO_PREFERENCES

    @property
    def drill(self) -> Cutter | None:
        """The drill of a pre-drilled hole."""
        return self.way_in.drill if self.way_in else None

    @property
    def entry_kind(self) -> EntryKind:
        """What its way in is like."""
        return entry_kind(self.entry)

    @property
    def counted(self) -> float:
        """The time that counts when ways are ranked [s]: through a hole not worth its drill, that of the other way; of
        a slender cutter more than it takes; of one that leaves a fillet along the floor with that of a second cutter.
        """
        own = self.time if self.without_drill is None else max(self.time, self.without_drill)
        return self.time_factor * own + self.foot_time
