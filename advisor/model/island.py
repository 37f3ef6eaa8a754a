"""An island in a pocket: how wide the ways past it are, and where the most room is. It is taken to stand in the middle.

Nobody says whether an island is round. Where its two sides are not both given it may be, and each width here is then
the one that holds for either: no more room for getting in than beside a square one, and no less width of the way round
than beside a round one.
"""

from __future__ import annotations

from math import hypot, inf, sqrt
from typing import NamedTuple

from advisor.mechanics.lengths import exceeds, reaches

CORNER, END, BESIDE = "corner", "end", "beside"


class Island(NamedTuple):
    """Lengths in mm. ``length`` and ``width`` are those of the pocket, ``along`` and ``across`` the island's sides on
    them; ``radius`` is that of the pocket's corners, 0 where they are sharp or nobody gave it; ``square`` is whether
    both sides of the island were given.
    """

    length: float
    width: float
    along: float
    across: float
    radius: float
    square: bool

    @property
    def gap(self) -> float:
        """The width between the island and each long side."""
        return (self.width - self.across) / 2

    @property
    def end(self) -> float:
        """The width between the island and each short side."""
        return (self.length - self.along) / 2

    @property
    def corner(self) -> float:
        """How near the corner of a square island comes to the arc of the pocket's; infinite where it has none near."""
        beyond = self.radius - self.end, self.radius - self.gap
        near = self.square and min(beyond) > 0
        return self.radius - hypot(*beyond) if near else inf

    @property
    def mean(self) -> float:
        """The mean width of the way round, over its middle line."""
        ends, gaps = self.across * self.end, self.along * self.gap
        middle = self.along + self.across + self.gap + self.end
        return (ends + gaps + 2 * self.end * self.gap) / middle

    @property
    def widest(self) -> float:
        """How wide the way round is where it is widest: beside the island, at its ends, or past a round one in the
        corners.
        """
        corner = 0.0 if self.square else self._beside_round()
        return min(max(self.gap, self.end, corner), self.width)

    def room(self, corners: bool) -> tuple[str, float]:
        """Where the widest circle fits, and its diameter; in a corner only where walls meet in ``corners``."""
        places = {
            END: min(self.end, self.width),
            BESIDE: min(self.gap, self.length),
            CORNER: min(self._beside_square(), self.width) if corners else 0.0,
        }
        return max(places.items(), key=lambda place: place[1])

    def middle(self, place: str) -> tuple[float, float]:
        """The middle of the widest circle in a place, from the left end and the upper side."""
        match place:
            case "corner":
                half = self._beside_square() / 2
                sharp = reaches(half, min(self.radius, self.end, self.gap))
                return (half, half) if sharp else self._in_the_arc(half)
            case "end":
                return self.end / 2, self.width / 2
            case _:
                return self.length / 2, self.gap / 2

    def _in_the_arc(self, half: float) -> tuple[float, float]:
        """The middle of the widest circle in a corner, where it touches the arc: from the island's corner towards the
        middle of the arc.
        """
        radius = min(self.radius, self.end, self.gap)
        way = hypot(self.end - radius, self.gap - radius)
        share = half / way if way else 0.0
        return self.end - share * (self.end - radius), self.gap - share * (self.gap - radius)

    def _beside_square(self) -> float:
        """The widest circle that touches the corner of a square island and two walls, or the arc between these where
        that is wider; 0 where a circle so wide lies past the island's corner.
        """
        end, gap = self.end, self.gap
        sharp = end + gap - sqrt(2 * end * gap)
        radius = min(self.radius, end, gap)
        if exceeds(sharp, min(end, gap)):
            return 0.0
        return 2 * sharp if reaches(sharp, radius) else hypot(end - radius, gap - radius) + radius

    def _beside_round(self) -> float:
        """The widest circle that touches a round island and two walls, or the arc between these where that is wider."""
        half, middle, own = self.length / 2, self.width / 2, self.across / 2
        reach = half + middle + own
        sharp = reach - sqrt(reach**2 - half**2 - middle**2 + own**2)
        if reaches(sharp, self.radius):
            return 2 * sharp
        return hypot(half - self.radius, middle - self.radius) - own + self.radius
