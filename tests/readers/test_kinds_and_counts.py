"""How many alike, words for a kind that say more than ours, and kinds that are refused by name."""

import json
from contextlib import suppress
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from advisor.files.problems import BadInput, Problem
from advisor.knowledge.trade_words import trade_words, words_of
from advisor.model.features import FeatureBase, RoundHole, Slot
from advisor.model.fields import LONGEST_WORD
from advisor.readers.assignment import parse_assignment
from advisor.readers.schemas import job_schema

HEAD = {"part": "Flange", "material": "C45", "machine": "vmc-40-12k"}
HOLE = {"id": "H1", "kind": "round_hole", "diameter": 12, "depth": 20, "floor": True}


def text(*features: dict[str, Any], units: str = "mm") -> str:
    """Return a job as YAML."""
    return yaml.safe_dump(HEAD | {"units": units, "features": list(features)}, allow_unicode=True)


def read(*features: dict[str, Any], units: str = "mm") -> tuple[FeatureBase, ...]:
    """Return the features of a job as they are answered."""
    return parse_assignment(text(*features, units=units)).job.features


def complaints(*features: dict[str, Any], units: str = "mm") -> tuple[Problem, ...]:
    """Return what is wrong with a job."""
    with pytest.raises(BadInput) as refused:
        read(*features, units=units)
    return refused.value.problems


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("count", [1, 6, 500])
def test_so_many_alike_are_read_in_either_unit(count: int, units: str) -> None:
    hole = HOLE if units == "mm" else HOLE | {"diameter": 0.5, "depth": 0.75}
    assert read(hole | {"count": count}, units=units)[0].count == count


@pytest.mark.parametrize(
    ("count", "wanted"),
    [
        (0, "more than 0"),
        (-1, "0"),
        (501, "at most 500"),
        (2.5, "a whole number"),
        ("six", "a whole number"),
        (True, "a whole number"),
        ("6 mm", "a whole number"),
        ([6], "a whole number"),
    ],
)
def test_a_count_is_a_whole_number_from_1_to_500(count: object, wanted: str) -> None:
    (problem,) = complaints(HOLE | {"count": count})
    assert problem.field == "features.H1.count"
    assert wanted in problem.wanted


def test_left_out_a_count_is_one() -> None:
    assert read(HOLE)[0].count == 1


@pytest.mark.parametrize("word", ["counterbore", "Counterbored hole", "spot-face", "C-bore"])
def test_a_counterbore_is_a_blind_hole_with_a_flat_floor(word: str) -> None:
    (found,) = read({"id": "C1", "kind": word, "diameter": 20, "depth": 8})
    assert isinstance(found, RoundHole)
    assert (found.floor, found.flat_floor, found.diameter, found.depth) == (True, True, 20, 8)


@pytest.mark.parametrize(("field", "value"), [("floor", False), ("flat_floor", "no")])
def test_a_counterbore_that_is_said_to_be_otherwise_is_refused(field: str, value: object) -> None:
    (problem, *_) = complaints({"id": "C1", "kind": "counterbore", "diameter": 20, "depth": 8, field: value})
    assert problem.field == f"features.C1.{field}"
    assert "counterbore" in problem.wanted


def test_what_follows_from_a_counterbore_may_be_said_as_well() -> None:
    (found,) = read({"id": "C1", "kind": "counterbore", "diameter": 20, "depth": 8, "floor": "yes", "flat_floor": True})
    assert found.kind == "round_hole"


def test_a_keyway_is_a_slot_closed_at_both_ends_unless_it_is_said() -> None:
    keyway = {"kind": "Keyway", "length": 40, "width": 10, "depth": 5}
    closed, opened = read({"id": "K1", **keyway}, {"id": "K2", **keyway, "open_ends": 1})
    assert isinstance(closed, Slot)
    assert isinstance(opened, Slot)
    assert (closed.open_ends, closed.floor, opened.open_ends) == (0, True, 1)


REFUSED = sorted({word for one in trade_words().refused.values() for word in one.words})


@pytest.mark.parametrize("word", REFUSED)
def test_a_kind_that_is_not_roughed_is_refused_in_one_line_with_why_and_what_instead(word: str) -> None:
    (problem,) = complaints({"id": "X1", "kind": word.title(), "length": 20})
    told = str(problem)
    assert problem.field == "features.X1.kind"
    assert "not roughed here" in told
    assert told.count(";") >= 1
    assert "\n" not in told
    assert len(told) < 400


@pytest.mark.parametrize(
    ("word", "instead"),
    [
        ("face groove", "circles"),
        ("T-slot", "the straight slot"),
        ("chamfer", "left out"),
        ("edge break", "corner_radius"),
        ("tapped hole", "purpose: thread"),
        ("text", "after finishing"),
        ("3D surface", "level floor"),
    ],
)
def test_the_kinds_that_people_ask_for_most_are_refused_with_a_way_out(word: str, instead: str) -> None:
    (problem,) = complaints({"id": "X1", "kind": word})
    assert instead in problem.wanted


def test_one_refused_kind_hides_no_other_fault() -> None:
    problems = complaints({"id": "X1", "kind": "chamfer"}, HOLE | {"diameter": -3}, {"id": "X2", "kind": "engraving"})
    assert [problem.field for problem in problems] == ["features.X1.kind", "features.H1.diameter", "features.X2.kind"]


def test_no_word_of_a_refused_kind_means_a_kind_that_is_roughed() -> None:
    known = words_of("kinds")
    assert all(not known.meanings(word) for word in REFUSED)


@given(st.text(min_size=1, max_size=LONGEST_WORD))
def test_any_word_as_a_kind_is_read_or_refused(word: str) -> None:
    with suppress(BadInput):
        assert read({"id": "X1", "kind": word, "diameter": 20, "depth": 8})


@pytest.mark.parametrize(
    ("feature", "good"),
    [
        ({"kind": "counterbore", "diameter": 20, "depth": 8}, True),
        ({"kind": "keyway", "length": 40, "width": 10, "depth": 5}, True),
        ({"kind": "keyway", "length": 40, "width": 10, "depth": 5, "open_ends": 1}, True),
        ({"kind": "counterbore", "diameter": 20, "depth": 8, "flat_floor": False}, False),
        ({"kind": "slot", "length": 40, "width": 10, "depth": 5}, False),
        ({"kind": "chamfer", "length": 40, "width": 10, "depth": 5}, False),
        (HOLE | {"count": 6}, True),
        (HOLE | {"count": 0}, False),
        (HOLE | {"count": 501}, False),
        (HOLE | {"count": 2.5}, False),
        (HOLE | {"stock_wall": 2, "stock_floor": "1 mm"}, True),
    ],
)
def test_the_schema_accepts_what_the_reader_accepts(feature: dict[str, Any], good: bool) -> None:
    one = {"id": "X1"} | feature
    schema = json.loads(json.dumps(job_schema()))
    assert jsonschema.Draft202012Validator(schema).is_valid(HEAD | {"features": [one]}) is good
    if good:
        assert read(one)
    else:
        assert complaints(one)


def test_a_job_with_a_refused_kind_is_bad_input(tmp_path: Path) -> None:
    from typer.testing import CliRunner

    from advisor.cli.main import app

    path = tmp_path / "job.yaml"
    path.write_text(text({"id": "X1", "kind": "chamfer"}), encoding="utf-8")
    found = CliRunner().invoke(app, ["advise", str(path)])
    assert found.exit_code == 2
