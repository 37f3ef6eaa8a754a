"""A spindle is read as the plate of a machine says it: power and torque at S1, and the greatest speed."""

from pathlib import Path
from typing import Any

import jsonschema  # type: ignore[import-untyped,unused-ignore]
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from pydantic import ValidationError

from advisor.files.problems import BadInput, Problem
from advisor.mechanics.power import spindle_power, spindle_torque
from advisor.model.machine import Spindle
from advisor.readers.schemas import shop_schema
from advisor.readers.shop import read_shop


def plate(**said: Any) -> Spindle:
    return Spindle.model_validate({name.replace("_s1", " S1"): value for name, value in said.items()})


def test_one_power_one_torque_and_the_greatest_speed_are_a_curve() -> None:
    """15 kW and 95 Nm meet at 9549 * 15 / 95 = 1508 per minute."""
    found = plate(power_kw=15, torque_nm=95, speed=12000)
    assert found.speed == pytest.approx((1507.8, 12000), abs=0.2)
    assert found.power == (15, 15)
    assert spindle_torque(found.speed, found.power, 500) == pytest.approx(95, rel=1e-3)
    assert spindle_power(found.speed, found.power, 6000) == 15


def test_a_torque_at_each_speed_is_a_power_at_each() -> None:
    found = plate(rpm=[1500, 12000], torque=[95, 12])
    assert found.power == pytest.approx((14.92, 15.08), abs=0.01)


@pytest.mark.parametrize("power", ["power", "power_kw", "S1 power", "Power kW S1", "continuous power", "Nennleistung"])
@pytest.mark.parametrize("torque", ["torque", "torque_nm", "S1 torque", "Drehmoment"])
def test_the_words_of_a_plate_are_understood(power: str, torque: str) -> None:
    assert Spindle.model_validate({power: 15, torque: 95, "n max": 12000}) == plate(power=15, torque=95, speed=12000)


def shop_in(tmp_path: Path, units: str, spindle: str) -> Any:
    file = tmp_path / "shop.yaml"
    rest = "feed_max: 400, rapid: 800, tool_change: 5, coolant: [flood]"
    file.write_text(
        f"units: {units}\ncrib: crib.csv\nmachines:\n  - {{name: m, spindle: {spindle}, {rest}}}\n", encoding="utf-8"
    )
    problems: list[Problem] = []
    shop = read_shop(file, problems)
    assert not problems, problems
    assert shop is not None
    return shop.machines[0].spindle


@pytest.mark.parametrize("units", ["mm", "inch"])
def test_a_key_that_names_its_unit_is_read_in_it_whatever_the_shop_is_in(tmp_path: Path, units: str) -> None:
    found = shop_in(tmp_path, units, "{power_kw: 15, torque_nm: 95, speed: 12000}")
    assert max(found.power) == pytest.approx(15)
    assert spindle_torque(found.speed, found.power, 500) == pytest.approx(95, rel=1e-3)


def test_plain_numbers_of_a_shop_in_inches_stay_hp(tmp_path: Path) -> None:
    assert max(shop_in(tmp_path, "inch", "{power: [20], speed: [6000]}").power) == pytest.approx(14.914, rel=1e-3)


def test_a_torque_alone_beside_the_greatest_speed_is_asked_about() -> None:
    with pytest.raises(ValidationError, match="power beside the torque"):
        plate(torque_nm=100, speed=12000)


@given(st.floats(1, 100), st.floats(5, 500), st.integers(2000, 40000))
def test_the_curve_has_the_torque_below_and_the_power_above_where_they_meet(
    power: float, torque: float, speed: int
) -> None:
    assume(200 <= 9549 * power / torque < speed - 1)
    found = plate(power=power, torque=torque, speed=speed)
    assert spindle_power(found.speed, found.power, speed) == pytest.approx(power, rel=1e-6)
    assert spindle_torque(found.speed, found.power, 0.5 * found.speed[0]) == pytest.approx(torque, rel=1e-3)


@pytest.mark.parametrize(
    ("said", "field", "wanted"),
    [
        ({"speed": 12000, "power": 15, "torque": 5}, "torque", "more than 11.9366 Nm"),
        ({"speed": 12000, "power": 15, "torque": "much"}, "torque", "a number in Nm"),
        ({"speed": [1000, 2000], "torque": [5]}, "torque", "as many torques as speeds (2)"),
        ({"speed": [1000, 2000], "torque": [5, 4], "power": [1, 1]}, "torque", "not both"),
        ({"speed": [1000, 2000], "power_s6": [5, 4]}, "power_s6", "at S1, continuous"),
        ({"speed": [1000], "peak torque": [5]}, "peak torque", "at S1, continuous"),
        ({"torque": 5}, "speed", "a number in 1/min"),
        ({"speed": 0, "torque": 5}, "speed", "a number in 1/min"),
    ],
)
def test_what_is_no_curve_is_told_with_its_field(said: dict[str, Any], field: str, wanted: str) -> None:
    with pytest.raises(ValidationError) as caught:
        Spindle.model_validate(said)
    (error,) = caught.value.errors()
    fault = error["ctx"]["error"].faults[0]
    assert (fault.field, wanted in fault.wanted) == (field, True)


def test_a_comma_that_splits_a_number_is_told_as_one(tmp_path: Path) -> None:
    with pytest.raises(AssertionError, match="nothing between thousands: a comma begins the next field"):
        shop_in(tmp_path, "mm", "{speed: 10,000, power_kw: 18.5, torque_nm: 118}")


def test_a_key_twice_in_other_words_is_asked_about() -> None:
    with pytest.raises(ValidationError, match="once"):
        Spindle.model_validate({"speed": [1000], "power": [5], "power_kw": [6]})


def test_a_shop_file_tells_it_with_its_line(tmp_path: Path) -> None:
    file = tmp_path / "shop.yaml"
    spindle = "{speed: 12000, power: 15, torque: 5}"
    rest = "    feed_max: 20000\n    rapid: 30000\n    tool_change: 6\n    coolant: flood"
    machine = f"name: m\n    spindle: {spindle}\n{rest}"
    file.write_text(f"machines:\n  - {machine}\ncrib: crib.csv\n", encoding="utf-8")
    problems: list[Problem] = []
    read_shop(file, problems)
    (problem,) = (one for one in problems if "torque" in one.field)
    assert (problem.line, problem.field) == (3, "machines.m.spindle.torque")


def test_the_schema_knows_the_torque_of_a_plate() -> None:
    schema = shop_schema()["$defs"]["Spindle"]
    assert schema["required"] == ["speed"]
    check = jsonschema.Draft202012Validator(schema | {"$defs": shop_schema()["$defs"]})
    for good in (
        {"speed": [1200, 6000], "power": [12, 15]},
        {"speed": 12000, "power": 15, "torque": 95},
        {"speed": [1200, 6000], "torque": [95, 24]},
    ):
        assert check.is_valid(good), good
    assert not check.is_valid({"speed": [1200]})
    assert not check.is_valid({"power": [12]})


def test_no_spindle_of_nonsense_ends_otherwise_than_with_a_fault() -> None:
    for odd in (
        [],
        {},
        {"torque": []},
        {"torque": {}},
        {"torque": [None], "speed": "x"},
        {"speed": [1], "torque": [1e308]},
    ):
        with pytest.raises((ValidationError, BadInput)):
            Spindle.model_validate(odd)
