"""House rules on the command line: they change the advice, say so, are checked, and are never half taken."""

import json
from pathlib import Path

import jsonschema
import pytest
from typer.testing import CliRunner

from advisor.cli.main import app
from advisor.paths import cases_dir
from advisor.render.record import advice_schema
from advisor.situation.bench import inference_of, shared_inference

WORN = cases_dir() / "rack-slot-worn-axes"
SOUND = cases_dir() / "rack-slot-sound-axes"
HOUSE = WORN / "house"
REASON = "our ball screws are worn and chatter on small loops"
ADDED = """add:
  - id: our-layers
    title: We like layers in steel
    stage: clearing
    reason: the operators know them
    about: {method: layered_pocketing}
    when: [group = P]
    verdict: for
    because: "{levels:level} in steel is what the house does."
    source: {common_practice: true}
    examples: {fires: [{group: P}], silent: [{group: N}]}
"""


def run(*words: object) -> tuple[int, str, str]:
    """The exit code, stdout and stderr of a command, run within this process."""
    found = CliRunner().invoke(app, [str(word) for word in words])
    return found.exit_code, found.stdout, found.stderr


def flat(text: str) -> str:
    return " ".join(text.split())


def advice(*words: object) -> dict:  # type: ignore[type-arg]
    code, told, remarks = run("advise", *words, "--format", "json")
    assert code == 0, remarks
    found: dict = json.loads(told)  # type: ignore[type-arg]
    jsonschema.Draft202012Validator(advice_schema()).validate(found)
    return found


@pytest.fixture
def house(tmp_path: Path) -> Path:
    """Return a folder for house rules."""
    return tmp_path


def test_the_house_of_the_shop_changes_the_method_and_the_advice_says_so() -> None:
    code, told, _ = run("advise", "--full", WORN / "job.yaml")
    assert code == 0
    assert "layered pocketing" in told
    assert "House rules: 2 thresholds moved." in flat(told)
    assert f"loop_width_ratio_least 2 instead of 1.35: {REASON}." in flat(told)
    assert f"(house threshold: {REASON})" in flat(told)


def test_without_house_rules_nothing_of_a_house_is_said() -> None:
    code, told, _ = run("advise", "--full", SOUND / "job.yaml")
    assert code == 0
    assert "engagement-limited clearing" in told
    assert "house" not in told


def test_a_folder_named_on_the_command_line_outranks_that_of_the_shop(house: Path) -> None:
    assert advice(SOUND / "job.yaml", "--house", HOUSE)["features"][0]["method"] == "layered_pocketing"
    (house / "house.yaml").write_text("off: []\n")
    found = advice(WORN / "job.yaml", "--house", house)
    assert found["features"][0]["method"] == "engagement_limited_clearing"
    assert found["house"] == []


def test_the_json_says_what_is_the_houses() -> None:
    found = advice(WORN / "job.yaml")
    assert found["house"] == [
        {"kind": "moved", "name": "loop_width_ratio_least", "reason": REASON, "from": 1.35, "to": 2.0},
        {"kind": "moved", "name": "open_width_ratio_least", "reason": REASON, "from": 1.5, "to": 2.0},
    ]
    feature = found["features"][0]
    assert feature["house"] is True
    said = {one["rule"]: one["house"] for other in feature["alternatives"] for one in other["reasons"]}
    assert said["slot-too-narrow-to-loop"] is True
    assert said["slot-wider-than-a-ramp-wants"] is False
    shipped = advice(SOUND / "job.yaml")
    assert shipped["features"][0]["house"] is False
    assert not any(one["house"] for one in shipped["features"][0]["reasons"])


