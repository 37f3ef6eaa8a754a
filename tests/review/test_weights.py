"""What a rule of the advice weighs in a review where it says so itself, not by the time that is lost."""

import pytest

from advisor.choosing.advice import advise
from advisor.knowledge.conditions import Facts
from advisor.knowledge.shipped import rule_base
from advisor.model.cause import HeldBy
from advisor.model.cutter import make_cutter
from advisor.model.operations import OperationRow
from advisor.readers.plan_line import plan_said
from advisor.review.finding import weight_of, well_chosen_of
from advisor.review.verdict import Review, review
from advisor.text.findings import well_chosen_text
from tests.jobs.judged import (
    CLEARING,
    FORBIDS,
    LIMP,
    OPEN,
    POCKET,
    SPEAKS_AGAINST,
    TITANIUM,
    TO_BE_CHANGED,
    Job,
    way,
)
from tests.jobs.small import ALUMINIUM, drill, inserted, job, solid
from tests.review.planning import advice, changed, reviewed, row

JOBS = SPEAKS_AGAINST | FORBIDS | TO_BE_CHANGED
WEIGHED = [rule.id for rule in rule_base().rules if rule.weight and rule.verdict != "finds"]
FACE_CUTTER = make_cutter(id="A50", body="inserted_face_mill", DC=50, APMX=6, ZEFP=5, LU=40, LPR=50)
SLOW, DEEP = "axes-too-slow-to-loop", "too-long-for-wide-cuts"
OF_A_PLAN = {  # what a review says in its place, where the plan gives the feed or nothing opens the hole
    "drill-short-of-feed": ("drill-fed-little", "change"),
    "insert-drill-short-of-feed": ("insert-drill-fed-little", "change"),
    "drill-short-of-feed-where-it-hardens": ("drill-short-of-feed-where-it-hardens", "consider"),
    "island-too-close-to-pass-evenly": ("island-too-close-to-pass-evenly", "consider"),
    **{
        rule: (rule, "consider")
        for rule in (
            "short-edges-at-full-depth",
            "slanting-edge-on-a-narrow-strip",
            "helix-of-very-many-turns",
            "helix-takes-far-too-long",
            "insert-drill-in-tough-material-without-coolant-through",
        )
    },
    "inserts-no-data-for-hard": ("level-breaks-inserts-in-hard-steel", "stop"),
    "tap-hole-drilled-too-narrow": ("tap-breaks-in-the-narrow-hole", "stop"),
    "ream-hole-drilled-far-too-narrow": ("reamer-finds-far-too-much", "stop"),
}
NO_DRILL = "no-drill-for-the-hole"  # where no operation drills the hole either, that is what stops
TIGHT = "deep-into-a-tight-corner"  # no job: the advice takes thinner levels there; see below
OPENING = "opening-cut-too-deep"  # no job: the advice takes no such cut; see test_full_width
NEARLY_STIFF = SPEAKS_AGAINST["cutter-too-limp"]._replace(feature=LIMP | {"allowance_side": 0.218})


def reviewed_way(given: Job, **more: object) -> Review:
    """Return the review of a plan of the way that a job is about, said as far as it could be worked out."""
    found = advise(job(given.feature, given.crib, given.material, given.machine))
    chosen, _ = way(given)
    said = OperationRow.model_construct(feature=("F1",), cutter=chosen.cutter.id)
    keys = {"method": chosen.method} | ({"entry": chosen.entry} if chosen.entry else {})
    worked_out = chosen.plan is not None and chosen.grade != "forbidden"
    return reviewed(found, changed(row("F1", chosen) if worked_out else said, **(keys | more)))


def weights(given: Job, **more: object) -> dict[str, str]:
    """Return what the review finds in such a plan, with its weight."""
    return {finding.rule.id: finding.weight for finding in reviewed_way(given, **more).findings}


def planned(given: Job, **more: object) -> Facts:
    """Return what is worked out of such a plan."""
    return reviewed_way(given, **more).operations[0].candidate.facts


@pytest.mark.parametrize(
    "rule", [rule for rule in WEIGHED if rule not in ("cutter-too-limp", SLOW, DEEP, OPENING, TIGHT, NO_DRILL)]
)
def test_whoever_plans_such_a_way_is_told_to_change_it(rule: str) -> None:
    told, weight = OF_A_PLAN.get(rule, (rule, "change"))
    given = JOBS[rule]
    more = {} if rule != "tap-hole-drilled-too-narrow" else {"coolant": "flood"}
    assert weights(given, **more)[told] == weight


