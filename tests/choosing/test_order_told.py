"""What is said to put one way before another is what does: each criterion is held against the two ways themselves."""

from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.analysis.alternatives import difference
from advisor.choosing.ranking import NEVER, against_of, order_between, rank_key_of, ranked, worth_the_drill
from advisor.model.answer import Order
from advisor.model.candidate import FREELY, GRADES, HELD_BACK, NOT_AT_ALL, Candidate
from advisor.text.alternatives import difference_text
from advisor.text.differences import deciding_text
from tests.choosing.test_ranking import BASE, LIMITS, rules, through_a_hole, way, with_rest

BAND = 1 + LIMITS["time_band"]


def at_random(item: Candidate, rest: float, overtakes: int, factor: float, met: tuple[bool, ...]) -> Candidate:
    ground = {"ground_here": "no"} if factor == LIMITS["ground_time_factor"] else {}
    fired = rules("edge-rubs", "plunge-is-last") if met[0] and item.grade == "poor" else ()
    item = with_rest(item, rest)
    return item._replace(
        facts=item.facts | ground,
        overtakes=overtakes,
        time_factor=factor,
        meets={str(at): one for at, one in enumerate(met)},
        fired=fired,
    )


times = st.sampled_from([50.0, 55.0, 66.0, 69.0, 71.0, 80.0, 95.0, 100.0, 105.0, 110.0, 111.0, 125.0])
plain = st.builds(
    way,
    st.sampled_from(GRADES),
    times,
    st.sampled_from([0.1, 0.105, 0.11, 0.12, 0.13, 0.2, 0.3]),
    st.integers(1, 3),
    st.sampled_from([10.0, 12.0]),
    st.sampled_from("ABC"),
)
drilled = st.builds(
    lambda time, grade, without: through_a_hole(time, grade)._replace(without_drill=without and time + without),
    times,
    st.sampled_from(GRADES),
    st.sampled_from([None, 2.0, 12.0]),
)
of_all_kinds = st.builds(
    at_random,
    st.one_of(plain, plain, drilled),
    st.sampled_from([-0.1, -0.1, 0.2]),
    st.sampled_from([FREELY, HELD_BACK, NOT_AT_ALL]),
    st.sampled_from([1.0, 1.0, LIMITS["slender_time_factor"], LIMITS["ground_time_factor"]]),
    st.tuples(st.booleans(), st.booleans()),
)


def counted(item: Candidate) -> float:
    return round(item.counted, 9)


def really_so(order: Order, first: Candidate, second: Candidate, every: Sequence[Candidate]) -> bool:
    """Whether the first way is ahead in what the order names, by the ways themselves."""
    one, other = rank_key_of(first), rank_key_of(second)
    good = min((item.counted for item in every if item.grade == "good"), default=NEVER)
    firm: dict[str, Callable[[Any], Any]] = {
        "aside": lambda firmness: firmness.aside,
        "rest": lambda firmness: firmness.rest,
        "compliance": lambda firmness: firmness.compliance,
        "levels": lambda firmness: firmness.levels,
        "width": lambda firmness: firmness.narrow,
    }
    if order.by in firm:
        mine, its = firm[order.by](one.firmness), firm[order.by](other.firmness)
        told = (abs(float(mine)), abs(float(its))) == (order.first, order.second)
        return told and mine < its and (order.within or counted(first) == counted(second))
    match order.by:
        case "grade":
            return one.grade < other.grade or (first.grade == "workable" and first.counted < good)
        case "overtakes":
            return first.counted < good and first.counted > second.counted and first.overtakes > second.overtakes
        case "preferred":
            place = int(order.preference)
            mine, its = list(first.meets.values()), list(second.meets.values())
            return mine[:place] == its[:place] and mine[place] and not its[place]
        case "against":
            return against_of(first)[:3] < against_of(second)[:3]
        case "left":
            return against_of(first).left < against_of(second).left
        case "time":
            return counted(first) < counted(second) or (
                counted(first) == counted(second) and round(first.time, 9) < round(second.time, 9)
            )
        case "drill":
            return second.without_drill == order.first and second.time == order.second < first.time * BAND
        case "slender" | "ground":
            slower = second.time_factor > first.time_factor and second.time < first.time
            return slower and (order.by == "slender" or second.facts.get("ground_here") == "no")
        case _:
            mine, its = (
                (ahead.grade, counted(item), ahead.firmness, ahead.objections, round(item.time, 9))
                for ahead, item in ((one, first), (other, second))
            )
            return mine == its


