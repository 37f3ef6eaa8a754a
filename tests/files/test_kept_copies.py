"""A copy of our own tables is made anew as soon as one changes that it was read with."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

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
TABLES = (
    "advisor.knowledge.glossary:glossary",
    "advisor.knowledge.shipped:rule_base",
    "advisor.knowledge.trade_words:trade_words",
    "advisor.readers.assignment:demo_crib",
    "advisor.readers.assignment:demo_shop",
    "advisor.readers.materials:load_materials",
)


def opened(table: str, home: Path) -> list[str]:
    """The files of ours that a new process opens to have a table."""
    found = {name: value for name, value in os.environ.items() if name != "ROUGHING_NO_CACHE"}
    ran = subprocess.run(
        [sys.executable, "-c", OPENED, table],
        env=found | {"XDG_CACHE_HOME": str(home)},
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
