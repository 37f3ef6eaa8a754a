"""What is shown in inches agrees with what was worked out in mm, to the rounding, and never cuts deeper."""

from __future__ import annotations

import re
from math import pi
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import advisor
from advisor.files.unit_scales import SCALES, showing
from advisor.knowledge.evidence import METRIC
from advisor.knowledge.formulas import function, parsed
from advisor.knowledge.wording import DOWN, UP, exact, quantity, share_of, stepped
from advisor.model.plan import Plan
from advisor.render import terminal
from advisor.text.advice import advice_blocks
from advisor.text.why import Evidence
from tests.units.written import JOBS, read

NBSP = "\xa0"
# What one of the unit is of the other: by the pound of 0.45359237 kg, standard gravity and the foot of 0.3048 m.
POUND = 0.45359237 * 9.80665
OF_OURS = {
    "mm": ("in", 1 / 25.4),
    "mm/min": ("in/min", 1 / 25.4),
    "m/min": ("sfm", 1 / 0.3048),
    "N": ("lbf", 1 / POUND),
    "Nm": ("ft·lb", 1 / (0.3048 * POUND)),
    "kW": ("hp", 1000 / (550 * 0.3048 * POUND)),
    "N/mm²": ("ksi", 0.001 * 25.4**2 / POUND),
    "N/mm": ("lbf/in", 25.4 / POUND),
    "N/µm": ("lbf/in", 25400 / POUND),
    "µm/N": ("µin/lbf", POUND / 0.0254),
    "µm": ("µin", 1 / 0.0254),
    "m/s²": ("in/s²", 1 / 0.0254),
    "mm²": ("in²", 1 / 25.4**2),
    "cm³/min": ("in³/min", 1 / 2.54**3),
}


def value_of(shown: str) -> tuple[float, str]:
    """The number and the unit of a text such as ``1 088 sfm``."""
    number, unit = re.fullmatch(rf"([\u2212\d.{NBSP}]+?){NBSP}?([^\d{NBSP}.]*)", shown).groups()  # type: ignore[union-attr]
    return float(number.replace(NBSP, "").replace("\u2212", "-")), unit


def test_every_unit_is_what_a_handbook_says() -> None:
    told = {unit: (scale.unit, scale.factor) for unit, scale in SCALES["inch"].items() if scale.factor != 1}
    assert told.keys() == OF_OURS.keys()
    for unit, (name, factor) in OF_OURS.items():
        assert told[unit][0] == name
        assert told[unit][1] == pytest.approx(factor, rel=1e-12)


@given(st.sampled_from(sorted(OF_OURS)), st.floats(1e-4, 1e6))
def test_a_number_shown_and_taken_back_is_the_same_to_three_figures(unit: str, value: float) -> None:
    with showing("inch"):
        number, name = value_of(quantity(value, unit))
    assert name == OF_OURS[unit][0]
    assert number / OF_OURS[unit][1] == pytest.approx(value, rel=0.00501)


@given(st.floats(0.001, 2000))
def test_a_length_that_is_typed_is_within_half_a_thousandth_and_on_the_safe_side(value: float) -> None:
    with showing("inch"):
        down, up, near = (value_of(quantity(value, "mm", typed=way))[0] * 25.4 for way in (DOWN, UP, ""))
    assert down <= value * (1 + 1e-9)
    assert up >= value * (1 - 1e-9)
    assert max(value - down, up - value) < 0.0005 * 25.4
    assert abs(near - value) <= 0.00005 * 25.4 + 1e-9


@given(st.floats(10, 40000))
def test_a_feed_is_never_shown_faster_and_is_exact_to_a_tenth_below_100(feed: float) -> None:
    with showing("inch"):
        shown = value_of(quantity(feed, "mm/min", typed=DOWN))[0]
    assert shown <= feed / 25.4 * (1 + 1e-9)
    assert feed / 25.4 - shown < (0.1 if feed < 2540 else 1) + 1e-9


@given(st.floats(0.5, 500), st.floats(0.5, 500))
def test_what_turns_an_answer_is_rounded_to_what_lies_beyond(start: float, at: float) -> None:
    with showing("inch"):
        shown = value_of(stepped(at, "mm", UP if at > start else DOWN))[0] * 25.4
    assert (shown >= at * (1 - 1e-9)) if at > start else (shown <= at * (1 + 1e-9))
    assert abs(shown - at) <= 0.0001 * 25.4 + 1e-9


def test_a_share_of_the_spindle_has_its_unit_once() -> None:
    assert share_of(2.2765, 15, "kW") == f"2.28 of 15{NBSP}kW"
    with showing("inch"):
        assert share_of(2.2765, 15, "kW") == f"3.05 of 20.1{NBSP}hp"
        assert share_of(2.17, 14.3, "Nm") == f"1.6 of 10.5{NBSP}ft·lb"


