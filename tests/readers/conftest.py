"""A small shop of files that read without a complaint, to be spoilt in one place at a time."""

from collections.abc import Callable
from pathlib import Path

import pytest

from advisor.files.problems import BadInput, Problem
from advisor.model.assignment import Assignment
from advisor.readers.assignment import read_assignment

JOB = """\
part: Winch side plate
units: mm
material: EN AW-6082-T6
machine: vmc-40-12k
shop: shop.yaml
features:
  - id: S1
    kind: slot
    width: 14.5
    length: 60
    depth: 12
    floor: true
    open_ends: 0
  - id: P1
    kind: closed_pocket
    length: 90
    width: 55
    depth: 28
    corner_radius: 8
    floor: true
    tallest_wall: 28
    thinnest_wall: 6
  - id: O1
    kind: outside_profile
    length: 240
    width: 120
    depth: 38
    stock_side: 4
    clearance_below: 5
  - id: H1
    kind: round_hole
    diameter: 30
    depth: 20
    floor: false
"""
SHOP = """\
machines:
  - name: vmc-40-12k
    spindle: {speed: [1200, 6000, 12000], power: [12, 15, 15]}
    feed_max: 20000
    rapid: 30000
    axis_acceleration: 4
    tool_change: 6
    coolant: [flood, air]
  - name: bench-8k
    spindle: {speed: [2000, 8000], power: [2, 2.2]}
    feed_max: 4000
    rapid: 6000
    axis_acceleration: 1.5
    tool_change: 60
    coolant: air
    stiffness: 8
crib: crib.csv
"""
CRIB = """\
id,body,DC,APMX,LU,LPR,DN,DCONMS,RE,KAPR,ZEFP,FHA,RMPX,RPMX,substrate,end_cutting,dead_centre,holder_diameter,point_angle
E12,solid_end_mill,12,26,26,36,,12,0.2,90,3,42,15,,carbide,yes,0,24,
I25,inserted_end_mill,25,10,38,55,24,25,0.8,90,3,,3.2,28000,carbide,no,12,44,
D13,drill,13,60,60,79,,14,0,70,2,30,,,carbide,yes,0,27,140
"""


@pytest.fixture
def texts() -> dict[str, str]:
    return {"job.yaml": JOB, "shop.yaml": SHOP, "crib.csv": CRIB}


@pytest.fixture
def read(tmp_path: Path, texts: dict[str, str]) -> Callable[..., Assignment]:
    """Return a reader of the good files, each replaced by what is given instead, as text or bytes."""

    def reader(instead: dict[str, str | bytes] | None = None) -> Assignment:
        for name, text in {**texts, **(instead or {})}.items():
            (tmp_path / name).write_bytes(text if isinstance(text, bytes) else text.encode())
        return read_assignment(tmp_path / "job.yaml")

    return reader


@pytest.fixture
def complaints(read: Callable[..., Assignment]) -> Callable[..., tuple[Problem, ...]]:
    """Return a reader that must fail, and gives back the problems."""

    def reader(instead: dict[str, str | bytes]) -> tuple[Problem, ...]:
        with pytest.raises(BadInput) as caught:
            read(instead)
        return caught.value.problems

    return reader
