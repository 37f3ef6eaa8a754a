"""Malformed files: each ends with 2 and with errors that name file, place and remedy; none with a traceback."""

from collections.abc import Callable
from pathlib import Path

import pytest
from typer.testing import CliRunner

from advisor.cli.main import app
from advisor.paths import cases_dir

JOB = (cases_dir() / "guide-slot-narrow" / "job.yaml").read_text(encoding="utf-8")
SHOP = (cases_dir() / "guide-slot-narrow" / "shop.yaml").read_text(encoding="utf-8")
CRIB = (cases_dir() / "guide-slot-narrow" / "crib.csv").read_text(encoding="utf-8")


def lay(folder: Path, job: str | bytes = JOB, shop: str = SHOP, crib: str = CRIB) -> Path:
    """Lay job, shop and crib into a folder; gives the job."""
    (folder / "job.yaml").write_bytes(job if isinstance(job, bytes) else job.encode())
    (folder / "shop.yaml").write_text(shop, encoding="utf-8")
    (folder / "crib.csv").write_text(crib, encoding="utf-8")
    return folder / "job.yaml"


def crib_line(*cells: str) -> str:
    head, first, *_ = CRIB.splitlines()
    return "\n".join([head, ",".join([*cells, *first.split(",")[len(cells) :]])]) + "\n"


MALFORMED: dict[str, tuple[Callable[[Path], Path], str]] = {
    "an empty job": (lambda folder: lay(folder, ""), "job.yaml"),
    "no YAML": (lambda folder: lay(folder, "features: [{id: S1"), "job.yaml:2: found an error in the YAML"),
    "binary data": (lambda folder: lay(folder, b"part: \x00\xff"), "binary data"),
    "no UTF-8": (lambda folder: lay(folder, b"part: \xff"), "UTF-8"),
    "a list for a job": (lambda folder: lay(folder, "- 1\n- 2\n"), "wanted a job"),
    "a misspelt field": (lambda folder: lay(folder, JOB.replace("width:", "widht:")), "width"),
    "an unknown kind": (lambda folder: lay(folder, JOB.replace("kind: slot", "kind: slit")), "Did you mean slot?"),
    "a negative size": (lambda folder: lay(folder, JOB.replace("depth: ", "depth: -")), "more than 0"),
    "an unknown material": (
        lambda folder: lay(folder, JOB.replace("material: ", "material: Unobtainium ")),
        "material",
    ),
    "an unknown machine": (lambda folder: lay(folder, JOB.replace("machine: ", "machine: no-")), "a machine of"),
    "a shop that is not there": (
        lambda folder: lay(folder, JOB.replace("shop.yaml", "shp.yaml")),
        "Did you mean shop.yaml?",
    ),
    "a shop without machines": (lambda folder: lay(folder, shop="crib: crib.csv\n"), "machines"),
    "an empty crib": (lambda folder: lay(folder, crib=""), "crib.csv"),
    "a crib of heads alone": (lambda folder: lay(folder, crib=CRIB.splitlines()[0] + "\n"), "no cutter"),
    "a word for a number": (lambda folder: lay(folder, crib=crib_line("E1", "solid_end_mill", "wide")), "E1.DC"),
    "an unknown body": (
        lambda folder: lay(folder, crib=crib_line("E1", "solid_end_mil")),
        "Did you mean solid_end_mill?",
    ),
    "two features of one id": (lambda folder: lay(folder, JOB + JOB[JOB.index("  - {") :]), "S1"),
}


@pytest.mark.parametrize("slip", MALFORMED)
@pytest.mark.parametrize("command", [("advise",), ("why", "S1")])
def test_a_malformed_file_is_told_and_ends_with_2(slip: str, command: tuple[str, ...], tmp_path: Path) -> None:
    make, expected = MALFORMED[slip]
    job = make(tmp_path)
    ended = CliRunner().invoke(app, [command[0], str(job), *command[1:]])
    assert ended.exit_code == 2
    assert ended.stdout == ""
    assert expected in ended.stderr
    assert "Traceback" not in ended.stderr
    assert "internal error" not in ended.stderr


def test_the_same_files_unchanged_are_well_formed(tmp_path: Path) -> None:
    assert CliRunner().invoke(app, ["advise", str(lay(tmp_path))]).exit_code == 0


def test_every_problem_has_a_line_of_its_own(tmp_path: Path) -> None:
    job = lay(tmp_path, JOB.replace("width:", "widht:").replace("machine: ", "machine: no-"))
    told = CliRunner().invoke(app, ["advise", str(job)]).stderr.splitlines()
    assert len(told) >= 2
    assert all("wanted" in line for line in told)


@pytest.mark.parametrize("sign", ["\x1b[31m", "\u202e", "\x07"])
def test_a_file_cannot_drive_the_terminal(sign: str, tmp_path: Path) -> None:
    escaped = "".join(f"\\x{ord(part):02x}" if ord(part) < 256 else f"\\u{ord(part):04x}" for part in sign)
    job = lay(tmp_path, JOB.replace("id: S1", f'id: "S{escaped}1"'))
    ended = CliRunner().invoke(app, ["advise", str(job)])
    assert ended.exit_code == 2
    assert sign[0] not in ended.stderr


def test_a_name_of_a_file_cannot_drive_the_terminal() -> None:
    ended = CliRunner().invoke(app, ["advise", "no\x1b[31msuch.yaml"])
    assert ended.exit_code == 2
    assert "\x1b" not in ended.stderr


def test_an_empty_crib_is_bad_input_for_the_crib_command(tmp_path: Path) -> None:
    lay(tmp_path, crib="")
    ended = CliRunner().invoke(app, ["crib", str(tmp_path / "crib.csv")])
    assert ended.exit_code == 2
    assert "an empty file" in ended.stderr


def test_markup_in_names_is_shown_as_it_stands(tmp_path: Path) -> None:
    job = lay(tmp_path, JOB.replace("id: S1", 'id: "[bold]S1[/]"'))
    ended = CliRunner().invoke(app, ["advise", str(job)])
    assert ended.exit_code == 0
    assert "[bold]S1[/]" in ended.stdout
    told = CliRunner().invoke(app, ["advise", str(job), "--format", "markdown"]).stdout
    assert "## \\[bold\\]S1\\[/\\]" in told