def test_an_added_rule_speaks_for_the_way_and_is_marked(house: Path) -> None:
    (house / "house.yaml").write_text(ADDED)
    feature = advice(WORN / "job.yaml", "--house", house)["features"][0]
    shipped = advice(SOUND / "job.yaml")["features"][0]
    assert shipped["method"] == "engagement_limited_clearing"
    assert (feature["method"], feature["grade"], feature["house"]) == ("layered_pocketing", "good", True)
    assert {one["rule"]: one["house"] for one in feature["reasons"]}["our-layers"] is True
    told = flat(run("advise", "--full", SOUND / "job.yaml", "--house", house)[1])
    assert "in steel is what the house does. (house rule) [our-layers]" in told


def test_a_rule_switched_off_is_told_where_it_would_have_fired(house: Path) -> None:
    """The slot is looped, so its axes reverse; the face of another part has no loops."""
    (house / "house.yaml").write_text("off: [{id: axis-reversals, reason: our ball screws are new}]\n")
    assert "[axis-reversals]" in run("advise", "--full", SOUND / "job.yaml")[1]
    told = run("advise", "--full", SOUND / "job.yaml", "--house", house)[1]
    assert "[axis-reversals]" not in told
    assert "axis-reversals switched off: our ball screws are new." in flat(told)
    face = run("advise", "--full", cases_dir() / "bearing-bridge-grey-iron" / "job.yaml", "--house", house)[1]
    assert "House rules: 1 rule switched off." in flat(face)
    assert "axis-reversals switched off" not in flat(face)


def test_a_threshold_in_the_numbers_is_told_with_its_shipped_value(house: Path) -> None:
    (house / "house.yaml").write_text("thresholds: {wear_factor: {value: 1.6, reason: we run edges long}}\n")
    told = flat(run("advise", "--full", SOUND / "job.yaml", "--house", house)[1])
    assert "wear_factor 1.6 instead of 1.3: we run edges long." in told
    own, shipped = (advice(SOUND / "job.yaml", *more)["features"][0] for more in (("--house", house), ()))
    # forces and what they bend are told of a worn edge, power of a sharp one
    for load, ratio in {"force": 1.6 / 1.3, "deflection": 1.6 / 1.3, "power": 1.0}.items():
        assert own["loads"][load] / shipped["loads"][load] == pytest.approx(ratio, rel=1e-4)
    assert own["house"] is True


def test_the_evidence_gives_the_houses_reason_as_source(house: Path) -> None:
    told = flat(run("why", WORN / "job.yaml", "S1")[1])
    assert f"Source: the house: {REASON}." in told
    (house / "house.yaml").write_text(ADDED)
    told = flat(run("why", SOUND / "job.yaml", "S1", "--house", house)[1])
    assert "House rule: the operators know them." in told
    found = json.loads(run("why", SOUND / "job.yaml", "S1", "--house", house, "--format", "json")[1])
    assert {one["rule"]: one["house"] for one in found["evidence"]["reasons"]}["our-layers"] is True


COMMANDS = [
    ("advise", SOUND / "job.yaml"),
    ("why", SOUND / "job.yaml", "S1"),
    ("rules", "list"),
    ("rules", "show", "first-run"),
    ("rules", "check"),
]


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: " ".join(map(str, command[:2])))
def test_a_fault_in_the_house_rules_ends_every_command_with_file_and_line(
    house: Path, command: tuple[object, ...]
) -> None:
    (house / "house.yaml").write_text("thresholds:\n  loop_width_ratio_lest: {value: 2, reason: a}\n")
    code, told, remarks = run(*command, "--house", house)
    assert (code, told) == (2, "")
    assert f"{house / 'house.yaml'}:2:" in remarks
    assert "Did you mean loop_width_ratio_least?" in remarks


def test_a_house_without_its_file_and_a_house_that_is_none_are_told(house: Path) -> None:
    for folder, said in ((house, "house.yaml: found no such file"), (house / "nothing", "no such folder")):
        code, told, remarks = run("advise", SOUND / "job.yaml", "--house", folder)
        assert (code, told) == (2, "")
        assert said in remarks


