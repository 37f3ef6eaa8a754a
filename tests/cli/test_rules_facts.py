"""``roughing rules facts``: what a condition may use, found by a word, each with an example that is read."""

import json

import pytest
from typer.testing import CliRunner

from advisor.cli.main import app
from advisor.knowledge.conditions import Compare, parse
from advisor.knowledge.schema import reads
from advisor.knowledge.shipped import rule_base
from advisor.text.facts import MOST_READERS, example, facts_meant, values_text

BASE = rule_base()


def run(*words: object) -> tuple[int, str, str]:
    found = CliRunner().invoke(app, ["rules", "facts", *map(str, words)])
    return found.exit_code, found.stdout, found.stderr


def test_without_a_word_every_fact_is_listed_once() -> None:
    code, told, remarks = run("--format", "json")
    assert code == 0
    assert sorted(one["fact"] for one in json.loads(told)) == sorted(BASE.measures)
    assert remarks == f"{len(BASE.measures)} of {len(BASE.measures)} facts\n"


@pytest.mark.parametrize("words", [("depth_ratio",), ("depth", "ratio"), ("depth ratio",), ("DEPTH_RATIO",)])
def test_a_fact_is_found_by_its_name_however_it_is_typed(words: tuple[str, ...]) -> None:
    code, told, _ = run(*words)
    assert code == 0
    assert "depth_ratio: Depth over the cutter's diameter." in " ".join(told.split())


def test_a_fact_is_found_by_what_it_is_by_its_unit_and_by_its_values() -> None:
    for word, name in {"thinnest": "thinnest_wall", "cm³": "removal_rate", "tialn": "coating", "nm": "torque"}.items():
        assert name in [measure.name for measure in facts_meant(BASE, [word])], word


def test_one_fact_is_told_with_unit_values_stage_example_formula_and_rules() -> None:
    told = " ".join(run("depth_ratio")[1].split())
    readers = [rule for rule in BASE.asked if "depth_ratio" in reads(rule)]
    for part in (
        "Of a cutter in the feature",
        "Values: 0 to 20 000; no unit.",
        "From stage appraisal on.",
        "- depth_ratio > insert_drill_depth_most",
        "depth_ratio = depth / DC",
        f"and {len(readers) - MOST_READERS} more.",
    ):
        assert part in told, part
    assert "From stage review on" in " ".join(run("side_beyond_room")[1].split())


def test_the_id_of_a_cutter_is_a_fact_with_an_example_in_quotes() -> None:
    told = " ".join(run("cutter_id")[1].split())
    assert "an id of the crib, in quotes" in told
    assert '- cutter_id = "E12"' in told


def test_a_word_that_no_fact_has_is_refused_with_the_nearest() -> None:
    code, told, remarks = run("depht_ratio")
    assert (code, told) == (2, "")
    assert "Did you mean depth_ratio?" in remarks
    assert run("--level", "part")[0] == 2


@pytest.mark.parametrize("level", ["feature", "cutter", "method", "candidate"])
def test_facts_of_one_level_alone_may_be_asked_for(level: str) -> None:
    found = json.loads(run("--level", level, "--format", "json")[1])
    assert {one["level"] for one in found} == {level}


@pytest.mark.parametrize("name", BASE.measures)
def test_the_example_of_every_fact_is_a_condition_within_its_values(name: str) -> None:
    measure = BASE.measures[name]
    leaf = parse(example(measure, BASE), BASE.limits)
    assert isinstance(leaf, Compare)
    assert leaf.fact == name
    assert values_text(measure)
    if measure.range is None:
        assert measure.can_be(leaf.value)
    else:
        assert isinstance(leaf.value, float)
        assert measure.range[0] <= leaf.value <= measure.range[1]


@pytest.mark.parametrize("columns", [50, 80])
def test_the_list_fits_its_page(monkeypatch: pytest.MonkeyPatch, columns: int) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    assert max(map(len, run()[1].splitlines())) <= columns
