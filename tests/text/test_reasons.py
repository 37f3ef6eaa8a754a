"""What is told once for every feature, what counts as a reason, and how a few words are chosen."""

from typing import Any

from advisor.choosing.advice import advise
from advisor.knowledge.schema import Source
from advisor.knowledge.shipped import rule_base
from advisor.model.cause import Cause, Held, HeldBy
from advisor.model.cutter import Cutter
from advisor.render import terminal
from advisor.text.advice import advice_blocks
from advisor.text.alternatives import choice_text
from advisor.text.reasons import for_every_feature, reasons
from advisor.text.rulebook import chosen, rule_blocks
from advisor.text.sources import cited, reference
from advisor.text.why import why_blocks
from advisor.text.words import cutter_text, held_text, size
from tests.cases import worked
from tests.jobs.small import STEEL, drill, job, solid

BASE = rule_base()


def test_flying_chips_are_told_once_for_a_whole_job() -> None:
    told = terminal.text(advice_blocks(worked.advice("winch-side-plate")), 80)
    assert told.count("[chips-thrown]") == 1
    assert told.index("For every feature") < told.index("[chips-thrown]")


def test_fire_is_told_before_the_first_run_and_not_again_for_every_feature() -> None:
    advice = worked.advice("gear-case-magnesium")
    (answer,) = advice.features
    advice = advice._replace(features=(answer, answer._replace(region=answer.region._replace(id="P2"))))
    assert "magnesium-fire" in {rule.id for rule, _ in for_every_feature(advice.features, advice.bench.base)}
    told = terminal.text(advice_blocks(advice), 80)
    assert told.count("[magnesium-fire]") == 1
    assert told.index("Before the first run") < told.index("[magnesium-fire]") < told.index("For every feature")


def test_beside_a_feature_without_a_way_the_first_run_is_still_told_once() -> None:
    advice = worked.advice("winch-side-plate")
    lost = advice.features[0]._replace(best=None, cautions=())
    told = terminal.text(advice_blocks(advice._replace(features=(lost, *advice.features[1:]))), 80)
    assert told.count("[first-run]") == told.count("[chips-thrown]") == 1


def test_flying_chips_are_told_with_the_fastest_cut() -> None:
    advice = worked.advice("winch-side-plate")
    told = {rule.id: answer for rule, answer in for_every_feature(advice.features, advice.bench.base)}
    fastest = max(advice.features, key=lambda answer: answer.best.facts["cutting_speed"])
    assert told["chips-thrown"] is fastest


def test_a_caution_of_one_feature_stays_with_it() -> None:
    advice = worked.advice("winch-side-plate")
    told = {rule.id for rule, _ in for_every_feature(advice.features, advice.bench.base)}
    assert "slot-rest-on-walls" not in told
    assert "marked-speed" not in told


def test_a_job_of_one_feature_keeps_its_cautions_together() -> None:
    advice = worked.advice("fitting-hole-flat-floor")
    assert for_every_feature(advice.features, advice.bench.base) == ()


def test_what_speaks_against_a_poor_answer_is_among_its_reasons() -> None:
    answer = worked.feature("keyway-cut-to-size", "S1")
    assert answer.grade == "poor"
    assert "against" in {rule.verdict for rule in reasons(answer)}


def test_a_good_answer_needs_no_ranking_to_explain_it() -> None:
    assert worked.feature("guide-slot-narrow", "S1").chosen is None


def test_an_answer_without_a_rule_for_it_says_what_decided() -> None:
    found = worked.feature("instrument-plate-slow-axes", "S1").chosen
    assert found is not None
    assert "No way is graded good here." in choice_text(found, worked.advice("instrument-plate-slow-axes").bench.base)


def test_sizes_in_inches_are_not_rounded_away() -> None:
    answer = worked.feature("valve-body-inch", "S1")
    assert "9.525" in cutter_text(answer.best.cutter)
    assert "× 11.176" in size(answer.region)


def test_a_held_back_setting_names_its_unit_once() -> None:
    held = Held("spindle_speed", 18048.0, 8000.0, Cause(HeldBy.SPINDLE_SPEED))
    told = held_text(held, rule_base()).replace("\u00a0", " ")
    assert told == "spindle speed 18 048 → 8 000 /min: maximum spindle speed"