def test_thresholds_that_the_arithmetic_cannot_bear_are_bad_input_not_a_crash(house: Path) -> None:
    (house / "house.yaml").write_text("thresholds:\n  radial_lower_depth_ratio: {value: 0.5, reason: a}\n")
    for command in (("advise", SOUND / "job.yaml"), ("rules", "check")):
        code, told, remarks = run(*command, "--house", house)
        assert (code, told) == (2, "")
        assert f"{house / 'house.yaml'}:2: radial_lower_depth_ratio.value: found 0.5; wanted 1.1 to 4" in remarks


def test_a_bottom_allowance_or_gap_that_is_deeper_than_what_lies_beneath_is_refused(house: Path) -> None:
    """A gap of 6.5 mm where 1.5 mm of clearance counted as enough went "past the bottom by -5 mm"."""
    (house / "house.yaml").write_text("thresholds:\n  clearance_beyond_overcut: {value: 6.5, reason: a}\n")
    code, told, remarks = run("advise", SOUND / "job.yaml", "--house", house)
    assert (code, told) == (2, "")
    assert "2: clearance_beyond_overcut.value: found 6.5; wanted at most 1.5, the value of clearance_least" in remarks
    assert "(as shipped)" in remarks


def test_rules_are_listed_and_shown_with_those_of_the_house(house: Path) -> None:
    (house / "house.yaml").write_text(ADDED)
    assert "We like layers in steel (recommends it). (house rule) [our-layers]" in flat(
        run("rules", "list", "--stage", "clearing", "--house", house)[1]
    )
    told = flat(run("rules", "show", "our-layers", "--house", house)[1])
    assert "Why the shop has it: the operators know them." in told
    assert run("rules", "show", "our-layers")[0] == 2
    assert f"the house: {REASON}" in flat(run("rules", "show", "slot-too-narrow-to-loop", "--house", HOUSE)[1])
    found = json.loads(run("rules", "show", "slot-too-narrow-to-loop", "--house", HOUSE, "--format", "json")[1])
    assert found["house"] is True


@pytest.fixture(scope="module")
def checked() -> tuple[int, str, str]:
    """How the check of the house of the worn axes ends: it works out every case twice."""
    return run("rules", "check", "--no-proof", "--house", HOUSE)


def test_the_check_shows_what_changes_in_the_cases_before_and_after(checked: tuple[int, str, str]) -> None:
    code, told, remarks = checked
    assert code == 0
    told = flat(told)
    assert f"loop_width_ratio_least 2 instead of 1.35: {REASON}." in told
    assert "rack-slot-sound-axes, S1: method engagement" in told
    assert "→ layered pocketing; levels 1 → 5; grade good → workable" in told
    assert "slot-too-narrow-to-loop.examples" in remarks
    assert remarks.startswith("warning: ")


def test_the_count_of_the_check_is_that_of_its_list(checked: tuple[int, str, str]) -> None:
    found = json.loads(run("rules", "check", "--no-proof", "--house", HOUSE, "--format", "json")[1])
    told = flat(checked[1])
    cases = {one["case"] for one in found["changed"]}
    assert f"{len(found['changed'])} of {found['features']} features change, in {len(cases)} of" in told
    assert found["changed"]
    for one in found["changed"]:
        assert one["changes"]
        assert all(change["from"] != change["to"] for change in one["changes"].values())


def test_house_rules_that_change_nothing_change_no_case(house: Path) -> None:
    (house / "house.yaml").write_text("off: []\n")
    code, told, remarks = run("rules", "check", "--house", house)
    assert (code, remarks) == (0, "")
    assert "0 of" in told


def test_the_rules_of_one_house_are_set_up_once_a_process(house: Path) -> None:
    (house / "house.yaml").write_text(ADDED)
    first = inference_of(house)
    assert inference_of(house) is first
    assert first is not shared_inference()
    (house / "house.yaml").write_text("off: []\n")
    assert inference_of(house) is not first, "other content, other rules"
