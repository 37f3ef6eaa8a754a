"""``roughing materials``, and a job whose material says its state and hardness."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from advisor.cli.main import app

JOB = """part: Die
material: {material}
machine: vmc-40-12k
features:
  - {{id: P1, kind: closed_pocket, length: 60, width: 40, depth: 8, corner_radius: 8, floor: true}}
"""


def asked(*words: object) -> tuple[int, str, str]:
    """The exit code, stdout and stderr of the command."""
    found = CliRunner().invoke(app, [*map(str, words)])
    return found.exit_code, " ".join(found.stdout.split()), found.stderr


def test_all_materials_are_listed_by_kind() -> None:
    code, told, _ = asked("materials")
    assert code == 0
    for wanted in (
        "Wrought aluminium: group N",
        "Grey cast iron: group K",
        "Hardened steel, above 55 HRC: group H",
        "1.2379",
    ):
        assert wanted in told


@pytest.mark.parametrize("word", ["4140", "1.7225", "42CrMo4"])
def test_a_number_lists_the_steel_in_all_its_states(word: str) -> None:
    code, told, _ = asked("materials", word, "--format", "json")
    assert code == 0
    found = json.loads(told)
    assert [one["name"] for one in found] == ["42CrMo4", "42CrMo4 annealed", "42CrMo4 hardened"]
    assert [one["group"] for one in found] == ["P", "P", "H"]


def test_a_group_lists_what_is_in_it() -> None:
    assert {one["group"] for one in json.loads(asked("materials", "S", "--format", "json")[1])} == {"S"}


def test_what_is_not_in_the_table_is_refused_with_the_reason() -> None:
    code, told, said = asked("materials", "POM")
    assert (code, told) == (2, "")
    assert "this is a plastic" in said


def test_a_job_in_plastic_is_refused_in_one_line(tmp_path: Path) -> None:
    (tmp_path / "job.yaml").write_text(JOB.format(material="POM"), encoding="utf-8")
    code, told, said = asked("advise", tmp_path / "job.yaml")
    assert (code, told) == (2, "")
    assert len([line for line in said.splitlines() if "plastic" in line]) == 1


def test_hardness_in_a_field_of_its_own_is_that_behind_the_name(tmp_path: Path) -> None:
    groups = []
    for written in ("D2 58 HRC", "D2\nhardness: 58 HRC", "D2\nstate: hardened", "D2\nstate: annealed"):
        (tmp_path / "job.yaml").write_text(JOB.format(material=written), encoding="utf-8")
        _, told, _ = asked("advise", tmp_path / "job.yaml", "--quick")
        groups.append("group H" in told)
    assert groups == [True, True, True, False]


def test_a_tool_steel_without_its_state_is_taken_as_delivered_and_told(tmp_path: Path) -> None:
    (tmp_path / "job.yaml").write_text(JOB.format(material="H13"), encoding="utf-8")
    _, told, said = asked("advise", tmp_path / "job.yaml", "--quick")
    assert "no state given, annealed (210 HB) assumed" in said + told
