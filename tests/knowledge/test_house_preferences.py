"""What a shop prefers, and the cutters that its rules name: how ``house.yaml`` says it, and every slip in it told."""

from pathlib import Path

import pytest

from advisor.files.problems import BadInput, Problem
from advisor.knowledge.conditions import holds
from advisor.knowledge.house import house_base
from advisor.knowledge.named_cutters import names_of, not_in_crib
from advisor.knowledge.schema import RuleBase
from advisor.knowledge.shipped import rule_base

BASE = rule_base()
PREFERENCE = """prefer:
  - id: our-layers-first
    what: layers
    about: {method: layered_pocketing}
    reason: everybody here can read them
"""
NAMING = """add:
  - id: our-old-cutters
    title: Old cutters do no slots
    stage: clearing
    reason: they are kept for faces
    about: {feature: slot, cutter_id: ABOUT}
    verdict: against
    because: "{cutter_id} is kept for faces."
    source: {common_practice: true}
    examples: {fires: [{cutter_id: FIRES}], silent: [{cutter_id: SILENT}]}
"""


def read(folder: Path, text: str) -> RuleBase:
    (folder / "house.yaml").write_text(text, encoding="utf-8")
    return house_base(BASE, folder)


def complaints(folder: Path, text: str) -> tuple[Problem, ...]:
    with pytest.raises(BadInput) as caught:
        read(folder, text)
    return caught.value.problems


def naming(about: str, fires: str, silent: str) -> str:
    return NAMING.replace("ABOUT", about).replace("FIRES", fires).replace("SILENT", silent)


def test_a_preference_is_kept_beside_the_rules_with_its_reason_and_line(tmp_path: Path) -> None:
    base = read(tmp_path, PREFERENCE)
    (rule,) = base.preferences
    assert (rule.id, rule.what, rule.reason, rule.line) == (
        "our-layers-first",
        "layers",
        "everybody here can read them",
        2,
    )
    assert base.rules == BASE.rules, "no verdict is another"
    assert [(change.kind, change.name) for change in base.changes] == [("preference", "our-layers-first")]


def test_preferences_stay_in_the_order_of_the_file(tmp_path: Path) -> None:
    more = PREFERENCE + PREFERENCE.partition("\n")[2].replace("our-layers-first", "our-a-first")
    assert [rule.id for rule in read(tmp_path, more).preferences] == ["our-layers-first", "our-a-first"]


def test_a_preference_reads_the_thresholds_as_the_house_moved_them(tmp_path: Path) -> None:
    text = PREFERENCE + "    when: [width_ratio < loop_width_ratio_least]\n"
    moved = "thresholds: {loop_width_ratio_least: {value: 1.5, reason: worn axes}}\n"
    (rule,) = read(tmp_path, moved + text).preferences
    assert holds(rule.condition, {"method": "layered_pocketing", "width_ratio": 1.4})
    (shipped,) = read(tmp_path, text).preferences
    assert not holds(shipped.condition, {"method": "layered_pocketing", "width_ratio": 1.4})


SLIPS = {
    "without a reason": (
        PREFERENCE.replace("    reason: everybody here can read them\n", ""),
        2,
        "reason: found nothing",
    ),
    "an empty reason": (PREFERENCE.replace("everybody here can read them", "''"), 5, "reason: found empty text"),
    "without what": (PREFERENCE.replace("    what: layers\n", ""), 2, "what: found nothing"),
    "what with a number to fill in": (PREFERENCE.replace("what: layers", "what: '{DC} first'"), 3, "without braces"),
    "a verdict": (PREFERENCE + "    verdict: for\n", 6, "'verdict' as a field"),
    "no condition": (PREFERENCE.replace("    about: {method: layered_pocketing}\n", ""), 2, "neither about nor when"),
    "a condition on the feature alone": (
        PREFERENCE.replace("method: layered_pocketing", "feature: slot"),
        2,
        "a condition on the feature alone; wanted one that tells ways apart",
    ),
    "a fact of the review": (PREFERENCE + "    when: [side_beyond_room > 1]\n", 6, "known since review"),
    "a condition that can never hold": (PREFERENCE + "    when: [DC > 5, DC < 4]\n", 2, "can never hold"),
    "an example that does not fire": (
        PREFERENCE + "    examples: {fires: [{method: drilling}], silent: [{method: face_milling}]}\n",
        6,
        "wanted the rule to fire",
    ),
    "the id of a shipped rule": (PREFERENCE.replace("our-layers-first", "axis-reversals"), 2, "of a shipped rule"),
    "no list": ("prefer: {id: a-b}\n", 1, "found a mapping; wanted a list"),
    "a word in place of an entry": ("prefer: [layers]\n", 1, "found 'layers'; wanted a preference"),
    "too many": ("prefer: [" + "{}, " * 51 + "]\n", 1, "51 preferences; wanted at most 50"),
}


