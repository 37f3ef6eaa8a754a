"""What each command gives, and how it ends."""

import json
import subprocess
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import jsonschema
import pytest
from typer.testing import CliRunner

from advisor.cli.main import app
from advisor.paths import cases_dir, shared_dir
from advisor.render.record import advice_schema
from advisor.version import __version__
from tests.cli.commands import NO_WAY, WINCH, roughing

NARROW = cases_dir() / "guide-slot-narrow" / "job.yaml"


def run(*words: object) -> tuple[int, str, str]:
    """The exit code, stdout and stderr of a command, run within this process."""
    found = CliRunner().invoke(app, [str(word) for word in words])
    return found.exit_code, found.stdout, found.stderr


def test_the_version_says_which_engine_answers() -> None:
    code, told, _ = run("--version")
    assert code == 0
    assert __version__ in told
    assert "durable-rules" in told or "Python evaluator" in told


def test_advice_goes_to_stdout_and_remarks_to_stderr() -> None:
    code, told, remarks = run("advise", WINCH, "--quick")
    assert code == 0
    assert told.startswith("Winch side plate\n")
    assert remarks == "note: no shop given: using the demo shop\n"


def test_a_feature_without_a_way_ends_with_1() -> None:
    code, told, _ = run("advise", NO_WAY)
    assert code == 1
    assert "Not possible with this crib" in told
    assert "  fix" in told


def test_bad_input_outranks_a_feature_without_a_way(tmp_path: Path) -> None:
    text = NO_WAY.read_text(encoding="utf-8").replace("width:", "widht:", 1)
    (tmp_path / "job.yaml").write_text(text, encoding="utf-8")
    assert run("advise", tmp_path / "job.yaml")[0] == 2


@pytest.mark.parametrize("words", [(WINCH, "--quick"), (NARROW,)])
def test_advice_as_json_fits_its_schema(words: tuple[object, ...]) -> None:
    code, told, _ = run("advise", *words, "--format", "json")
    assert code == 0
    jsonschema.Draft202012Validator(advice_schema()).validate(json.loads(told))


def test_advice_as_markdown_has_a_heading_for_each_feature() -> None:
    code, told, _ = run("advise", WINCH, "--quick", "--format", "markdown")
    assert code == 0
    heads = [line.removeprefix("## ") for line in told.splitlines() if line.startswith("## ")]
    assert heads[0].startswith("Before the first run")  # what frees the part is told ahead of every feature
    features = heads[heads.index("Features") + 1 :]
    assert [heading.split()[0] for heading in features][:3] == ["F1", "C1", "P1"]


def test_a_weaker_spindle_of_another_shop_changes_the_method() -> None:
    job = cases_dir() / "gear-cover-strong-spindle" / "job.yaml"
    weak = cases_dir() / "gear-cover-weak-spindle" / "shop.yaml"
    own = json.loads(run("advise", job, "--format", "json")[1])["features"][0]
    other = json.loads(run("advise", job, "--shop", weak, "--format", "json")[1])["features"][0]
    assert own["method"] == "layered_pocketing"
    assert other["method"] == "engagement_limited_clearing"


@pytest.mark.parametrize("form", ["text", "markdown"])
def test_the_evidence_shows_formulas_with_numbers(form: str) -> None:
    code, told, _ = run("why", WINCH, "S1", "--format", form)
    assert code == 0
    assert "width_ratio = narrowest_width / DC = 13.6 / 12 = 1.13" in told


def test_the_evidence_as_json_holds_answer_and_rules() -> None:
    code, told, _ = run("why", WINCH, "S1", "--format", "json")
    found = json.loads(told)
    assert code == 0
    assert found["feature"]["id"] == "S1"
    assert found["evidence"]["reasons"][0]["conditions"]
    assert {item["name"] for item in found["evidence"]["numbers"]} >= {"power", "feed_rate", "total_time"}


def test_evidence_for_a_feature_without_a_way_ends_with_1() -> None:
    code, told, _ = run("why", NO_WAY, "P1")
    assert code == 1
    assert "Why not" in told
    assert json.loads(run("why", NO_WAY, "P1", "--format", "json")[1])["evidence"]["obstacles"]


def test_an_unknown_feature_is_met_with_the_known_ones() -> None:
    code, told, remarks = run("why", WINCH, "S9")
    assert (code, told) == (2, "")
    assert "'S9'" in remarks
    assert "F1, C1, P1" in remarks


def test_a_crib_is_shown_by_bodies() -> None:
    code, told, _ = run("crib", shared_dir() / "crib.csv")
    assert code == 0
    assert "solid end mill, " in told
    assert "Nothing: there is a cutter for every method." in told


def test_a_crib_that_cannot_serve_a_job_ends_with_1() -> None:
    crib = NO_WAY.parent / "crib.csv"
    code, told, _ = run("crib", crib, "--job", NO_WAY)
    assert code == 1
    assert "Not served: P1" in told
    found = json.loads(run("crib", crib, "--job", NO_WAY, "--format", "json")[1])
    assert [item["id"] for item in found["unserved"]] == ["P1"]


def test_a_job_is_asked_with_the_crib_that_is_given() -> None:
    code, told, _ = run("crib", shared_dir() / "crib.csv", "--job", NO_WAY)
    assert code == 0
    assert "Not served" not in told


