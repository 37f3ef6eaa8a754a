"""How a side view lies on the paper: its scale, and where wall and heights are."""

from __future__ import annotations

from typing import NamedTuple

from advisor.render.drawings.svg import WIDTH
from advisor.text.side_view import Side

LEFT, RIGHT, TALL = 110.0, 102.0, 290.0  # what is kept for labels at either side, and the greatest height
HEAD = 10.0
BESIDE = 0.35  # of DC: stock shown beside the cutter
OPEN = 0.6  # of DC: what is shown of an open side


class Frame(NamedTuple):
    """How the feature lies on the paper: ``scale`` in units a mm, and where wall and feature's top are."""

    scale: float
    x0: float
    y0: float
    low: float
    high: float
    first: float
    last: float

    def x(self, value: float) -> float:
        """Across, from the finished wall [mm]."""
        return self.x0 + value * self.scale

    def y(self, value: float) -> float:
        """Height above the feature's top [mm]."""
        return self.y0 - value * self.scale


def frame_of(side: Side) -> Frame:
    """The frame in which a side view fits on the paper."""
    DC, holder = side.pieces[0].diameter, side.pieces[-1].diameter
    overhang = (max(piece.diameter for piece in side.pieces) - DC) / 2
    first = min(-BESIDE * DC, side.near - overhang - 0.1 * DC)
    clear = side.near + DC + max(OPEN * DC, overhang + 0.1 * DC)
    last = clear
    if side.between is not None and side.between < clear:
        last = max(side.between + BESIDE * DC, side.near + DC + overhang + 0.1 * DC)
    high = max(side.tip + side.pieces[-1].high, side.top)
    bottom = min(side.tip, -side.depth, -(side.depth + (side.clearance or 0.0)))
    low = bottom - max(0.08 * (high - bottom), 0.05 * holder)
    scale = min((WIDTH - LEFT - RIGHT) / (last - first), TALL / (high - low))
    spare = (WIDTH - LEFT - RIGHT - (last - first) * scale) / 2
    return Frame(scale, LEFT + spare - first * scale, HEAD + high * scale, low, high, first, last)
