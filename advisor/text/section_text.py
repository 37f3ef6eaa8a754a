"""The side section in characters: a cutter in its feature, depth to scale, with its numbers; contact is crossed out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from textwrap import wrap
from typing import NamedTuple

from advisor.files.unit_scales import length_word
from advisor.knowledge.wording import DOWN, label_length, length
from advisor.model.candidate import Candidate
from advisor.model.region import Region
from advisor.text.blocks import Block, Heading, Sketch
from advisor.text.side_view import Piece, Side, side_of
from advisor.text.spread import spread

ROWS = 11
LABEL, WIDE, NAMES = 11, 16, 11  # columns: heights at the left, the drawing, the cutter's pieces at the right
BESIDE = LABEL + WIDE + NAMES + 2
WALL = 4  # columns of stock at the left
DC_WIDE, HOLDER_WIDE = 7, 13  # columns of the cutter, and of the widest holder
FEW = 3  # so many levels are told one by one
EDGE_SHARE = 0.09  # of the whole height: what is shown of the holder and beneath the floor
STOCK, FLUTE, SHANK, HOLDER, HIT, SIDE_EDGE, LEFT_OVER, BENEATH = "▒", "╱", " ", "█", "╳", "│", "░", "▓"


class Grid(NamedTuple):
    """The heights that the rows show: ``high`` [mm] is the upper edge of the first, ``step`` the height of each."""

    high: float
    step: float

    def row(self, height: float) -> float:
        """The row that begins at a height, not rounded."""
        return (self.high - height) / self.step

    def middle(self, row: int) -> float:
        """The height in the middle of a row [mm]."""
        return self.high - (row + 0.5) * self.step


def side_section(
    candidate: Candidate, region: Region, columns: int, limits: Mapping[str, float] | None = None
) -> tuple[str, ...]:
    """The side section in lines of at most ``columns``, 28 at least; with 40 the cutter's numbers stand beside it.

    ``limits`` are the thresholds the candidate was judged by, those shipped if left out.
    """
    side = side_of(candidate, region, limits)
    grid = _grid(side)
    rows = [_row(side, grid, row) for row in range(ROWS)]
    for contact in side.contacts:
        _cross_out(rows, side, grid, contact.what, contact.low, contact.high)
    hits = _beneath(side, side.tip)
    last = max(row for row in range(ROWS) if hits or not _beneath(side, grid.middle(row)))
    heights, names = _placed(_heights(side), grid, last), _placed(_names(side), grid)
    beside = columns >= BESIDE
    lines = [
        f"{at_left(heights.get(row, ''))}{''.join(rows[row])}{' ' + names.get(row, '') if beside else ''}".rstrip()
        for row in range(ROWS)
    ]
    if not beside:
        lines += wrap(", ".join(said for _, said in _names(side)), columns)
    for contact in side.contacts:
        lines += wrap(f"{HIT} contact: {contact.text}", columns, subsequent_indent="  ")
    return tuple(lines)


def sketch_blocks(candidate: Candidate, region: Region, limits: Mapping[str, float]) -> tuple[Block, ...]:
    """The side section as a part of a report, for a wide page and for a narrow one."""
    versions = tuple(side_section(candidate, region, columns, limits) for columns in (BESIDE, LABEL + 1 + WIDE))
    return Heading(f"From the side, depth to scale, in {length_word()}"), Sketch(versions)


def _grid(side: Side) -> Grid:
    holder = side.pieces[-1].low
    upper = max(side.tip + holder, side.top)
    lower = min(side.tip, -side.depth - (0.0 if side.floor else side.clearance or 0.0))
    edge = EDGE_SHARE * (upper - lower)
    return Grid(upper + edge, (upper - lower + 2 * edge) / ROWS)


def _piece_at(side: Side, height: float) -> Piece | None:
    above = height - side.tip
    last = side.pieces[-1]
    return next(
        (piece for piece in side.pieces if piece.low <= above < piece.high), last if above >= last.low else None
    )


def _columns(piece: Piece, side: Side) -> int:
    """How many columns wide a piece is drawn: an odd number; one that differs from DC is seen to differ."""
    DC = side.pieces[0].diameter
    share = piece.diameter / DC
    wide = 2 * round((DC_WIDE * share - 1) / 2) + 1
    if wide == DC_WIDE and abs(share - 1) > 1e-6:
        wide += 2 if share > 1 else -2
    return max(3, min(HOLDER_WIDE, wide))


def _row(side: Side, grid: Grid, row: int) -> list[str]:
    """The characters of a row of the drawing: stock, then the cutter over it."""
    height = grid.middle(row)
    cells = [" "] * WIDE
    if height < side.top and (height > -side.depth or side.floor):
        cells[:WALL] = STOCK * WALL
        if _narrow(side):
            cells[-WALL:] = STOCK * WALL
    if side.floor and height < -side.depth:
        cells = [STOCK] * WIDE
    elif -side.depth <= height < side.tip:
        cells[WALL:] = LEFT_OVER * (WIDE - WALL)
    elif _beneath(side, height):
        cells = [BENEATH] * WIDE
    elif side.overcut > 0 and row == int(grid.row(side.tip)):
        height = max(height, side.tip)  # a tip past the bottom is drawn, however little of the row it fills
    piece = _piece_at(side, height)
    if piece is not None:
        start, end = _across(piece, side)
        fill = {"flutes": FLUTE, "holder": HOLDER}.get(piece.name, SHANK)
        cells[start:end] = [SIDE_EDGE, *fill * (end - start - 2), SIDE_EDGE]
    return cells


def _beneath(side: Side, height: float) -> bool:
    """Whether a height lies in what the part stands on."""
    return not side.floor and side.clearance is not None and height < -side.depth - side.clearance


def _across(piece: Piece, side: Side) -> tuple[int, int]:
    """The first column of a piece, and the one behind its last."""
    wide = _columns(piece, side)
    start = WALL + (DC_WIDE - wide) // 2
    return start, start + wide


def _narrow(side: Side) -> bool:
    """Whether another wall stands near the cutter."""
    DC = side.pieces[0].diameter
    return side.point > 0 or (side.between is not None and side.between - side.near < 1.6 * DC)


def _cross_out(rows: list[list[str]], side: Side, grid: Grid, what: str, low: float, high: float) -> None:
    """Cross out where something touches; at least one row."""
    first, last = grid.row(side.tip + high), grid.row(side.tip + low)
    start = max(0, min(ROWS - 1, round(first)))
    for row in range(start, max(start + 1, min(ROWS, round(last)))):
        across = range(WALL, WALL + DC_WIDE)
        if what == "holder":
            first_of = _across(side.pieces[-1], side)[0]
            across = range(first_of, max(WALL, first_of + 1))
        elif what == "shank":
            across = range(WALL - 1, WALL + 1)
        for column in across:
            rows[row][column] = HIT


def at_left(height: str) -> str:
    """A height in its column, with a blank behind it unless four decimals of an inch take the room of that."""
    return f"{height} ".rjust(LABEL + 1)[: LABEL + 1]


def _heights(side: Side) -> list[tuple[float, str]]:
    """What stands at the left: heights of the feature [mm] with their names, from above."""
    found = [(0.0, "top 0"), (-side.depth, f"{'floor' if side.floor else 'end'} {_short(side.depth)}")]
    if side.overcut > 0:
        found.append((side.tip, f"tip {_short(-side.tip)}"))
    if side.top > 0:
        found.append((side.top, f"stock +{_short(side.top)}"))
    levels = side.levels if len(side.levels) <= FEW else (side.levels[0], side.levels[-1])
    for height in levels or (side.tip,):
        name = "level" if side.levels else "tip"
        if height > -side.depth and round(height + side.depth, 3):
            found.append((height, f"{name} {_short(-height)}"))
    return sorted(found, key=lambda item: -item[0])


def _short(height: float) -> str:
    """A height to what a machine takes."""
    return length(height, DOWN)


def _names(side: Side) -> list[tuple[float, str]]:
    """What stands at the right: the cutter's pieces with width and end above the tip [mm], from above."""
    flutes = side.pieces[0]
    found = [
        (side.tip + flutes.high, f"{side.edge} {label_length(flutes.high)}"),
        (side.tip + flutes.high / 2, f"DC {label_length(flutes.diameter)}"),
    ]
    for piece in side.pieces[1:]:
        middle = side.tip + (piece.low + piece.high) / 2 if piece.name != "holder" else side.tip + piece.high
        found.append((middle, f"{piece.name} {label_length(piece.diameter)}"))
        if piece.name == "neck" and side.pieces[-1].low > piece.high:
            found.append((side.tip + piece.high, f"usable {label_length(piece.high)}"))
        if piece.name == "holder":
            found.append((side.tip + piece.low, f"out {label_length(piece.low)}"))
    return sorted(found, key=lambda item: -item[0])


def _placed(found: Sequence[tuple[float, str]], grid: Grid, last: int = ROWS - 1) -> dict[int, str]:
    """Each label in a row of its own down to the ``last``, as near to its height as may be."""
    rows = spread([round(max(0.0, grid.row(height))) for height, _ in found], 0, last, 1)
    return {round(row): said for row, (_, said) in zip(rows, found, strict=True)}
