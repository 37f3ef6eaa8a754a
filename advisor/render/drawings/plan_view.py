"""The plan view: the feature from above, the cutter at scale, its way in, what is left, corners it cannot reach."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from advisor.files.problems import printable
from advisor.files.unit_scales import length_word
from advisor.knowledge.wording import length
from advisor.methods.registry import METHODS
from advisor.model.candidate import Candidate
from advisor.model.region import Region
from advisor.render.drawings import svg
from advisor.render.drawings.svg import WIDTH, Drawing, hatch, label
from advisor.text.names import spaced
from advisor.text.outline import Box, Outline, outline_of
from advisor.text.spread import LINE
from advisor.text.words import millimetres

EDGE, TALL = 8.0, 230.0
SEEN = 7.0  # a rest smaller than this is ringed, so that it is found


class Sheet(NamedTuple):
    """How the outline lies on the paper: ``scale`` in units a mm, and where its upper left corner is."""

    scale: float
    x0: float
    y0: float
    high: float

    def x(self, value: float) -> float:
        """Across."""
        return self.x0 + value * self.scale

    def y(self, value: float) -> float:
        """Down."""
        return self.y0 + value * self.scale

    def box(self, box: Box) -> str:
        """The ``d`` of a box with its corners rounded."""
        x, y, wide, high = self.x(box.x), self.y(box.y), box.wide * self.scale, box.high * self.scale
        most = min(wide, high) / 2
        first, second, third, fourth = (min(most, radius * self.scale) for radius in box.radii)
        return (
            f"M{svg.number(x + first)} {svg.number(y)}H{svg.number(x + wide - second)}{_turn(second, second, second)}"
            f"V{svg.number(y + high - third)}{_turn(third, -third, third)}"
            f"H{svg.number(x + fourth)}{_turn(fourth, -fourth, -fourth)}"
            f"V{svg.number(y + first)}{_turn(first, first, -first)}Z"
        )


def _turn(r: float, right: float, down: float) -> str:
    return f"a{svg.number(r)} {svg.number(r)} 0 0 1 {svg.number(right)} {svg.number(down)}" if r > 0 else ""


def plan_view(candidate: Candidate, region: Region, prefix: str) -> Drawing:
    """The plan view of a candidate in its feature."""
    outline = outline_of(candidate, region)
    sheet = _sheet(outline.paper)
    told = list(_told(candidate, region, outline))
    parts = [
        *_stock(outline, sheet, prefix),
        *_rests(outline, sheet, prefix, candidate.cutter.DC),
        *_way_in(candidate, outline, sheet),
    ]
    y = EDGE + sheet.high + LINE
    for said in told:
        for row in svg.wrapped(said, WIDTH - 2 * EDGE):
            parts.append(label(EDGE, y, row))
            y += LINE
    return svg.drawing(
        prefix, "plan-view", f"From above, to scale, in {length_word()}", " ".join(told), y - LINE / 2, parts
    )


def _sheet(paper: Box) -> Sheet:
    scale = min((WIDTH - 2 * EDGE) / paper.wide, TALL / paper.high)
    spare = (WIDTH - paper.wide * scale) / 2
    return Sheet(scale, spare - paper.x * scale, EDGE - paper.y * scale, paper.high * scale)


def _stock(outline: Outline, sheet: Sheet, prefix: str) -> Iterator[str]:
    """The stock, hatched; the feature cut out of it; open sides dashed; what is left for finishing dotted."""
    stays, left = hatch(prefix, "stock"), hatch(prefix, "left")
    if outline.around:
        box, strip = outline.finished, outline.strip
        if strip > 0:
            yield svg.path(sheet.box(_wider(box, strip)), "level", data_part="beside")
        if outline.left > 0:
            yield svg.path(sheet.box(_wider(box, outline.left)), "left", fill=left, data_part="left-side")
        yield svg.path(sheet.box(box), "outline", fill=stays, data_part="outline")
        return
    yield svg.path(sheet.box(_walls(outline)), "stock", fill=stays, data_part="stock")
    yield svg.path(sheet.box(outline.finished), "free")
    if outline.left > 0:
        yield svg.path(sheet.box(outline.finished), "left", fill=left, data_part="left-side")
    yield svg.path(sheet.box(outline.cleared), "cleared", data_part="cleared")
    yield svg.path(sheet.box(outline.finished), "outline bare", data_part="outline")
    if outline.opening:
        yield svg.path(sheet.box(outline.opening), "level", data_part="opening")
    yield from _open_sides(outline, sheet)
    if outline.island:
        yield svg.path(sheet.box(_wider(outline.island, outline.left)), "left", fill=left)
        yield svg.path(sheet.box(outline.island), "outline", fill=stays, data_part="island")


def _wider(box: Box, by: float) -> Box:
    first, second, third, fourth = (radius + by if radius else 0.0 for radius in box.radii)
    return Box(box.x - by, box.y - by, box.wide + 2 * by, box.high + 2 * by, (first, second, third, fourth))


def _walls(outline: Outline) -> Box:
    """The stock that is shown: up to the edge of the paper, but not beyond an open side."""
    paper, box = outline.paper, outline.finished
    left = box.x if "left" in outline.open else paper.x
    top = box.y if "top" in outline.open else paper.y
    right = box.x + box.wide if "right" in outline.open else paper.x + paper.wide
    bottom = box.y + box.high if "bottom" in outline.open else paper.y + paper.high
    return Box(left, top, right - left, bottom - top)


def _open_sides(outline: Outline, sheet: Sheet) -> Iterator[str]:
    box = outline.finished
    ends = {"top": (0, 0, 1, 0), "bottom": (0, 1, 1, 1), "left": (0, 0, 0, 1), "right": (1, 0, 1, 1)}
    for side in sorted(outline.open):
        (x1, y1, x2, y2) = ends[side]
        first, last = (sheet.x(x1 * box.wide), sheet.y(y1 * box.high)), (sheet.x(x2 * box.wide), sheet.y(y2 * box.high))
        yield svg.line(*first, *last, "free-edge")
        yield svg.line(*first, *last, "open", data_open=side)


def _rests(outline: Outline, sheet: Sheet, prefix: str, DC: float) -> Iterator[str]:
    """What a cutter too wide for the corners leaves in them; a small rest is ringed too."""
    if outline.rest is None or outline.around:
        return
    r, inside, box = DC / 2 * sheet.scale, outline.rest * sheet.scale, outline.cleared
    for down, across in (("top", "left"), ("top", "right"), ("bottom", "right"), ("bottom", "left")):
        if outline.open & {down, across}:
            continue
        x = sheet.x(box.x if across == "left" else box.x + box.wide)
        y = sheet.y(box.y if down == "top" else box.y + box.high)
        right, below = (1 if across == "left" else -1), (1 if down == "top" else -1)
        yield svg.path(_rest(x, y, right, below, r, inside), "rest", fill=hatch(prefix, "rest"), data_part="rest")
        if r - inside < SEEN:
            yield svg.circle(x + right * r / 4, y + below * r / 4, SEEN, "ring")


def _rest(x: float, y: float, right: int, below: int, r: float, inside: float) -> str:
    """The ``d`` of what stays in a corner between the wall's own arc and that of the cutter."""
    n = svg.number
    turn, back = (0, 1) if right == below else (1, 0)
    shape = (
        f"M{n(x + right * r)} {n(y)}A{n(r)} {n(r)} 0 0 {turn} {n(x)} {n(y + below * r)}L{n(x)} {n(y + below * inside)}"
    )
    if inside > 0:
        shape += f"A{n(inside)} {n(inside)} 0 0 {back} {n(x + right * inside)} {n(y)}"
    return f"{shape}Z"