def test_whoever_goes_deep_into_a_tight_corner_is_told_to_and_the_advice_takes_thinner_levels() -> None:
    pocket = Job(CLEARING, POCKET | {"corner_radius": 6.5}, [solid(12, 32, ZEFP=4)], TITANIUM, entry="helical_ramp")
    assert weights(pocket, axial_depth=19.5, levels=1)[TIGHT] == "change"
    assert TIGHT not in weights(pocket)
    found, _ = way(pocket)
    assert found.plan is not None
    assert found.plan.axial_depth < 12
    assert {held.cause.by for held in found.plan.held} >= {HeldBy.TIGHT_CORNER}
    rounder, _ = way(pocket._replace(feature=POCKET | {"corner_radius": 8}))
    assert rounder.plan is not None
    assert rounder.plan.levels == 1


def test_whoever_plans_a_hole_that_nobody_drills_and_no_drill_could_is_stopped() -> None:
    told = weights(JOBS[NO_DRILL])
    assert told["no-hole-and-no-drill"] == "stop"
    assert NO_DRILL not in told


def test_of_a_rest_nothing_is_told_of_a_hole_that_no_drill_could_make() -> None:
    """It comes in where the wide cutter has been."""
    crib = [solid(10, 32), solid(6, 32)]
    said = ["F1: layered pocketing E10", "F1: layered pocketing E6 predrilled hole"]
    pocket = POCKET | {"length": 60, "width": 40, "depth": 10, "corner_radius": 4}
    found = review(plan_said(said, [one.id for one in crib], "mm"), job(pocket, crib))
    assert NO_DRILL in {rule.id for rule in found.operations[1].candidate.fired}
    assert NO_DRILL not in {finding.rule.id for finding in found.findings}


def test_whoever_plans_a_feed_that_the_axes_cannot_follow_on_loops_is_told_to_change_it() -> None:
    assert weights(JOBS[SLOW], feed_rate=4000.0, feed_per_tooth=None)[SLOW] == "change"


@pytest.mark.parametrize(("axial_depth", "weight"), [(0.59, None), (0.61, "change")])
def test_whoever_plans_deep_layers_with_a_very_slender_cutter_is_told_to_change_it(
    axial_depth: float, weight: str | None
) -> None:
    """A tenth of the 6 mm cutter's width is the most."""
    assert weights(JOBS[DEEP], axial_depth=axial_depth, levels=None).get(DEEP) == weight


def test_a_cutter_that_bends_just_beyond_what_the_allowance_covers_is_only_to_be_considered() -> None:
    assert weights(NEARLY_STIFF)["cutter-too-limp"] == "consider"


def test_what_is_only_spoken_against_is_to_be_considered_and_what_is_forbidden_stops() -> None:
    weights = {rule.verdict: weight_of(rule) for rule in rule_base().rules if not rule.weight}
    assert weights["against"] == "consider"
    assert weights["forbids"] == "stop"


@pytest.mark.parametrize(("axial_depth", "levels"), [(14.6, 3), (14.61, 2)])
def test_a_level_that_misses_the_bottom_by_less_than_a_hundredth_is_taken_for_rounded(
    axial_depth: float, levels: int
) -> None:
    """29.5 mm to cut."""
    given = Job(CLEARING, POCKET, [solid(12, 36, ZEFP=4)])
    assert planned(given, axial_depth=axial_depth, levels=None)["levels"] == levels


@pytest.mark.parametrize(("width", "worked_out"), [(19.9, False), (20.1, True)])
def test_a_cutter_wider_than_the_pocket_is_not_worked_out_any_further(width: float, worked_out: bool) -> None:
    given = Job(CLEARING, OPEN | {"width": width, "depth": 20}, [solid(20, 40)])
    assert ("radial_width" in planned(given)) is worked_out


@pytest.mark.parametrize(("settings", "weight"), [({}, "consider"), ({"radial_width": 5.0}, "consider")])
def test_a_spindle_too_weak_for_a_way_is_told_whatever_the_plan_says_of_it(
    settings: dict[str, float], weight: str
) -> None:
    """Left out, the settings are those that the spindle bears: that the way wants ten times as much was not told."""
    said = OperationRow.model_construct(feature=("P1",), cutter="I40")
    found = reviewed(advice("gear-cover-weak-spindle"), changed(said, method="layered_pocketing", **settings))
    assert {one.rule.id: one.weight for one in found.findings}["spindle-too-weak-for-layers"] == weight


@pytest.mark.parametrize(("advised", "quicker"), [(101.9, False), (102.1, True)])
def test_a_plan_is_told_to_be_quicker_where_it_saves_more_than_two_parts_in_a_hundred(
    advised: float, quicker: bool
) -> None:
    found = advise(job(POCKET, [solid(12, 36)]))
    best = found.features[0].best
    assert best is not None
    timed = best._replace(facts=dict(best.facts) | {"planned_time": 100.0, "advised_time": advised})
    praise = well_chosen_of(1, timed, found.features[0], set(), found.bench)
    told = " ".join(well_chosen_text(each, found.bench.base) for each in praise)
    assert ("The plan is quicker" in told) is quicker


