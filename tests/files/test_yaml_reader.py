"""YAML files are read as the core of YAML 1.2, remember their lines, and can do no harm."""

import os
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.files.problems import BadInput
from advisor.files.yaml_reader import parse_yaml, read_yaml
from tests.effort import effort


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("yes", "yes"), ("no", "no"), ("on", "on"), ("Off", "Off"), ("y", "y"),
        ("true", True), ("True", True), ("FALSE", False), ("tRue", "tRue"),
        ("null", None), ("~", None), ("", None), ("Null", None),
        ("12", 12), ("-12", -12), ("+12", 12), ("012", 12), ("0o14", "0o14"), ("0x1F", "0x1F"),
        ("1.5", 1.5), (".5", 0.5), ("5.", 5.0), ("1e3", 1000.0), ("1.5E-3", 0.0015), ("1_000", "1_000"),
        ("12:30", "12:30"), ("1:30.5", "1:30.5"), ("2026-11-25", "2026-11-25"), ("1.2.3", "1.2.3"), ("-", "-"),
        (".inf", float("inf")), ("-.Inf", float("-inf")), ("inf", "inf"),
        ("'12'", "12"), ('"true"', "true"), ("'~'", "~"),
        ("!!str 12", "12"), ("! 12", "12"), ("!!float 3", 3.0), ("!!int 3", 3), ("!!bool true", True),
        ("<<", "<<"), ("=", "="), ("9" * 61, "9" * 61),
    ],
)  # fmt: skip
def test_only_the_core_words_and_decimal_numbers_are_special(written: str, meant: object) -> None:
    value = parse_yaml(f"key: {written}" if written != "-" else "key: '-'", "x.yaml").value["key"]
    assert value == meant
    assert type(value) is type(meant)


def test_nan_is_a_number() -> None:
    value = parse_yaml("a: .nan", "x.yaml").value["a"]
    assert value != value


LINED = """\
# a comment
part: a
features:
  - id: S1
    sizes: {width: 3,
            length: 4}
  -
    id: P1
text: >
  folded
  over
last: [1,
  2]
"""


def test_every_path_knows_its_line() -> None:
    document = parse_yaml(LINED, "x.yaml")
    assert document.value["text"] == "folded over\n"
    assert document.line(()) == 2
    assert document.line(("part",)) == 2
    assert document.line(("features", 0)) == 4
    assert document.line(("features", 0, "sizes", "width")) == 5
    assert document.line(("features", 0, "sizes", "length")) == 6
    assert document.line(("features", 1, "id")) == 8
    assert document.line(("last", 1)) == 13


def test_a_path_that_is_not_there_has_the_line_of_its_nearest_ancestor() -> None:
    document = parse_yaml(LINED, "x.yaml")
    assert document.line(("features", 0, "sizes", "depth")) == 5
    assert document.line(("features", 7, "id")) == 3
    assert document.line(("shop", "crib")) == 2


def test_the_spelling_of_a_number_is_kept_for_fields_that_are_text() -> None:
    document = parse_yaml("material: 1.2080\nlist: [007, true, text, '5']", "x.yaml")
    assert document.value["material"] == 1.208
    assert document.texts == {("material",): "1.2080", ("list", 0): "007", ("list", 1): "true"}


def test_an_alias_stands_for_its_anchor() -> None:
    document = parse_yaml("a: &x {b: 1}\nc: *x\nd: [*x, &y 5, *y]", "x.yaml")
    assert document.value == {"a": {"b": 1}, "c": {"b": 1}, "d": [{"b": 1}, 5, 5]}
    assert document.line(("c", "b")) == 2


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("a: &x [*x]", "the alias '*x'"),
        ("? {a: 1}\n: 2", "a key that is no plain word"),
        ("a: &k 1\n*k : 2", "a key that is no plain word"),
        ("a: !!set {b}", "the tag 'tag:yaml.org,2002:set'"),
        ("a: !!binary aGk=", "the tag 'tag:yaml.org,2002:binary'"),
        ("a: !!timestamp 2026-11-25", "the tag 'tag:yaml.org,2002:timestamp'"),
        ("a: !!python/name:os.system ''", "the tag"),
        ("a: !!map [1]", "the tag 'tag:yaml.org,2002:map'"),
        ("a: !!float x", "'x'"),
        ("a: !!int 2.5", "'2.5'"),
        ("a: \t- b\n\tc: d", "an error in the YAML"),
        ("a: b: c", "an error in the YAML"),
        ("%YAML 3.0\n---\na: 1", "an error in the YAML"),
        ("\ud800", "what YAML does not allow"),
    ],
)
def test_what_is_no_plain_yaml_is_refused(text: str, found: str) -> None:
    with pytest.raises(BadInput) as caught:
        parse_yaml(text, "x.yaml")
    assert caught.value.problems[0].found.startswith(found)


