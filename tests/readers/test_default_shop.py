"""The user's own shop answers for jobs that name none: not for those that do, nor for the worked cases."""

from collections.abc import Callable
from pathlib import Path

import pytest

from advisor import paths
from advisor.cli.advise_many import Asked, advised
from advisor.cli.output import Format
from advisor.files.problems import BadInput
from advisor.model.assignment import Assignment
from advisor.paths import CONFIG, cases_dir
from advisor.readers.assignment import parse_assignment, read_assignment

JOB = "part: A\nmaterial: C45\nfeatures:\n  - {id: T1, kind: step, length: 60, width: 10, depth: 5}\n"
SHOP = """\
machines:
  - name: ours
    spindle: {speed: [3000], power: [5]}
    feed_max: 5000
    rapid: 9000
    axis_acceleration: 2
    tool_change: 8
    coolant: air
    stiffness: 20
crib: cutters/crib.csv
house: house
"""
CRIB = "id,body,DC,APMX,ZEFP\nE10,solid_end_mill,10,22,4\n"


@pytest.fixture
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The file of a default shop."""
    folder = tmp_path / "settings"
    (folder / "cutters").mkdir(parents=True)
    (folder / "house").mkdir()
    (folder / "cutters" / "crib.csv").write_text(CRIB, encoding="utf-8")
    (folder / "shop.yaml").write_text(SHOP, encoding="utf-8")
    monkeypatch.setenv(CONFIG, str(folder))
    return folder / "shop.yaml"


@pytest.fixture
def job(tmp_path: Path) -> Path:
    (tmp_path / "job.yaml").write_text(JOB, encoding="utf-8")
    return tmp_path / "job.yaml"


def test_it_answers_for_a_job_that_names_no_shop_and_is_named(own: Path, job: Path) -> None:
    for found in (read_assignment(job), parse_assignment(JOB)):
        assert found.machine.name == "ours"
        assert [cutter.id for cutter in found.crib] == ["E10"]
        assert found.notes[0] == f"no shop given: your default shop answers, {own}"
        assert (found.demo_shop, found.house) == (False, own.parent / "house")
        assert own in found.files


def test_a_shop_that_is_named_comes_before_it(own: Path, job: Path, read: Callable[..., Assignment]) -> None:
    assert read().machine.name == "vmc-40-12k"
    demo = paths.shared_dir() / "shop.yaml"
    with_machine = JOB + "machine: bench-20-8k\n"
    assert parse_assignment(with_machine, shop_path=demo).machine.name == "bench-20-8k"


def test_a_worked_case_means_the_demo_shop(own: Path, tmp_path: Path) -> None:
    case = cases_dir() / "winch-side-plate" / "job.yaml"
    assert read_assignment(case).demo_shop
    (tmp_path / "link").symlink_to(cases_dir())
    assert read_assignment(tmp_path / "link" / "winch-side-plate" / "job.yaml").demo_shop
    copy = tmp_path / "cases" / "job.yaml"
    copy.parent.mkdir()
    copy.write_bytes(case.read_bytes())
    with pytest.raises(BadInput) as caught:  # the machine of the case is none of ours
        read_assignment(copy)
    assert str(own) in caught.value.problems[0].wanted


def test_without_one_the_demo_shop_answers(tmp_path: Path, job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    job.write_text(JOB + "machine: vmc-40-12k\n", encoding="utf-8")
    for folder in ("none", "file", "file/below"):
        monkeypatch.setenv(CONFIG, str(tmp_path / folder))
        assert read_assignment(job).notes == ("no shop given: the demo shop answers",)


@pytest.mark.parametrize("spoilt", ["text", "folder", "link"])
def test_one_that_cannot_be_read_is_told_by_its_name_and_never_passed_over(spoilt: str, own: Path, job: Path) -> None:
    own.unlink()
    if spoilt == "text":
        own.write_text("machines: 3", encoding="utf-8")
    elif spoilt == "folder":
        own.mkdir()
    else:
        own.symlink_to("nowhere")
    with pytest.raises(BadInput) as caught:
        read_assignment(job)
    assert {problem.file for problem in caught.value.problems} == {str(own)}


def test_whoever_works_for_another_takes_the_default_shop_of_that_one(
    own: Path, job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    own.write_text(SHOP.replace("house: house\n", ""), encoding="utf-8")
    asked = Asked(None, own, None, True, Format.json, "", False, "")
    monkeypatch.setenv(CONFIG, str(own.parent / "none"))
    assert f"your default shop answers, {own}" in advised(asked, str(job)).notes[0]
    job.write_text(JOB + "machine: vmc-40-12k\n", encoding="utf-8")
    monkeypatch.setenv(CONFIG, str(own.parent))
    assert advised(asked._replace(own_shop=None), str(job)).notes == ("no shop given: the demo shop answers",)


def test_the_folder_of_the_settings_is_the_systems_own_unless_it_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(CONFIG, "somewhere")
    assert paths.config_dir() == Path("somewhere")
    for value in (None, ""):
        if value is None:
            monkeypatch.delenv(CONFIG)
        else:
            monkeypatch.setenv(CONFIG, value)
        assert paths.config_dir().name == "roughing-advisor"
        assert paths.config_dir().is_absolute()
