"""The order of ways: rating, time within its limits, stiffness; and what is said of it. No name decides."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.analysis.alternatives import before_the_good, choice, difference
from advisor.choosing.advice import advise_feature
from advisor.choosing.ranking import (
    foremost_of,
    front,
    may_overtake,
    objections_of,
    order_between,
    ranked,
    standing,
    worth_the_drill,
)
from advisor.knowledge.schema import Rule
from advisor.knowledge.shipped import rule_base
from advisor.model.answer import FeatureAdvice
from advisor.model.candidate import GRADES, HELD_BACK, NOT_AT_ALL, Candidate
from advisor.model.cutter import Cutter
from advisor.model.features import FEATURE_KINDS, FeatureBase
from advisor.paths import cases_dir
from advisor.readers.assignment import read_assignment
from advisor.situation.bench import bench_of
from advisor.text.alternatives import choice_text, difference_text, first_text
from tests.cases import worked

BASE = rule_base()
LIMITS = BASE.limits
ASSIGNMENT = read_assignment(cases_dir() / "winch-side-plate" / "job.yaml")
BENCH = bench_of(ASSIGNMENT)
PATTERN = next(item for item in worked.feature("winch-side-plate", "S1").candidates if item.plan is not None)
PILOT = next(cutter for cutter in ASSIGNMENT.crib if cutter.body == "drill")


def way(
    grade: str = "good",
    time: float = 100.0,
    compliance: float = 0.1,
    levels: int = 1,
    DC: float = 12.0,
    name: str = "E12",
    **more: Any,
) -> Candidate:
    """Return a way with what it is ranked by; ``compliance`` in micrometres a newton."""
    assert PATTERN.plan is not None
    return PATTERN._replace(
        grade=grade,
        time=time,
        compliance=compliance / 1e3,
        plan=replace(PATTERN.plan, levels=levels),
        cutter=PATTERN.cutter.model_copy(update={"DC": DC, "id": name}),
        **more,
    )


def through_a_hole(time: float, grade: str = "good", **facts: str) -> Candidate:
    """Return a way through a pre-drilled hole."""
    assert PATTERN.way_in is not None
    way_in = PATTERN.way_in._replace(entry="predrilled_hole", drill=PILOT)
    return way(grade, time, entry="predrilled_hole", way_in=way_in, facts=PATTERN.facts | facts)


def first(*ways: Candidate) -> Candidate:
    found = foremost_of(ways, LIMITS)
    assert found is not None
    assert foremost_of(reversed(ways), LIMITS) is found
    return found


@pytest.mark.parametrize(("time", "before"), [(69.9, True), (70.0, False), (70.1, False)])
def test_a_workable_way_comes_first_only_under_seven_tenths_of_the_good_ones_time(time: float, before: bool) -> None:
    quick, good = way("workable", time), way("good", 100)
    assert (first(quick, good) is quick) is before


def test_a_stiffer_good_way_does_not_bring_a_workable_one_to_the_front() -> None:
    """The limit is held against the quickest good way, not against the one that is stiffer and slower."""
    quick, good, stiff = way("workable", 72), way("good", 100), way("good", 109, compliance=0.05)
    assert first(quick, good, stiff) is stiff


@pytest.mark.parametrize(
    ("facts", "time", "before"),
    [
        ({"rate_kept": 0.7, "load_kept": 0.7}, 69.9, True),
        ({"rate_kept": 0.7, "load_kept": 0.7}, 70.1, False),
        ({"rate_kept": 0.699, "load_kept": 1.0}, 59.9, True),
        ({"rate_kept": 0.699, "load_kept": 1.0}, 60.1, False),
        ({"rate_kept": 1.0, "load_kept": 0.699}, 59.9, True),
        ({"rate_kept": 1.0, "load_kept": 0.699}, 60.1, False),
        ({"rate_kept": 1.0, "wall_kind": "thin"}, 1, False),
        ({"rate_kept": 1.0, "floor_kind": "thin"}, 1, False),
    ],
)
def test_a_way_held_far_back_must_save_more_to_come_before_a_good_one_and_beside_something_thin_none_does(
    facts: dict[str, Any], time: float, before: bool
) -> None:
    quick, good = way("workable", time, overtakes=may_overtake(facts, LIMITS)), way("good", 100)
    assert (first(quick, good) is quick) is before
    assert first(quick, way("workable", 200)) is quick, "where no way is good it is ranked like any other"


@pytest.mark.parametrize(("time", "before"), [(5, True), (5.1, False)])
def test_some_seconds_are_not_worth_a_way_that_no_rule_speaks_for(time: float, before: bool) -> None:
    """A quarter of the time of the good way, but hardly a quarter of a minute saved."""
    quick, good = way("workable", time), way("good", 20.05)
    assert (first(quick, good) is quick) is before


def test_a_cutter_more_leaves_the_quicker_of_two_workable_ways_first() -> None:
    """One that is held far back stays before a slower one, though a good way that is slower still comes in."""
    held, free = way("workable", 104, overtakes=HELD_BACK), way("workable", 168)
    assert first(held, free) is held
    assert first(held, free, way("good", 516)) is held


def test_behind_one_that_may_not_overtake_another_still_does() -> None:
    held, free, good = way("workable", 40, overtakes=NOT_AT_ALL), way("workable", 60), way("good", 100)
    assert [*ranked([good, held, free], LIMITS)] == [free, good, held]


def rules(*ids: str) -> tuple[Rule, ...]:
    return tuple(rule for rule in BASE.rules if rule.id in ids)


def test_of_poor_ways_the_one_that_less_speaks_against_comes_first_whatever_its_time() -> None:
    one = way("poor", 1000, fired=rules("edge-rubs"))
    two = way("poor", 100, fired=rules("edge-rubs", "ground-for-another-group"))
    assert first(one, two) is one
    assert order_between(one, two, (), LIMITS).by == "against"
    assert "It has more drawbacks: According to the crib" in deciding_text(one, two)
    assert difference(one, two, BASE).by == "against"


def test_one_grave_rule_against_a_way_weighs_more_than_three_that_only_cost_time() -> None:
    light = rules("too-shallow-for-engagement", "too-many-levels-for-engagement", "hole-too-narrow-to-circle")
    grave = rules("plunge-is-last")
    assert len(light) == 3
    assert not any(rule.weight for rule in light)
    assert [rule.weight for rule in grave] == ["change"]
    slow, quick = way("poor", 1000, fired=light), way("poor", 100, fired=grave)
    assert first(slow, quick) is slow


def test_equally_poor_ways_are_ranked_by_time_and_stiffness() -> None:
    stiff, quick, slow = (
        way("poor", 105, compliance=0.05, fired=rules("edge-rubs")),
        way("poor", 100, fired=rules("plunge-is-last")),
        way("poor", 120, compliance=0.01, fired=rules("edge-rubs")),
    )
    assert [*ranked([slow, quick, stiff], LIMITS)] == [stiff, quick, slow]


def test_of_drills_far_too_small_the_one_nearest_to_size_comes_first() -> None:
    near, far = (
        way("poor", time, fired=rules("drill-leaves-much"), facts=PATTERN.facts | {"wall_rest": left})
        for time, left in ((35.0, 3.0), (20.0, 4.9))
    )
    assert first(near, far) is near
    assert order_between(near, far, (), LIMITS).by == "left"
    assert "the wider drill comes first, since it leaves 3" in deciding_text(near, far)


@pytest.mark.parametrize("time", [0.1, 50.0, 99.0])
def test_a_poor_way_is_never_preferred(time: float) -> None:
    assert first(way("poor", time), way("good", 100)).grade == "good"
    assert first(way("poor", time), way("workable", 100)).grade == "workable"


@pytest.mark.parametrize(("time", "stiffer_first"), [(109.9, True), (110.0, True), (110.1, False)])
def test_within_a_tenth_of_the_quickest_the_stiffer_cutter_comes_first(time: float, stiffer_first: bool) -> None:
    quick, stiff = way(time=100, compliance=0.3), way(time=time, compliance=0.1)
    assert (first(quick, stiff) is stiff) is stiffer_first


def with_rest(found: Candidate, beyond: float = 1.0) -> Candidate:
    """Return the way with so much left in the corners beyond what finishing takes [mm]."""
    return found._replace(facts=found.facts | {"corner_rest_beyond": beyond})


@pytest.mark.parametrize(("compliance", "tied"), [(0.115, True), (0.1151, False), (0.3, False)])
def test_up_to_15_percent_of_stiffness_makes_no_difference(compliance: float, tied: bool) -> None:
    """Then fewer levels come first."""
    stiff, few = way(time=100, compliance=0.1, levels=3), way(time=105, compliance=compliance, levels=2)
    assert (first(stiff, few) is few) is tied
    assert order_between(*(ranked([stiff, few], LIMITS)), (), LIMITS).by == ("levels" if tied else "compliance")


def test_equally_stiff_is_reckoned_from_the_stiffest_and_not_from_one_to_the_next() -> None:
    stiff, near, far = way(compliance=0.1, levels=3), way(compliance=0.11, levels=2), way(compliance=0.12, levels=1)
    assert ranked([far, near, stiff], LIMITS) == [near, stiff, far]
    slow = way(time=120, compliance=0.08)
    assert ranked([far, near, stiff, slow], LIMITS) == [near, stiff, far, slow], "what takes longer is no measure"


def test_a_second_cutter_for_the_corners_comes_after_a_way_without_one_that_is_about_as_quick() -> None:
    alone, two = with_rest(way(time=108, compliance=0.1), 0.0), with_rest(way(time=100, compliance=0.08))
    assert first(alone, two) is alone
    order = order_between(alone, two, (), LIMITS)
    assert order.by == "rest"
    assert "the way that needs no second cutter for the corners comes first" in deciding_text(alone, two)
    assert difference(alone, two, BASE).by == "rest"
    assert first(alone._replace(time=111), two) is not alone


def with_ratio(found: Candidate, ratio: float) -> Candidate:
    """Return the way with a corner ratio, and no more left in the corners than finishing takes."""
    return found._replace(facts=found.facts | {"corner_rest_beyond": -0.05, "corner_ratio": ratio})


@pytest.mark.parametrize(("ratio", "stops"), [(0.94, True), (1.0, True), (1.01, False), (1.3, False)])
def test_a_cutter_that_stops_in_the_corners_comes_after_one_that_turns_them_and_is_about_as_quick(
    ratio: float, stops: bool
) -> None:
    turns, wide = with_ratio(way(time=108, compliance=0.1), 1.25), with_ratio(way(time=100, compliance=0.08), ratio)
    assert (first(turns, wide) is turns) is stops
    if stops:
        assert order_between(turns, wide, (), LIMITS).by == "rest"
        assert "the cutter that goes into the corners without stopping comes first" in deciding_text(turns, wide)
    assert first(turns._replace(time=111), wide) is wide
    assert first(wide, with_rest(way(time=100, compliance=0.05))) is wide, "still before one that needs a second cutter"


def test_the_band_is_reckoned_from_the_quickest_and_not_from_one_to_the_next() -> None:
    quick, middle, slow = way(time=100, compliance=0.3), way(time=109, compliance=0.2), way(time=118, compliance=0.1)
    assert ranked([slow, quick, middle], LIMITS) == [middle, quick, slow]


def test_equally_stiff_fewer_levels_come_first_then_the_wider_then_the_quicker() -> None:
    quick, wide = way(time=100, levels=2), way(time=105, levels=2, DC=16)
    one, slower = way(time=108, levels=1), way(time=109, levels=1)
    assert ranked([slower, quick, wide, one], LIMITS) == [one, slower, wide, quick]


def test_of_workable_ways_so_quick_that_they_come_first_the_stiffer_is_taken() -> None:
    quick, stiff, slow = (
        way("workable", 64, compliance=0.3),
        way("workable", 69, compliance=0.1),
        way("workable", 70.2, compliance=0.05),
    )
    assert ranked([slow, stiff, way("good", 100), quick], LIMITS)[:2] == [stiff, quick]
    assert first(slow, stiff, way("good", 100), quick) is stiff


def test_a_drill_comes_before_a_mill_that_is_about_as_quick() -> None:
    """The mill may be stiffer; a drill is not pushed aside."""
    drill, mill = way(time=100, compliance=0.4)._replace(method="drilling"), way(time=95, compliance=0.1)
    assert first(drill, mill) is drill
    assert order_between(drill, mill, (), LIMITS).by == "aside"
    assert first(way(time=105, compliance=0.4)._replace(method="drilling"), mill._replace(time=94)) is not drill


@pytest.mark.parametrize(
    ("hole", "helix", "worth"),
    [
        (85.0, 100.0, True),  # 15 s and 15 %
        (85.1, 100.0, False),  # 14.9 s
        (180.0, 200.0, True),  # 20 s and 10 %
        (180.1, 200.0, False),  # 19.9 s, less than 10 %
        (30.0, 40.0, False),  # a quarter, but 10 s
    ],
)
def test_a_hole_must_save_fifteen_seconds_and_a_tenth(hole: float, helix: float, worth: bool) -> None:
    drilled, plain = worth_the_drill([through_a_hole(hole), way(time=helix)], LIMITS)
    assert (drilled.without_drill is None) is worth
    assert (first(drilled, plain) is drilled) is worth
    if not worth:
        said = deciding_text(plain, drilled).replace("\N{NO-BREAK SPACE}", " ")
        assert said.endswith("it must save 15 s and 10 % to be worth the drill.")


def test_a_hole_beside_a_worse_way_in_needs_to_save_nothing() -> None:
    drilled, plain = worth_the_drill([through_a_hole(95.0), way("poor", 100)], LIMITS)
    assert drilled.without_drill is None
    assert first(drilled, plain) is drilled


def test_a_hole_that_spares_the_cutter_needs_to_save_nothing() -> None:
    drilled, plain = worth_the_drill([through_a_hole(95.0, hole_worth="spares_the_cutter"), way(time=100)], LIMITS)
    assert first(drilled, plain) is drilled


def test_a_hole_not_worth_its_drill_brings_no_workable_way_to_the_front() -> None:
    drilled, plain = worth_the_drill([through_a_hole(15.0, "workable"), way("workable", 25)], LIMITS)
    good = way("good", 30, name="other")
    assert first(drilled, plain, good) is good


ways_at_random = st.builds(
    lambda rest, *more: with_rest(way(*more), rest),
    st.sampled_from([-0.1, -0.1, 0.2]),
    st.sampled_from(GRADES),
    st.sampled_from([50.0, 60.0, 66.0, 69.0, 71.0, 95.0, 100.0, 105.0, 110.0, 111.0]),
    st.sampled_from([0.1, 0.105, 0.11, 0.12, 0.13, 0.2, 0.3]),
    st.integers(1, 3),
    st.sampled_from([10.0, 12.0]),
    st.sampled_from("ABC"),
)


@given(st.lists(ways_at_random, max_size=8).flatmap(lambda ways: st.tuples(st.just(ways), st.permutations(ways))))
def test_the_order_rests_on_the_set_and_not_on_how_it_is_listed(both: tuple[list[Candidate], list[Candidate]]) -> None:
    one, other = (ranked(ways, LIMITS) for ways in both)
    assert one == other


@given(st.lists(ways_at_random, min_size=1, max_size=8), ways_at_random)
def test_with_one_more_way_the_rating_is_no_worse_but_where_that_pays(ways: list[Candidate], more: Candidate) -> None:
    before, after = foremost_of(ways, LIMITS), foremost_of([*ways, more], LIMITS)
    if before is None:
        return
    assert after is not None
    if GRADES.index(after.grade) > GRADES.index(before.grade):
        assert (before.grade, after.grade) == ("good", "workable")
        assert after.time < 0.7 * before.time
    elif after.grade == before.grade:
        assert after.time <= 1.1 * before.time


@given(st.lists(ways_at_random, max_size=6), st.lists(ways_at_random, min_size=1, max_size=6))
def test_those_in_front_stand_for_all_beside_whoever_comes(others: list[Candidate], ways: list[Candidate]) -> None:
    assert foremost_of([*others, *front(ways, LIMITS)], LIMITS) == foremost_of([*others, *ways], LIMITS)


FEATURES: tuple[dict[str, Any], ...] = (
    {"kind": "closed_pocket", "length": 90, "width": 55, "depth": 28, "corner_radius": 8, "floor": True},
    {"kind": "slot", "length": 60, "width": 14.5, "depth": 12, "floor": True, "open_ends": 0},
    {"kind": "step", "length": 150, "width": 30, "depth": 18},
    {"kind": "round_hole", "diameter": 30, "depth": 20, "floor": False, "clearance_below": 5},
)


def feature(given_: dict[str, Any]) -> FeatureBase:
    return FEATURE_KINDS[given_["kind"]].model_validate(given_ | {"id": "F"})


def made(cutter: Cutter | None) -> object:
    """Return all that a cutter is but its name."""
    return cutter and cutter.model_copy(update={"id": "any", "assumed": ()})


@settings(max_examples=30)
@given(st.sampled_from(FEATURES), st.randoms(use_true_random=False))
def test_neither_names_nor_their_order_decide(given_: dict[str, Any], chance: Any) -> None:
    crib = chance.sample(ASSIGNMENT.crib, 12)
    names = [f"X{number}" for number in range(len(crib))]
    chance.shuffle(names)
    renamed = [cutter.model_copy(update={"id": name}) for cutter, name in zip(crib, names, strict=True)]
    chance.shuffle(renamed)
    one, other = (advise_feature(feature(given_), cutters, BENCH) for cutters in (crib, renamed))
    assert [
        (item.method, item.entry, item.grade, item.time, made(item.cutter), made(item.drill)) for item in one.candidates
    ] == [
        (item.method, item.entry, item.grade, item.time, made(item.cutter), made(item.drill))
        for item in other.candidates
    ]


def test_of_twins_either_will_do() -> None:
    answer = worked.feature("winch-side-plate", "S1")
    assert answer.best is not None
    twin = answer.best.cutter.model_copy(update={"id": "A-TWIN"})
    given_ = next(item for item in worked.advice("winch-side-plate").assignment.job.features if item.id == "S1")
    both = advise_feature(given_, [*ASSIGNMENT.crib, twin], BENCH)
    one, other = both.candidates[:2]
    assert {one.cutter.id, other.cutter.id} == {answer.best.cutter.id, "A-TWIN"}
    told = deciding_text(one, other, both.candidates)
    assert f"{one.cutter.id} and {other.cutter.id} are equal here, either will do" in told
    assert difference(one, other, BASE, both.candidates).by == "equal"


def test_a_shorter_stick_out_decides_between_two_cutters_alike_in_all_else() -> None:
    answer = worked.feature("winch-side-plate", "S1")
    assert answer.best is not None
    long = answer.best.cutter
    short = long.model_copy(update={"id": "Z", "LPR": long.LPR - 5})
    given_ = next(item for item in worked.advice("winch-side-plate").assignment.job.features if item.id == "S1")
    both = advise_feature(given_, [*ASSIGNMENT.crib, short], BENCH)
    assert both.best is not None
    assert both.best.cutter.id == "Z"
    rival = next(item for item in both.candidates if item.cutter.id == long.id)
    assert "stiffer cutter comes first, tip compliance" in deciding_text(both.best, rival, both.candidates)


def of(*ways: Candidate) -> FeatureAdvice:
    order = ranked(ways, LIMITS)
    return worked.feature("winch-side-plate", "S1")._replace(best=order[0], candidates=tuple(order))


def test_it_is_said_why_a_workable_way_comes_before_a_good_one() -> None:
    quick, good = way("workable", 140, name="Q"), way("good", 312, name="G")
    preferred = before_the_good(of(quick, good), BASE)
    assert preferred is not None
    assert (preferred.best, preferred.good) == (quick, good)
    said = choice_text(preferred, BASE).replace("\N{NO-BREAK SPACE}", " ")
    assert (
        "with G, takes 312 s; this one takes 140 s, under 0.7 of it. It is only workable: no rule recommends it" in said
    )
    assert "only workable, but takes under 0.7 of the time of any good one" in deciding_text(quick, good)
    assert before_the_good(of(way("workable", 250), good), BASE) is None
    assert before_the_good(of(quick), BASE) is None


def test_a_quicker_workable_way_that_stays_behind_is_told_why() -> None:
    said = deciding_text(way("good", 100), way("workable", 80))
    assert "A workable way comes first only if it saves 15\xa0s and takes under 0.7 of the time of every" in said
    assert "The limit is 0.6 where it keeps less than 70" in said
    assert "It never comes first beside a thin wall or floor." in said
    assert "comes first only" not in deciding_text(way("good", 100), way("workable", 120))


@pytest.mark.parametrize(
    ("rival", "by", "said"),
    [
        (
            way(time=95, compliance=0.31),
            "compliance",
            "stiffer cutter comes first, tip compliance 0.1 µm/N against 0.31 µm/N",
        ),
        (way(time=95, levels=2), "levels", "fewer levels come first, 1 level against 2"),
        (way(time=95, DC=10), "width", "wider cutter comes first, 12 mm against 10 mm"),
        (way(time=100, name="B"), "equal", "E12 and B are equal here, either will do"),
    ],
)
def test_what_puts_one_way_before_another_is_told(rival: Candidate, by: str, said: str) -> None:
    best = way(time=100)
    assert order_between(best, rival, (), LIMITS).by == by
    assert said in deciding_text(best, rival).replace("\N{NO-BREAK SPACE}", " ")
    assert difference(best, rival, BASE).by == by


def deciding_text(best: Candidate, rival: Candidate, every: Sequence[Candidate] = ()) -> str:
    return difference_text(difference(best, rival, BASE, every), BASE)


def first_said(*ways: Candidate) -> str:
    found = choice(of(*ways), LIMITS)
    assert found is not None
    return first_text(found, LIMITS)


def test_the_choice_says_that_it_is_not_the_quickest() -> None:
    stiff, quick = way("workable", 105, name="S"), way("workable", 100, compliance=0.3, name="Q")
    said = first_said(stiff, quick).replace("\N{NO-BREAK SPACE}", " ")
    assert said == (
        "105 s, within 10 % of the quickest way graded workable: the stiffer cutter comes first, tip compliance "
        "0.1 µm/N against 0.3 µm/N; next is Q at 100 s."
    )
    assert first_said(stiff, quick._replace(time=120)).startswith("Quickest of the ways graded workable: 105")


def test_a_drill_that_leaves_what_the_hole_should_keep_is_not_too_small_and_a_milled_way_is_no_wider_drill() -> None:
    """Half a micron on the wall of a hole drilled to size does not decide."""
    milled = way("poor", 100.0, fired=rules("plunge-is-last"))
    left = {over: PATTERN.facts | {"wall_rest": 0.0005, "left_over": over} for over in (-0.0245, 0.001)}
    fitting, small = (way("poor", 10.0, fired=rules("drill-leaves-much"), facts=facts) for facts in left.values())
    assert order_between(fitting, milled, (), LIMITS).by == "time"
    assert order_between(milled, small, (), LIMITS).by == "left"
    assert "milling comes before a drill that leaves 0" in deciding_text(milled, small)


def test_a_drill_short_of_feed_is_counted_among_ways_to_change() -> None:
    assert objections_of([BASE.by_id["drill-short-of-feed"]])[:3] == (0, 1, 0)


@pytest.mark.parametrize(
    ("closer", "other"),
    [
        ("whole-width-beside-a-thin-wall", "wide-layers-beside-a-thin-wall"),
        ("edge-breaks-in-hardened-steel", "drill-inserts-no-data-for-hard"),
        ("drill-breaks-in-hardened-steel", "drill-not-named-for-hardened-steel"),
        ("drill-breaks-in-hardened-steel", "drill-inserts-no-data-for-hard"),
        ("drill-inserts-no-data-for-hard", "drill-not-named-for-hardened-steel"),
        ("slope-on-a-wall-cut-to-size", "foot-is-much-of-the-wall"),
        ("drill-holder-hits", "holder-hits"),
        ("hole-breaks-a-drill-in-hardened-steel", "hole-in-hardened-steel"),
        ("hole-by-a-drill-for-softer-steel", "drill-ground-for-another-group"),
        ("round-the-drilled-hole", "hole-saves-time"),
        ("in-from-the-open-end", "in-from-the-open-side"),
        ("in-from-the-open-end-at-full-feed", "in-from-the-open-side"),
        ("plunged-beside-the-material", "in-from-the-open-end-at-full-feed"),
    ],
)
def test_of_two_rules_that_say_the_same_of_a_way_only_the_closer_one_is_told(closer: str, other: str) -> None:
    assert standing((BASE.by_id[closer], BASE.by_id[other])) == (BASE.by_id[closer],)
