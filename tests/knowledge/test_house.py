"""House rules: what a shop may change, what it may not, and that a fault anywhere leaves the shipped rules alone."""

from collections import Counter
from pathlib import Path

import pytest

from advisor.files.problems import BadInput, Problem
from advisor.inference import start
from advisor.knowledge.conditions import All, Any, Compare, Known, holds
from advisor.knowledge.house import house_base
from advisor.knowledge.house_checks import guarded, warnings
from advisor.knowledge.origin import mark, of_house, turned
from advisor.knowledge.satisfiability import implied, possible
from advisor.knowledge.schema import RuleBase
from advisor.knowledge.shipped import rule_base

BASE = rule_base()
MEASURES = BASE.measures
OWN = """
  - id: our-deep-slots
    title: We do not ramp deep slots
    stage: clearing
    reason: broke two cutters
    about: {method: ramped_slotting}
    when: [depth_ratio > 2.5]
    verdict: against
    because: "{depth_ratio} diameters is deep for our air nozzle."
    source: {common_practice: true}
    examples: {fires: [{depth_ratio: 2.6}], silent: [{depth_ratio: 2.5}]}
"""
REPLACED = """
  - id: deep-slot-packs-chips
    title: A deep slot packs its chips
    reason: through coolant clears ours
    about: {method: ramped_slotting}
    when: [depth_ratio > 4]
    verdict: against
    because: "{depth_ratio} diameters deep is too much even for our nozzle."
    source: {common_practice: true}
    examples: {fires: [{depth_ratio: 4.1}], silent: [{depth_ratio: 4}]}
"""
FIRE = """
  - id: magnesium-fire
    title: Magnesium chips burn
    reason: our safety officer's words
    when: [fire_kind = magnesium]
    verdict: cautions
    harm: true
    because: Magnesium chips can catch fire; the class D agent hangs at gate 2.
    source: {common_practice: true}
    examples: {fires: [{fire_kind: magnesium}], silent: [{fire_kind: titanium}]}
"""
OVERRIDES = """    overrides: [usual-side-allowance, small-cutter-side-allowance, very-small-cutter-side-allowance,
      tiny-cutter-side-allowance]
"""
SETTING = """
  - id: our-allowance
    title: We leave more
    stage: settings
    reason: castings move
    when: [group = K, DC > 0]
    verdict: concludes
    concludes: {fact: side_allowance_usual, value: 0.9}
OVERRIDES    because: Castings move, so 0.9 mm stays.
    source: {common_practice: true}
    examples: {fires: [{group: K, DC: 10}], silent: [{group: N, DC: 10}]}
""".replace("OVERRIDES", OVERRIDES)


def read(folder: Path, text: str) -> RuleBase:
    (folder / "house.yaml").write_text(text, encoding="utf-8")
    return house_base(BASE, folder)


def complaints(folder: Path, text: str) -> tuple[Problem, ...]:
    with pytest.raises(BadInput) as caught:
        read(folder, text)
    return caught.value.problems


def test_a_moved_threshold_reaches_every_rule_that_reads_it_and_the_arithmetic(tmp_path: Path) -> None:
    base = read(tmp_path, "thresholds: {loop_width_ratio_least: {value: 1.5, reason: our axes are worn}}")
    facts = {"method": "engagement_limited_clearing", "feature": "slot", "width_ratio": 1.4}
    rule = base.by_id["slot-too-narrow-to-loop"]
    assert holds(rule.condition, facts)
    assert not holds(BASE.by_id[rule.id].condition, facts)
    assert base.limits["loop_width_ratio_least"] == 1.5
    assert base.thresholds["loop_width_ratio_least"].reason == "our axes are worn"
    assert str(base.thresholds["loop_width_ratio_least"].source) == "the house: our axes are worn"
    assert BASE.limits["loop_width_ratio_least"] == 1.35, "the shipped rule base stays as it was"


def test_a_threshold_that_a_rule_concludes_is_moved_as_well(tmp_path: Path) -> None:
    base = read(tmp_path, "thresholds: {allowance_wide: {value: 0.8, reason: long parts bend}}")
    concluded = {rule.concludes[1] for rule in base.rules if rule.concludes and rule.concludes[2] == "allowance_wide"}
    assert concluded == {0.8}


