"""Rules that no worked case needs, each alone makes a way what it is in a small job.

Source of each: common practice, no source.
"""

import pytest

from advisor.choosing.advice import cautions_for
from advisor.choosing.candidates import grade_of
from advisor.choosing.ranking import standing
from advisor.knowledge.conditions import Compare, holds, leaves
from advisor.knowledge.shipped import rule_base
from tests.jobs.judged import (
    CLEARING,
    FORBIDS,
    HURTS,
    INSERTS_IN_HARD,
    NO_CIRCLE,
    OPEN,
    POCKET,
    RAMPED,
    SLOT,
    SPEAKS_AGAINST,
    SPEAKS_FOR,
    SPOILS,
    TITANIUM,
    TO_BE_CHANGED,
    TOLD_ONCE,
    Job,
    way,
)
from tests.jobs.small import EVERYDAY, STEEL, asked, drill, solid


@pytest.mark.parametrize(("rule", "given"), SPEAKS_FOR.items())
def test_a_way_is_good_by_this_rule_alone(rule: str, given: Job) -> None:
    found, _ = way(given)
    assert found.grade == "good"
    assert grade_of([fired for fired in found.fired if fired.id != rule]) == "workable"


@pytest.mark.parametrize(("rule", "given"), SPEAKS_AGAINST.items())
def test_a_way_is_poor_and_no_worse_by_this_rule_alone(rule: str, given: Job) -> None:
    found, _ = way(given)
    assert found.grade == "poor"
    assert grade_of([fired for fired in found.fired if fired.id != rule]) in ("good", "workable")


@pytest.mark.parametrize(("rule", "given"), FORBIDS.items())
def test_a_way_is_forbidden_by_this_rule_alone(rule: str, given: Job) -> None:
    found, _ = way(given)
    assert (found.grade, grade_of(found.fired)) == ("forbidden", "forbidden"), "not for want of arithmetic alone"
    assert grade_of([fired for fired in found.fired if fired.id != rule]) != "forbidden"


@pytest.mark.parametrize(("rule", "given"), (HURTS | SPOILS).items())
def test_what_can_go_wrong_is_said_and_what_can_hurt_somebody_first(rule: str, given: Job) -> None:
    found = cautions_for(*way(given))
    special = [caution.id for caution in found if caution.id not in ("chips-thrown", "first-run")]
    spoiled = [place for place, name in enumerate(special) if rule_base().by_id[name].harm is False]
    assert rule in special
    if rule in HURTS:
        assert special.index(rule) < min(spoiled, default=len(special))


@pytest.mark.parametrize(("rule", "less"), TOLD_ONCE)
def test_of_two_rules_about_one_thing_the_closer_one_is_told(rule: str, less: str) -> None:
    found, bench = way(TOLD_ONCE[rule, less])
    told = (*standing(found.fired), *cautions_for(found, bench))
    assert holds(rule_base().by_id[less].condition, found.facts), "else nothing is left out"
    assert {one.id for one in told} & {rule, less} == {rule}


def test_inserts_not_made_for_hardened_steel_are_forbidden_and_a_limp_cutter_at_a_wall_cut_to_size_is_poor() -> None:
    assert way(INSERTS_IN_HARD)[0].grade == "forbidden"
    assert way(TO_BE_CHANGED["cutter-bends-at-size"])[0].grade == "poor"


def test_beside_a_wall_that_is_not_thin_a_slot_may_be_cut_with_the_whole_cutter() -> None:
    """14 mm high and 3.5 mm thick; the cut is nine times as wide."""
    given = SPEAKS_AGAINST["whole-width-beside-a-thin-wall"]
    found, _ = way(given._replace(feature=given.feature | {"thinnest_wall": 3.5}))
    assert float(found.facts["width_over_wall"]) > 8
    assert found.grade == "good"


@pytest.mark.parametrize(("longer", "told"), [(False, "no-cutter-reaches-the-corners"), (True, "corner-leaves-rest")])
def test_where_no_cutter_reaches_the_corners_that_alone_is_told(longer: bool, told: str) -> None:
    """Corners of 4 mm, 30 mm deep: a cutter of 6 mm turns them, if it is long enough."""
    found = asked(POCKET | {"corner_radius": 4}, [solid(12, 32), solid(6, 14, LU=33 if longer else 20, LPR=42, DN=5.7)])
    assert found.best is not None
    assert found.best.cutter.DC == 12
    assert {one.id for one in found.cautions} & {"no-cutter-reaches-the-corners", "corner-leaves-rest"} == {told}


