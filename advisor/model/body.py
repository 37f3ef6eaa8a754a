"""The bodies of cutters: what kinds there are, and what each is like."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True, slots=True)
class BodyKind:
    """A kind of cutter body, with what the trade knows of it.

    ``name`` is what a crib writes; ``radius`` says in the table of assumptions which corner radius is usual for it.
    """

    name: str
    radius: str = "inserted"
    solid: bool = False
    """Shank and edge are one piece, of the substrate that the crib names; else the body is steel and carries inserts.
    A drill counts as solid here, whether its tip is brazed, exchanged or ground; see ``drills.has_inserts``.
    """
    drill: bool = False
    """It makes a hole as wide as itself, straight down, and cuts nothing with its side."""
    fluted: bool = False
    """Its edge runs along flutes, so that it cuts as deep as they are long; an insert's edge is short."""
    high_feed: bool = False
    """Its inserts lie so flat that they cut shallow levels at a great feed, pushed along the spindle."""
    end_face: bool = False
    """Its inserts sit on the rim of a wide face: made for faces, not to run between walls."""

    @property
    def cuts_its_middle(self) -> bool:
        """Whether it cuts to its centre where the crib does not say otherwise."""
        return self.solid


_KINDS = (
    BodyKind("solid_end_mill", radius="solid_end_mill", solid=True, fluted=True),
    BodyKind("inserted_end_mill"),
    BodyKind("inserted_high_feed_mill", radius="high_feed", high_feed=True),
    BodyKind("inserted_stacked_mill"),
    BodyKind("inserted_face_mill", end_face=True),
    BodyKind("drill", radius="drill", solid=True, drill=True),
)
BODIES: Mapping[str, BodyKind] = MappingProxyType({kind.name: kind for kind in _KINDS})
