"""YAML numbers such as 1.200: read as they stand, and asked about where a thousand may be meant."""

from collections.abc import Callable
from pathlib import Path

import pytest

from advisor.files.problems import BadInput, Problem
from advisor.files.yaml_reader import parse_yaml
from advisor.model.assignment import Assignment
from advisor.readers.plan import parse_plan

Complaints = Callable[..., tuple[Problem, ...]]
Read = Callable[..., Assignment]
SLOT = "    width: 14.5\n    length: 60\n    depth: 12\n"
PART = """part: Plate
units: {units}
material: EN AW-6082-T6
machine: vmc-40-12k
shop: shop.yaml
features:
  - {{id: P1, kind: closed_pocket, length: {length}, width: {width}, depth: 28, floor: true}}
"""


def test_a_round_length_with_a_point_before_three_places_is_asked_about(complaints: Complaints) -> None:
    (problem,) = complaints({"job.yaml": PART.format(units="mm", length="1.200", width="1")})
    assert (problem.line, problem.field, problem.found) == (7, "features.P1.length", "'1.200'")
    assert problem.wanted == "a number that can be read one way only: 1.2 or 1200"


@pytest.mark.parametrize(
    ("units", "length", "width"),
    [("mm", "1.201", "1"), ("mm", "1.200", "0.5"), ("mm", "12.5", "12.000"), ("mm", "1200", "300"),
     ("inch", "1.200", "1"), ("mm", "1.2 mm", "1.000")],
)  # fmt: skip
def test_lengths_that_leave_no_doubt_are_not_asked_about(units: str, length: str, width: str, read: Read) -> None:
    told = float(length.removesuffix(" mm"))
    found = read({"job.yaml": PART.format(units=units, length=length, width=width)}).job.features[0]
    assert found.length == pytest.approx(told * (25.4 if units == "inch" else 1))


def test_what_was_asked_about_a_length_reads_once_it_is_written_as_told(complaints: Complaints, read: Read) -> None:
    (problem,) = complaints({"job.yaml": PART.format(units="mm", length="1.200", width="1")})
    for length in problem.wanted.rpartition(": ")[2].split(" or "):
        assert read({"job.yaml": PART.format(units="mm", length=length, width="1")}).job.features[0].length == float(
            length
        )


@pytest.mark.parametrize(
    ("field", "number"), [("spindle_speed", "8.000"), ("feed_rate", "3.240"), ("spindle_speed", "8.123")]
)
def test_a_speed_or_a_feed_of_a_plan_is_asked_about_whatever_stands_beside_it(field: str, number: str) -> None:
    with pytest.raises(BadInput) as caught:
        parse_plan(f"operations:\n  - {{feature: S1, cutter: E1, axial_depth: 1.5, {field}: {number}}}\n")
    assert [(one.line, one.field) for one in caught.value.problems] == [(2, f"operations[1].{field}")]
    assert "one way only" in caught.value.problems[0].wanted


def test_a_speed_with_a_unit_is_asked_about_with_its_unit() -> None:
    with pytest.raises(BadInput, match=r"one way only: 8\.0 /min or 8000 /min"):
        parse_plan("operations:\n  - {feature: S1, cutter: E1, spindle_speed: 8.000 /min}\n")


@pytest.mark.parametrize(
    "text",
    ["features:\n\t- id: S1\n", "features:\n  - id: S1\n\tkind: slot\n", "features:\n  - id: S1\n  \t  kind: slot\n"],
)
def test_a_tab_before_a_word_is_told_by_its_line(text: str) -> None:
    with pytest.raises(BadInput) as caught:
        parse_yaml(text, "job.yaml")
    (problem,) = caught.value.problems
    assert problem.line == next(number for number, line in enumerate(text.split("\n"), 1) if "\t" in line)
    assert problem.found == "a tab at the beginning of the line"


def test_a_slip_far_from_a_tab_is_not_put_down_to_it() -> None:
    with pytest.raises(BadInput, match="an error in the YAML"):
        parse_yaml("a: |\n  x\n  \ty\nb: 1\nc: 2\nd: [1\n", "job.yaml")


def test_a_tab_behind_a_colon_does_no_harm() -> None:
    assert parse_yaml("a:\t1\n", "job.yaml").value == {"a": 1}


def test_a_machine_without_acceleration_and_stiffness_is_taken_for_a_slow_one_and_says_so(
    read: Read, texts: dict[str, str]
) -> None:
    whole = read().machine
    shop = texts["shop.yaml"].replace("    axis_acceleration: 4\n", "")
    machine = read({"shop.yaml": shop}).machine
    assert (machine.axis_acceleration, machine.stiffness) == (1.0, 25.0)
    assert tuple(told.text for told in machine.assumed) == (
        "axis_acceleration = 1 m/s² of the slowest axis (not given)",
        "stiffness = 25 N/µm at the spindle nose (not given)",
    )
    assert whole.assumed == machine.assumed[1:]


def test_a_slow_axis_is_the_safe_one_of_the_demo_shop() -> None:
    from advisor.knowledge.assumptions import assumed
    from advisor.paths import shared_dir
    from advisor.readers.shop import read_shop

    shop = read_shop(Path(shared_dir() / "shop.yaml"), [])
    assert shop is not None
    assert assumed("machine", "axis_acceleration") <= min(machine.axis_acceleration for machine in shop.machines)
