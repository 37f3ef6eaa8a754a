"""How many alike, and what is cut of a casting, in every form of an answer."""

import csv
import io
from pathlib import Path
from typing import Any

import jsonschema
import pytest

import advisor
from advisor.render.part_csv import part_csv
from advisor.render.record import advice_schema

FEATURES = """
  - {id: H1, kind: hole, diameter: SIZE, depth: SIZE, floor: yes, count: 6}
  - {id: P1, kind: closed_pocket, length: WIDE, width: WIDE, depth: SIZE, corner_radius: ROUND, floor: yes,
     stock_wall: SKIN, stock_floor: SKIN}
"""
SIZES = {
    "mm": {"SIZE": "20", "WIDE": "80", "ROUND": "12", "SKIN": "3"},
    "inch": {"SIZE": "0.75", "WIDE": "3", "ROUND": "0.5", "SKIN": "0.125"},
}


def answer(units: str) -> advisor.Advice:
    """Return the advice for a job in some units."""
    text = FEATURES
    for name, size in SIZES[units].items():
        text = text.replace(name, size)
    head = f"part: Casing\nunits: {units}\nmaterial: EN-GJL-250\nmachine: vmc-40-12k\nfeatures:{text}"
    return advisor.advise(advisor.parse_job(head), quick=True)


@pytest.mark.parametrize("units", ["mm", "inch"])
def test_how_many_stands_in_every_form(units: str) -> None:
    found = answer(units)
    assert "6× round hole" in advisor.as_text(found)
    assert "6 alike" in advisor.as_text(found)
    assert "6× round hole" in advisor.as_markdown(found)
    assert "6× round hole" in advisor.as_html(found)
    data: dict[str, Any] = advisor.as_data(found)
    jsonschema.Draft202012Validator(advice_schema()).validate(data)
    assert [one["count"] for one in data["features"]] == [6, 1, 1]
    rows = list(csv.DictReader(io.StringIO(part_csv(found))))
    assert [row["count"] for row in rows] == ["6", "1", "1"]


@pytest.mark.parametrize("units", ["mm", "inch"])
def test_what_is_cut_of_a_casting_is_told_in_the_order_of_the_job(units: str) -> None:
    found = answer(units)
    assert [one.region.id for one in found.features] == ["H1", "P1-walls", "P1-floor"]
    told = " ".join(advisor.as_text(found).split())
    assert {"mm": "3 mm of stock on the walls", "inch": "0.125 in of stock on the walls"}[units] in told
    assert "the stock on the floor" in told
    assert ("mm" in told.split()) is (units == "mm")


def test_the_opening_is_drawn() -> None:
    page = advisor.as_html(answer("mm"))
    assert page.count('data-part="opening"') == 1
    assert "what is open already" in page


def test_the_time_that_is_told_is_that_of_all(tmp_path: Path) -> None:
    data: dict[str, Any] = advisor.as_data(answer("mm"))
    hole = data["features"][0]
    assert sum(hole["time_parts"].values()) == pytest.approx(hole["time_s"], rel=1e-4)
    assert data["time_s"] <= sum(one["time_s"] for one in data["features"])