def _way_in(candidate: Candidate, outline: Outline, sheet: Sheet) -> Iterator[str]:
    """The way in, and the cutter at its beginning or, rolled in, at its end."""
    s, r = sheet.scale, candidate.cutter.DC / 2 * sheet.scale
    x, y = sheet.x(outline.at[0]), sheet.y(outline.at[1])
    if "loop_way" in candidate.facts and (loop := _fact(candidate, "loop_radius")) > 0:
        yield svg.circle(x, y, loop * s, "loop", data_part="loop")
    bore, stroke = _bore(candidate), _stroke(candidate)
    if candidate.entry_kind.helix and bore > 0:
        yield svg.circle(x, y, bore / 2 * s, "bore", data_part="bore")
        yield svg.circle(x, y, bore / 2 * s - r, "way", data_part="helix")
        x += bore / 2 * s - r
    elif candidate.entry_kind.zigzag and stroke > 0:
        yield svg.line(x - stroke / 2 * s, y, x + stroke / 2 * s, y, "way", data_part="ramp")
        x -= stroke / 2 * s
    elif candidate.entry_kind.needs_drill and candidate.drill is not None:
        yield svg.circle(x, y, candidate.drill.DC / 2 * s, "bore", data_part="hole")
    yield svg.circle(x, y, r, "cutter", data_part="cutter")
    yield svg.line(x - r - 4, y, x + r + 4, y, "axis")
    yield svg.line(x, y - r - 4, x, y + r + 4, "axis")
    if outline.roll is not None:
        roll = outline.roll
        way = svg.arc(sheet.x(roll.x), sheet.y(roll.y), roll.r * s, roll.start, roll.end)
        yield svg.path(way, "way bare", data_part="roll")
    elif outline.straight is not None:
        yield svg.line(sheet.x(outline.straight[0]), sheet.y(outline.straight[1]), x, y, "way", data_part="roll")
    if candidate.entry_kind.straight_down and not METHODS[candidate.method].by_drill:
        yield svg.cross(x, y, min(5.0, r / 2))


