"""What the review finds in plans that no shipped plan shows: an advised way with one setting that somebody changed."""

from typing import Any, NamedTuple

import pytest
from judged import (
    CLEARING,
    DRILLING,
    LAYERS,
    LIMP,
    OPEN,
    POCKET,
    SLOT,
    STAINLESS,
    STEP,
    THROUGH,
    TITANIUM,
    WINDOW,
    Job,
    spindle,
    through,
    way,
)
from planning import changed, plan_of, row
from small_jobs import EVERYDAY, STEEL, drill, job, solid

from advisor.reasoning.advice import Advice, advise
from advisor.review.verdict import Review, review
from advisor.rulebase.shipped import rule_base

E12 = solid(12, 36, ZEFP=4)
BORE: dict[str, Any] = {"kind": "round_hole", "diameter": 18, "depth": 5, "floor": True, "flat_floor": True}


class Told(NamedTuple):
    """How heavy a finding is, and a job whose advised way has it once some settings are changed."""

    weight: str
    job: Job
    changed: dict[str, Any]


LEAVES_OUT = {
    "no-stock-left-on-the-walls": {"little-stock-on-the-walls"},
    "no-stock-left-on-the-floor": {"little-stock-on-the-floor"},
    "cuts-into-the-floor": {"no-stock-left-on-the-floor"},
    "cuts-into-what-lies-beneath": {"little-clearance-beneath"},
    "drill-goes-too-far-for-the-room": {"drill-point-hits-what-lies-beneath"},
    "bends-into-the-finished-wall": {"bends-into-the-allowance", "bends-part-of-the-allowance", "cutter-too-limp"},
    "bends-into-the-allowance": {"bends-part-of-the-allowance", "cutter-too-limp"},
    "ramp-breaks-the-cutter": {"steeper-than-the-material-bears"},
    "no-side-to-come-in-from": {"way-in-not-meant"},
    "hole-narrower-than-the-cutter": {"no-drill-for-the-hole"},
    "hole-wider-than-need-be": {"no-drill-for-the-hole"},
    "overload-in-the-plan": {"wider-than-the-material-bears", "deeper-than-layers-break", "deeper-than-layers-bear"},
    "deeper-than-layers-break": {"deeper-than-layers-bear"},
    "spindle-stalls": {"spindle-short-of-power", "spindle-overloaded"},
    "spindle-short-of-power": {"spindle-overloaded"},
    "chip-breaks-the-edge": {"chip-too-thick"},
}


