"""One mistake is told once: levels, time and features do not repeat each other."""

from advisor.choosing.advice import advise
from advisor.choosing.job_advice import Advice
from advisor.render import terminal
from advisor.review.verdict import Review
from advisor.text.findings import finding_text
from advisor.text.review import review_blocks
from tests.jobs.small import job, solid
from tests.review.planning import advice, changed, reviewed, row

SLOT = {"id": "F1", "kind": "slot", "length": 120, "width": 13, "depth": 30, "floor": True, "open_ends": 1}
E12 = solid(12, 36)


def ways(found: Advice, method: str, **more: object) -> Review:
    """Return the review of the quickest way by a method in the first feature, with some settings changed."""
    answer = found.features[0]
    chosen = min((one for one in answer.candidates if one.method == method and one.plan), key=lambda one: one.time)
    return reviewed(found, changed(row(answer.region.id, chosen), **more))


def test_a_level_too_many_and_its_time_are_one_finding() -> None:
    found = advise(job(SLOT, [E12], "C45"))
    best = ways(found, "ramped_slotting")
    levels = int(best.operations[0].candidate.facts["levels"])
    told = ways(found, "ramped_slotting", levels=levels + 2, axial_depth=29.5 / (levels + 1.2))
    rules = [one.rule.id for one in told.findings]
    assert told.operations[0].candidate.facts["time_over_advised"] > 1.15
    assert "level-more-than-needed" in rules
    assert not {"levels-uneven", "slower-than-advised"} & set(rules)


def half_fed(more_levels: int) -> set[str]:
    """Return what is found where the advised slot has so many levels more, and half of the feed."""
    found = advise(job(SLOT, [E12], "C45"))
    usual = ways(found, "ramped_slotting").operations[0].candidate.facts
    levels, feed = int(usual["levels"]) + more_levels, 0.5 * float(usual["feed_rate"])
    told = ways(found, "ramped_slotting", levels=levels, axial_depth=None, feed_rate=feed, feed_per_tooth=None)
    return {one.rule.id for one in told.findings}


def test_a_feed_that_is_slower_too_is_told_beside_spare_levels() -> None:
    assert {"level-more-than-needed", "slower-than-advised", "feed-low-for-the-cut"} <= half_fed(2)


def test_of_a_low_feed_with_one_level_more_in_eight_the_feed_is_told() -> None:
    rules = half_fed(1)
    assert "feed-low-for-the-cut" in rules
    assert "level-more-than-needed" not in rules


def test_a_plan_rated_good_is_not_sent_to_a_way_that_is_only_workable() -> None:
    found = advice("guide-slot-wide")
    answer = found.features[0]
    good = next(one for one in answer.candidates if one.grade == "good" and one.method == "engagement_limited_clearing")
    for grade, told in (("good", True), ("workable", False)):
        quick = good._replace(grade=grade, time=good.time / 2)
        beside = found._replace(features=(answer._replace(best=quick),))
        rules = {one.rule.id for one in reviewed(beside, row(answer.region.id, good)).findings}
        assert ("slower-than-advised" in rules) is told


def test_what_a_rule_finds_in_two_features_of_an_operation_is_told_once_with_both_named() -> None:
    found = advice("review-hatch-frame")
    names = ("P1", "S1")
    best = next(one for one in found.features if one.region.id == "P1").best
    assert best is not None
    both = changed(row("P1", best), feature=names, method="engagement_limited_clearing", entry="side_entry")
    told = reviewed(found, both)
    stops = [one for one in told.findings if one.rule.id == "no-side-to-come-in-from"]
    assert [one.feature for one in stops] == list(names)
    text = " ".join(terminal.text(review_blocks(told), 80, True).split())
    assert text.count("[no-side-to-come-in-from]") == 1
    assert "The same in S1" in text


def test_uneven_levels_are_told_with_the_depth_that_makes_them_even() -> None:
    found = advise(job(SLOT, [E12], "C45"))
    wanted = int(ways(found, "ramped_slotting").operations[0].candidate.facts["levels"])
    told = ways(found, "ramped_slotting", levels=None, axial_depth=29.5 / (wanted - 0.8))
    text = next(one.text for one in told.findings if one.rule.id == "levels-uneven")
    assert f"{29.5 / wanted:.3g}" in text


def test_that_nothing_is_said_against_fire_is_told_once_for_the_plan() -> None:
    """Each cut has a speed of its own, and each is to be said something of."""
    found = advise(job(SLOT, [E12, solid(10, 36)], "Ti-6Al-4V"))
    both = [row("F1", one).model_copy(update={"coolant": None}) for one in found.features[0].candidates if one.plan]
    wide, narrow = both[0], both[0].model_copy(update={"radial_width": 1.0, "spindle_speed": 1200.0})
    rule = "fire-precautions-not-said"
    for rows, told in (
        ([wide, narrow], [(None, False)]),
        ([wide, narrow.model_copy(update={"coolant": "flood"}), narrow], [(1, True)]),
        ([wide.model_copy(update={"coolant": "flood"}), narrow], [(2, False)]),
    ):
        findings = [one for one in reviewed(found, *rows).findings if one.rule.id == rule]
        assert [(one.operation, "The same in operation 3." in finding_text(one)) for one in findings] == told
