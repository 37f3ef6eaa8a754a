"""Jobs, cribs and machines of invented shops, written in inches or in mm: the same sizes in both."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import advisor
from advisor.files.units import Units
from advisor.model.assignment import Assignment
from advisor.paths import cases_dir

HEADS = ("DC", "APMX", "LU", "LPR", "DCONMS", "holder_diameter")
CUTTERS = (  # id, body, teeth, more, then lengths in inches under the heads above
    ("M250", "solid_end_mill", 4, {"RE": 0.01, "FHA": 40, "RMPX": 5}, (0.25, 0.75, 0.8, 1.1, 0.25, 1.0)),
    ("M375", "solid_end_mill", 3, {"RE": 0.01, "FHA": 40, "RMPX": 5}, (0.375, 1.0, 1.05, 1.4, 0.375, 1.2)),
    ("M500", "solid_end_mill", 3, {"RE": 0.015, "FHA": 40, "RMPX": 5}, (0.5, 1.25, 1.3, 1.7, 0.5, 1.4)),
    ("M750", "solid_end_mill", 4, {"RE": 0.02, "FHA": 38, "RMPX": 3}, (0.75, 1.75, 1.8, 2.3, 0.75, 1.8)),
    ("D531", "drill", 2, {}, (0.53125, 2.5, 2.6, 3.2, 0.5625, 1.4)),
)
# Sizes in inches; what is no length is in ``words``.
JOBS: Mapping[str, tuple[str, list[tuple[dict[str, Any], dict[str, float]]]]] = {
    "manifold": (
        "C45",
        [
            (
                {"id": "P1", "kind": "closed_pocket", "floor": True},
                {"length": 4.0, "width": 2.25, "depth": 0.875, "corner_radius": 0.3125, "thinnest_wall": 0.1875},
            ),
            ({"id": "S1", "kind": "slot", "floor": True, "open_ends": 0}, {"length": 3, "width": 0.44, "depth": 0.5}),
        ],
    ),
    "hatch": (
        "EN AW-6082-T6",
        [
            (
                {"id": "O1", "kind": "outside_profile"},
                {"length": 6.5, "width": 4.25, "depth": 0.625, "stock_side": 0.25, "clearance_below": 0.25},
            ),
            (
                {"id": "Q1", "kind": "open_pocket", "floor": False, "open_sides": 1},
                {"length": 3, "width": 2, "depth": 1},
            ),
            ({"id": "F1", "kind": "planar_face"}, {"length": 6, "width": 4, "depth": 0.0625}),
        ],
    ),
    "bearing": (
        "42CrMo4",
        [
            (
                {"id": "H1", "kind": "round_hole", "floor": False},
                {"diameter": 0.53125, "depth": 1.0, "clearance_below": 0.5},
            ),
            ({"id": "H2", "kind": "round_hole", "floor": True}, {"diameter": 1.25, "depth": 0.75}),
            ({"id": "T1", "kind": "step"}, {"length": 3.0, "width": 0.8125, "depth": 0.6}),
            ({"id": "N1", "kind": "slot", "floor": True, "open_ends": 0}, {"length": 2, "width": 0.2, "depth": 0.5}),
        ],
    ),
}
MACHINES: Mapping[Units, str] = {
    "mm": "{name: mill, spindle: {speed: [1500, 6000, 12000], power: [7.45699871582, 14.9139974316, "
    "14.9139974316]}, feed_max: 20320, rapid: 30480, axis_acceleration: 4.064, tool_change: 6, coolant: [flood], "
    f"stiffness: {150000 * 0.45359237 * 9.80665 / 0.0254 / 1e6:.12g}}}",
    "inch": "{name: mill, units: inch, spindle: {speed: [1500, 6000, 12000], power: [10, 20, 20]}, feed_max: 800, "
    "rapid: 1200, axis_acceleration: 160, tool_change: 6, coolant: [flood], stiffness: 150000}",
}


def told(inches: float, units: Units) -> str:
    """A length as it is written."""
    return f"{inches!r}" if units == "inch" else f"{round(inches * 25.4, 7)!r}"


def write(folder: Path, name: str, units: Units, crib: Units, machine: Units = "mm", material: str = "") -> Path:
    """A job of ``JOBS`` with crib and machine, each written in units of its own; the path of the job file."""
    folder.mkdir(parents=True, exist_ok=True)
    usual, features = JOBS[name]
    lines = [f"part: {name}", f"units: {units}", f"material: {material or usual}", "machine: mill", "shop: shop.yaml"]
    lines.append("features:")
    for words, sizes in features:
        given = {key: str(value).lower() if isinstance(value, bool) else value for key, value in words.items()}
        given |= {key: told(value, units) for key, value in sizes.items()}
        lines.append(f"  - {{{', '.join(f'{key}: {value}' for key, value in given.items())}}}")
    (folder / "job.yaml").write_text("\n".join(lines) + "\n", encoding="utf-8")
    (folder / "shop.yaml").write_text(f"machines:\n  - {MACHINES[machine]}\ncrib: crib.csv\n", encoding="utf-8")
    (folder / "crib.csv").write_text(crib_text(crib), encoding="utf-8")
    return folder / "job.yaml"


def crib_text(units: Units) -> str:
    """The crib as it is written."""
    rows = [f"# units: {units}", ",".join(["id", "body", "ZEFP", *HEADS, "RE", "FHA", "RMPX", "point_angle"])]
    for name, body, teeth, more, lengths in CUTTERS:
        radius = told(more["RE"], units) if "RE" in more else ""
        rest = (radius, more.get("FHA", ""), more.get("RMPX", ""), 140 if body == "drill" else "")
        rows.append(",".join(map(str, (name, body, teeth, *(told(one, units) for one in lengths), *rest))))
    return "\n".join(rows) + "\n"


def read(folder: Path, name: str, units: Units, crib: Units, machine: Units = "mm") -> Assignment:
    """A job of ``JOBS``, or a worked case of that name, as it is read."""
    if name not in JOBS:
        return advisor.read_job(cases_dir() / name / "job.yaml")
    return advisor.read_job(write(folder, name, units, crib, machine))


# Metric units behind a number or a bracket, and in headings of tables and drawings.
METRIC_UNIT = re.compile(
    r"(?<![\w/])(mm|mm²|mm/min|m/min|cm³/min|kW|Nm|N/mm²?|N/µm|µm|µm/N|m/s²|(?<=\d[ \xa0])N)(?![\w/])"
)
INCH_UNIT = re.compile(r"(?<=\d[ \xa0])(in|in/min|sfm|hp|ft·lbf|lbf|ksi|in³/min)(?![\w/])")


# A formula that says that it is worked in metric units, and the sentence that says what these are.
EXPLAINED = re.compile(
    r"= [\d.\u2212\xa0]+\xa0\S+ = [\d.\u2212\xa0]+\xa0\S+ \(metric\)|An inch is 25.4 mm"
    r"|Formulas marked metric are in mm, .*? 1 in is 25.4 mm\."
    r"|[Nn]umbers of the plan without a unit are read in mm and mm/min"
    r"|The feed looks like (mm read as inches|inches read as mm)"
)


def metric_left(text: str) -> list[str]:
    """Where a text has a metric unit, each with what stands around it, but for what is explained to be metric."""
    joined = EXPLAINED.sub("", re.sub(r"[ \n]+", " ", text))
    return [joined[max(0, found.start() - 60) : found.end() + 20] for found in METRIC_UNIT.finditer(joined)]