FOUND = {
    "no-stock-left-on-the-walls": Told("change", Job(CLEARING, POCKET, [E12]), {"allowance_side": 0.0}),
    "much-stock-on-the-walls": Told("consider", Job(CLEARING, POCKET, [E12]), {"allowance_side": 1.2}),
    "wall-allowance-not-wanted": Told(
        "change", Job(CLEARING, POCKET | {"allowance_side": 0}, [E12]), {"allowance_side": 0.3}
    ),
    "no-stock-left-on-the-floor": Told("change", Job(CLEARING, POCKET, [E12]), {"allowance_bottom": 0.0}),
    "little-stock-on-the-floor": Told("consider", Job(CLEARING, POCKET, [E12]), {"allowance_bottom": 0.2}),
    "much-stock-on-the-floor": Told("consider", Job(CLEARING, POCKET, [E12]), {"allowance_bottom": 1.2}),
    "corner-radius-stays-at-the-bottom": Told(
        "consider", Job(CLEARING, THROUGH, [solid(12, 36, RE=2)]), {"overcut": 1.0}
    ),
    "cuts-into-the-floor": Told("stop", Job(CLEARING, POCKET, [E12]), {"overcut": 0.5, "allowance_bottom": None}),
    "drill-goes-too-far-for-the-room": Told(
        "stop", Job(DRILLING, through(12, 20, 3), [drill(12)]), {"overcut": 1.0, "axial_depth": None}
    ),
    "cuts-into-what-lies-beneath": Told(
        "stop", Job(CLEARING, THROUGH | {"clearance_below": 2}, [E12]), {"overcut": 2.5}
    ),
    "little-clearance-beneath": Told(
        "change", Job(CLEARING, THROUGH | {"clearance_below": 2}, [E12]), {"overcut": 1.8}
    ),
    "bends-into-the-finished-wall": Told(
        "stop", Job(CLEARING, LIMP, [solid(6, 32, LU=34, LPR=41)], STEEL), {"radial_width": 3.0}
    ),
    "bends-into-the-allowance": Told("change", Job(CLEARING, LIMP, [solid(6, 32, LU=34, LPR=41)], STAINLESS), {}),
    "ramp-breaks-the-cutter": Told(
        "stop", Job(CLEARING, POCKET, [E12], STEEL, entry="helical_ramp"), {"ramp_angle": 8.0}
    ),
    "steeper-than-the-material-bears": Told(
        "change", Job(CLEARING, POCKET, [E12], STEEL, entry="helical_ramp"), {"ramp_angle": 4.5}
    ),
    "no-side-to-come-in-from": Told("stop", Job(CLEARING, POCKET, [E12]), {"entry": "side_entry", "ramp_angle": None}),
    "way-in-not-meant": Told("change", Job(CLEARING, OPEN, [E12]), {"entry": "axial_plunge", "ramp_angle": None}),
    "body-not-meant": Told("stop", Job(CLEARING, POCKET, [E12, drill(11)]), {"cutter": "D11"}),
    "feature-not-meant": Told("change", Job(CLEARING, OPEN, [E12]), {"method": "ramped_slotting"}),
    "hole-narrower-than-the-cutter": Told(
        "stop",
        Job(CLEARING, POCKET, [E12, drill(10)]),
        {"entry": "predrilled_hole", "entry_cutter": "D10", "ramp_angle": None},
    ),
    "hole-wider-than-need-be": Told(
        "consider",
        Job(CLEARING, POCKET, [E12, drill(20)]),
        {"entry": "predrilled_hole", "entry_cutter": "D20", "ramp_angle": None},
    ),
    "levels-do-not-reach": Told("change", Job(CLEARING, POCKET, [E12]), {"axial_depth": 10.0, "levels": 2}),
    "overload-in-the-plan": Told("stop", Job(CLEARING, POCKET, [E12], STEEL), {"radial_width": 6.0}),
    "wider-than-the-material-bears": Told(
        "change", Job(CLEARING, POCKET | {"depth": 15}, [E12], STEEL), {"radial_width": 4.0}
    ),
    "deeper-than-layers-break": Told("stop", Job(LAYERS, POCKET, [E12], STEEL), {"axial_depth": 23.0, "levels": None}),
    "deeper-than-layers-bear": Told("change", Job(LAYERS, POCKET, [E12], STEEL), {"axial_depth": 10.0, "levels": None}),
    "spindle-stalls": Told(
        "stop",
        Job(LAYERS, STEP, [solid(20, 26)], STEEL, spindle((1000, 1), (8000, 1))),
        {"feed_rate": 4000.0, "feed_per_tooth": None},
    ),
    "spindle-short-of-power": Told(
        "change",
        Job(LAYERS, STEP, [solid(20, 26)], STEEL, spindle((1000, 1), (8000, 1))),
        {"feed_rate": 950.0, "feed_per_tooth": None},
    ),
    "chip-breaks-the-edge": Told("stop", Job(LAYERS, STEP, [E12], STEEL), {"feed_per_tooth": 0.3, "feed_rate": None}),
    "chip-too-thick": Told("change", Job(LAYERS, STEP, [E12], STEEL), {"feed_per_tooth": 0.12, "feed_rate": None}),
    "centre-feed-too-much-at-the-wall": Told(
        "change", Job(LAYERS, BORE, [E12, drill(14)], STEEL), {"feed_rate": 2000.0, "feed_per_tooth": None}
    ),
    "thin-chip-hardens-the-wall": Told(
        "change", Job(LAYERS, STEP, [E12], STAINLESS), {"feed_per_tooth": 0.012, "feed_rate": None}
    ),
    "feed-beyond-the-axes": Told(
        "change",
        Job(CLEARING, SLOT | {"width": 20}, [E12], machine=EVERYDAY | {"axis_acceleration": 0.3}),
        {"feed_rate": 6000.0, "feed_per_tooth": None},
    ),
    "superalloy-without-flood": Told("change", Job(CLEARING, POCKET, [E12], TITANIUM), {"coolant": "none"}),
    "edge-builds-up-when-dry": Told("consider", Job(CLEARING, POCKET, [solid(12, 36)]), {"coolant": "air"}),
    "middle-not-said-to-be-held": Told("consider", Job(CLEARING, WINDOW, [E12]), {}),
}


