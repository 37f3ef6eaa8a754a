"""The few elements that drawings are made of, as SVG text. All that is said is escaped; meaning never rests on colour.

Coordinates are those of the drawing: a unit is a pixel where a page is 400 px wide.
"""

from __future__ import annotations

from collections.abc import Iterable
from html import escape
from math import cos, radians, sin
from typing import NamedTuple

WIDTH = 380
SIGN, STRONG = 6.4, 7.3  # width of a sign, on the wide side; of a bold one
PLACES = 2

# What a hatching means: stock that stays, what is left for finishing, what must not touch, what stays in a corner.
HATCHES = {
    "stock": (6, '<path class="thin" d="M0 6 6 0"/>'),
    "left": (5, '<circle class="dot" cx="2.5" cy="2.5" r="0.9"/>'),
    "hit": (5, '<path class="thick" d="M0 5 5 0M0 0 5 5"/>'),
    "rest": (4, '<path class="thick" d="M0 2H4M2 0V4"/>'),
    "cut": (4, '<path class="thick" d="M0 2H4"/>'),
    "entry": (5, '<path class="thick" d="M0 5 5 0"/>'),
    "travel": (5, '<circle class="dot" cx="2.5" cy="2.5" r="1.1"/>'),
}


class Drawing(NamedTuple):
    """A drawing: its kind, its title, what it shows in words, and the SVG."""

    kind: str
    title: str
    text: str
    svg: str


def number(value: float) -> str:
    """A coordinate: two places, no idle zeros, never minus nothing."""
    shown = f"{value:.{PLACES}f}".rstrip("0").rstrip(".")
    return "0" if shown == "-0" else shown


def element(name: str, content: str = "", /, **attributes: float | str | None) -> str:
    """An element. ``class_`` is the class, an underscore within a name a hyphen; ``content`` is SVG already."""
    given = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{escape(value if isinstance(value, str) else number(value))}"'
        for key, value in attributes.items()
        if value is not None
    )
    return f"<{name}{given}>{content}</{name}>" if content else f"<{name}{given}/>"


def rect(x: float, y: float, width: float, height: float, class_: str, **attributes: float | str | None) -> str:
    """A rectangle by its upper left corner."""
    return element("rect", x=x, y=y, width=width, height=height, class_=class_, **attributes)


def line(x1: float, y1: float, x2: float, y2: float, class_: str, **attributes: float | str | None) -> str:
    """A line."""
    return element("line", x1=x1, y1=y1, x2=x2, y2=y2, class_=class_, **attributes)


def circle(x: float, y: float, r: float, class_: str, **attributes: float | str | None) -> str:
    """A circle."""
    return element("circle", cx=x, cy=y, r=r, class_=class_, **attributes)


def path(d: str, class_: str, **attributes: float | str | None) -> str:
    """A path."""
    return element("path", d=d, class_=class_, **attributes)


def points(found: Iterable[tuple[float, float]], close: bool = False) -> str:
    """The ``d`` of a path along straight lines."""
    told = "L".join(f"{number(x)} {number(y)}" for x, y in found)
    return f"M{told}{'Z' if close else ''}"


def label(x: float, y: float, said: str, anchor: str = "start", class_: str = "label") -> str:
    """A line of text with its middle at a height."""
    return element("text", escape(said), x=x, y=y + 4, text_anchor=anchor, class_=class_)


def cross(x: float, y: float, arm: float = 5) -> str:
    """The sign of what must not be: a cross."""
    corners = f"M{number(x - arm)} {number(y - arm)}l{number(2 * arm)} {number(2 * arm)}"
    return path(f"{corners}m0 {number(-2 * arm)}l{number(-2 * arm)} {number(2 * arm)}", "cross")


def on_circle(x: float, y: float, r: float, degrees: float) -> tuple[float, float]:
    """A point of a circle; 0° is to the right, 90° up."""
    return x + r * cos(radians(degrees)), y - r * sin(radians(degrees))


def arc(x: float, y: float, r: float, start: float, end: float) -> str:
    """The ``d`` of an arc from one angle to a greater one [deg], less than a full turn, counter-clockwise."""
    first, last = on_circle(x, y, r, start), on_circle(x, y, r, end)
    far = 1 if end - start > 180 else 0
    return (
        f"M{number(first[0])} {number(first[1])}A{number(r)} {number(r)} 0 {far} 0 {number(last[0])} {number(last[1])}"
    )


def wrapped(said: str, width: float, sign: float = SIGN) -> list[str]:
    """The text in lines that are no wider than ``width``."""
    from textwrap import wrap

    return wrap(said, max(1, int(width / sign)), break_long_words=True, break_on_hyphens=False)


def hatch(prefix: str, name: str) -> str:
    """The fill of a hatching of this drawing."""
    return f"url(#{prefix}-{name})"


def drawing(prefix: str, kind: str, title: str, said: str, height: float, parts: Iterable[str]) -> Drawing:
    """The drawing as one SVG element that says in words what it shows; ``prefix`` makes its ids its own."""
    body = "".join(parts)
    used = "".join(
        element("pattern", content, id=f"{prefix}-{name}", width=size, height=size, patternUnits="userSpaceOnUse")
        for name, (size, content) in HATCHES.items()
        if hatch(prefix, name) in body
    )
    top = element(
        "svg",
        element("title", escape(title), id=f"{prefix}-title")
        + element("desc", escape(said), id=f"{prefix}-desc")
        + (element("defs", used) if used else "")
        + body,
        viewBox=f"0 0 {WIDTH} {number(height)}",
        role="img",
        aria_labelledby=f"{prefix}-title",
        aria_describedby=f"{prefix}-desc",
        class_=f"drawing {kind}",
    )
    return Drawing(kind, title, said, top)