def test_a_held_back_width_is_told_apart() -> None:
    told = held_text(Held("radial_width", 3.0001, 3.0, Cause(HeldBy.BENDING)), rule_base()).replace("\u00a0", " ")
    assert told.startswith("radial width 3.0001 → 3 mm")


def test_a_work_is_cited_in_full_and_as_from_memory() -> None:
    told = cited(Source("stori_wright_2000", from_memory=True))
    assert "Stori" in told
    assert "(2000)" in told
    assert told.endswith("from memory, not looked up")
    assert reference("no_such_work") == "no_such_work"


def test_a_rule_is_shown_with_the_values_of_its_thresholds() -> None:
    base = rule_base()
    told = " ".join(terminal.text(rule_blocks(base.by_id["no-room-for-a-helix"], base), 80).split())
    assert f"{base.limits['helix_bore_low_end_cutting']:g} (helix_bore_low_end_cutting)" in told
    assert "fires at" in told
    assert "does not fire at" in told


def test_every_rule_can_be_shown() -> None:
    base = rule_base()
    for rule in base.rules:
        told = " ".join(terminal.text(rule_blocks(rule, base), 50).split())
        assert rule.title in told
        assert "{" not in told


def test_a_house_rule_says_so() -> None:
    base = rule_base()
    rule = base.by_id["shank-rubs"]._replace(house=True)
    assert "a rule of the house" in terminal.text(rule_blocks(rule, base), 80)


def test_rules_are_found_by_what_they_name() -> None:
    base = rule_base()
    assert all(rule.stage == "entry" for rule in chosen(base, stage="entry"))
    assert "narrow-slot-is-ramped" in {rule.id for rule in chosen(base, method="ramped_slotting")}
    assert "magnesium-burns" in {rule.id for rule in chosen(base, group="N")}
    assert "magnesium-burns" not in {rule.id for rule in chosen(base, group="P")}
    assert "shank-rubs" in {rule.id for rule in chosen(base, word="SHANK")}
    assert len(chosen(base)) == len(base.rules)


def test_what_frees_the_part_is_told_first_of_all_with_what_must_hold_it() -> None:
    """Before any feature, in a job of several: the outline of the side plate goes past the bottom, and its rim goes."""
    told = terminal.text(advice_blocks(worked.advice("winch-side-plate")), 80)
    first = told.index("Before the first run")
    assert told.index("[rim-becomes-chips]") > first
    assert told.index("[rim-becomes-chips]") < told.index("planar face 240")
    assert "Hold the part itself before this cut" in told[first : told.index("planar face 240")]


def test_of_a_job_of_one_feature_nothing_is_told_twice() -> None:
    assert "Before the first run" not in terminal.text(advice_blocks(worked.advice("sensor-housing-thin-wall")), 80)


def told_of(feature: dict[str, Any], *crib: Cutter) -> str:
    """Return all that the advice and its evidence say of one feature."""
    assignment = job(feature, crib, STEEL)
    advice = advise(assignment)
    every = (*advice_blocks(advice), *why_blocks(advice.features[0], advice))
    return terminal.text(every, 80).replace("\u00a0", " ")


POCKET = {"kind": "closed_pocket", "length": 90, "width": 60, "depth": 20, "floor": True}
HOLE = {"kind": "round_hole", "diameter": 10, "depth": 20, "purpose": "mill"}


def test_where_something_stays_at_the_bottom_it_is_told_how_much() -> None:
    assert "Roughing leaves 0.5 mm on it for finishing" in told_of(POCKET, solid(16, 32))


def test_where_nothing_stays_at_the_bottom_nothing_is_told_of_it() -> None:
    """The job asks for no allowance, or a drill makes the hole to its depth, or goes through where a mill would not."""
    through = HOLE | {"floor": False, "clearance_below": 1.4, "diameter": 2, "depth": 6, "purpose": "clearance"}
    pocket, blind, drilled = (
        told_of(feature, cutter)
        for feature, cutter in (
            (POCKET | {"allowance_bottom": 0}, solid(16, 32)),
            (HOLE | {"floor": True}, drill(9)),
            (through, drill(2)),
        )
    )
    for text in (pocket, blind, drilled):
        assert "Not possible with this crib" not in text
        assert "leaves 0 mm" not in text
        assert "a skin of 0 mm" not in text
        assert not {"[keep-stock-on-the-floor]", "[stop-with-a-skin]"} & set(text.split())