def test_rules_that_no_change_touches_are_the_very_same(tmp_path: Path) -> None:
    base = read(tmp_path, "thresholds: {loop_width_ratio_least: {value: 1.5, reason: our axes are worn}}")
    other = [rule for rule in base.rules if rule is not BASE.by_id[rule.id]]
    assert {"slot-too-narrow-to-loop", "narrow-slot-is-ramped", "room-is-close"} <= {rule.id for rule in other}
    assert len(other) < 8


def test_a_rule_that_is_switched_off_is_gone_and_nobody_refers_to_it(tmp_path: Path) -> None:
    assert "slot-too-narrow-to-loop" in BASE.by_id["no-room-to-loop"].overrides
    base = read(tmp_path, "off: [{id: slot-too-narrow-to-loop, reason: our axes are new}]")
    assert "slot-too-narrow-to-loop" not in base.by_id
    assert all("slot-too-narrow-to-loop" not in rule.overrides for rule in base.rules)
    assert len(base.rules) == len(BASE.rules) - 1


def test_a_rule_is_replaced_where_it_stood(tmp_path: Path) -> None:
    base = read(tmp_path, f"replace:{REPLACED}")
    rule = base.by_id["deep-slot-packs-chips"]
    assert [one.id for one in base.rules] == [one.id for one in BASE.rules]
    assert (rule.house, rule.reason, rule.stage) == (True, "through coolant clears ours", "clearing")
    assert rule.line == 2
    assert not holds(rule.condition, {"method": "ramped_slotting", "depth_ratio": 3.5})


def test_a_rule_is_added_to_its_stage_and_is_asked(tmp_path: Path) -> None:
    base = read(tmp_path, f"add:{OWN}")
    assert base.of("clearing")[-1].id == "our-deep-slots"
    facts = {"method": "ramped_slotting", "depth_ratio": 2.6}
    fired = start(base).every(("clearing",), ("feature", "cutter", "method"), facts, "ramped_slotting")
    assert "our-deep-slots" in {rule.id for rule in fired}
    assert "our-deep-slots" in base.by_id
    assert "our-deep-slots" not in BASE.by_id


def test_an_added_rule_reads_the_thresholds_as_the_house_moved_them(tmp_path: Path) -> None:
    text = OWN.replace("depth_ratio > 2.5", "depth_ratio > slot_depth_ratio_most")
    moved = "thresholds: {slot_depth_ratio_most: {value: 2.5, reason: weak air}}\n"
    rule = read(tmp_path, f"{moved}add:{text}").by_id["our-deep-slots"]
    assert holds(rule.condition, {"method": "ramped_slotting", "depth_ratio": 2.6})
    assert any("our-deep-slots.examples" in str(problem) for problem in complaints(tmp_path, f"add:{text}"))


def test_every_change_is_kept_with_its_reason_and_line(tmp_path: Path) -> None:
    text = f"thresholds: {{skin: {{value: 0.4, reason: a}}}}\noff: [{{id: axis-reversals, reason: b}}]\nadd:{OWN}"
    told = [(change.kind, change.name, change.reason, change.line) for change in read(tmp_path, text).changes]
    assert told == [
        ("moved", "skin", "a", 1),
        ("off", "axis-reversals", "b", 2),
        ("added", "our-deep-slots", "broke two cutters", 4),
    ]


@pytest.mark.parametrize("text", [f"add:{OWN}", f"replace:{REPLACED}", f"replace:{FIRE}", f"add:{SETTING}"])
def test_what_is_spoilt_below_is_good_before(tmp_path: Path, text: str) -> None:
    """Else each of the faults below might be told for another reason."""
    assert len(read(tmp_path, text).changes) == 1


def test_no_change_leaves_the_rules_as_they_are(tmp_path: Path) -> None:
    base = read(tmp_path, "off: []\nadd:\n")
    assert base.rules == BASE.rules
    assert base.changes == ()