@settings(max_examples=1000)
@given(st.lists(of_all_kinds, min_size=2, max_size=8))
def test_of_two_neighbours_the_first_is_ahead_in_what_is_said_to_decide(ways: list[Candidate]) -> None:
    order = ranked(ways, LIMITS)
    for first, second in pairwise(order):
        found = order_between(first, second, ways, LIMITS)
        assert really_so(found, first, second, ways), found


@settings(max_examples=300)
@given(st.lists(of_all_kinds, min_size=2, max_size=8))
def test_the_same_holds_between_the_first_and_any_other(ways: list[Candidate]) -> None:
    best, *others = ranked(ways, LIMITS)
    for other in others:
        found = order_between(best, other, ways, LIMITS)
        assert really_so(found, best, other, ways), found


@settings(max_examples=300)
@given(st.lists(of_all_kinds, min_size=2, max_size=8))
def test_a_time_that_is_said_to_be_longer_is(ways: list[Candidate]) -> None:
    best, *others = ranked(ways, LIMITS)
    for other in (item for item in others if item.grade == best.grade != "forbidden"):
        if difference(best, other, BASE, ways).by == "time":
            assert other.time >= best.time


def test_beyond_the_band_rest_in_the_corners_decides_before_stiffness_and_both_are_not_said_to_be_within_it() -> None:
    quick = way(time=95)
    clean, firm = way(time=105, compliance=0.11, name="C"), with_rest(way(time=105, compliance=0.1, name="F"))
    every = ranked([firm, clean, quick], LIMITS)
    assert every == [quick, clean, firm]
    found = difference(clean, firm, BASE, every)
    assert (found.by, found.order and found.order.within) == ("rest", False)
    told = difference_text(found, BASE)
    assert told.endswith("counted as equally quick, the way that needs no second cutter for the corners comes first.")
    assert "within" not in told


def test_a_quicker_workable_way_held_far_back_is_told_what_it_must_save() -> None:
    free, held = way("workable", 65), way("workable", 62, overtakes=HELD_BACK, name="H")
    every = ranked([held, way("good", 100), free], LIMITS)
    assert [item.cutter.id for item in every] == ["E12", "E12", "H"]
    assert order_between(free, held, every, LIMITS).by == "overtakes"
    told = deciding_text(difference(free, held, BASE, every), BASE).replace("\N{NO-BREAK SPACE}", " ")
    assert told == (
        "Both are workable, 65 s and 62 s: it keeps less than 70 % of the tables' rate or of the power, and comes "
        "before a good way only if it takes under 0.6 of its time."
    )


def test_a_slender_cutter_that_is_a_little_quicker_is_not_said_to_take_longer() -> None:
    slender = way(time=98, name="L")._replace(time_factor=LIMITS["slender_time_factor"])
    slender = slender._replace(facts=slender.facts | {"slenderness": 9.0})
    plump = way(time=100)
    assert ranked([slender, plump], LIMITS) == [plump, slender]
    order = order_between(plump, slender, (), LIMITS)
    assert order.by == "slender"
    assert "likely to chatter" in difference_text(difference(plump, slender, BASE), BASE)


def test_a_stiffer_way_is_not_said_to_be_first_for_a_drill_that_decides_nothing() -> None:
    """The hole is not worth its drill, but by its own time, too, the way would come after the stiffer one."""
    stiff, through = way(time=100, compliance=0.1), through_a_hole(97.0)._replace(without_drill=105.0, compliance=3e-4)
    assert ranked([through, stiff], LIMITS) == [stiff, through]
    assert order_between(stiff, through, (), LIMITS).by == "compliance"


def test_a_hole_as_quick_as_the_way_without_it_is_left_out_for_its_drill() -> None:
    drilled_, plain_ = worth_the_drill([through_a_hole(90.0), way(time=100)], LIMITS)
    assert order_between(plain_, drilled_, (), LIMITS).by == "drill"
