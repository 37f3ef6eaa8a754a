"""The ways into the material: what kinds there are, and what each is like."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True, slots=True)
class EntryKind:
    """A kind of way in, with what the trade knows of it. ``name`` is what a plan writes."""

    name: str
    from_the_side: bool = False
    """The cutter rolls in on an arc from beside the material: it needs an open side."""
    helix: bool = False
    """The cutter goes down in turns of a helix."""
    zigzag: bool = False
    """The cutter goes down to and fro on a straight ramp."""
    needs_drill: bool = False
    """The cutter goes down through a hole that is drilled for it first."""
    straight_down: bool = False
    """The cutter goes straight down along the spindle, into the solid."""

    @property
    def ramps(self) -> bool:
        """Whether it goes down at an angle, which cutter and material limit."""
        return self.helix or self.zigzag

    @property
    def at_one_place(self) -> bool:
        """Whether it goes down at one place, which has to be found where an island stands in the way."""
        return self.helix or self.needs_drill or self.straight_down


SIDE = EntryKind("side_entry", from_the_side=True)
HELIX = EntryKind("helical_ramp", helix=True)
ZIGZAG = EntryKind("zigzag_ramp", zigzag=True)
HOLE = EntryKind("predrilled_hole", needs_drill=True)
PLUNGE = EntryKind("axial_plunge", straight_down=True)
ENTRIES: Mapping[str, EntryKind] = MappingProxyType({kind.name: kind for kind in (SIDE, HELIX, ZIGZAG, HOLE, PLUNGE)})
NO_ENTRY = EntryKind("")


def entry_kind(name: str | float | None) -> EntryKind:
    """The kind of way in of a name; one without any trait where there is none, or none of that name."""
    return ENTRIES.get(name, NO_ENTRY) if isinstance(name, str) else NO_ENTRY