def test_a_safety_caution_may_be_said_in_other_words(tmp_path: Path) -> None:
    rule = read(tmp_path, f"replace:{FIRE}").by_id["magnesium-fire"]
    assert rule.harm
    assert "gate 2" in rule.because


def test_what_rests_on_the_house_is_marked_and_nothing_else(tmp_path: Path) -> None:
    moved = "thresholds: {loop_width_ratio_least: {value: 1.5, reason: our axes are worn}}\n"
    base = read(tmp_path, f"{moved}add:{OWN}")
    marks = {rule.id: mark(rule, base) for rule in base.rules if of_house(rule, base)}
    assert marks["our-deep-slots"] == " (house rule)"
    assert marks["narrow-slot-is-ramped"] == " (house threshold: our axes are worn)"
    assert "many-teeth-along-a-slot" not in marks
    assert not any(of_house(rule, BASE) for rule in BASE.rules)


def test_a_threshold_is_told_where_it_turns_a_rule_and_not_elsewhere(tmp_path: Path) -> None:
    base = read(tmp_path, "thresholds: {loop_width_ratio_least: {value: 1.5, reason: our axes are worn}}")
    facts = {"method": "engagement_limited_clearing", "feature": "slot"}
    assert [found.name for found in turned(base, facts | {"width_ratio": 1.4})] == ["loop_width_ratio_least"]
    assert turned(base, facts | {"width_ratio": 1.3}) == ()
    assert turned(base, facts | {"width_ratio": 1.7}) == ()


def test_shipped_examples_that_a_moved_threshold_upsets_are_warnings(tmp_path: Path) -> None:
    base = read(tmp_path, "thresholds: {loop_width_ratio_least: {value: 1.5, reason: our axes are worn}}")
    told = [str(problem) for problem in warnings(BASE, base)]
    assert any("slot-too-narrow-to-loop.examples" in one for one in told)
    assert warnings(BASE, read(tmp_path, f"add:{OWN}")) == ()


def test_a_threshold_that_quietens_a_safety_caution_is_a_warning(tmp_path: Path) -> None:
    quieter = read(tmp_path, "thresholds: {lift_force: {value: 2500, reason: vices}}")
    told = [str(one) for one in warnings(BASE, quieter)]
    assert any("part-shifts" in one and "safety" in one for one in told), told
    broader = warnings(BASE, read(tmp_path, "thresholds: {lift_force: {value: 900, reason: vices}}"))
    assert not any("safety" in str(one) for one in broader)


def test_a_rule_that_can_never_fire_any_more_is_a_warning(tmp_path: Path) -> None:
    moved = "{value: 1.9, reason: our axes are worn}"
    base = read(tmp_path, f"thresholds: {{loop_width_ratio_least: {moved}, open_width_ratio_least: {moved}}}")
    assert any("room-is-close" in str(one) and "never fires" in str(one) for one in warnings(BASE, base))


