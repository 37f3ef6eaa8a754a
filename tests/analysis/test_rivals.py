"""Why not another way: the deciding difference is one that the numbers bear out, and a lift is one that lifts."""

import pytest

from advisor.analysis.alternatives import difference
from advisor.analysis.blockers import STEP, Change, Lift, lift
from advisor.analysis.inputs import changed_cutter, changed_feature
from advisor.analysis.rival import Wanted, deciding_facts, rival_of
from advisor.choosing.candidates import candidates
from advisor.choosing.drill_sizes import right_size
from advisor.choosing.ranking import ranked
from advisor.choosing.time_parts import time_parts
from advisor.knowledge.conditions import Compare, holds
from advisor.knowledge.schema import Rule
from advisor.knowledge.shipped import rule_base
from advisor.knowledge.wording import apart
from advisor.model.candidate import GRADES, Candidate
from advisor.model.features import FeatureBase
from advisor.model.region import regions_of
from advisor.situation.facts import feature_facts
from advisor.situation.pairings import ways
from advisor.text.differences import deciding_text
from tests.cases import worked

BASE = rule_base()
OTHERS = [
    (name, found.region.id, method)
    for name, found in worked.every_feature()
    for method, way in ways().items()
    if found.region.kind in way.features and (found.best is None or found.best.method != method)
]
RIVALS = [
    (name, feature, method)
    for name, feature, method in OTHERS
    if rival_of(worked.feature(name, feature), Wanted(method), BASE.limits) is not None
]
FORBIDDEN = [
    (name, feature, method)
    for name, feature, method in RIVALS
    if rival_of(worked.feature(name, feature), Wanted(method), BASE.limits).grade == "forbidden"  # type: ignore[union-attr]
]


def pair(name: str, feature: str, method: str) -> tuple[Candidate | None, Candidate]:
    found = worked.feature(name, feature)
    rival = rival_of(found, Wanted(method), BASE.limits)
    assert rival is not None
    return found.best, rival


def compared(rule: Rule, rival: Candidate) -> list[Compare]:
    return [leaf for leaf in deciding_facts(rule, rival.facts) if isinstance(leaf, Compare)]


def given(name: str, feature: str) -> FeatureBase:
    return next(item for item in worked.advice(name).assignment.job.features if item.id == feature)


def lift_of(name: str, feature: str, method: str) -> Lift:
    advice = worked.advice(name)
    found = lift(pair(name, feature, method)[1], given(name, feature), advice.assignment.crib, advice.bench)
    assert found is not None
    return found


@pytest.mark.parametrize(("name", "feature", "method"), RIVALS)
def test_the_deciding_difference_is_borne_out_by_the_numbers(name: str, feature: str, method: str) -> None:
    best, rival = pair(name, feature, method)
    every = worked.feature(name, feature).candidates
    by = difference(best, rival, BASE, every)
    text = deciding_text(by, BASE)
    assert rival.method == method
    in_words = by.rule is not None and all(isinstance(leaf.value, str) for leaf in compared(by.rule, rival))
    assert in_words or any(sign.isdigit() for sign in text)
    if by.by == "forbidden":
        assert rival.grade == "forbidden"
        assert by.rule is not None
        assert by.rule.verdict == "forbids"
        assert by.rule in rival.fired
        assert by.rule.id in text
    elif by.by == "grade":
        assert best is not None
        if rival.grade == "good":
            assert best.grade == "workable"
            assert best.counted < 0.7 * min(item.counted for item in every if item.grade == "good")
        else:
            assert GRADES.index(rival.grade) > GRADES.index(best.grade)
        assert f"{rival.grade} against {best.grade}" in text
        assert by.rule is None or by.rule in rival.fired
    elif by.by == "against":
        assert best is not None
        assert best.grade == rival.grade == "poor"
        assert by.rule in rival.fired
        assert by.rule not in best.fired
    elif by.by in ("compliance", "levels", "width"):
        assert best is not None
        assert rival.grade == best.grade
        assert best.compliance < rival.compliance or (
            best.compliance == pytest.approx(rival.compliance) and by.by != "compliance"
        )
        same = [item.counted for item in every if item.grade == best.grade]
        assert max(best.counted, rival.counted) <= 1.1 * min(same)
        if by.by == "compliance":
            assert all(shown in text for shown in apart(1e3 * best.compliance, 1e3 * rival.compliance, "µm/N"))
    else:
        assert by.by == "time", "no case has two ways of one grade, of one time and equally stiff"
        assert best is not None
        assert rival.grade == best.grade
        assert rival.time - best.time == pytest.approx(by.longer)
        assert by.longer > 0
        assert all(shown in text for shown in apart(rival.time, best.time, "s"))


@pytest.mark.parametrize(("name", "feature", "method"), RIVALS)
def test_the_part_of_the_time_that_is_named_grew_most(name: str, feature: str, method: str) -> None:
    best, rival = pair(name, feature, method)
    by = difference(best, rival, BASE, worked.feature(name, feature).candidates)
    text = deciding_text(by, BASE)
    if by.by != "time" or best is None:
        return
    mine, other = time_parts(best), time_parts(rival)
    most = max(mine, key=lambda part: other[part] - mine[part])
    assert all(shown in text for shown in apart(other[most], mine[most], "s"))


