"""The side section: stock, depth, levels, cutter and holder to scale; what touches is hatched, crossed and named."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from advisor.files.problems import printable
from advisor.files.unit_scales import length_word
from advisor.model.candidate import Candidate
from advisor.model.region import Region
from advisor.render.drawings.frame import HEAD, LEFT, RIGHT, Frame, frame_of
from advisor.render.drawings.section_labels import contact_words, labels, left_labels, right_labels
from advisor.render.drawings.svg import WIDTH, Drawing, cross, drawing, hatch, line, path, points, rect
from advisor.text.side_view import Contact, Side, side_of
from advisor.text.spread import LINE
from advisor.text.words import millimetres

LEAST = 4.0  # the least height at which a hatching is seen
MANY = 20  # so many levels are drawn one by one


def section(candidate: Candidate, region: Region, prefix: str, limits: Mapping[str, float] | None = None) -> Drawing:
    """The side section of a candidate in its feature."""
    side = side_of(candidate, region, limits)
    frame = frame_of(side)
    left, right = left_labels(side, frame), right_labels(side, frame)
    bottom = max(frame.y(frame.low), HEAD + LINE * (max(len(left), len(right)) - 0.5))
    parts = [
        *_stock(side, frame, prefix),
        *_cutter(side, frame),
        *_levels(side, frame),
        *_contacts(side, frame, prefix),
        *labels(left, frame.x(frame.first), LEFT - 8, bottom, "end"),
        *labels(right, frame.x(frame.last), WIDTH - RIGHT + 8, bottom, "start"),
    ]
    told, height = contact_words(side, bottom + LINE)
    return drawing(
        prefix,
        "section",
        f"Side section, to scale, in {length_word()}",
        described(side, candidate),
        height,
        (*parts, *told),
    )


def described(side: Side, candidate: Candidate) -> str:
    """The side section in words, every number that it shows."""
    names = [side.edge, *(piece.name for piece in side.pieces[1:])]
    known = zip(names, side.pieces[:-1], strict=False)
    parts = [f"{name} ⌀{millimetres(piece.diameter)} to {millimetres(piece.high)}" for name, piece in known]
    parts.append(f"holder ⌀{millimetres(side.pieces[-1].diameter)} from {millimetres(side.pieces[-1].low)}")
    end = "floor" if side.floor else "underside"
    levels = f" in {len(side.levels)} level{'' if len(side.levels) == 1 else 's'}" if side.levels else ""
    stays = "".join(
        f"; {millimetres(value)} {words}"
        for value, words in (
            (side.left, "left on the wall"),
            (side.bottom, "left at the bottom"),
            (side.overcut, "past the bottom"),
            (side.clearance, "free below"),
        )
        if value
    )
    touch = f" Contact: {'; '.join(contact.text for contact in side.contacts)}." if side.contacts else " No contact."
    return (
        f"{printable(candidate.cutter.id)} at the deepest, {millimetres(-side.tip)} below the feature's top{levels}; "
        f"{end} at {millimetres(side.depth)}{stays}. From the tip: {', '.join(parts)}.{touch}"
    )


def _stock(side: Side, frame: Frame, prefix: str) -> Iterator[str]:
    """Stock that stays, hatched; what is left for finishing, dotted; and what lies beneath, if it is known."""
    x, y = frame.x, frame.y
    wall = side.near if side.point else 0.0  # a drill's hole is as wide as the drill
    base = frame.low if side.floor else -side.depth
    shape = [(x(frame.first), y(side.top)), (x(wall), y(side.top))]
    right = _right_wall(side, frame)
    if side.floor:
        shape += [(x(wall), y(-side.depth))]
        if right is not None:
            shape += [(x(right), y(-side.depth)), (x(right), y(side.top)), (x(frame.last), y(side.top))]
        else:
            shape += [(x(frame.last), y(-side.depth))]
        shape += [(x(frame.last), y(base)), (x(frame.first), y(base))]
        yield path(points(shape, True), "stock", fill=hatch(prefix, "stock"), data_part="stock")
    else:
        for start, end in ((frame.first, wall), (right, frame.last)):
            if start is not None:
                outline = [(start, side.top), (end, side.top), (end, base), (start, base)]
                shape = [(x(across), y(height)) for across, height in outline]
                yield path(points(shape, True), "stock", fill=hatch(prefix, "stock"), data_part="stock")
    yield from _left_over(side, frame, prefix, wall, frame.last if right is None else right)
    if not side.floor and side.clearance is not None:
        beneath = -(side.depth + side.clearance)
        wide = (frame.last - frame.first) * frame.scale
        yield rect(
            x(frame.first), y(beneath), wide, (beneath - frame.low) * frame.scale, "beneath", data_part="beneath"
        )


def _left_over(side: Side, frame: Frame, prefix: str, wall: float, edge: float) -> Iterator[str]:
    """What is left for finishing, on the wall and on the bottom from the wall to an edge [mm]."""
    ends, dots = max(side.tip, -side.depth), hatch(prefix, "left")
    if side.left > 0:
        wide = side.left * frame.scale
        yield rect(frame.x(0), frame.y(0), wide, -ends * frame.scale, "left", fill=dots, data_part="left-side")
    if side.bottom > 0:
        wide, high = (edge - wall) * frame.scale, side.bottom * frame.scale
        yield rect(frame.x(wall), frame.y(ends), wide, high, "left", fill=dots, data_part="left-bottom")


def _right_wall(side: Side, frame: Frame) -> float | None:
    """Where the other wall stands [mm], if it is near enough to be shown."""
    if side.point:
        return side.near + side.pieces[0].diameter
    return side.between if side.between is not None and side.between < frame.last else None


def _cutter(side: Side, frame: Frame) -> Iterator[str]:
    middle = side.near + side.pieces[0].diameter / 2
    for piece in side.pieces:
        wide, high = piece.diameter * frame.scale, (piece.high - piece.low) * frame.scale
        left, upper = frame.x(middle - piece.diameter / 2), frame.y(side.tip + piece.high)
        if piece.name == "flutes" and side.point > 0:
            yield _pointed(side, frame, middle)
        else:
            yield rect(left, upper, wide, high, class_=f"cutter {piece.name}", data_part=piece.name)
        if piece.name == "flutes":
            yield from _flute_lines(left, upper, wide, high)
    broken = frame.y(side.tip + side.pieces[-1].high)
    half = side.pieces[-1].diameter / 2
    steps = [(frame.x(middle - half + half * place / 3), broken + (3 if place % 2 else -3)) for place in range(7)]
    yield path(points(steps), "broken")
    yield line(frame.x(middle), broken - 4, frame.x(middle), frame.y(side.tip) + 6, "axis")


def _pointed(side: Side, frame: Frame, middle: float) -> str:
    half, flutes = side.pieces[0].diameter / 2, side.pieces[0]
    outline = [
        (middle, side.tip),
        (middle + half, side.tip + side.point),
        (middle + half, side.tip + flutes.high),
        (middle - half, side.tip + flutes.high),
        (middle - half, side.tip + side.point),
    ]
    shape = points(((frame.x(across), frame.y(height)) for across, height in outline), True)
    return path(shape, "cutter flutes", data_part="flutes")


def _flute_lines(left: float, upper: float, wide: float, high: float) -> Iterator[str]:
    """The slanting lines that tell flutes from a neck."""
    step = max(8.0, wide / 2)
    place = upper + step / 2
    while place + step / 2 <= upper + high:
        yield line(left, place + step / 2, left + wide, place - step / 2, "helix")
        place += step


def _levels(side: Side, frame: Frame) -> Iterator[str]:
    start, end = frame.x(frame.first), frame.x(frame.last)
    if side.top > 0:
        yield line(start, frame.y(side.top), end, frame.y(side.top), "mark", data_at="top")
    yield line(start, frame.y(0), end, frame.y(0), "mark", data_at="feature")
    yield line(start, frame.y(-side.depth), end, frame.y(-side.depth), "mark", data_at="bottom")
    shown = side.levels if len(side.levels) <= MANY else (side.levels[0], side.levels[-1])
    for place, height in enumerate(shown, start=1):
        yield line(start, frame.y(height), end, frame.y(height), "level", data_at=f"level-{place}")


def _contacts(side: Side, frame: Frame, prefix: str) -> Iterator[str]:
    for contact in side.contacts:
        left, upper, wide, high = _place(contact, side, frame)
        yield rect(left, upper, wide, high, class_="hit", fill=hatch(prefix, "hit"), data_contact=contact.what)
        yield cross(left + wide / 2, upper + high / 2, 6)


def _place(contact: Contact, side: Side, frame: Frame) -> tuple[float, float, float, float]:
    """Where on the paper a contact lies: left, upper, width, height."""
    DC, middle = side.pieces[0].diameter, side.near + side.pieces[0].diameter / 2
    start, end = side.near, side.near + DC
    if contact.what == "holder":
        half = side.pieces[-1].diameter / 2
        start, end = middle - half, max(side.near, middle - half + 0.08 * DC)
    elif contact.what == "shank":
        shank = next((piece for piece in side.pieces if piece.name == "shank"), side.pieces[-1])
        start, end = sorted((middle - shank.diameter / 2, side.near))
        start, end = start - 0.08 * DC, end + 0.08 * DC
    upper, high = frame.y(side.tip + contact.high), (contact.high - contact.low) * frame.scale
    left, wide = frame.x(start), (end - start) * frame.scale
    if wide < 2 * LEAST:
        left, wide = left - (2 * LEAST - wide) / 2, 2 * LEAST
    if high < LEAST:
        upper, high = upper - (LEAST - high) / 2, LEAST
    return left, upper, wide, high
