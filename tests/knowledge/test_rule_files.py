"""How the shipped rule files are written, so that each is read with ease: short lines, keys in one order, one example
of each kind inside a rule and the others beside it.
"""

import re
import shutil
from pathlib import Path

import pytest

from advisor.files.yaml_reader import read_yaml
from advisor.knowledge.check import check
from advisor.knowledge.examples import ENDING, is_examples_file, rules_of
from advisor.knowledge.fields import WrittenRule
from advisor.knowledge.house import house_base
from advisor.knowledge.loader import load
from advisor.knowledge.shipped import rule_base
from advisor.paths import rules_dir, shared_dir

BASE = rule_base()
ORDER = (
    "id",
    "title",
    "about",
    "when",
    "verdict",
    "concludes",
    "weight",
    "because",
    "remedy",
    "source",
    "overrides",
    "outright",
    "harm",
    "examples",
)
LONGEST = 100
FILES = sorted(path for path in rules_dir().glob("*/*.yaml") if not is_examples_file(path))
each_file = pytest.mark.parametrize("path", FILES, ids=lambda path: f"{path.parent.name}/{path.name}")


def test_every_key_of_a_rule_has_its_place() -> None:
    assert set(ORDER) == set(WrittenRule.model_fields)


@each_file
def test_the_lines_of_a_rule_file_are_short(path: Path) -> None:
    lines = path.read_text(encoding="utf-8").splitlines()
    assert [number for number, line in enumerate(lines, 1) if len(line) > LONGEST] == []


@each_file
def test_the_keys_of_a_rule_stand_in_one_order(path: Path) -> None:
    for entry in read_yaml(path).value:
        assert list(entry) == [key for key in ORDER if key in entry], entry["id"]


@each_file
def test_every_condition_of_a_rule_has_a_line_of_its_own(path: Path) -> None:
    document = read_yaml(path)
    conditions = [place for place in document.lines if place[1:2] == ("when",) and isinstance(place[-1], int)]
    assert len({document.line(place) for place in conditions}) == len(conditions)


@each_file
def test_a_rule_shows_one_example_of_each_kind(path: Path) -> None:
    for entry in read_yaml(path).value:
        assert {kind: len(found) for kind, found in entry["examples"].items()} == {"fires": 1, "silent": 1}, entry["id"]


def test_an_example_beside_a_rule_has_a_line_of_its_own() -> None:
    for path in sorted(rules_dir().glob(f"*/*{ENDING}")):
        assert rules_of(path) in FILES
        lines = path.read_text(encoding="utf-8").splitlines()
        of_file = [each.line for rule in BASE.rules for each in rule.examples if each.file == str(path)]
        assert sorted(filter(None, of_file)) == [n for n, line in enumerate(lines, 1) if line.startswith("    - {")]


def yaml_under(file: str, heading: str) -> list[str]:
    """Return the blocks of YAML in a section of a guide."""
    text = (Path(__file__).parents[2] / file).read_text(encoding="utf-8")
    section = text.partition(f"\n## {heading}\n")[2].partition("\n## ")[0]
    return re.findall(r"```yaml\n(.*?)```", section, re.DOTALL)


def test_the_rule_that_the_guide_shows_can_be_read_with_the_examples_beside_it(tmp_path: Path) -> None:
    rules, examples = (
        text.replace("slot-too-narrow", "own-slot") for text in yaml_under("DEVELOPERS.md", "Add a rule")
    )
    folder = Path(shutil.copytree(rules_dir(), tmp_path / "rules"))
    (folder / "clearing" / "own.yaml").write_text(rules, encoding="utf-8")
    (folder / "clearing" / f"own{ENDING}").write_text(examples, encoding="utf-8")
    base = load(folder, shared_dir() / "sources.yaml")
    assert len(base.by_id["own-slot-to-loop"].examples) == 5
    assert check(base) == ()


def test_the_house_rules_that_the_readme_shows_can_be_read(tmp_path: Path) -> None:
    text = "".join(yaml_under("README.md", "House rules"))
    (tmp_path / "house.yaml").write_text(text, encoding="utf-8")
    base = house_base(BASE, tmp_path)
    assert "our-deep-slots" in base.by_id
    assert [rule.id for rule in base.preferences] == ["our-e16-in-pockets"]
