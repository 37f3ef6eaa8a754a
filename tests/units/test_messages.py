"""What a file says wrong is told in the units of that file, and a number may carry a unit of its own."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import advisor
from advisor.files.problems import Misfit
from advisor.files.unit_scales import WRITTEN, in_prose, measured, plain, showing
from advisor.files.units import parse_length
from tests.units.written import crib_text, metric_left, write

SHOP = "machines:\n  - {name: mill, %sspindle: {speed: [1500, 9000], power: [%s, 20]}, feed_max: %s, rapid: %s, "
SHOP += "axis_acceleration: %s, tool_change: 6, coolant: [flood]%s}\ncrib: crib.csv\n"


def faults(path: Path) -> str:
    with pytest.raises(advisor.BadInput) as caught:
        advisor.read_job(path)
    return "\n".join(f"{one.field}: found {one.found}; wanted {one.wanted}" for one in caught.value.problems)


def test_limits_of_a_job_in_inches_are_told_in_inches(tmp_path: Path) -> None:
    path = write(tmp_path, "manifold", "inch", "inch")
    text = path.read_text(encoding="utf-8")
    for old, new in (("length: 4.0", "length: 4000"), ("width: 2.25", "width: 0.0001"), ("depth: 0.5", "depth: 900")):
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")
    told = faults(path)
    assert "features.P1.length: found '4000 in'; wanted at most 787.4015 in" in told
    assert "features.P1.width: found '0.0001 in'; wanted at least 0.0004 in" in told
    assert "features.S1.depth: found '900 in'; wanted at most 78.7401 in" in told
    assert not metric_left(told)


def test_contradictions_in_a_job_in_inches_are_told_in_inches(tmp_path: Path) -> None:
    path = write(tmp_path, "manifold", "inch", "inch")
    path.write_text(path.read_text(encoding="utf-8").replace("corner_radius: 0.3125", "corner_radius: 1.5"), "utf-8")
    assert faults(path) == "features.P1.corner_radius: found 1.5 in; wanted at most half the width (2.25 in)"


def test_a_crib_in_inches_is_refused_in_inches_beside_a_job_in_mm(tmp_path: Path) -> None:
    path = write(tmp_path, "manifold", "mm", "inch")
    wrong = crib_text("inch").replace("0.25,0.75,0.8,", "0.25,0.75,0.7,").replace("0.5,1.25,1.3,", "0.5,1.25,9000,")
    (tmp_path / "crib.csv").write_text(wrong, encoding="utf-8")
    told = faults(path)
    assert "M250.LU: found 0.7 in; wanted at least APMX (0.75 in)" in told
    assert "M500.LU: found '9000'; wanted at most 39.3700 in" in told or "wanted at most 39.37 in" in told
    assert not metric_left(told)


def test_a_machine_is_written_in_either_and_a_number_with_a_unit_of_its_own(tmp_path: Path) -> None:
    path = write(tmp_path, "manifold", "inch", "inch")
    forms = [
        ("units: inch, ", "10", "800", "1200", "160", ", stiffness: 150000"),
        ("", "10 hp", "800 ipm", "1200 in/min", "160 in/s2", ", stiffness: 150000 lbf/in"),
        (
            "units: in, ",
            "7.45699871582 kW",
            "20320 mm/min",
            "30.48 m/min",
            "4.064 m/s²",
            ", stiffness: 26.2690252412 N/µm",
        ),
    ]
    found = []
    for form in forms:
        text = (SHOP % form).replace(", 20]", ", 20 hp]")
        (tmp_path / "shop.yaml").write_text(text, encoding="utf-8")
        found.append(advisor.read_job(path).machine)
    assert found[0] == found[1]
    for one in found[1:]:
        assert one.spindle.power == pytest.approx(found[0].spindle.power)
        assert (one.feed_max, one.rapid, one.axis_acceleration) == pytest.approx((20320, 30480, 4.064))
        assert one.stiffness == pytest.approx(26.26902524)


def test_the_units_of_a_shop_file_are_those_of_its_machines_that_say_none(tmp_path: Path) -> None:
    path = write(tmp_path, "manifold", "mm", "mm")
    (tmp_path / "shop.yaml").write_text("units: inch\n" + SHOP % ("", "10", "800", "1200", "160", ""), "utf-8")
    whole = advisor.read_job(path).machine
    (tmp_path / "shop.yaml").write_text(
        "units: inch\n" + SHOP % ("units: mm, ", "7.5", "20320", "30480", "4", ""), "utf-8"
    )
    own = advisor.read_job(path).machine
    assert (whole.feed_max, own.feed_max) == (20320, 20320)
    assert (round(whole.spindle.power[0], 3), own.spindle.power[0]) == (7.457, 7.5)


def test_faults_of_a_machine_in_inches_are_told_in_inches_and_all_at_once(tmp_path: Path) -> None:
    path = write(tmp_path, "manifold", "inch", "inch")
    (tmp_path / "shop.yaml").write_text(
        SHOP % ("units: inch, ", "10 PS", "9e6", "fast", "-1", ", stiffness: 25"), "utf-8"
    )
    told = faults(path)
    assert "spindle.power[1]: found '10 PS'; wanted a number in hp" in told
    assert "feed_max: found 9000000; wanted at most 7874 in/min" in told
    assert "rapid: found 'fast'; wanted a number in in/min" in told
    assert "axis_acceleration: found -1; wanted more than 0" in told
    assert "stiffness: found 25; wanted at least" in told
    assert not metric_left(told)


@pytest.mark.parametrize("written", ["3/4", "1-1/2", "1 1/2", " 3/4 "])
def test_a_fraction_in_a_file_in_mm_is_asked_about(written: str) -> None:
    with pytest.raises(Misfit) as caught:
        parse_length(written, "mm")
    assert caught.value.faults[0].wanted.startswith(f"the unit of the fraction, such as '{written.strip()} in'")
    assert parse_length(written, "inch") == parse_length(f'{written.strip()}"') == parse_length(f"{written.strip()} in")


def test_a_job_in_mm_that_looks_like_inches_is_left_alone() -> None:
    text = "part: x\nunits: mm\nmaterial: C45\nmachine: vmc-40-12k\nfeatures:\n"
    text += "  - {id: S1, kind: slot, width: 0.75, length: 3.5, depth: 0.25, floor: true, open_ends: 0}\n"
    assert advisor.parse_job(text).job.features[0].depth == 0.25


@given(st.text(max_size=30), st.sampled_from([*WRITTEN, "degrees", "s"]), st.sampled_from(["mm", "inch"]))
def test_whatever_is_written_is_a_number_or_refused(text: str, unit: str, units: str) -> None:
    try:
        found = measured(text, unit, units)  # type: ignore[arg-type]
    except Misfit:
        return
    assert found >= 0
    assert found < float("inf")


@pytest.mark.parametrize(
    "raw", [True, None, [], float("nan"), float("inf"), "1e999 hp", "nan hp", "-5 hp", "٣ hp", "5 hpp"]
)
def test_what_is_no_number_with_that_unit_is_refused(raw: object) -> None:
    with pytest.raises(Misfit):
        measured(raw, "kW")


@given(st.floats(0.01, 5000))
def test_a_limit_that_is_told_in_inches_is_itself_within_the_limit(limit: float) -> None:
    with showing("inch"):
        least, most = (float(plain(limit, "mm", towards).removesuffix(" in")) * 25.4 for towards in (1, -1))
    assert least >= limit - 3e-8
    assert most <= limit + 3e-8
    assert plain(limit, "mm") == f"{limit:.6g} mm"


def test_lengths_in_the_prose_of_rules_are_marked_and_told_in_shown_units() -> None:
    assert in_prose("Keep a skin of {0.2 to 0.5 mm}.") == "Keep a skin of 0.2 to 0.5 mm."
    with showing("inch"):
        assert in_prose("Keep a skin of {0.2 to 0.5 mm}.") == "Keep a skin of 0.0079 to 0.02 in."
        assert in_prose("{0 mm} are left, {DC} wide, {2 mmm}") == "0 in are left, {DC} wide, {2 mmm}"