def test_every_kind_of_decision_is_met_in_the_cases() -> None:
    met = {difference(*pair(*asked), BASE, worked.feature(*asked[:2]).candidates).by for asked in RIVALS}
    assert met >= {"forbidden", "grade", "time", "levels"}


def test_every_fact_that_forbids_holds_of_the_way() -> None:
    for asked in FORBIDDEN:
        _, rival = pair(*asked)
        rule = difference(None, rival, BASE).rule
        assert rule is not None
        assert deciding_facts(rule, rival.facts)
        assert all(holds(leaf, rival.facts) for leaf in deciding_facts(rule, rival.facts))


def again(name: str, rival: Candidate, feature: FeatureBase, change: Change, value: float | str) -> Candidate | None:
    """The way with one input changed, worked out here anew and not by what is tested."""
    bench, crib, cutter = worked.advice(name).bench, worked.advice(name).assignment.crib, rival.cutter
    changed: FeatureBase | None = feature
    if change.whose == "feature":
        assert isinstance(value, float)
        changed = changed_feature(feature, change.field.replace("diameter", "width"), value)
    elif isinstance(value, float):
        found = changed_cutter(cutter, change.field, value)
        assert found is not None
        cutter = found
    elif change.field == "end_cutting":
        cutter = cutter.model_copy(update={"end_cutting": True, "dead_centre": 0.0})
    assert changed is not None
    region = regions_of(changed)[0]
    drills = [item for item in crib if item.body == "drill" and item.id != cutter.id]
    every = candidates(region, feature_facts(region, bench), [cutter, *drills], bench)
    own = (item for item in every if item.method == rival.method and item.cutter.id == cutter.id)
    own = (item for item in own if rival.entry in (None, item.entry))
    return next(iter(ranked(own, bench.limits)), None)


@pytest.mark.parametrize(("name", "feature", "method"), FORBIDDEN)
def test_a_change_lifts_the_rule_and_a_little_less_does_not(name: str, feature: str, method: str) -> None:
    _, rival = pair(name, feature, method)
    found = lift_of(name, feature, method)
    assert found.rule.id == difference(None, rival, BASE).rule.id  # type: ignore[union-attr]
    assert found.changes or rival.drill is not None, "a way through a hole may need another drill as well"
    for change in found.changes:
        then = again(name, rival, given(name, feature), change, change.after)
        assert then is not None
        assert found.rule not in then.fired
        assert {rule.id for rule in change.still} <= {rule.id for rule in then.fired}
        assert (then.grade == "forbidden") is bool(change.still)
        if isinstance(change.after, float) and change.field != "ZEFP":
            short = round(change.after + (-STEP if change.after > float(change.before or 0) else STEP), 1)
            before = again(name, rival, given(name, feature), change, short)
            assert before is not None
            assert before.grade == "forbidden" or not right_size(before)


def test_a_slot_too_narrow_to_loop_is_wide_enough_at_the_rules_own_ratio() -> None:
    """1.15 times a cutter of 12 mm is 13.8 mm."""
    found = lift_of("keyway-with-allowance", "S1", "engagement_limited_clearing")
    assert found.rule.id == "no-room-to-loop"
    wide = next(change for change in found.changes if change.field == "width")
    assert wide.after == pytest.approx(BASE.limits["loop_room_ratio_least"] * 12)


def test_where_no_single_change_opens_a_way_the_others_are_named() -> None:
    found = lift_of("valve-block-no-way", "P1", "engagement_limited_clearing")
    assert not found.opened
    assert {rule.id for change in found.changes for rule in change.still} == {"no-room-to-loop", "holder-hits"}


def test_a_missing_drill_is_lifted_by_one_that_suits() -> None:
    found = worked.feature("die-holder-no-drill", "P1")
    rival = rival_of(found, Wanted("engagement_limited_clearing", None, "predrilled_hole"), BASE.limits)
    assert rival is not None
    advice = worked.advice("die-holder-no-drill")
    lifted = lift(rival, given("die-holder-no-drill", "P1"), advice.assignment.crib, advice.bench)
    assert lifted is not None
    assert lifted.rule.id == "no-drill-for-the-hole"
    assert ("drill", "DC", None) in [(change.whose, change.field, change.before) for change in lifted.opened]


def test_the_advised_way_is_its_own_rival() -> None:
    for _, found in worked.every_feature():
        if found.best is not None:
            asked = Wanted(found.best.method, found.best.cutter.id, found.best.entry)
            assert rival_of(found, asked, BASE.limits) is found.best


def test_a_cutter_or_a_way_in_can_be_asked_for_alone() -> None:
    found = worked.feature("winch-side-plate", "P1")
    for asked in (Wanted(cutter="E10N3"), Wanted(entry="axial_plunge"), Wanted("layered_pocketing", "E20N3")):
        rival = rival_of(found, asked, BASE.limits)
        assert rival is not None
        assert asked.cutter in (None, rival.cutter.id)
        assert asked.entry in (None, rival.entry)
        assert asked.method in (None, rival.method)
