"""What a shop prefers decides among ways of one rating, and nowhere else; a large crib gives the same answer."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.analysis.alternatives import alternatives, difference
from advisor.choosing.advice import advise_feature
from advisor.choosing.ranking import against_of, foremost_of, front, order_between, preferred, ranked
from advisor.knowledge.conditions import parse
from advisor.knowledge.schema import Preference, RuleBase
from advisor.model.candidate import GRADES, SOUND, Candidate
from advisor.situation.bench import Bench
from advisor.text.alternatives import difference_text
from advisor.text.differences import deciding_text
from advisor.text.house import preferred_text
from tests.choosing.test_narrow import as_of_a_large_crib, everything, first_said, told
from tests.choosing.test_ranking import ASSIGNMENT, BASE, BENCH, LIMITS, way, ways_at_random
from tests.jobs.strategies import Question, questions

MET, UNMET = {"our-0": True}, {"our-0": False}
WORDS = (
    "method = layered_pocketing",
    "method = engagement_limited_clearing",
    "method = plunge_roughing",
    "method = drilling",
    "entry = predrilled_hole",
    "entry = zigzag_ramp",
    "body = inserted_end_mill",
    "depth_ratio < 1.5",
    "axial_ratio < 0.8",
    "total_time < 60",
    "cutter_id = E3",
    "cutter_id = E12",
)


def preference(condition: str, number: int = 0) -> Preference:
    """Return what a shop that has this condition prefers."""
    read = parse(condition, {})
    return Preference(f"our-{number}", condition, "candidate", (), read, "so", (), "house.yaml", 1)


def preferring(bench: Bench, *conditions: str) -> Bench:
    """Return the bench of a shop that prefers what these conditions ask for, the first before the others."""
    rules = tuple(preference(condition, number) for number, condition in enumerate(conditions))
    return bench._replace(base=replace(bench.base, preferences=rules))


def base_of(count: int) -> RuleBase:
    return preferring(BENCH, *WORDS[:count]).base


preferred_ways = st.builds(
    lambda item, one, other: item._replace(meets={"our-0": one, "our-1": other}),
    ways_at_random,
    st.booleans(),
    st.booleans(),
)
several = st.lists(preferred_ways, min_size=1, max_size=8)


def without(ways: Sequence[Candidate]) -> list[Candidate]:
    return [item._replace(meets={}) for item in ways]


@given(several)
def test_a_preference_never_makes_another_rating_win(ways: list[Candidate]) -> None:
    one, other = foremost_of(ways, LIMITS), foremost_of(without(ways), LIMITS)
    assert (one and one.grade) == (other and other.grade)


@given(several)
def test_a_preference_lets_no_way_pass_one_of_a_better_rating(ways: list[Candidate]) -> None:
    """Who may stand before whom is told by the tiers alone: in them a good way is passed only by one that was ahead."""
    order, plain = ranked(ways, LIMITS), ranked(without(ways), LIMITS)
    assert [item.grade for item in order] == [item.grade for item in plain]


@given(several)
def test_ways_that_rules_are_against_stand_as_if_the_shop_preferred_nothing(ways: list[Candidate]) -> None:
    def poor(order: Sequence[Candidate]) -> list[Candidate]:
        return without([item for item in order if item.grade not in SOUND])

    assert poor(ranked(ways, LIMITS)) == poor(ranked(without(ways), LIMITS))


@given(several)
def test_of_one_rating_the_first_preference_counts_before_the_second(ways: list[Candidate]) -> None:
    best = foremost_of(ways, LIMITS)
    if best is None or best.grade not in SOUND:
        return
    good = [item.time for item in ways if item.grade == "good"]
    alike = [item for item in ways if item.grade == best.grade]
    if best.grade == "good" or not good:  # among workable ones ahead of a good one there are some behind it, too
        assert [*best.meets.values()] == max([*item.meets.values()] for item in alike)


@given(several)
def test_what_the_preference_costs_is_told_beside_the_way_that_would_be_first(ways: list[Candidate]) -> None:
    order = ranked(ways, LIMITS)
    found, plain = preferred(order, base_of(2)), foremost_of(without(ways), LIMITS)
    if plain is None or order[0]._replace(meets={}) == plain:
        assert found is None
        return
    assert found is not None
    assert found.best is order[0]
    assert found.without._replace(meets={}) == plain
    assert found.longer == order[0].time - plain.time
    assert found.best.meets[found.preference.id]


@given(st.lists(preferred_ways, max_size=6), several)
def test_those_in_front_stand_for_all_where_a_shop_prefers_some(others: list[Candidate], ways: list[Candidate]) -> None:
    assert foremost_of([*others, *front(ways, LIMITS)], LIMITS) == foremost_of([*others, *ways], LIMITS)


def test_a_preferred_way_comes_first_however_long_it_takes_but_only_beside_its_equals() -> None:
    slow, quick = way("good", 300, name="slow", meets=MET), way("good", 100, meets=UNMET)
    assert foremost_of([slow, quick], LIMITS) is slow
    for grade in ("workable", "poor"):
        assert foremost_of([slow._replace(grade=grade), quick], LIMITS) is quick
    assert order_between(slow, quick, (), LIMITS).by == "preferred"
    assert order_between(quick, slow._replace(grade="workable"), (), LIMITS).by == "grade"


def test_among_poor_ways_a_preference_does_not_count() -> None:
    slow, quick = way("poor", 300, name="slow", meets=MET), way("poor", 100, meets=UNMET)
    assert foremost_of([slow, quick], LIMITS) is quick
    assert order_between(quick, slow, (), LIMITS).by == "time"


def test_a_preferred_way_does_not_pass_a_workable_one_that_outpaces_every_good_one() -> None:
    good, fast = way("good", 100, name="good", meets=MET), way("workable", 50, meets=UNMET)
    assert foremost_of([good, fast], LIMITS) is fast


def test_of_equally_preferred_ways_the_old_order_decides() -> None:
    ways = [way("good", time, name=str(time), meets=MET) for time in (300, 150, 200)]
    assert foremost_of([*ways, way("good", 100, meets=UNMET)], LIMITS) is ways[1]


def test_what_decides_is_told_with_the_reason_of_the_shop() -> None:
    slow, quick = way("good", 300, name="E16", meets=MET), way("good", 100, meets=UNMET)
    base = base_of(1)
    found = difference(slow, quick, base, (slow, quick))
    assert found.by == "preferred"
    told_so = "your shop prefers method = layered_pocketing, because so."
    assert difference_text(found, base).endswith(told_so)
    assert deciding_text(found, base).endswith(told_so)
    first = preferred([slow, quick], base)
    assert first is not None
    assert preferred_text(first).startswith("Your shop prefers method = layered_pocketing, because so. This costs 200")


@pytest.mark.parametrize(("times", "words"), [((80.0, 100.0), "This saves 20 s"), ((100.0, 100.0), "as long as")])
def test_a_preference_that_costs_nothing_says_so(times: tuple[float, float], words: str) -> None:
    one = way("good", times[0], compliance=0.3, name="E16", meets=MET)
    other = way("good", times[1], compliance=0.1, meets=UNMET)
    found = preferred([one, other], base_of(1))
    if times[0] < times[1]:  # the quicker one would come first anyway
        assert found is None
        return
    assert found is not None
    assert words in preferred_text(found)


@settings(max_examples=25, deadline=None)
@given(questions(30), st.lists(st.sampled_from(WORDS), min_size=1, max_size=2, unique=True))
def test_a_large_crib_gives_the_answer_of_the_whole_one_where_the_shop_prefers_some(
    question: Question, conditions: list[str]
) -> None:
    one, cutters, plain = question.made()
    bench = preferring(plain, *conditions)
    whole, narrow, kept = (
        everything(one, cutters, bench),
        as_of_a_large_crib(one, cutters, bench, whole=False),
        as_of_a_large_crib(one, cutters, bench, whole=True),
    )
    for other in (narrow, kept):
        assert told(other.best) == told(whole.best)
        assert first_said(other, bench.limits) == first_said(whole, bench.limits)
        told_first = [
            item.preferred and (item.preferred.preference.id, told(item.preferred.without)) for item in (other, whole)
        ]
        assert told_first[0] == told_first[1]
        assert [told(item.candidate) for item in alternatives(other, bench.base)] == [
            told(item.candidate) for item in alternatives(whole, bench.base)
        ]
    assert whole.grade == everything(one, cutters, plain).grade


@pytest.mark.parametrize(
    ("name", "condition"), [*product(("P1", "S1", "H1"), ("cutter_id = E16N3", "method = layered_pocketing"))]
)
def test_a_preferred_way_is_no_more_objected_to_than_the_one_it_replaces(name: str, condition: str) -> None:
    feature = next(one for one in ASSIGNMENT.job.features if one.id == name)
    before = advise_feature(feature, ASSIGNMENT.crib, BENCH)
    after = advise_feature(feature, ASSIGNMENT.crib, preferring(BENCH, condition))
    assert before.best is not None
    assert after.best is not None
    assert GRADES.index(after.grade) == GRADES.index(before.grade)
    assert against_of(after.best) == against_of(before.best)
    assert BASE.preferences == ()
