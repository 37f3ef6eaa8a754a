"""``roughing where``: every file and folder that a command uses, and whether it is there."""

import json
from pathlib import Path

import pytest

from advisor import paths
from advisor.coach import record
from advisor.files.cache import SWITCH
from tests.cli.commands import roughing


def places(**environment: str) -> dict[str, tuple[str | None, bool]]:
    """The places by their names, as JSON tells them."""
    ended = roughing("where", "--format", "json", **environment)
    assert (ended.returncode, ended.stderr) == (0, "")
    return {one["name"]: (one["path"], one["exists"]) for one in json.loads(ended.stdout)}


def test_every_place_is_where_the_program_looks(tmp_path: Path) -> None:
    found = places(
        ROUGHING_CONFIG=str(tmp_path / "settings"), ROUGHING_DATA=str(tmp_path / "data"),
        XDG_CACHE_HOME=str(tmp_path / "cache"),
    )  # fmt: skip
    assert found == {
        "Rules": (str(paths.rules_dir()), True),
        "Tables and demo shop": (str(paths.shared_dir()), True),
        "Worked cases": (str(paths.cases_dir()), True),
        "Default shop": (str(tmp_path / "settings" / "shop.yaml"), False),
        "House rules": (None, False),
        "Record of practice": (str(tmp_path / "data" / "coach"), False),
        "Cache": (str(tmp_path / "cache" / "roughing-advisor"), False),
    }
    assert list(tmp_path.iterdir()) == []  # looking makes nothing


def test_what_is_there_is_told_as_there(tmp_path: Path) -> None:
    environment = {"ROUGHING_CONFIG": str(tmp_path), "ROUGHING_DATA": str(tmp_path)}
    assert roughing("init", tmp_path / "job", "--yes", "--default", **environment).returncode == 0
    (tmp_path / "house").mkdir()
    (tmp_path / "coach").mkdir()
    shop = tmp_path / "shop.yaml"
    shop.write_text(shop.read_text(encoding="utf-8").replace("# house: house", "house: house"), encoding="utf-8")
    found = places(**environment)
    assert found["Default shop"] == (str(shop), True)
    assert found["House rules"] == (str(tmp_path / "house"), True)
    assert found["Record of practice"] == (str(tmp_path / record.folder().name), True)


@pytest.mark.parametrize("columns", ["50", "80"])
def test_the_text_says_what_answers_and_what_moves_it(columns: str, tmp_path: Path) -> None:
    ended = roughing("where", ROUGHING_CONFIG="x", COLUMNS=columns)
    told = " ".join(ended.stdout.split())
    assert "Jobs that name no shop use the demo shop. ROUGHING_CONFIG in the environment names another." in told
    assert all(len(line) <= int(columns) for line in ended.stdout.splitlines() if "/" not in line)
    (tmp_path / "shop.yaml").write_text("machines: 3", encoding="utf-8")
    ended = roughing("where", ROUGHING_CONFIG=str(tmp_path), **{SWITCH: "1"})
    told = " ".join(ended.stdout.split())
    assert ended.returncode == 0
    assert "Jobs that name no shop use it." in told
    assert "The default shop cannot be read." in told
    assert f"Not used, since {SWITCH} is set." in told