@pytest.mark.parametrize(("feature", "less"), [(SLOT | {"width": 13.2}, "slot-too-narrow-to-loop"), NO_CIRCLE])
def test_where_there_is_no_room_at_all_nothing_is_said_of_little_room(feature: dict[str, object], less: str) -> None:
    found, _ = way(Job(CLEARING, feature, [solid(12, 26)]))
    assert less in {rule.id for rule in found.fired}
    assert {rule.id for rule in standing(found.fired)} & {less, "no-room-to-loop"} == {"no-room-to-loop"}


def test_a_hole_that_spares_the_cutter_is_not_also_told_as_any_hole() -> None:
    """A change of tools that takes long, so that it saves no time as well."""
    slow = EVERYDAY | {"tool_change": 3600}
    fired = way(Job(CLEARING, POCKET, [solid(12, 32), drill(13)], TITANIUM, slow, "predrilled_hole"))[0].fired
    told = {rule.id for rule in standing(fired)}
    assert "down-the-drilled-hole" in {rule.id for rule in fired}
    assert told & {"hole-spares-the-cutter", "down-the-drilled-hole", "hole-saves-time"} == {"hole-spares-the-cutter"}


@pytest.mark.parametrize(
    ("entry", "way_in"),
    [
        ("helical_ramp", "down_a_helix"),
        ("zigzag_ramp", "to_and_fro"),
        ("predrilled_hole", "through_the_hole"),
        ("axial_plunge", "straight_down"),
    ],
)
def test_a_way_in_is_told_for_what_it_is(entry: str, way_in: str) -> None:
    found, _ = way(Job(CLEARING, POCKET, [solid(12, 32), drill(13)], entry=entry))
    assert found.facts["way_in"] == way_in


@pytest.mark.parametrize(
    ("material", "coolant", "out"),
    [("AZ91", "flood", "brush"), (TITANIUM, "air", "brush"), (TITANIUM, "flood", "flush"), (STEEL, "air", "blow")],
)
def test_chips_that_burn_are_brushed_out_and_others_blown_or_flushed(material: str, coolant: str, out: str) -> None:
    machine = EVERYDAY | {"coolant": [coolant]}
    found, _ = way(Job(RAMPED, SLOT | {"width": 13, "open_ends": 1}, [solid(12, 26)], material, machine))
    assert found.facts["chips_out"] == out


def test_a_pocket_with_an_open_side_has_open_room_and_a_wide_one_without_has_ample() -> None:
    assert way(Job(CLEARING, OPEN | {"open_sides": 3}, [solid(12, 32)]))[0].facts["room_kind"] == "open"
    assert way(Job(CLEARING, OPEN, [solid(12, 32)]))[0].facts["room_kind"] == "ample", "the long walls face each other"
    assert way(Job(CLEARING, POCKET, [solid(12, 32)]))[0].facts["room_kind"] == "ample"


@pytest.mark.parametrize(("material", "told"), [("CW453K", True), ("CW614N", True), ("CW004A", False)])
def test_teeth_are_too_many_for_short_chips_where_the_chips_are_short(material: str, told: bool) -> None:
    """Bronze and brass make short chips; pure copper sticks to the edge, and what is said of it is another thing."""
    found = asked(OPEN, [solid(12, 32, ZEFP=5)], material).candidates[0].fired
    assert ("too-many-teeth-for-short-chips" in {rule.id for rule in found}) == told


WAY_IN = {
    "side_entry": "from_the_side",
    "helical_ramp": "down_a_helix",
    "zigzag_ramp": "to_and_fro",
    "predrilled_hole": "through_the_hole",
    "axial_plunge": "straight_down",
}


@pytest.mark.parametrize(
    "rule", [rule.id for rule in rule_base().rules if rule.concludes and rule.concludes[0] == "way_in"]
)
def test_what_is_said_of_how_the_cutter_gets_in_fits_its_entry(rule: str) -> None:
    found = rule_base().by_id[rule]
    entries = [leaf.value for leaf in leaves(found.condition) if isinstance(leaf, Compare) and leaf.fact == "entry"]
    assert [WAY_IN[str(entry)] for entry in entries] == [found.concludes[1]]
