"""The coach's own table: what it must hold is there, nothing else is, and each slip is told with its line."""

import copy
from collections.abc import Iterator
from dataclasses import replace
from typing import Any, get_args

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from advisor.coach.table import table, table_of
from advisor.coach.topics import topics
from advisor.files.checking import value_at
from advisor.files.problems import BadInput, Problem
from advisor.files.yaml_reader import Document, YamlPath, parse_yaml, read_yaml
from advisor.model.fields import Coolant
from advisor.paths import shared_dir

FILE = shared_dir() / "coach.yaml"
TEXT = FILE.read_text(encoding="utf-8")
DOCUMENT = read_yaml(FILE)


def leaves(value: Any, path: YamlPath = ()) -> Iterator[YamlPath]:
    """The paths of all that is neither list nor mapping; sources are held by the tests of the shared tables."""
    if isinstance(value, dict):
        for key, held in value.items():
            yield from leaves(held, (*path, key)) if key != "source" else ()
    elif isinstance(value, list):
        for place, held in enumerate(value):
            yield from leaves(held, (*path, place))
    else:
        yield path


LEAVES = list(leaves(DOCUMENT.value))
NUMBERS = [path for path in LEAVES if type(value_at(DOCUMENT.value, path)) in (int, float) and "words" not in path]
CLOSED = [
    (),
    ("trade",),
    ("trade", "tempting_time"),
    ("would_run",),
    ("crib",),
    ("drills",),
    ("weights",),
    ("held_to",),
]
CLOSED += [("purpose",), ("purpose", "teeth"), ("would_run", "not_so"), ("plainly_by",), ("trap_beside",)]
CLOSED += [("clear_time",), *((("recipes", place)) for place in range(len(DOCUMENT.value["recipes"])))]
CLOSED += [("recipes", place, "sizes") for place in range(len(DOCUMENT.value["recipes"]))]


def changed(path: YamlPath, value: Any) -> Document:
    """The table as a document with another value at a path."""
    other = copy.deepcopy(DOCUMENT.value)
    value_at(other, path[:-1])[path[-1]] = value
    return replace(DOCUMENT, value=other)


def complaints(text: str) -> tuple[Problem, ...]:
    with pytest.raises(BadInput) as raised:
        table_of(parse_yaml(text, "coach.yaml"))
    return raised.value.problems


def line_of(text: str, part: str) -> int:
    """The line in which a part of a text begins."""
    return text[: text.index(part)].count("\n") + 1


SLIPS = {  # what is written, what in its place; the field and what is found there
    "a key that is not known": ("line_half: 2 ", "line_halves: 3\nline_half: 2 ", "line_halves", "as a field"),
    "a key inside a part": ("crib: {least: 3,", "crib: {leest: 3, least: 3,", "crib.leest", "as a field"),
    "a number of the trade": ("  tempting_time: {", "  tempting: {}\n  tempting_time: {", "tempting", "as a field"),
    "a rule that is not there": ("time_alone: [slower", "time_alone: [slowr", "time_alone[1]", "'slowr-than-advised'"),
    "a rule as a key": ("trap_beside: {short", "trap_beside: {shrt", "shrt-edges-at-full-depth", "'shrt-edges"),
    "a share above 1": ("pencil: 0.45", "pencil: 45", "pencil", "45"),
    "yes in place of a number": ("pencil: 0.45", "pencil: yes", "pencil", "'yes'"),
    "text in place of a number": ("_time: {value: 1.2", "_time: {value: often", "tempting_time.value", "'often'"),
    "a threshold that is not there": ("[bore_ratio_least, l", "[bore_ratio_lest, l", "near[1]", "'bore_ratio_lest'"),
    "the greatest before the least": ("crib: {least: 3,", "crib: {least: 9,", "crib.most", "6"),
    "a group without teeth": ('teeth: {"N": [1, 3], ', "teeth: {", "purpose.teeth", "none for N"),
    "a way in that is not there": ("hole: [zigzag_ramp]", "hole: [zigzag]", "not_so.round_hole[1]", "'zigzag'"),
}


@pytest.mark.parametrize(("part", "other", "field", "found"), SLIPS.values(), ids=SLIPS)
def test_a_slip_is_told_with_its_line(part: str, other: str, field: str, found: str) -> None:
    assert TEXT.count(part) == 1
    text = TEXT.replace(part, other)
    (problem,) = complaints(text)
    assert problem.file == "coach.yaml"
    assert problem.line == line_of(text, other)
    assert problem.field.endswith(field)
    assert found in problem.found


def test_a_name_is_told_with_the_one_most_like_it() -> None:
    assert complaints(TEXT + "level: 3\n")[0].found == "'level' as a field"
    (problem,) = complaints(TEXT.replace("time_alone: [slower", "time_alone: [slowr"))
    assert problem.nearest == "slower-than-advised"


def test_all_slips_are_told_at_once() -> None:
    text = (
        TEXT.replace("pencil: 0.45", "pencil: 45").replace("time_alone: [slower", "time_alone: [slowr") + "levels: 3\n"
    )
    assert len(complaints(text)) == 3


@given(st.sampled_from(LEAVES), st.sampled_from([{}, {"a": 1}, None, float("nan"), [[]], "\0"]))
def test_what_is_of_another_kind_is_refused_wherever_it_stands(path: YamlPath, value: Any) -> None:
    if isinstance(value, str) and (
        path[0] in ("parts", "trade", "fire", "hole_purposes") or "topics" in path or "words" in path
    ):
        return  # any text may stand there
    with pytest.raises(BadInput):
        table_of(changed(path, value))


@given(st.sampled_from(NUMBERS), st.floats(max_value=-1e-9, allow_nan=False))
def test_no_number_of_the_table_is_below_0(path: YamlPath, value: float) -> None:
    with pytest.raises(BadInput):
        table_of(changed(path, value))


@given(st.sampled_from(CLOSED), st.text(min_size=1, max_size=12))
def test_a_key_that_nobody_reads_is_refused_wherever_it_stands(path: YamlPath, name: str) -> None:
    held = value_at(DOCUMENT.value, path)
    assume(name not in held)
    with pytest.raises(BadInput):
        table_of(changed((*path, name), next(iter(held.values()))))


def test_what_carries_liquid_to_the_cut_is_a_coolant() -> None:
    wet = table().would_run.wet_coolants
    assert wet
    assert set(wet) < set(get_args(Coolant)) - {"none", "air"}


def test_features_are_invented_for_topics_that_there_are() -> None:
    assert {topic for recipe in table().recipes for topic in recipe.topics} <= set(topics())