def _fact(candidate: Candidate, name: str) -> float:
    value = candidate.facts.get(name, 0.0)
    return 0.0 if isinstance(value, str) else float(value)


def _bore(candidate: Candidate) -> float:
    """The width of the bore that a helix makes [mm]; 0 where there is none."""
    return _fact(candidate, "bore" if METHODS[candidate.method].in_turns else "helix_bore")


def _stroke(candidate: Candidate) -> float:
    """How far the cutter's centre goes in a stroke of a ramp [mm]; 0 where there is none."""
    return _fact(candidate, "ramp_length" if METHODS[candidate.method].along_the_cut else "entry_stroke")


def _told(candidate: Candidate, region: Region, outline: Outline) -> Iterator[str]:
    """What the drawing shows, in words."""
    cutter = candidate.cutter
    entry = "" if candidate.entry is None or METHODS[candidate.method].by_drill else f", {spaced(candidate.entry)}"
    yield f"Cutter {printable(cutter.id)} ⌀{millimetres(cutter.DC)}{entry}{_way_told(candidate)}."
    stays = [f"{millimetres(outline.left)} left on the side, dotted"] if outline.left > 0 else []
    if outline.strip > 0:
        stays.append(f"{millimetres(outline.strip)} of stock beside the outline")
    if outline.opening:
        stays.append("what is open already, dashed in the middle")
    if outline.open:
        stays.append(f"{len(outline.open)} open side{'' if len(outline.open) == 1 else 's'}, dashed")
    if stays:
        yield f"{'; '.join(stays)}."
    if region.corner_radius is None or region.round:
        return
    inside = "Inside corners" if outline.around else "Corners"
    wanted = f"{inside} R{length(region.corner_radius)}"
    if outline.rest is None:
        yield f"{wanted}: the cutter, R{length(cutter.DC / 2)}, gets into them."
    else:
        where = "" if outline.around else "; what stays is hatched"
        yield f"{wanted}: the cutter, R{length(cutter.DC / 2)}, does not get into them{where}."


def _way_told(candidate: Candidate) -> str:
    if candidate.entry_kind.helix and _bore(candidate) > 0:
        return f" in a bore of {millimetres(_bore(candidate))}"
    if candidate.entry_kind.zigzag and _stroke(candidate) > 0:
        return f", strokes of {millimetres(_stroke(candidate))}"
    return f" ⌀{millimetres(candidate.drill.DC)}" if candidate.drill is not None else ""