FAULTS = [
    ("- off", 1, "found a list"),
    ("of: []", 1, "Did you mean off?"),
    ("off: 3", 1, "found 3; wanted a list"),
    ("thresholds: [skin]", 1, "wanted names of thresholds"),
    ("thresholds:\n  loop_width_ratio_lest: {value: 2, reason: a}", 2, "Did you mean loop_width_ratio_least?"),
    ("thresholds:\n  skin: {value: 2}", 2, "skin.reason: found nothing"),
    ("thresholds:\n  skin: 2", 2, "wanted {value: a number, reason: why}"),
    ("thresholds:\n  skin: {value: 2, reason: ''}", 2, "skin.reason: found empty text"),
    ("thresholds:\n  skin: {value: thick, reason: a}", 2, "skin.value: found 'thick'; wanted 0.1 to 2 mm"),
    ("thresholds:\n  skin: {value: -1, reason: a}", 2, "skin.value: found -1; wanted 0.1 to 2 mm"),
    ("thresholds:\n  skin: {value: .nan, reason: a}", 2, "skin.value: found nan; wanted 0.1 to 2 mm"),
    ("thresholds:\n  layer_radial_share: {value: 65, reason: a}", 2, "wanted 0.2 to 0.9 (at full width"),
    ("thresholds:\n  layer_levels_most: {value: 2.5, reason: a}", 2, "wanted 1 to 100 as a whole number; shipped: 6"),
    ("thresholds:\n  skin: {value: 2, reason: a}\n  skin: {value: 3, reason: a}", 3, "twice"),
    ("off:\n  - {id: axis-reversal, reason: a}", 2, "Did you mean axis-reversals?"),
    ("off:\n  - {id: axis-reversals}", 2, "axis-reversals.reason: found nothing"),
    ("off:\n  - axis-reversals", 2, "wanted {id: a rule, reason: why}"),
    ("off:\n  - {id: axis-reversals, reason: a}\n  - {id: axis-reversals, reason: b}", 3, "line 2 has it off already"),
    ("off:\n  - {id: magnesium-fire, reason: a}", 2, "no safety caution rests on"),
    ("off:\n  - {id: magnesium-burns, reason: a}", 2, "no safety caution rests on"),
    ("off:\n  - {id: past-the-bottom, reason: a}", 2, "no safety caution rests on"),
    ("off:\n  - {id: room-is-open, reason: a}", None, ""),
    ("thresholds:\n  pull_out_helix: {value: 3000, reason: a}", 2, "found 3000; wanted 15 to 60 deg"),
    (f"add:{OWN}".replace("clearing", "appraisal").replace("about: {method: ramped_slotting}\n    ", "").replace(
        "depth_ratio", "width_ratio").replace(
        "against", "concludes\n    concludes: {fact: room_kind, value: close}"), 2, "concluding room_kind"),
    (f"replace:{REPLACED}".replace("deep-slot-packs-chips", "deep-slot-pack-chips"), 2, "Did you mean deep-slot-packs"),
    (f"replace:{REPLACED}off:\n  - {{id: deep-slot-packs-chips, reason: a}}", 2, "it replaced"),
    (f"replace:{REPLACED}".replace("    reason: through coolant clears ours\n", ""), 2, "reason: found nothing"),
    (f"replace:{REPLACED}".replace("depth_ratio: 4.1", "depth_ratio: 3.9"), 10, "wanted the rule to fire"),
    (f"replace:{REPLACED}".replace("    reason:", "    stage: entry\n    reason:"), 4, "as the one it replaces"),
    (f"replace:{FIRE}".replace("    harm: true\n", ""), 2, "wanted a caution with harm: true"),
    (f"replace:{FIRE}".replace("[fire_kind = magnesium]", "[fire_kind = magnesium, depth > 5]").replace(
        "[{fire_kind: magnesium}]", "[{fire_kind: magnesium, depth: 6}]"), 2, "silent where the shipped one fires"),
    (f"add:{OWN}".replace("    stage: clearing\n", ""), 2, "our-deep-slots.stage: found nothing"),
    (f"add:{OWN}".replace("stage: clearing", "stage: clearin"), 4, "Did you mean clearing?"),
    (f"add:{OWN}".replace("our-deep-slots", "deep-slot-packs-chips"), 2, "found the id of a shipped rule"),
    (f"add:{OWN}".replace("our-deep-slots", "taken"), 2, "wanted an id of plain small words with hyphens"),
    (f"add:{OWN}{OWN}", 13, "line 2 has it added already"),
    (f"add:{OWN}".replace("[depth_ratio >", "[depth_rati >"), 7, "Did you mean depth_ratio?"),
    (f"add:{OWN}".replace("depth_ratio > 2.5", "depth_ratio > slot_depth_ratio_mst"), 7, "mean slot_depth_ratio_most?"),
    (f"add:{OWN}".replace('"{depth_ratio}', '"{depth_rati}'), 9, "Did you mean depth_ratio?"),
    (f"add:{OWN}".replace("{common_practice: true}", "{work: stori_wright_200}"), 10, "source: found"),
    (f"add:{OWN}".replace("depth_ratio: 2.6", "depth_ratio: 2.4"), 11, "wanted the rule to fire"),
    (f"add:{OWN}".replace("depth_ratio > 2.5", "depth_ratio > 2.5, depth_ratio < 2"), 2, "can never hold"),
    (f"add:{OWN}".replace("depth_ratio > 2.5", "method = drilling"), 2, "can never hold"),
    (f"add:{OWN}".replace("verdict: against", "verdict: cautions"), 8, "our-deep-slots.verdict"),
    (f"add:{OWN}".replace("    verdict:", "    overrides: [slot-cut-to-siz]\n    verdict:"), 2, "slot-cut-to-size?"),
    (f"add:{OWN}".replace("    verdict:", "    overrides: [first-run]\n    verdict:"), 2, "no safety caution rests on"),
    (f"add:{OWN}".replace("    verdict:", "    overrides: [chips-packed]\n    verdict:"), 2, "a rule of its own stage"),
    (f"off: [{{id: slot-cut-to-size, reason: a}}]\nadd:{OWN}".replace(
        "    verdict:", "    overrides: [slot-cut-to-size]\n    verdict:"), 3, "it is switched off"),
    (f"add:{OWN}".replace("title: We", 'title: "\\e[2J" #'), 3, ""),
    (f"add:{SETTING}".replace(OVERRIDES, ""), 2,
     "concluding side_allowance_usual"),
    (f"add:{SETTING}".replace(", DC > 0", "").replace(", DC: 10", ""), 2, "which concludes later, for each cutter"),
    (f"add:{SETTING}".replace("DC > 0", "side_allowance_usual > 0.2"), 2,
     "side_allowance_usual concluded by what needs it"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "line", "told"), FAULTS, ids=range(len(FAULTS)))