@pytest.mark.parametrize(("pass_ratio", "praised"), [(1.149, False), (1.15, True)])
def test_a_plan_that_is_quicker_by_the_full_width_of_its_face_cutter_is_not_praised(
    pass_ratio: float, praised: bool
) -> None:
    found = advise(job({"kind": "planar_face", "length": 200, "width": 60, "depth": 2}, [FACE_CUTTER]))
    best = found.features[0].best
    assert best is not None
    quick: Facts = {"planned_time": 100.0, "advised_time": 120.0, "pass_ratio": pass_ratio}
    timed = best._replace(facts={**best.facts, **quick})
    praise = well_chosen_of(1, timed, found.features[0], set(), found.bench)
    told = " ".join(well_chosen_text(each, found.bench.base) for each in praise)
    assert ("The plan is quicker" in told) is praised


def test_an_operation_with_nothing_to_cut_is_no_operation() -> None:
    """The command refuses such a plan before; from Python it once divided by zero."""
    found = advice("winch-side-plate")
    region = found.features[0].region
    said = OperationRow.model_construct(feature=(region.id,), cutter=found.assignment.crib[0].id)
    with pytest.raises(ValueError, match=r"operation 1 leaves .* nothing to cut"):
        reviewed(found, changed(said, allowance_bottom=region.depth))


@pytest.mark.parametrize(("levels", "found"), [(5, True), (3, True), (2, False), (1, False)])
def test_levels_that_go_below_the_bottom_are_told_and_no_last_one_is_less_than_nothing(
    levels: int, found: bool
) -> None:
    """The last of 5 levels of 7 mm in 13.5 mm was once told to take -14.5 mm."""
    said = OperationRow.model_construct(feature=("S1",), cutter="E10P4")
    told = reviewed(advice("review-hatch-frame"), changed(said, axial_depth=7.0, levels=levels))
    weights = {one.rule.id: one.weight for one in told.findings}
    assert weights.get("levels-below-the-bottom") == ("change" if found else None)
    assert "\N{MINUS SIGN}" not in " ".join(one.text for one in told.findings)


def test_a_drill_whose_feed_the_plan_leaves_open_is_to_be_changed_where_the_spindle_is_too_weak_for_it() -> None:
    given = JOBS["drill-short-of-feed"]
    found = advise(job(given.feature, given.crib, given.material, given.machine))
    plan = OperationRow.model_construct(feature=("F1",), cutter=given.crib[0].id)
    told = {one.rule.id: one.weight for one in reviewed(found, changed(plan, method="drilling")).findings}
    assert told["drill-short-of-feed"] == "change"


def test_nothing_is_told_of_a_narrow_hole_for_a_thread_that_a_wider_drill_opens() -> None:
    given = JOBS["tap-hole-drilled-too-narrow"]
    found = advise(job(given.feature, [*given.crib, drill(13.9)], given.material, given.machine))
    rows = [OperationRow.model_construct(feature=("F1",), cutter=name) for name in ("D12", "D13.9")]
    told = reviewed(found, *(changed(one, method="drilling", coolant="flood") for one in rows))
    fired = {rule.id for rule in told.operations[0].candidate.fired}
    assert "tap-hole-drilled-too-narrow" in fired
    assert "tap-hole-drilled-too-narrow" not in {one.rule.id for one in told.findings}


def test_a_face_cutter_wide_beside_a_tall_thin_wall_is_told_once_that_it_pushes_the_wall() -> None:
    ledge = {"kind": "step", "length": 200, "width": 40, "depth": 30, "thinnest_wall": 1.5}
    found = advise(job(ledge, [inserted(50)]))
    plan = OperationRow.model_construct(feature=("F1",), cutter="I50")
    told = reviewed(found, changed(plan, method="face_milling", radial_width=40.0, axial_depth=5.0)).findings
    pushes = {"whole-width-beside-a-thin-wall", "wide-layers-beside-a-thin-wall"}
    assert {one.rule.id for one in told} & pushes == {"whole-width-beside-a-thin-wall"}


def test_inserts_in_hardened_steel_in_so_thin_a_level_that_they_hold_are_to_be_changed() -> None:
    thin = {"axial_depth": 0.3, "radial_width": 5, "feed_per_tooth": 0.08, "spindle_speed": 600}
    assert weights(JOBS["inserts-no-data-for-hard"], **thin)["inserts-no-data-for-hard"] == "change"


def test_levels_of_a_slender_cutter_that_open_too_deep_are_to_be_changed() -> None:
    slender = solid(12, 26, LU=75, LPR=82, DN=11.5)
    deep = {"kind": "closed_pocket", "length": 150, "width": 90, "depth": 60, "floor": True, "corner_radius": 8}
    said = plan_said([f"F1: layered pocketing {slender.id} ap 4.7 ae 5.4"], [slender.id], "mm")
    found = review(said, job(deep, [slender], ALUMINIUM)).findings
    assert {finding.rule.id: finding.weight for finding in found}[OPENING] == "change"
