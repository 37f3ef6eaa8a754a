"""The inputs start quickly, and find their data in a checkout and in a wheel."""

import shutil
import subprocess
import sys
from pathlib import Path

import yaml

import advisor
from advisor import paths
from advisor.files.yaml_reader import read_yaml
from advisor.readers.crib import read_crib
from advisor.readers.materials import load_materials
from tests.effort import effort

ROOT = Path(advisor.__file__).parent.parent


def test_the_package_alone_loads_nothing_heavy() -> None:
    program = "import sys, advisor; print(sorted({'pydantic', 'yaml', 'numpy', 'rich'} & set(sys.modules)))"
    assert run(program) == "[]"


def test_reading_an_assignment_loads_neither_numpy_nor_rich() -> None:
    program = (
        "import sys; from advisor.readers.assignment import read_assignment;"
        "from advisor.readers.materials import load_materials; load_materials();"
        "print(sorted({'numpy', 'scipy', 'rich', 'difflib', 'shapely'} & set(sys.modules)))"
    )
    assert run(program) == "[]"


def test_a_checkout_uses_the_tables_where_they_lie() -> None:
    assert paths.shared_dir() == ROOT / "shared"
    assert paths.rules_dir() == ROOT / "rules"
    assert paths.cases_dir() == ROOT / "cases"


def test_an_installed_package_uses_the_tables_inside_it(tmp_path: Path) -> None:
    shutil.copytree(ROOT / "advisor", tmp_path / "advisor", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copytree(ROOT / "shared", tmp_path / "advisor" / "_data" / "shared")
    (tmp_path / "rules").mkdir()  # another package of that name beside ours proves nothing
    program = (
        "from advisor.readers.materials import load_materials; from advisor.paths import data_root;"
        "load_materials(); print(data_root())"
    )
    assert run(program, tmp_path) == str(tmp_path / "advisor" / "_data")


def run(program: str, folder: Path = ROOT) -> str:
    """Return what a program prints in a fresh interpreter."""
    done = subprocess.run([sys.executable, "-c", program], cwd=folder, capture_output=True, text=True, check=True)
    return done.stdout.strip()


def test_the_tables_are_loaded_at_once() -> None:
    def load() -> None:
        load_materials.cache_clear()
        load_materials()
        read_crib(paths.shared_dir() / "crib.csv")
        read_yaml(paths.shared_dir() / "shop.yaml")

    text = (paths.shared_dir() / "materials.yaml").read_text(encoding="utf-8")
    assert effort(load) < effort(lambda: yaml.load(text, yaml.SafeLoader)) / 2