def test_deep_aliases_count_as_depth() -> None:
    chain = "a0: &a0 [1]\n" + "".join(f"a{n}: &a{n} [*a{n - 1}]\n" for n in range(1, 60))
    with pytest.raises(BadInput, match="more than 40 levels"):
        parse_yaml(chain, "x.yaml")
    parse_yaml("\n".join(chain.splitlines()[:38]), "x.yaml")


def test_forty_levels_are_deep_enough() -> None:
    parse_yaml("[" * 40 + "]" * 40, "x.yaml")
    with pytest.raises(BadInput, match="more than 40 levels"):
        parse_yaml("[" * 41 + "]" * 41, "x.yaml")


def test_a_duplicate_key_is_told_with_both_lines() -> None:
    with pytest.raises(BadInput) as caught:
        parse_yaml("a: 1\nb:\n  c: 1\n  c: 2\na: 3\n", "x.yaml")
    assert [(problem.line, problem.field, problem.wanted) for problem in caught.value.problems] == [
        (4, "b.c", "it once (it is in line 3)"), (5, "a", "it once (it is in line 1)"),
    ]  # fmt: skip


def test_a_file_may_begin_with_a_byte_order_mark(tmp_path: Path) -> None:
    (tmp_path / "x.yaml").write_bytes(b"\xef\xbb\xbfpart: caf\xc3\xa9\r\nunits: mm\r\n")
    document = read_yaml(tmp_path / "x.yaml")
    assert document.value == {"part": "café", "units": "mm"}
    assert document.line(("units",)) == 2


def test_a_file_in_utf_16_is_refused(tmp_path: Path) -> None:
    (tmp_path / "x.yaml").write_bytes("part: a".encode("utf-16"))
    with pytest.raises(BadInput, match="UTF-8"):
        read_yaml(tmp_path / "x.yaml")


def test_a_file_that_only_seems_small_is_not_read_on_for_ever() -> None:
    with pytest.raises(BadInput, match="more than 1e-05 MB"):
        read_yaml(Path("/dev/zero"), limit_bytes=10)


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read_is_told(tmp_path: Path) -> None:
    (tmp_path / "x.yaml").write_text("a: 1")
    (tmp_path / "x.yaml").chmod(0)
    with pytest.raises(BadInput, match="cannot be read"):
        read_yaml(tmp_path / "x.yaml")


def test_a_name_with_a_nul_is_told() -> None:
    with pytest.raises(BadInput, match="cannot be read"):
        read_yaml(Path("a\0b"))


def test_the_slow_parser_gives_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    quick = parse_yaml(LINED, "x.yaml")
    monkeypatch.delattr(yaml, "CSafeLoader")
    assert parse_yaml(LINED, "x.yaml") == quick


def plain_values() -> st.SearchStrategy[object]:
    """Return values of YAML: mappings and lists of words, numbers, truth values and None."""
    words = st.text(
        st.characters(codec="utf-8", categories=("L", "P", "Zs")), max_size=12
    )  # "08" is text in YAML 1.1 only
    leaves = st.none() | st.booleans() | st.integers(-(10**9), 10**9) | st.floats(allow_nan=False) | words
    return st.recursive(
        leaves, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(words, inner, max_size=4), max_leaves=15
    )


@given(plain_values().filter(lambda value: value is not None))
@settings(max_examples=60)
def test_what_another_writer_writes_is_read_back(value: object) -> None:
    assert parse_yaml(yaml.safe_dump(value, allow_unicode=True, sort_keys=False), "x.yaml").value == value


def test_a_rule_base_of_a_hundred_kilobytes_is_read_at_once() -> None:
    rule = "- id: r{}\n  about: {{method: drilling, feature: [slot]}}\n  when:\n    - width_ratio < least\n" + (
        "  because: >\n    " + "words and words " * 40 + "\n  source: {{common_practice: true}}\n"
        "  examples:\n    fires: [{{width_ratio: 1.2}}]\n    silent: [{{width_ratio: 1.7}}]\n"
    )
    text = "".join(rule.format(number) for number in range(130))
    assert len(text) > 100_000
    plainly = effort(lambda: yaml.load(text, yaml.SafeLoader))
    assert effort(lambda: parse_yaml(text, "rules.yaml")) < plainly / 4
