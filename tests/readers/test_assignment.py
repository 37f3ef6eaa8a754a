"""Which shop answers, which machine, and what is said about it."""

from collections.abc import Callable
from pathlib import Path

import pytest

from advisor.files.problems import BadInput
from advisor.model.assignment import Assignment
from advisor.model.machine import make_machine
from advisor.readers.assignment import read_assignment

Read = Callable[..., Assignment]


def test_a_job_and_its_shop_are_read_together(read: Read) -> None:
    assignment = read()
    assert [feature.id for feature in assignment.job.features] == ["S1", "P1", "O1", "H1"]
    assert assignment.machine.name == "vmc-40-12k"
    assert [cutter.id for cutter in assignment.crib] == ["E12", "I25", "D13"]
    assert (assignment.notes, assignment.demo_shop, assignment.house) == ((), False, None)


def test_a_job_without_a_shop_is_answered_by_the_demo_shop_and_told_so(read: Read, texts: dict[str, str]) -> None:
    assignment = read({"job.yaml": texts["job.yaml"].replace("shop: shop.yaml\n", "")})
    assert assignment.demo_shop
    assert "no shop given: using the demo shop" in assignment.notes
    assert len(assignment.crib) > 3


def test_the_shop_of_the_command_line_outranks_that_of_the_job(
    read: Read, texts: dict[str, str], tmp_path: Path
) -> None:
    read()
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "shop.yaml").write_text(texts["shop.yaml"].replace("feed_max: 20000", "feed_max: 15000"))
    (tmp_path / "other" / "crib.csv").write_text(texts["crib.csv"].replace("E12,", "E13,"))
    assignment = read_assignment(tmp_path / "job.yaml", tmp_path / "other" / "shop.yaml")
    assert assignment.machine.feed_max == 15000
    assert assignment.crib[0].id == "E13"


def test_a_machine_is_found_whatever_its_letter_case_unless_two_differ_by_that(
    read: Read, texts: dict[str, str]
) -> None:
    job = texts["job.yaml"].replace("machine: vmc-40-12k", "machine: VMC-40-12K")
    assert read({"job.yaml": job}).machine.name == "vmc-40-12k"
    two = texts["shop.yaml"].replace("name: bench-8k", "name: Vmc-40-12k")
    assert read({"shop.yaml": two}).machine.name == "vmc-40-12k"
    with pytest.raises(
        BadInput, match=r"machine: found 'VMC-40-12K'; wanted vmc-40-12k or Vmc-40-12k, spelled exactly"
    ):
        read({"job.yaml": job, "shop.yaml": two})


def test_the_only_machine_of_a_shop_is_taken_and_told(read: Read, texts: dict[str, str]) -> None:
    job = texts["job.yaml"].replace("machine: vmc-40-12k\n", "")
    head, rest = texts["shop.yaml"].split("  - name: bench-8k")
    assignment = read({"job.yaml": job, "shop.yaml": head + "crib: crib.csv\n"})
    assert rest
    assert assignment.machine.name == "vmc-40-12k"
    assert assignment.notes == ("no machine given: using vmc-40-12k, the only one of the shop",)


def test_stiffness_is_assumed_aloud_where_a_machine_gives_none(read: Read, texts: dict[str, str]) -> None:
    assert read().machine.stiffness == 25
    assert [one.text for one in read().machine.assumed] == ["stiffness = 25 N/µm at the spindle nose (not given)"]
    stiff = read({"job.yaml": texts["job.yaml"].replace("vmc-40-12k", "bench-8k")}).machine
    assert (stiff.stiffness, stiff.assumed) == (8, ())


def test_a_single_coolant_needs_no_list() -> None:
    spindle = {"speed": [1000], "power": [5]}
    row = {"name": "m", "spindle": spindle, "feed_max": 1, "rapid": 1, "axis_acceleration": 1, "tool_change": 0}
    assert make_machine(**row, coolant="air") == make_machine(**row, coolant=["air"])


def test_the_folder_of_house_rules_is_found_from_the_shop_file(
    read: Read, texts: dict[str, str], tmp_path: Path
) -> None:
    (tmp_path / "house").mkdir()
    assert read({"shop.yaml": texts["shop.yaml"] + "house: house/\n"}).house == tmp_path / "house"


def test_a_wrong_machine_is_not_also_called_unknown(read: Read, texts: dict[str, str]) -> None:
    with pytest.raises(BadInput) as caught:
        read({"shop.yaml": texts["shop.yaml"].replace("rapid: 30000", "rapid: -1")})
    assert [problem.field for problem in caught.value.problems] == ["machines.vmc-40-12k.rapid"]


@pytest.mark.parametrize("machines", ["5", "[5]", "[[a]]", "[{name: 3}]", "{name: a}", "~", "[~]"])
def test_machines_that_are_none_are_told(machines: str, read: Read) -> None:
    with pytest.raises(BadInput) as caught:
        read({"shop.yaml": f"machines: {machines}\ncrib: crib.csv\n"})
    assert caught.value.problems[0].field.startswith("machines")


@pytest.mark.parametrize("features", ["5", "[5]", "[[a]]", "[{kind: [slot]}]", "{id: a}", "~", "[~]", "[]"])
def test_features_that_are_none_are_told(features: str, read: Read) -> None:
    with pytest.raises(BadInput) as caught:
        read({"job.yaml": f"part: a\nmaterial: C45\nmachine: bench-8k\nshop: shop.yaml\nfeatures: {features}\n"})
    assert all(problem.field.startswith("features") for problem in caught.value.problems)