@pytest.mark.parametrize(("text", "line", "told"), SLIPS.values(), ids=SLIPS)
def test_a_slip_in_a_preference_is_told_with_its_line(tmp_path: Path, text: str, line: int, told: str) -> None:
    found = complaints(tmp_path, text)
    assert any(told in str(problem) and problem.line == line for problem in found), [str(one) for one in found]


def test_two_changes_never_bear_one_id(tmp_path: Path) -> None:
    more = PREFERENCE + PREFERENCE.partition("\n")[2]
    assert any("line 2 has it preferred already" in str(problem) for problem in complaints(tmp_path, more))


def test_a_rule_names_cutters_by_their_ids_exactly(tmp_path: Path) -> None:
    rule = read(tmp_path, naming("[E16, e20 long]", "E16", "E20")).by_id["our-old-cutters"]
    for name, fires in {"E16": True, "e20 long": True, "e16": False, "E16 ": False, "E160": False}.items():
        assert holds(rule.condition, {"feature": "slot", "cutter_id": name}) is fires


def test_a_cutter_whose_id_is_a_number_is_named_as_it_is_spelt(tmp_path: Path) -> None:
    rule = read(tmp_path, naming("[012, 1.50]", "012", "12")).by_id["our-old-cutters"]
    assert names_of(rule, BASE) == ("012", "1.50")


@pytest.mark.parametrize("name", ['"E16/4 x"', "'E16'", "E16-4.5", "E16"])
def test_a_condition_names_a_cutter_in_quotes_or_without(tmp_path: Path, name: str) -> None:
    text = PREFERENCE + f"    when:\n      - cutter_id != {name}\n"
    (rule,) = read(tmp_path, text).preferences
    meant = name.strip("\"'")
    assert names_of(rule, BASE) == (meant,)
    assert not holds(rule.condition, {"method": "layered_pocketing", "cutter_id": meant})
    assert holds(rule.condition, {"method": "layered_pocketing", "cutter_id": f"{meant}x"})


@pytest.mark.parametrize("value", ["12", "loop_width_ratio_least"])
def test_a_number_that_may_be_an_id_is_asked_for_in_quotes(tmp_path: Path, value: str) -> None:
    (problem,) = complaints(tmp_path, PREFERENCE + f"    when: [cutter_id = {value}]\n")
    assert f'the id in quotes: cutter_id = "{value}"' in str(problem)


def test_cutters_are_not_compared_by_size_of_their_names(tmp_path: Path) -> None:
    (problem,) = complaints(tmp_path, PREFERENCE + "    when: [cutter_id > E16]\n")
    assert "wanted = or !=" in str(problem)


def test_a_cutter_that_is_not_in_the_crib_is_told_with_the_one_most_like_it(tmp_path: Path) -> None:
    base = read(tmp_path, naming("[E16, E99]", "E16", "E20"))
    (problem,) = not_in_crib(base, ["E16", "E9", "D8"])
    assert (problem.field, problem.line, problem.nearest) == ("our-old-cutters", 2, "E9")
    assert not list(not_in_crib(base, ["E16", "E99"]))


def test_no_shipped_rule_names_a_cutter() -> None:
    assert not [rule.id for rule in BASE.rules if names_of(rule, BASE)]


def test_a_rule_about_two_cutters_at_once_can_never_hold(tmp_path: Path) -> None:
    text = PREFERENCE + "    when: [cutter_id = E16, cutter_id = E20]\n"
    assert any("can never hold" in str(problem) for problem in complaints(tmp_path, text))
    other = PREFERENCE + "    when: [cutter_id != E16, cutter_id != E20]\n"
    assert read(tmp_path, other).preferences[0].condition


def test_the_file_may_be_named_in_place_of_its_folder(tmp_path: Path) -> None:
    path = tmp_path / "ours.yaml"
    path.write_text(PREFERENCE, encoding="utf-8")
    assert [rule.id for rule in house_base(BASE, path).preferences] == ["our-layers-first"]
