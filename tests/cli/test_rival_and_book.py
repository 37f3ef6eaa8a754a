"""Asking why not another way, and writing the handbook, from the command line."""

import json
import stat
from pathlib import Path

import pytest
from typer.testing import CliRunner

from advisor.cli.main import app
from advisor.files.whole_file import write_whole
from advisor.paths import cases_dir
from tests.cli.commands import NO_WAY, WINCH

SLOT = cases_dir() / "guide-slot-narrow" / "job.yaml"


def run(*words: object) -> tuple[int, str, str]:
    found = CliRunner().invoke(app, [str(word) for word in words])
    return found.exit_code, found.stdout, found.stderr


@pytest.mark.parametrize("word", ["layered_pocketing", "layered-pocketing", "Layered pocketing"])
def test_a_method_is_known_as_it_is_written_or_spoken(word: str) -> None:
    code, told, _ = run("why", SLOT, "S1", "--not", word, "--format", "json")
    assert code == 0
    assert json.loads(told)["instead"]["method"] == "layered_pocketing"


@pytest.mark.parametrize(
    ("option", "word", "nearest"),
    [("--not", "drillng", "drilling"), ("--cutter", "E11", "E10"), ("--entry", "heliclramp", "helical_ramp")],
)
def test_an_unknown_word_is_met_with_the_nearest(option: str, word: str, nearest: str) -> None:
    code, told, remarks = run("why", SLOT, "S1", option, word)
    assert (code, told) == (2, "")
    assert f"Did you mean {nearest}?" in remarks


@pytest.mark.parametrize(
    ("options", "method", "entry"),
    [
        (("--not", "Trochoidal"), "engagement_limited_clearing", None),
        (("--not", "wide layers", "--cutter", "e10", "--entry", "on a helix"), "layered_pocketing", "helical_ramp"),
    ],
)
def test_what_people_type_is_held_beside_the_advised_way(
    options: tuple[str, ...], method: str, entry: str | None
) -> None:
    code, told, _ = run("why", SLOT, "s1", *options, "--format", "json")
    assert code == 0
    found = json.loads(told)["instead"]
    assert (found["method"], found["entry"]) == (method, entry or found["entry"])


@pytest.mark.parametrize(
    ("option", "word", "choices"),
    [
        ("--not", "bore", "helical_boring (an end mill goes down on a helix) or drilling (one stroke of a drill)"),
        ("--entry", "ramp", "helical_ramp (in circles) or zigzag_ramp (to and fro along a line)"),
    ],
)
def test_a_word_with_several_meanings_is_asked_back(option: str, word: str, choices: str) -> None:
    code, told, remarks = run("why", SLOT, "S1", option, word)
    assert (code, told) == (2, "")
    assert f"found '{word}', which has several meanings; wanted {choices}." in remarks


@pytest.mark.parametrize("option", ["--not", "--cutter", "--entry"])
def test_an_empty_word_is_not_passed_over(option: str) -> None:
    assert run("why", SLOT, "S1", option, "")[0] == 2


def test_a_feature_without_a_way_can_be_asked_too() -> None:
    code, told, _ = run("why", NO_WAY, "P1", "--not", "plunge_roughing")
    assert code == 1
    assert "What would lift the rule" in told


def test_another_way_is_shown_as_markdown() -> None:
    code, told, _ = run("why", WINCH, "P1", "--not", "layered_pocketing", "--format", "markdown")
    assert code == 0
    assert "|  | advised | compared |" in told


def test_a_rules_page_names_cases_and_neighbours() -> None:
    code, told, _ = run("rules", "show", "narrow-slot-is-ramped")
    assert code == 0
    assert "guide-slot-narrow S1" in told
    found = json.loads(run("rules", "show", "room-is-close", "--format", "json")[1])
    assert "loops-are-a-close-call" in found["feeds"]
    assert len(found["cases"]) > 2
    assert {one["case"] for one in found["cases"]} >= {"winch-side-plate"}


@pytest.mark.parametrize("form", ["markdown", "html"])
def test_the_handbook_goes_to_a_file_or_to_stdout_alike(form: str, tmp_path: Path) -> None:
    file = tmp_path / "book"
    code, told, remarks = run("rules", "book", "--format", form, "--output", file)
    assert (code, told) == (0, "")
    assert "rules written to" in remarks
    assert file.read_text(encoding="utf-8") == run("rules", "book", "--format", form)[1]
    assert list(tmp_path.iterdir()) == [file]


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    code, told, remarks = run("rules", "book", "--output", tmp_path / "none" / "book.md")
    assert (code, told) == (74, "")
    assert "cannot be written" in remarks


def test_a_file_that_cannot_be_written_whole_stays_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "book.md"
    file.write_text("old", encoding="utf-8")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(OSError, match="No space"):
        write_whole(file, "new")
    assert file.read_text(encoding="utf-8") == "old"
    assert list(tmp_path.iterdir()) == [file]


def test_a_file_keeps_its_mode_and_a_link_its_target(tmp_path: Path) -> None:
    file, link = tmp_path / "book.md", tmp_path / "link.md"
    file.write_text("old", encoding="utf-8")
    file.chmod(0o640)
    link.symlink_to(file)
    write_whole(link, "new")
    assert link.is_symlink()
    assert file.read_text(encoding="utf-8") == "new"
    assert stat.S_IMODE(file.stat().st_mode) == 0o640
