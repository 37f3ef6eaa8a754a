"""The engagement: the cutter's circle from above, the width it takes, the angle of contact, the chip."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, radians

from advisor.knowledge.wording import DOWN, length, quantity
from advisor.methods.registry import METHODS
from advisor.model.candidate import Candidate
from advisor.model.plan import Plan
from advisor.render.drawings import svg
from advisor.render.drawings.svg import WIDTH, Drawing, hatch, label
from advisor.text.spread import LINE
from advisor.text.words import millimetres

R = 62.0  # of the cutter's circle on the paper
X, Y = 118.0, 96.0
CHIP = 12.0  # how thick the chip is drawn: enlarged, and said so
WORDS = 214.0  # where the words begin
FULL = 180.0


def engagement(candidate: Candidate, prefix: str) -> Drawing | None:
    """The engagement of a candidate; nothing for a drill, and where nothing could be worked out."""
    plan = candidate.plan
    if plan is None or METHODS[candidate.method].whole_hole:
        return None
    straight = float(candidate.facts.get("load_angle", plan.engagement)) if _turns(plan) else plan.engagement
    told = list(_told(plan, straight))
    parts = [
        *_stock(straight, prefix),
        svg.circle(X, Y, R, "cutter", data_part="cutter"),
        *(_chip(straight, prefix) if not METHODS[plan.method].plunges else ()),
        *_angle(straight, plan.engagement),
        *_axes(plan),
    ]
    y = 30.0
    for said in told:
        for row in svg.wrapped(said, WIDTH - WORDS - 4):
            parts.append(label(WORDS, y, row))
            y += LINE
        y += 3
    return svg.drawing(prefix, "engagement", "Engagement", " ".join(told), max(2 * Y - 8, y), parts)


def _turns(plan: Plan) -> bool:
    """Whether the greatest engagement is that of a corner, beyond that of the straight."""
    return METHODS[plan.method].corners_engage_more


def width_of(angle: float) -> float:
    """The width on the paper that an engagement [deg] takes of the cutter's circle."""
    return R * (1 - cos(radians(angle)))


def _stock(straight: float, prefix: str) -> Iterator[str]:
    """What is still to be cut ahead, and the wall that stays beside it; the cutter goes upwards."""
    wide = width_of(straight)
    inner, ahead = X + R - wide, Y - R - 26
    if straight < FULL:
        wall = [(X + R, ahead), (X + R + 22, ahead), (X + R + 22, Y + R), (X + R, Y + R)]
        yield svg.path(svg.points(wall, True), "stock", fill=hatch(prefix, "stock"))
    # Along the cutter's circle from where a tooth goes in to the wall.
    n = svg.number
    start = svg.on_circle(X, Y, R, straight)
    edge = f"M{n(inner)} {n(ahead)}V{n(start[1])}A{n(R)} {n(R)} 0 {1 if straight > FULL else 0} 1 {n(X + R)} {n(Y)}"
    yield svg.path(f"{edge}V{n(ahead)}Z", "ahead", fill=hatch(prefix, "left"), data_part="ahead")


def _chip(straight: float, prefix: str) -> Iterator[str]:
    """The chip between the paths of two teeth, from where a tooth goes in to where it comes out."""
    n = svg.number
    start, end = svg.on_circle(X, Y, R, straight), svg.on_circle(X, Y, R, 0)
    back = min(CHIP, width_of(straight))
    first, last = (start[0], start[1] + back), (end[0], end[1] + back)
    far = 0
    shape = (
        f"M{n(start[0])} {n(start[1])}A{n(R)} {n(R)} 0 {far} 1 {n(end[0])} {n(end[1])}"
        f"L{n(last[0])} {n(last[1])}A{n(R)} {n(R)} 0 {far} 0 {n(first[0])} {n(first[1])}Z"
    )
    yield svg.path(shape, "chip", fill=hatch(prefix, "cut"), data_part="chip")


def _angle(straight: float, most: float) -> Iterator[str]:
    """The angle of contact, and beyond it, dashed, that of a corner."""
    for angle in (0.0, straight):
        yield svg.line(X, Y, *svg.on_circle(X, Y, R, angle), "ray")
    yield svg.path(svg.arc(X, Y, R * 0.55, 0, straight), "angle bare", data_part="angle")
    if most > straight + 0.5:
        yield svg.path(svg.arc(X, Y, R * 0.72, 0, most), "corner bare", data_part="corner-angle")
        yield svg.line(X, Y, *svg.on_circle(X, Y, R, most), "level")


def _axes(plan: Plan) -> Iterator[str]:
    """The way of the cutter, and how it turns."""
    yield svg.circle(X, Y, 2, "dot")
    if METHODS[plan.method].plunges:
        return
    tip = Y - R - 24
    yield svg.path(svg.points([(X - R - 14, Y), (X - R - 14, tip)]), "way")
    yield svg.path(svg.points([(X - R - 18, tip + 8), (X - R - 14, tip), (X - R - 10, tip + 8)]), "way")
    yield label(X - R - 22, Y - 30, "feed", "end")
    turn = svg.arc(X, Y, R + 7, 200, 240)
    yield svg.path(turn, "way bare")
    x, y = svg.on_circle(X, Y, R + 7, 200)
    yield svg.path(svg.points([(x - 3, y + 7), (x, y), (x + 6, y + 5)]), "way")


def _told(plan: Plan, straight: float) -> Iterator[str]:
    DC, facts = plan.cutter.DC, plan.facts
    width = float(facts.get("straight_width", plan.radial_width))
    share = quantity(width / DC, "share")
    yield f"Width {quantity(width, 'mm', typed=DOWN)} of ⌀{length(DC)}, {share}."
    if abs(width - plan.radial_width) > 1e-6:
        yield f"On the curve {millimetres(plan.radial_width)} has the same angle."
    yield f"Contact over {quantity(straight, 'deg')}."
    if plan.engagement > straight + 0.5:
        yield f"In corners up to {quantity(plan.engagement, 'deg')}, dashed."
    if METHODS[plan.method].plunges:
        yield f"Straight down; steps of {millimetres(float(facts.get('plunge_step', 0.0)))}."
        return
    yield f"Chip {millimetres(plan.chip)} thick at {millimetres(plan.feed_per_tooth)} per tooth; drawn enlarged."
