"""Whatever bytes stand in a file, the answer is a result or BadInput, never another exception."""

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.files.problems import BadInput
from advisor.model.assignment import Assignment

FILES = ("job.yaml", "shop.yaml", "crib.csv")
LOOSE = settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
WORDS = [
    "id", "kind", "slot", "width", "length", "depth", "features", "machines", "spindle", "speed", "power", "crib",
    "part", "true", "~", "-1", "1e999", ".nan", "3/0 in", "&a", "*a", "!!int", "? ", ": ", "- ", "[", "]", "{", "}",
    ",", ";", "\n", "\n  ", '"', "'", "|", ">", "#", "# units:", "\t", "\0", "\x85", "\u2028", "DC", "APMX", "drill",
    "9" * 5000, "%YAML 1.2\n", "Ø", "12,5", "1.200", "DC [mm]", "Durchmesser", "[", "R0,5", "ja", "Zoll",
]  # fmt: skip

Read = Callable[..., Assignment]


def answers(read: Read, instead: dict[str, bytes]) -> Assignment | BadInput:
    """Return the result or the refusal; any other exception fails the test."""
    try:
        return read(instead)
    except BadInput as caught:
        refusal = caught
    assert all(str(problem).isprintable() for problem in refusal.problems)
    return refusal


@pytest.mark.parametrize("name", FILES)
@given(data=st.binary(max_size=300))
@LOOSE
def test_any_bytes_are_answered(name: str, data: bytes, read: Read) -> None:
    answers(read, {name: data})


@pytest.mark.parametrize("name", FILES)
@given(words=st.lists(st.sampled_from(WORDS), max_size=40))
@LOOSE
def test_any_jumble_of_the_words_of_a_file_is_answered(name: str, words: list[str], read: Read) -> None:
    answers(read, {name: "".join(words).encode()})


@pytest.mark.parametrize("name", FILES)
@given(data=st.data())
@LOOSE
def test_a_good_file_with_a_piece_replaced_is_answered(name: str, data: Any, read: Read, texts: dict[str, str]) -> None:
    good = texts[name]
    start = data.draw(st.integers(0, len(good)))
    end = data.draw(st.integers(start, min(start + 12, len(good))))
    piece = data.draw(st.sampled_from(WORDS) | st.text(max_size=6))
    answers(read, {name: (good[:start] + piece + good[end:]).encode("utf-8", "surrogatepass")})


VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=6,
)


@pytest.mark.parametrize("name", ["job.yaml", "shop.yaml"])
@given(data=st.data())
@LOOSE
def test_a_good_file_with_any_value_in_any_field_is_answered(
    name: str, data: Any, read: Read, texts: dict[str, str]
) -> None:
    import yaml

    whole = yaml.safe_load(texts[name])
    places = [
        (holder, key) for holder in (whole, *whole.get("features", []), *whole.get("machines", [])) for key in holder
    ]
    holder, key = data.draw(st.sampled_from(places))
    holder[key] = data.draw(VALUES)
    answers(read, {name: yaml.safe_dump(whole).encode()})


CODECS = ("utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252", "latin-1", "cp437")


@given(data=st.data())
@LOOSE
def test_a_crib_in_any_encoding_with_a_piece_replaced_is_answered(data: Any, read: Read, texts: dict[str, str]) -> None:
    good = texts["crib.csv"].replace(",", data.draw(st.sampled_from(",;\t")))
    start = data.draw(st.integers(0, len(good)))
    piece = data.draw(st.sampled_from(WORDS) | st.text(max_size=6))
    spoilt = (good[:start] + piece + good[start + data.draw(st.integers(0, 6)) :]).encode(
        data.draw(st.sampled_from(CODECS)), "replace"
    )
    cut = data.draw(st.integers(0, 3))
    answers(read, {"crib.csv": spoilt[cut:]})


@pytest.mark.parametrize("start", [b"PK\x03\x04", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", b"\xff\xfe", b"\xfe\xff"])
@given(data=st.binary(max_size=300))
@LOOSE
def test_any_bytes_that_begin_as_another_kind_of_file_are_answered(start: bytes, data: bytes, read: Read) -> None:
    answers(read, {"crib.csv": start + data})


@given(rows=st.lists(st.lists(st.sampled_from(WORDS) | st.text(max_size=5), min_size=1, max_size=6), max_size=6))
@LOOSE
def test_any_table_of_a_plan_is_answered(rows: list[list[str]]) -> None:
    from advisor.readers.plan_table import read_plan_table

    table = "\n".join(";".join(row) for row in [["feature", "cutter", "ap", "n", "vf", "side"], *rows])
    try:
        read_plan_table("plan.csv", table.encode("utf-8", "replace"), "mm")
        told: tuple[Any, ...] = ()
    except BadInput as caught:
        told = caught.problems
    assert all(str(problem).isprintable() for problem in told)