def test_a_fault_is_told_with_file_and_line(tmp_path: Path, text: str, line: int | None, told: str) -> None:
    if line is None:
        assert read(tmp_path, text).changes, "this one is allowed"
        return
    problems = complaints(tmp_path, text)
    said = [str(problem) for problem in problems]
    assert any(told in str(one) and one.line == line for one in problems), said
    assert {problem.file for problem in problems} == {str(tmp_path / "house.yaml")}


def test_all_faults_are_told_at_once(tmp_path: Path) -> None:
    text = f"thresholds: {{skn: {{value: 1, reason: a}}}}\noff: [{{id: nobody, reason: a}}]\nadd:{OWN}"
    text = text.replace("verdict: against", "verdict: concludes")
    assert [problem.line for problem in complaints(tmp_path, text)] == [1, 2, 10]


def test_a_loop_through_other_rules_is_named(tmp_path: Path) -> None:
    """Appraisal concludes room from projection, projection from room: neither can come first."""
    text = """add:
  - {id: room-by-reach, title: a, stage: appraisal, reason: a, when: [projection_kind = long], verdict: concludes,
     concludes: {fact: room_kind, value: close}, because: a., source: {common_practice: true},
     examples: {fires: [{projection_kind: long}], silent: [{projection_kind: very_long}]}}
  - {id: reach-by-room, title: a, stage: appraisal, reason: a, when: [room_kind = open], verdict: concludes,
     concludes: {fact: projection_kind, value: long}, because: a., source: {common_practice: true},
     examples: {fires: [{room_kind: open}], silent: [{room_kind: close}]}}
"""
    told = [str(problem) for problem in complaints(tmp_path, text)]
    assert any(":2: room-by-reach.concludes: found room_kind" in one and "reach-by-room" in one for one in told), told


def test_rules_that_override_each_other_in_a_circle_are_refused(tmp_path: Path) -> None:
    rings = ["our-other-slots", "our-third-slots", "our-deep-slots"]
    text = f"add:{''.join(OWN.replace('our-deep-slots', name) for name in (rings[-1], *rings[:-1]))}"
    for other in rings:
        text = text.replace("    reason: broke", f"    overrides: [{other}]\n    reason : broke", 1)
    told = [str(problem) for problem in complaints(tmp_path, text)]
    assert any("a circle" in one for one in told), told
    open_ended = text.replace("overrides: [our-deep-slots]", "overrides: [slot-cut-to-size]")
    assert "our-third-slots" in read(tmp_path, open_ended).by_id