def test_rules_are_listed_by_stage_method_material_and_word() -> None:
    every = json.loads(run("rules", "list", "--format", "json")[1])
    for options in (("--stage", "entry"), ("--method", "drilling"), ("--material", "s"), ("--word", "helix")):
        code, told, remarks = run("rules", "list", *options, "--format", "json")
        found = json.loads(told)
        assert code == 0
        assert 0 < len(found) < len(every)
        assert remarks == f"{len(found)} of {len(every)} rules\n"


@pytest.mark.parametrize("options", [("--stage", "entrance"), ("--method", "drill"), ("--material", "Q")])
def test_an_unknown_stage_method_or_material_is_told(options: tuple[str, str]) -> None:
    code, told, remarks = run("rules", "list", *options)
    assert (code, told) == (2, "")
    assert options[1] in remarks


def test_a_rule_is_shown_in_full() -> None:
    code, told, _ = run("rules", "show", "narrow-slot-is-ramped")
    assert code == 0
    for part in ("When", "Why", "Thresholds", "Examples", "Source", "loop_width_ratio_least", "rules/clearing/"):
        assert part in told


def test_a_misspelt_rule_is_met_with_the_nearest() -> None:
    code, _, remarks = run("rules", "show", "shank-rub")
    assert code == 2
    assert "Did you mean shank-rubs?" in remarks


def test_the_shipped_rules_are_in_order() -> None:
    code, told, remarks = run("rules", "check", "--no-proof")
    assert (code, remarks) == (0, "")
    assert "All examples hold." in told


@pytest.mark.parametrize("what", ["job", "shop", "crib", "advice"])
def test_every_schema_is_a_schema(what: str) -> None:
    code, told, _ = run("schema", what)
    assert code == 0
    jsonschema.Draft202012Validator.check_schema(json.loads(told))


@pytest.mark.parametrize(
    "words", [("advise",), ("advise", "a", "b"), ("schema", "nothing"), ("advise", "x", "--format", "pdf"), ("fly",)]
)
def test_a_wrong_call_ends_with_2(words: tuple[str, ...]) -> None:
    assert run(*words)[0] == 2


COMMANDS = [
    "advise",
    "why",
    "words",
    "crib",
    "schema",
    "init",
    "where",
    "rules list",
    "rules show",
    "rules check",
    "rules book",
    "rules",
    "",
]


@cache
def anywhere(*words: str) -> subprocess.CompletedProcess[str]:
    """Return how a command ended in an empty folder; two helps may have the same example."""
    with TemporaryDirectory() as folder:
        return roughing(*words, folder=Path(folder))


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("words", "--house", "nowhere"), "words: --house: found 'nowhere'; wanted a job beside it"),
        (("words", "width ratio", "--shop", "nowhere"), "words: --shop: found 'nowhere'; wanted a job beside it"),
        (("rules", "check", "--no-proof", "--witness", "nowhere"), "--witness: found 'nowhere'; wanted the proof"),
    ],
)
def test_an_option_that_could_do_nothing_is_refused(words: tuple[str, ...], told: str) -> None:
    ended = CliRunner().invoke(app, words)
    assert ended.exit_code == 2
    assert told in ended.stderr


@pytest.mark.parametrize("command", COMMANDS)
def test_the_example_of_every_help_runs_anywhere(command: str) -> None:
    code, told, _ = run(*command.split(), "--help")
    example = next(line for line in told.splitlines() if "Example: roughing " in line)
    words = " ".join(told[told.index(example) :].split()).removeprefix("Example: roughing ").split()
    assert code == 0
    ended = anywhere(*words)
    assert ended.returncode == 0, ended.stderr
    assert ended.stdout


def test_notes_on_a_crib_are_one_line_where_it_is_not_the_crib_that_is_asked_about(tmp_path: Path) -> None:
    (tmp_path / "crib.csv").write_text(
        "Tools of mill 3\nid;body;DC;APMX;ZEFP;colour\nT1;solid end mill;8;20;3;red\nT2;tap;8;20;3;red\n",
        encoding="utf-8",
    )
    spindle = "{speed: [1000, 9000], power: [9, 9]}"
    machine = f"{{name: m, spindle: {spindle}, feed_max: 9000, rapid: 9000, tool_change: 4, coolant: [flood]}}"
    (tmp_path / "shop.yaml").write_text(f"machines: [{machine}]\ncrib: crib.csv\n", encoding="utf-8")
    slot = "{id: S1, kind: slot, length: 40, width: 14, depth: 5, floor: true, open_ends: 1}"
    (tmp_path / "job.yaml").write_text(
        f"part: p\nmaterial: C45\nmachine: m\nshop: shop.yaml\nfeatures: [{slot}]\n", encoding="utf-8"
    )
    crib = tmp_path / "crib.csv"
    told = CliRunner().invoke(app, ["advise", str(tmp_path / "job.yaml"), "--quick"]).stderr
    assert told == f"note: {crib}: 4 notes on how it was read; roughing crib {crib} tells them\n"
    every = CliRunner().invoke(app, ["crib", str(crib)]).stderr
    assert every.count("note: ") == 4
