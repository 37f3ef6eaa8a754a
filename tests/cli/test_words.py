"""``roughing words``: words of the trade, explained and given a number."""

import json

import pytest
from typer.testing import CliRunner

from advisor.cli.main import app
from advisor.knowledge.glossary import glossary
from advisor.paths import cases_dir

SLOT = cases_dir() / "guide-slot-narrow" / "job.yaml"  # a slot 11.8 mm wide and 14 mm deep, cut with a 10 mm cutter


def words(*asked: object) -> tuple[int, str, str]:
    """The exit code, stdout and stderr of the command."""
    found = CliRunner().invoke(app, ["words", *map(str, asked)])
    return found.exit_code, " ".join(found.stdout.split()), found.stderr


def test_a_word_is_told_in_two_sentences() -> None:
    code, told, _ = words("climb milling")
    assert code == 0
    assert told.startswith("climb milling Milling so that each tooth enters with a thick chip")


@pytest.mark.parametrize("asked", ["width ratio", "Width Ratio", "width_ratio", "width-ratio"])
def test_a_word_is_found_however_it_is_written(asked: str) -> None:
    assert words(asked)[1].startswith("width ratio ")


def test_a_word_of_several_needs_no_quotes() -> None:
    assert words("climb", "milling") == words("climb milling")


@pytest.mark.parametrize(("symbol", "name"), [("DC", "cutting diameter"), ("APMX", "flute"), ("ZEFP", "teeth")])
def test_a_symbol_leads_to_its_word(symbol: str, name: str) -> None:
    assert words(symbol)[1].startswith(f"{name} ")


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("stepover", "radial width"),
        ("ap", "axial depth"),
        ("S", "spindle speed"),
        ("vf", "feed rate"),
        ("F", "feed rate"),
        ("feed rate", "feed rate"),
        ("ipm", "feed rate"),
        ("SFM", "cutting speed"),
        ("IPT", "feed per tooth"),
        ("ipr", "feed per revolution"),
        ("LOC", "flute"),
        ("looping", "engagement-limited clearing"),
        ("fn", "feed per revolution"),
        ("trochoidal", "engagement-limited clearing"),
        ("keyway", "slot"),
        ("shoulder", "step"),
        ("porcupine cutter", "inserted stacked mill"),
        ("Ø", "cutting diameter"),
        ("roll-in", "arc in"),  # a word of the glossary comes before what it may stand for
    ],
)
def test_what_people_type_leads_to_its_word(typed: str, name: str) -> None:
    assert words(typed)[1].startswith(f"{name} ")


def test_a_feature_is_found_whatever_its_letter_case() -> None:
    assert words("depth ratio", "--job", SLOT, "--feature", "s1") == words(
        "depth ratio", "--job", SLOT, "--feature", "S1"
    )


def test_a_word_has_its_number_in_a_feature() -> None:
    code, told, _ = words("depth ratio", "--job", SLOT, "--feature", "S1")
    assert code == 0
    assert "In S1: depth ratio = depth / DC = 14 / 10 = 1.4." in told


def test_a_number_that_nobody_gave_is_told_as_missing() -> None:
    assert "In S1: no wall thickness given." in words("thin wall", "--job", SLOT, "--feature", "S1")[1]


def test_a_number_that_the_advised_way_has_not_is_told_as_missing() -> None:
    assert "In S1: the advised way has no core margin." in words("core", "--job", SLOT, "--feature", "S1")[1]


def test_a_word_as_json_holds_the_number() -> None:
    told = json.loads(words("depth ratio", "--job", SLOT, "--feature", "S1", "--format", "json")[1])
    assert told["term"] == "depth ratio"
    assert told["here"]["number"]["value"] == "1.4"
    assert told["short"].endswith(".")


def test_a_word_as_markdown_has_a_heading() -> None:
    assert words("burr", "--format", "markdown")[1].startswith("# burr ")


def test_all_words_are_listed() -> None:
    code, told, _ = words()
    assert code == 0
    assert all(f"{name}:" in told for name in glossary().terms)
    listed = json.loads(words("--format", "json")[1])
    assert [item["term"] for item in listed] == list(glossary().terms)


@pytest.mark.parametrize(
    ("asked", "wanted"),
    [
        (("climb miling",), "Did you mean climb milling?"),
        (("zzzz",), "a word of the glossary"),
        (("speed",), "'speed', which has several meanings; wanted spindle speed or cutting speed"),
        (("stepovr",), "Did you mean step over?"),
        (("slot", "--job", SLOT, "--feature", "S2"), "one of S1"),
        (("slot", "--job", SLOT), "one of S1"),
        (("slot", "--feature", "S1"), "a job file beside --feature"),
        (("--job", SLOT, "--feature", "S1"), "a word of the glossary"),
        (("slot", "--job", "nowhere.yaml", "--feature", "S1"), "nowhere.yaml"),
    ],
)
def test_what_cannot_be_answered_ends_with_2(asked: tuple[object, ...], wanted: str) -> None:
    code, told, remarks = words(*asked)
    assert code == 2
    assert told == ""
    assert wanted in remarks


def test_the_evidence_lists_the_words_it_uses() -> None:
    told = " ".join(CliRunner().invoke(app, ["why", str(SLOT), "S1"]).stdout.split())
    listed = told.partition("Words used here")[2]
    assert "ramped slotting" in listed
    assert "climb milling" in listed  # the passes along the walls are to be climb milled
    assert "core" not in listed
    record = json.loads(CliRunner().invoke(app, ["why", str(SLOT), "S1", "--format", "json"]).stdout)
    assert ", ".join(record["evidence"]["words"]) in listed
