"""A side without a wall is seen to have none: dashed in the view from above, and no stock beside it in the section."""

import re
import xml.etree.ElementTree as ET

import pytest

from advisor.model.candidate import Candidate
from advisor.model.region import Region
from advisor.render.drawings.plan_view import plan_view
from advisor.render.drawings.svg import Drawing
from advisor.render.page_parts import TEMPLATES
from advisor.text.section_text import STOCK, side_section
from tests.cases import worked
from tests.render import drawn
from tests.render.drawn import number, part

STYLE = (TEMPLATES / "page.css").read_text(encoding="utf-8")
OPEN = {
    "closed_pocket": (("closed_pocket", {}), set()),
    "an open pocket, one side": (("open_pocket", {"open_sides": 1}), {"right"}),
    "an open pocket, nothing said": (("open_pocket", {"open_sides": None}), {"right"}),
    "an open pocket, a long side": (("open_pocket", {"open_sides": None, "open_at": "long_side"}), {"bottom"}),
    "an open pocket, two sides": (("open_pocket", {"open_sides": 2}), {"right", "left"}),
    "an open pocket, both long sides": (("open_pocket", {"open_sides": 2, "open_at": "long_side"}), {"bottom", "top"}),
    "an open pocket, a corner": (("open_pocket", {"open_sides": 2, "open_at": "corner"}), {"bottom", "right"}),
    "an open pocket, three sides": (("open_pocket", {"open_sides": 3}), {"bottom", "right", "left"}),
    "a slot closed at both ends": (("slot", {"open_ends": 0}), set()),
    "a slot open at one end": (("slot", {"open_ends": 1}), {"right"}),
    "a slot open at both ends": (("slot", {"open_ends": 2}), {"left", "right"}),
    "a step": (("step", {}), {"right", "bottom", "left"}),
    "a face": (("planar_face", {}), {"top", "right", "bottom", "left"}),
}
SIDES = {"top": ("left", "top", "right", "top"), "bottom": ("left", "bottom", "right", "bottom"),
         "left": ("left", "top", "left", "bottom"), "right": ("right", "top", "right", "bottom")}  # fmt: skip


def shown(kind: str, given: dict[str, int | str | None]) -> tuple[Candidate, Region]:
    """A way in a pocket of the cases that is of another kind now; only its outline is asked for."""
    answer = worked.feature("winch-side-plate", "P1")
    assert answer.best is not None
    region = answer.region._replace(kind=kind, open_ends=0, open_sides=None, corner_radius=None)
    return answer.best, region._replace(**given)


def styled(item: ET.Element, name: str) -> str | None:
    """What the page's style gives an element for a property; its last class that has it decides."""
    found = None
    for class_ in (item.get("class") or "").split():
        for selectors, body in re.findall(r"([^{}]+)\{([^{}]*)\}", STYLE):
            if f".drawing .{class_}" in [one.strip() for one in selectors.split(",")]:
                said = (pair.split(":", 1) for pair in body.split(";") if ":" in pair)
                found = {what.strip(): value.strip() for what, value in said}.get(name, found)
    return found


def lines_along(drawing: Drawing, side: str) -> list[ET.Element]:
    """The lines that run along a side of the finished outline, in the order in which they are drawn."""
    corners = [float(value) for value in re.findall(r"-?\d+\.?\d*", str(part(drawing, "outline").get("d")))]
    left, top, right, bottom = corners[0], corners[1], corners[2], corners[3]
    at = {"left": left, "top": top, "right": right, "bottom": bottom}
    wanted = tuple(at[name] for name in SIDES[side])
    along = (item for item in drawn.read(drawing).iter("line"))
    return [
        item
        for item in along
        if tuple(number(item, name) for name in ("x1", "y1", "x2", "y2")) == pytest.approx(wanted, abs=0.2)
    ]


@pytest.mark.parametrize("name", OPEN)
def test_just_the_open_sides_are_dashed_and_no_solid_line_lies_under_the_dashes(name: str) -> None:
    (kind, given), opened = OPEN[name]
    drawing = plan_view(*shown(kind, given), "x")
    outline = part(drawing, "outline")
    assert styled(outline, "stroke-dasharray") is None, "walls are drawn solid"
    for side in SIDES:
        along = lines_along(drawing, side)
        if side not in opened:
            assert along == []
            continue
        paper, dashes = along
        assert styled(paper, "stroke") == "var(--paper)"
        assert float(str(styled(paper, "stroke-width"))) > float(str(styled(outline, "stroke-width")))
        assert styled(paper, "stroke-dasharray") is None, "it hides the solid outline all along"
        dash, gap = map(float, str(styled(dashes, "stroke-dasharray")).split())
        assert dash > 0
        assert gap > 0
        assert dashes.get("data-open") == side
    every = list(drawn.read(drawing).iter())
    last = max((every.index(item) for item in every if item.get("data-part") == "outline"), default=0)
    first = min((place for place, item in enumerate(every) if item.get("data-open")), default=len(every))
    assert first > last, "the dashes lie over the outline"


@pytest.mark.parametrize("name", OPEN)
def test_the_words_beneath_say_how_many_sides_are_open(name: str) -> None:
    (kind, given), opened = OPEN[name]
    told = plan_view(*shown(kind, given), "x").text
    wanted = {0: None, 1: "1 open side, dashed"}.get(len(opened), f"{len(opened)} open sides, dashed")
    assert (wanted in told) if wanted else ("open side" not in told)


def beside_the_cutter(best: Candidate, region: Region) -> list[str]:
    """The rows of the section in characters in which the cutter stands beside stock; not those of the floor."""
    return [line.rstrip() for line in side_section(best, region, 28) if re.search(f"{STOCK}[^{STOCK}]", line)]


def test_in_characters_stock_stands_on_the_right_only_where_there_is_a_wall() -> None:
    best, region = shown("slot", {"open_ends": 2})
    narrow = beside_the_cutter(best, region._replace(narrowest=best.cutter.DC * 1.2))
    assert narrow
    assert all(line.endswith(STOCK) for line in narrow)
    for kind in ("step", "open_pocket"):
        best, region = shown(kind, {})
        wide = beside_the_cutter(best, region._replace(narrowest=None))
        assert wide
        assert not any(line.endswith(STOCK) for line in wide)