def test_a_condition_with_too_many_alternatives_is_refused(tmp_path: Path) -> None:
    many = ", ".join(f"any: [depth_ratio > {n}, depth > {n}]" for n in range(1, 7))
    when = "[" + ", ".join(f"{{{part}}}" for part in many.split(", any")[:1]) + "]"
    assert "our-deep-slots" in read(tmp_path, f"add:{OWN}".replace("[depth_ratio > 2.5]", when).replace(
        "silent: [{depth_ratio: 2.5}]", "silent: [{depth_ratio: 0.5}]")).by_id  # fmt: skip
    when = "[" + ", ".join(f"{{any: [depth_ratio > {n}, depth > {n}]}}" for n in range(1, 7)) + "]"
    told = [str(one) for one in complaints(tmp_path, f"add:{OWN}".replace("[depth_ratio > 2.5]", when))]
    assert any("can come true in 64 ways" in one for one in told), told


def test_a_concluded_fact_never_loses_its_last_rule(tmp_path: Path) -> None:
    facts = Counter(rule.concludes[0] for rule in BASE.rules if rule.concludes)
    only = [rule for rule in BASE.rules if rule.concludes and facts[rule.concludes[0]] == 1]
    assert only
    for rule in only:
        assert rule.concludes
        told = [str(one) for one in complaints(tmp_path, f"off: [{{id: {rule.id}, reason: a}}]")]
        assert any(f"no rule left that concludes {rule.concludes[0]}" in one for one in told), told


def test_a_folder_without_the_file_is_told() -> None:
    with pytest.raises(BadInput, match="no such folder"):
        house_base(BASE, Path("/no/such/folder"))
    with pytest.raises(BadInput, match="no such file"):
        house_base(BASE, Path(__file__).parent)


def test_what_the_safety_cautions_rest_on_is_guarded_with_them() -> None:
    assert {rule.id for rule in BASE.rules if rule.harm} < guarded(BASE)
    assert {"magnesium-burns", "titanium-burns", "past-the-bottom"} <= guarded(BASE)
    assert "keep-stock-on-the-floor" not in guarded(BASE), "no caution asks for stock on the floor"


@pytest.mark.parametrize(
    ("parts", "can"),
    [
        ((Compare("depth", ">", 5.0), Compare("depth", "<", 5.0001)), False),
        ((Compare("depth", ">", 5.0), Compare("depth", "<", 5.0002)), True),
        ((Compare("depth", ">=", 5.0), Compare("depth", "<=", 5.0)), True),
        ((Compare("depth", ">=", 5.0), Compare("depth", "<=", 5.0), Compare("depth", "!=", 5.0)), False),
        ((Compare("depth", "<", 0.0),), False),
        ((Compare("floor", "=", "yes"), Compare("floor", "=", "no")), False),
        ((Compare("floor", "!=", "yes"), Compare("floor", "!=", "no")), False),
        ((Compare("depth", ">", 5.0), Known("depth", present=False)), False),
        ((Known("depth"), Known("depth", present=False)), False),
        ((Any((Compare("depth", ">", 9.0), Compare("floor", "=", "no"))), Compare("depth", "<", 5.0)), True),
        ((Any((Compare("depth", ">", 9.0), Compare("floor", "=", "no"))), Compare("depth", "<", 5.0),
          Compare("floor", "=", "yes")), False),
        ((Any(()),), False),
        ((All(()),), True),
    ],
)  # fmt: skip
def test_what_can_hold_and_what_never_can(parts: tuple[Compare, ...], can: bool) -> None:
    assert possible(MEASURES, All(parts)) is can


def test_one_condition_holds_wherever_a_narrower_one_does() -> None:
    narrow, wide = Compare("depth", ">", 6.0), Compare("depth", ">", 5.0)
    assert implied(MEASURES, narrow, wide)
    assert not implied(MEASURES, wide, narrow)
    assert not implied(MEASURES, Compare("width", ">", 6.0), wide), "the depth may be absent"
    assert implied(MEASURES, All((narrow, Known("width"))), Any((wide, Known("top"))))


def test_the_shipped_rules_can_all_hold_and_conclude_nothing_at_odds() -> None:
    assert [rule.id for rule in BASE.rules if not possible(MEASURES, rule.condition)] == []
