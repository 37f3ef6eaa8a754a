"""House rules on jobs of one's own: each change tried alone, cutters that the crib lacks, preferences in answers."""

import json
from pathlib import Path

import jsonschema
import pytest
from typer.testing import CliRunner

from advisor.cli.main import app
from advisor.paths import cases_dir
from advisor.render.record import advice_schema

PLATE = cases_dir() / "winch-side-plate" / "job.yaml"
SLOT = cases_dir() / "guide-slot-narrow" / "job.yaml"
PREFER = """prefer:
  - id: our-e16-in-pockets
    what: E16N3 in pockets
    about: {feature: [closed_pocket, open_pocket], cutter_id: [E16N3, E99N]}
    reason: we stock it in hundreds
"""
NEVER = """add:
  - id: our-deep-slots
    title: We do not ramp deep slots
    stage: clearing
    reason: two broken cutters
    about: {method: ramped_slotting, feature: slot}
    when: [depth_ratio > 50]
    verdict: against
    because: "{depth_ratio} diameters is deep for our air nozzle."
    source: {common_practice: true}
    examples: {fires: [{depth_ratio: 51}], silent: [{depth_ratio: 50}]}
"""
CAUTION = """  - id: our-own-look
    title: We look at long slots
    stage: caution
    reason: one was bent
    about: {feature: slot}
    when: [total_time > 1]
    verdict: cautions
    because: "Look at it after {total_time}."
    source: {common_practice: true}
    examples: {fires: [{total_time: 2}], silent: [{total_time: 1}]}
  - id: our-plans
    title: We see plans
    stage: review
    reason: so
    when: [depth_ratio > 1]
    verdict: finds
    weight: consider
    because: "{depth_ratio}."
    source: {common_practice: true}
    examples: {fires: [{depth_ratio: 2}], silent: [{depth_ratio: 1}]}
"""


def run(*words: object) -> tuple[int, str, str]:
    """The exit code, stdout and stderr of a command, run within this process."""
    found = CliRunner().invoke(app, [str(word) for word in words])
    return found.exit_code, found.stdout, found.stderr


def flat(text: str) -> str:
    return " ".join(text.split())


@pytest.fixture
def house(tmp_path: Path) -> Path:
    """Return a file for house rules."""
    return tmp_path / "house.yaml"


def test_the_preference_of_the_shop_is_told_with_its_reason_and_what_it_costs(house: Path) -> None:
    house.write_text(PREFER)
    told = flat(run("advise", PLATE, "--quick", "--house", house)[1])
    assert (
        "Your shop prefers E16N3 in pockets, because we stock it in hundreds. This costs 5.6 s: 42 s against 36 s"
        in told
    )
    assert "which is good too and would come first otherwise." in told
    assert "House rules: 1 preference given." in told


def test_the_json_has_the_preference_with_the_way_that_would_come_first(house: Path) -> None:
    house.write_text(PREFER)
    found = json.loads(run("advise", PLATE, "--quick", "--house", house, "--format", "json")[1])
    jsonschema.Draft202012Validator(advice_schema()).validate(found)
    features = {one["id"]: one for one in found["features"]}
    pocket, slot = features["P1"], features["S1"]
    assert (pocket["cutter"], pocket["grade"], pocket["house"]) == ("E16N3", "good", True)
    assert pocket["preferred"]["rule"] == "our-e16-in-pockets"
    assert pocket["preferred"]["reason"] == "we stock it in hundreds"
    assert pocket["preferred"]["cutter"] == "E20N3"
    assert pocket["preferred"]["longer_s"] == pytest.approx(pocket["time_s"] - pocket["preferred"]["time_s"], abs=1e-3)
    assert (slot["preferred"], slot["house"]) == (None, False)
    assert found["house"] == [
        {
            "kind": "preference",
            "name": "our-e16-in-pockets",
            "reason": "we stock it in hundreds",
            "from": None,
            "to": None,
        }
    ]
    assert any("E99N" in note for note in found["notes"])


def test_the_evidence_has_the_preference_and_what_it_decided(house: Path) -> None:
    house.write_text(PREFER)
    told = flat(run("why", PLATE, "P1", "--house", house)[1])
    assert "House rules applied - Your shop prefers E16N3 in pockets" in told
    beside = flat(run("why", PLATE, "P1", "--cutter", "E20N3", "--house", house)[1])
    assert "42 s and 36 s: your shop prefers E16N3 in pockets, because we stock it in hundreds." in beside


def test_a_preference_that_changes_nothing_is_told_in_the_evidence_alone(house: Path) -> None:
    house.write_text(PREFER.replace("E16N3", "E20N3"))
    assert "shop prefers" not in run("advise", PLATE, "--quick", "--house", house)[1]
    told = flat(run("why", PLATE, "P1", "--house", house)[1])
    assert "because we stock it in hundreds. It is met here, and the way comes first without it, too." in told


