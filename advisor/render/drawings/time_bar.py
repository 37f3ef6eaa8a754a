"""Bars of the estimated time: in the cut, entry, moves between cuts, tool changes; several on one scale."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from advisor.knowledge.wording import quantity
from advisor.render.drawings import svg
from advisor.render.drawings.svg import WIDTH, Drawing, hatch, label
from advisor.text.spread import LINE
from advisor.text.words import PARTS

HIGH, EDGE = 18.0, 8.0
HATCHED = {"cut": "cut", "entry": "entry", "travel": "travel", "change": None}


def time_bar(bars: Sequence[tuple[str, Mapping[str, float]]], prefix: str) -> Drawing:
    """A bar for each name and its parts of time [s], as ``time_parts`` gives them; the longest fills the width."""
    longest = max((sum(parts.values()) for _, parts in bars), default=0.0) or 1.0
    scale = (WIDTH - 2 * EDGE) / longest
    drawn, y = [], EDGE
    for name, parts in bars:
        drawn.append(label(EDGE, y + 2, f"{name}: {quantity(sum(parts.values()), 's')}", class_="label strong"))
        y += LINE
        x = EDGE
        for part, seconds in parts.items():
            if seconds <= 0:
                continue
            fill = HATCHED[part]
            drawn.append(
                svg.rect(
                    x,
                    y,
                    seconds * scale,
                    HIGH,
                    class_=f"bar {part}",
                    fill=hatch(prefix, fill) if fill else None,
                    data_part=part,
                )
            )
            x += seconds * scale
        y += HIGH + 3
        drawn += _key(parts, y, prefix)
        y += 2 * LINE + 8
    told = "; ".join(f"{name}: {_told(parts)}" for name, parts in bars)
    return svg.drawing(prefix, "time-bar", "Estimated time", f"{told}.", y - 4, drawn)


def _key(parts: Mapping[str, float], y: float, prefix: str) -> list[str]:
    """What each hatching stands for, two in a row, with its seconds."""
    drawn = []
    for place, (part, seconds) in enumerate(parts.items()):
        x, row = EDGE + (place % 2) * (WIDTH / 2 - EDGE / 2), y + 6 + (place // 2) * LINE
        fill = HATCHED[part]
        drawn.append(svg.rect(x, row - 5, 10, 10, class_=f"key {part}", fill=hatch(prefix, fill) if fill else None))
        drawn.append(label(x + 15, row, f"{quantity(seconds, 's')} {PARTS[part]}"))
    return drawn


def _told(parts: Mapping[str, float]) -> str:
    each = ", ".join(f"{quantity(seconds, 's')} {PARTS[part]}" for part, seconds in parts.items() if seconds > 0)
    return f"{quantity(sum(parts.values()), 's')}: {each}"