def advice(given: Job) -> Advice:
    """Return the advice for a job."""
    return advise(job(given.feature, given.crib, given.material, given.machine))


def reviewed(told: Told) -> Review:
    """Return the review of a plan of the advised way with the changed settings."""
    found = advice(told.job)
    return review(plan_of(changed(row("F1", way(told.job)[0]), **told.changed)), found.assignment, found)


@pytest.mark.parametrize(("rule", "told"), FOUND.items())
def test_a_setting_gone_wrong_is_found_with_its_weight_and_told_once(rule: str, told: Told) -> None:
    found = reviewed(told)
    weights = {finding.rule.id: finding.weight for finding in found.findings}
    assert weights.get(rule) == told.weight
    less = LEAVES_OUT.get(rule, set())
    assert less <= {fired.id for one in found.operations for fired in one.candidate.fired}, "else nothing is left out"
    assert less.isdisjoint(weights)


@pytest.mark.parametrize(("times", "found"), [(1.0, False), (1.5, False), (1.52, True), (3.0, True)])
def test_a_feed_rate_alone_in_a_bore_is_that_of_the_centre(times: float, found: bool) -> None:
    """Source: geometry; the wall of 17 mm goes round as often as the centre of a 12 mm cutter on 5 mm."""
    given = Job(LAYERS, BORE, [E12, drill(14)], STEEL)
    best, feed_of = way(given)[0], advice(given)
    assert best.plan is not None
    centre = times * best.plan.feed_rate * 5 / 17
    one = changed(row("F1", best), feed_rate=centre, feed_per_tooth=None)
    told = review(plan_of(one), feed_of.assignment, feed_of)
    assert ("centre-feed-too-much-at-the-wall" in {finding.rule.id for finding in told.findings}) is found
    facts = told.operations[0].candidate.facts
    assert facts["feed_per_tooth"] == pytest.approx(times * best.plan.feed_per_tooth)
    both = changed(row("F1", best), feed_rate=best.plan.feed_rate)
    beside = review(plan_of(both), feed_of.assignment, feed_of).operations[0].candidate.facts
    assert beside["feed_per_tooth"] == pytest.approx(best.plan.feed_per_tooth)
    assert "centre_feed_said" not in beside


def test_what_is_cleared_already_is_not_cleared_again() -> None:
    given = Job(CLEARING, POCKET, [E12])
    found, once = advice(given), row("F1", way(given)[0])
    weights = {one.rule.id: one.weight for one in review(plan_of(once, once), found.assignment, found).findings}
    assert weights.get("cut-twice") == "change"


def test_what_a_review_finds_about_people_and_fire_is_marked_as_such() -> None:
    """These come first among findings of their weight, and no shop can switch them off."""
    people = {
        "faster-than-marked",
        "water-on-magnesium",
        "fire-precautions-not-said",
        "middle-falls-out",
        "middle-not-said-to-be-held",
    }
    assert people <= {rule.id for rule in rule_base().of("review") if rule.harm}