def test_a_cutter_that_the_crib_lacks_is_a_note_and_no_fault(house: Path) -> None:
    house.write_text(PREFER)
    code, _, remarks = run("advise", PLATE, "--quick", "--house", house)
    assert code == 0
    note = f"note: {house}:2: our-e16-in-pockets: found cutter E99N; wanted the id of a cutter of this crib"
    assert note in remarks
    assert "E16N3; wanted" not in remarks
    both = run("advise", PLATE, SLOT, "--quick", "--house", house)[2]
    assert "found cutter E99N" in both


def test_faults_of_the_job_and_of_the_house_are_told_together(house: Path, tmp_path: Path) -> None:
    house.write_text("off: [{id: axis-reversal, reason: a}]\n")
    job = tmp_path / "job.yaml"
    job.write_text("part: A\nmaterial: C45\nfeatures: 5\n")
    code, told, remarks = run("advise", job, "--house", house)
    assert (code, told) == (2, "")
    assert f"{job}:3: features" in remarks
    assert f"{house}:1: off: found 'axis-reversal'" in remarks
    assert remarks.rstrip().endswith("- {id: axis-reversals, reason: the screws are new}")


def test_each_change_is_tried_on_the_jobs_named(house: Path) -> None:
    house.write_text(PREFER + NEVER + CAUTION)
    code, told, remarks = run("rules", "check", "--no-proof", "--house", house, PLATE)
    told = flat(told)
    assert code == 0, remarks
    assert "2 of 8 features change, in 1 of 1 job" in told
    assert "prefer E16N3 in pockets. Is met on 2 features, 2 of them for the advised way, and changes 2." in told
    assert "E20N3, helical ramp → engagement-limited clearing, E16N3, helical ramp; 36 s → 42 s" in told
    assert "our-deep-slots added. Never fires. Nearest is" in told
    assert "wants depth ratio above 50, here" in told
    assert "our-own-look added. Fires on 1 feature, 1 of them for the advised way, and changes 1." in told
    assert "S1: cautions also of our-own-look" in told
    assert "our-plans added. A rule of the review: it is asked of plans, not of advice." in told
    assert "In the cases" not in told


def test_a_moved_threshold_that_only_arithmetic_takes_answers_where_a_time_is_another(house: Path) -> None:
    house.write_text("thresholds: {wear_factor: {value: 1.6, reason: we run edges long}}\n")
    found = json.loads(run("rules", "check", "--no-proof", "--house", house, PLATE, "--format", "json")[1])
    (trial,) = found["trials"]
    changed = [one for one in trial["answered"] if one["with"] is not None]
    assert changed
    assert all(one["with"] != one["without"] for one in changed)
    assert trial["nearest_miss"] is None


def test_what_a_rule_changes_is_told_apart_from_what_others_do(house: Path) -> None:
    """Each is left out alone: of two preferences of one cutter neither changes anything, since the other does."""
    twice = PREFER + PREFER.partition("\n")[2].replace("our-e16-in-pockets", "our-e16-again")
    house.write_text(twice)
    found = json.loads(run("rules", "check", "--no-proof", "--house", house, PLATE, "--format", "json")[1])
    assert [len(one["answered"]) for one in found["trials"]] == [2, 2]
    assert all(one["with"] is None for trial in found["trials"] for one in trial["answered"])


def test_jobs_without_house_rules_have_nothing_to_be_tried(house: Path) -> None:
    code, told, remarks = run("rules", "check", "--no-proof", PLATE)
    assert (code, told) == (2, "")
    assert "--house" in remarks


def test_every_fault_of_jobs_and_house_is_told_before_any_is_tried(house: Path, tmp_path: Path) -> None:
    house.write_text("prefer: [{id: our-own}]\n")
    bad = tmp_path / "bad.yaml"
    bad.write_text("part: A\nmaterial: C45\nfeatures: 5\n")
    code, told, remarks = run("rules", "check", "--no-proof", "--house", house, bad, SLOT)
    assert (code, told) == (2, "")
    assert f"{house}:1: our-own.reason" in remarks
    assert f"{bad}:3: features" in remarks


@pytest.mark.parametrize("columns", [50, 80])
def test_the_trial_fits_its_page(house: Path, monkeypatch: pytest.MonkeyPatch, columns: int) -> None:
    house.write_text(PREFER + NEVER)
    monkeypatch.setenv("COLUMNS", str(columns))
    told = run("rules", "check", "--no-proof", "--house", house, SLOT)[1]
    assert max(map(len, told.splitlines())) <= columns


def test_preferences_are_listed_and_shown_with_the_rules(house: Path) -> None:
    house.write_text(PREFER)
    assert "E16N3 in pockets (prefers it among ways of one rating). (house rule)" in flat(
        run("rules", "list", "--stage", "ranking", "--house", house)[1]
    )
    told = flat(run("rules", "show", "our-e16-in-pockets", "--house", house)[1])
    assert "Why the shop has it: we stock it in hundreds." in told
    assert "cutter id is E16N3 or E99N" in told
    assert run("rules", "list", "--stage", "ranking")[0] == 2, "nothing shipped prefers anything"
    page = run("rules", "book", "--format", "html", "--house", house)[1]
    assert 'id="rule-our-e16-in-pockets"' in page
    assert "Your shop prefers E16N3 in pockets" in page