def plans(assignment: advisor.Assignment) -> list[tuple[Plan, str]]:
    """The plan of each feature with the advice for it in text."""
    found = []
    for feature in assignment.job.features:
        advice = advisor.explain(assignment, feature.id)
        best = advice.features[0].best
        if best is not None and best.plan is not None:
            found.append((best.plan, terminal.text(advice_blocks(advice), 400)))
    return found


@pytest.mark.parametrize("name", ["valve-body-inch", *JOBS])
def test_the_settings_told_are_those_worked_out(name: str, tmp_path: Path) -> None:
    found = plans(read(tmp_path, name, "inch", "inch"))
    assert found
    for plan, text in found:
        number = r"([\d.\xa0]+)\xa0"
        deep = float(re.search(rf"axial depth +{number}in", text)[1])  # type: ignore[index]
        assert 0 <= plan.axial_depth - deep * 25.4 < 0.0005 * 25.4 or deep == pytest.approx(plan.axial_depth / 25.4)
        tooth, rate = re.search(rf"  feed +{number}in per \w+, {number}in/min", text).groups()  # type: ignore[union-attr]
        told = float(rate.replace(NBSP, ""))
        assert told <= plan.feed_rate / 25.4 + 1e-6
        assert told == pytest.approx(plan.feed_rate / 25.4, rel=0.01)
        revolution = plan.cutter.kind.drill
        turns, sfm = re.search(rf"  spindle +{number}rpm, {number}sfm", text).groups()  # type: ignore[union-attr]
        speed = float(turns.replace(NBSP, ""))
        # by hand from what is shown: feed = tooth times teeth times speed, speed at the edge = pi DC n / 12
        assert float(tooth) * (1 if revolution else plan.cutter.ZEFP) * speed == pytest.approx(told, rel=0.012)
        assert pi * plan.cutter.DC / 25.4 * speed / 12 == pytest.approx(float(sfm.replace(NBSP, "")), rel=0.005)


@pytest.mark.parametrize("units", ["inch", "mm"])
@pytest.mark.parametrize("name", ["valve-body-inch", *JOBS])
def test_every_formula_gives_its_value_from_the_numbers_shown(name: str, units: str, tmp_path: Path) -> None:
    assignment = read(tmp_path, name, units, "inch")  # type: ignore[arg-type]
    checked = 0
    for feature in assignment.job.features:
        advice = advisor.explain(assignment, feature.id)
        with showing(assignment.job.units):
            evidence = Evidence(advice.features[0], advice)
            grounds = (*evidence.reasons, *evidence.cautions, *evidence.concluded)
            told = {
                item.name: item for item in (*evidence.worked, *(one for found in grounds for one in found.measures))
            }
        for item in told.values():
            if not item.formula:
                continue
            numbers = item.numbers.replace(NBSP, "").replace("\u2212", "-")
            by_hand = float(function(parsed(numbers.replace("(-", "(0-")), (), ())({}, {}))
            first, _, _ = item.value.removesuffix(f" {METRIC}").partition(" = ")
            shown, unit = value_of(first.replace("°", ""))
            by_hand *= 100 if unit == "%" else 1
            tolerance = 0.6 if unit in ("/min", "mm/min", "s", "in/min") else 0.00006 if unit == "in" else 0.006
            assert by_hand == pytest.approx(shown, rel=0.012, abs=tolerance), (item.name, item.numbers, item.value)
            checked += 1
    assert checked


def test_a_formula_of_handbooks_is_worked_in_metric_units_and_says_so() -> None:
    assignment = advisor.read_job("cases/valve-body-inch/job.yaml")
    advice = advisor.explain(assignment, "T1")
    with showing("inch"):
        told = {item.name: item for item in Evidence(advice.features[0], advice).worked}
    assert told["cutting_speed"].numbers == f"8{NBSP}310 * 12.7 * pi / 1000"
    assert told["cutting_speed"].value == f"332{NBSP}m/min = 1{NBSP}088{NBSP}sfm (metric)"
    assert (told["depth_to_cut"].numbers, told["depth_to_cut"].value) == ("0.6 + 0 - 0.02", f"0.58{NBSP}in")
    text = advisor.as_text(advisor.compare(assignment, "T1", method="plunge roughing"), 400)
    assert "hp" in text


@settings(max_examples=300)
@given(st.floats(1e-3, 1e5), st.sampled_from(["", DOWN, UP]))
def test_what_is_shown_in_mm_is_what_it_always_was(value: float, towards: str) -> None:
    assert quantity(value, "mm", typed=towards) == f"{exact(value, 2, towards=towards)}{NBSP}mm"
    assert quantity(value, "mm/min", typed=towards) == f"{exact(value, 0, towards=towards)}{NBSP}mm/min"
