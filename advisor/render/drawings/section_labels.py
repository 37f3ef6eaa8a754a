"""What stands beside and under a side section: heights, pieces of the cutter, contacts."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.knowledge.wording import DOWN, UP, label_length, length
from advisor.render.drawings.frame import HEAD, Frame
from advisor.render.drawings.svg import STRONG, WIDTH, cross, label, path, points, wrapped
from advisor.text.side_view import Side
from advisor.text.spread import LINE, spread

FEW = 5  # so many levels are told one by one
TOLD = 0.005  # mm: heights below it are told as nothing


def left_labels(side: Side, frame: Frame) -> list[tuple[float, str]]:
    """What stands at the left: heights of the feature, from above."""
    found: list[tuple[float, str]] = [(0.0, "top 0")]
    if side.top >= TOLD:
        found.append((side.top, f"stock +{length(side.top)}"))
    if side.left > 0:
        found.append((-side.depth / 3, f"{length(side.left, UP)} on the side"))
    count = len(side.levels)
    if count <= FEW:
        places = enumerate(side.levels, start=1)
        found += [(height, f"level {place}: {length(-height, DOWN)}") for place, height in places]
    else:
        found += [(side.levels[0], f"level 1: {length(-side.levels[0], DOWN)}")]
        found += [(side.levels[-1], f"level {count}: {length(-side.levels[-1], DOWN)}")]
    if side.point:
        found.append((side.tip, f"tip {length(-side.tip, DOWN)}"))
    found.append((-side.depth, f"{'floor' if side.floor else 'underside'} {length(side.depth, DOWN)}"))
    if side.bottom > 0:
        found.append((side.tip - side.bottom / 2, f"{length(side.bottom, UP)} left"))
    if side.overcut > 0:
        found.append((side.tip + side.overcut / 2, f"{length(side.overcut, DOWN)} past it"))
    if not side.floor and side.clearance is not None:
        found.append((-side.depth - side.clearance, f"{length(side.clearance, DOWN)} free below"))
    return [(frame.y(height), said) for height, said in sorted(found, key=lambda item: -item[0])]


def right_labels(side: Side, frame: Frame) -> list[tuple[float, str]]:
    """What stands at the right: the pieces of the cutter, and where each ends above the tip."""
    flutes, *others = side.pieces
    found = [
        (side.tip, "tip 0"),
        (side.tip + flutes.high / 2, f"{side.edge} ⌀{label_length(flutes.diameter)}"),
        (side.tip + flutes.high, f"{side.edge} to {label_length(flutes.high)}"),
    ]
    for piece in others:
        middle = side.tip + (piece.low + piece.high) / 2
        found.append((middle, f"{piece.name} ⌀{label_length(piece.diameter)}"))
        if piece.name == "neck" and side.pieces[-1].low > piece.high:
            found.append((side.tip + piece.high, f"usable {label_length(piece.high)}"))
        if piece.name == "holder":
            found.append((side.tip + piece.low, f"out {label_length(piece.low)}"))
    return [(frame.y(height), said) for height, said in sorted(found, key=lambda item: -item[0])]


def labels(found: list[tuple[float, str]], edge: float, x: float, bottom: float, anchor: str) -> Iterator[str]:
    """Labels one under the other, each with a line from the height it tells of."""
    heights = spread([height for height, _ in found], HEAD, bottom)
    for (height, said), at in zip(found, heights, strict=True):
        near = x + (4 if anchor == "end" else -4)
        yield path(points([(edge, height), (near, at)]), "leader")
        yield label(x, at, said, anchor)


def contact_words(side: Side, top: float) -> tuple[list[str], float]:
    """What touches, in words under the drawing, and how high the drawing then is."""
    parts, y = [], top + 4
    for contact in side.contacts:
        parts.append(cross(10, y))
        for said in wrapped(f"CONTACT: {contact.text}", WIDTH - 24, STRONG):
            parts.append(label(20, y, said, class_="label strong"))
            y += LINE
    return parts, y + (0 if side.contacts else -4)
