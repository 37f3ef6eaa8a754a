"""What the tests of the drawings share: drawings read back, and ways of roughing that nobody would advise."""

import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import replace
from typing import Any, NamedTuple

from advisor.model.answer import FeatureAdvice
from advisor.model.candidate import Candidate
from advisor.render.drawings.svg import SIGN, STRONG, Drawing
from advisor.text.spread import LINE
from tests.cases import worked


class Box(NamedTuple):
    """A rectangle on the paper, with what stands in it."""

    left: float
    top: float
    right: float
    bottom: float
    said: str = ""

    def meets(self, other: "Box") -> bool:
        return (
            self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom
        )


def read(drawing: Drawing) -> ET.Element:
    """The drawing as a tree."""
    return ET.fromstring(drawing.svg)


def part(drawing: Drawing, name: str) -> ET.Element:
    """The one element that shows a part."""
    found = parts(drawing, name)
    assert len(found) == 1, f"{len(found)} of {name}"
    return found[0]


def parts(drawing: Drawing, name: str) -> list[ET.Element]:
    """The elements that show a part."""
    return [item for item in read(drawing).iter() if item.get("data-part") == name]


def at(drawing: Drawing, name: str) -> float:
    """The height on the paper of the line that marks a height of the feature."""
    (found,) = (item for item in read(drawing).iter() if item.get("data-at") == name)
    return number(found, "y1")


def contacts(drawing: Drawing) -> set[str]:
    """What is hatched as touching."""
    return {str(item.get("data-contact")) for item in read(drawing).iter() if item.get("data-contact")}


def number(item: ET.Element, name: str) -> float:
    return float(item.get(name, "nan"))


def texts(drawing: Drawing) -> Iterator[Box]:
    """Each line of text with the room that it takes, on the wide side."""
    for item in read(drawing).iter("text"):
        said = item.text or ""
        x, y = number(item, "x"), number(item, "y") - 4
        wide = len(said) * (STRONG if "strong" in item.get("class", "") else SIGN)
        left = x - wide if item.get("text-anchor") == "end" else x
        yield Box(left, y - LINE / 2 + 1, left + wide, y + LINE / 2 - 1, said)


def changed(answer: FeatureAdvice, cutter: dict[str, Any] | None = None, **plan: Any) -> Candidate:
    """The advised way of a feature with another cutter or other settings, not judged again."""
    best = answer.best
    assert best is not None
    assert best.plan is not None
    other = best.cutter.model_copy(update=cutter or {})
    return best._replace(cutter=other, plan=replace(best.plan, cutter=other, **plan))


def pocket() -> FeatureAdvice:
    """A closed pocket with a floor, cleared in one level."""
    return worked.feature("winch-side-plate", "P1")


def short_cutter() -> Candidate:
    """A cutter of 16 mm in the pocket, whose flutes, neck and stick-out are all too short for its depth."""
    return changed(pocket(), {"DC": 16.0, "DCONMS": 16.0, "holder_diameter": 27.0, **SHORT})


SHORT = {"APMX": 15.0, "LU": 18.0, "LPR": 26.0}
