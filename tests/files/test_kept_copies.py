"""A copy of our own tables is made anew as soon as one changes that it was read with."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
OPENED = """
import json, sys
from importlib import import_module

opened = set()

def note(event, given):
    if event == "open" and isinstance(given[0], str):
        opened.add(given[0])

sys.addaudithook(note)
from advisor.paths import data_root
module, function = sys.argv[1].split(":")
getattr(import_module(module), function)()
tables = [str(data_root() / folder) for folder in ("rules", "shared")]
print(json.dumps(sorted(path for path in opened if path.startswith(tuple(tables)))))
"""
TABLES = {  # each with the kind of its copy
    "advisor.knowledge.glossary:glossary": "Glossary",
    "advisor.knowledge.shipped:rule_base": "RuleBase",
    "advisor.knowledge.trade_words:trade_words": "TradeWords",
    "advisor.readers.assignment:demo_crib": "CribFile",
    "advisor.readers.assignment:demo_shop": "Shop",
    "advisor.readers.materials:load_materials": "Materials",
}


def opened(table: str, home: Path, checkout: Path = ROOT) -> list[str]:
    """The files of ours that a new process opens to have a table."""
    found = {name: value for name, value in os.environ.items() if name != "ROUGHING_NO_CACHE"}
    ran = subprocess.run(
        [sys.executable, "-c", OPENED, table],
        env=found | {"XDG_CACHE_HOME": str(home), "PYTHONPATH": str(checkout)},
        cwd=checkout,
        capture_output=True,
        text=True,
        check=True,
    )
    files: list[str] = json.loads(ran.stdout)
    return files


@pytest.mark.parametrize("table", TABLES)
def test_a_copy_is_known_by_every_file_that_it_was_read_with(table: str, tmp_path: Path) -> None:
    first = opened(table, tmp_path)
    assert len(list((tmp_path / "roughing-advisor").glob("*.pickle"))) >= 1
    assert first
    assert opened(table, tmp_path) == first


@pytest.fixture(scope="module")
def checkout(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A checkout whose tables may be changed."""
    there = tmp_path_factory.mktemp("checkout")
    for folder in ("advisor", "rules", "shared"):
        shutil.copytree(ROOT / folder, there / folder, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", there)
    return there


def copies(home: Path, kind: str) -> list[str]:
    """The names of the copies of a kind, of which there is one at a time."""
    return [path.name for path in (home / "roughing-advisor").glob(f"{kind}-*.pickle")]


@pytest.mark.parametrize(("table", "kind"), TABLES.items())
def test_a_copy_is_made_anew_when_a_byte_of_its_files_changes(
    table: str, kind: str, checkout: Path, tmp_path: Path
) -> None:
    files = opened(table, tmp_path, checkout)
    (before,) = copies(tmp_path, kind)
    opened(table, tmp_path, checkout)
    assert copies(tmp_path, kind) == [before]
    for file in {files[0], files[-1]}:
        with open(file, "ab") as changed:
            changed.write(b"\n")
        opened(table, tmp_path, checkout)
        (after,) = copies(tmp_path, kind)
        assert after != before, file
        before = after
