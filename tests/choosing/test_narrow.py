"""From a large crib only what the answer rests on is worked out or kept; the answer must be that of the whole crib."""

import random
from collections.abc import Mapping, Sequence
from unittest.mock import patch

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from advisor.analysis.alternatives import alternatives, choice
from advisor.analysis.breakpoints import name_of
from advisor.analysis.rival import Wanted, asked_with, rival_of
from advisor.choosing import advice
from advisor.choosing.advice import advise_feature
from advisor.choosing.candidates import cutter_in_region, region_search
from advisor.choosing.pruning import foremost
from advisor.choosing.ranking import foremost_of, rank_key_of
from advisor.knowledge.conditions import Value
from advisor.methods.bounds import least_entry, least_time
from advisor.methods.registry import METHODS
from advisor.methods.trial import cut_of
from advisor.model.answer import FeatureAdvice
from advisor.model.candidate import GRADES, Candidate
from advisor.model.cutter import Cutter
from advisor.model.features import FeatureBase
from advisor.situation.bench import Bench, bench_of
from advisor.situation.pairings import ways
from advisor.text.alternatives import difference_text, first_text
from tests.jobs.strategies import ASSIGNMENT, FEATURES, Question, crib, feature, questions


def both(one: FeatureBase, cutters: Sequence[Cutter], bench: Bench) -> tuple[FeatureAdvice, FeatureAdvice]:
    """Return the advice from the whole crib, and the narrowed one."""
    return everything(one, cutters, bench), as_of_a_large_crib(one, cutters, bench, whole=False)


def everything(one: FeatureBase, cutters: Sequence[Cutter], bench: Bench) -> FeatureAdvice:
    """Return the advice with every candidate there is, whatever the size of the crib."""
    with patch.object(advice, "MANY", len(cutters)):
        return advise_feature(one, cutters, bench)


def as_of_a_large_crib(one: FeatureBase, cutters: Sequence[Cutter], bench: Bench, whole: bool) -> FeatureAdvice:
    """Return the advice as it would be if so few cutters were many."""
    with patch.object(advice, "MANY", 0):
        return advise_feature(one, cutters, bench, whole=whole)


def told(candidate: Candidate | None) -> tuple[object, ...]:
    if candidate is None:
        return ()
    drill = candidate.drill.id if candidate.drill else ""
    facts: tuple[tuple[str, Value], ...] = tuple(sorted(candidate.facts.items()))
    rules = tuple(rule.id for rule in candidate.fired)
    return rank_key_of(candidate), candidate.method, candidate.cutter.id, candidate.entry, drill, rules, facts


def first_said(answer: FeatureAdvice, limits: Mapping[str, float]) -> str:
    """Return why the advised way stands first; nothing where no way was found."""
    found = choice(answer, limits)
    return "" if found is None else first_text(found, limits)


@settings(max_examples=40)
@given(questions(30))
def test_the_answer_and_all_that_stands_beside_it_are_those_of_the_whole_crib(question: Question) -> None:
    one, cutters, bench = question.made()
    whole, narrow = both(one, cutters, bench)
    base = bench.base
    assert told(narrow.best) == told(whole.best)
    assert [rule.id for rule in narrow.cautions] == [rule.id for rule in whole.cautions]
    assert first_said(narrow, base.limits) == first_said(whole, base.limits)
    beside, wanted = (
        [
            (
                told(other.candidate),
                other.differs,
                difference_text(other.difference, base),
                [rule.id for rule in other.reasons],
            )
            for other in alternatives(answer, base)
        ]
        for answer in (narrow, whole)
    )
    assert beside == wanted
    names = {name_of(item) for item in whole.candidates}
    assert all(name_of(item) in names for item in narrow.candidates)


@settings(max_examples=40)
@given(questions(30), st.randoms(use_true_random=False))
def test_the_foremost_is_the_best_of_the_whole_crib(question: Question, chance: random.Random) -> None:
    one, cutters, bench = question.made()
    answer = everything(one, cutters, bench)
    asked = answer.region, answer.facts, cutters, bench
    assert told(foremost(*asked)) == told(answer.best)
    pairs = sorted({(item.method, item.cutter.id) for item in answer.candidates})
    some = set(chance.sample(pairs, len(pairs) // 2))
    best = foremost_of((item for item in answer.candidates if (item.method, item.cutter.id) in some), bench.limits)
    assert told(foremost(*asked, only=some)) == told(best)
    for item in answer.candidates[:: max(1, len(answer.candidates) // 5)]:
        grade, time = GRADES.index(item.grade), item.time
        found = foremost(*asked, least=(grade, time))
        if answer.best is None:
            assert found is None
            continue
        place = GRADES.index(answer.best.grade)
        quicker = answer.best.time <= time and (
            place == grade or (item.grade, answer.best.grade) == ("good", "workable")
        )
        if place < grade or quicker:
            assert told(found) == told(answer.best)


@settings(max_examples=40)
@given(questions(30))
def test_of_the_holes_of_one_cutter_the_best_are_kept(question: Question) -> None:
    one, cutters, bench = question.made()
    every, few = everything(one, cutters, bench), as_of_a_large_crib(one, cutters, bench, whole=True)
    assert told(few.best) == told(every.best)
    assert first_said(few, bench.limits) == first_said(every, bench.limits)
    assert [told(item.candidate) for item in alternatives(few, bench.base)] == [
        told(item.candidate) for item in alternatives(every, bench.base)
    ]
    kinds = {(item.method, item.cutter.id, item.entry) for item in every.candidates}
    assert {(item.method, item.cutter.id, item.entry) for item in few.candidates} == kinds
    assert len(few.candidates) <= 3 * len(kinds)  # one of each grade at most
    for wanted in {Wanted(method, None, entry) for method, _, entry in kinds}:
        assert told(rival_of(few, wanted, bench.limits)) == told(rival_of(every, wanted, bench.limits)), wanted
    for wanted in {Wanted(None, cutter.id) for cutter in cutters if cutter.body != "drill"}:
        assert told(rival_of(few, wanted, bench.limits)) == told(rival_of(every, wanted, bench.limits)), wanted


def test_a_drill_that_is_asked_for_is_held_beside_though_others_do_better() -> None:
    cutters = crib(advice.MANY + 40, random.Random(5))
    one, bench = feature(FEATURES[1], 1.0, {}), bench_of(ASSIGNMENT)
    every, found = everything(one, cutters, bench), 0
    kept = {item.drill.id for item in advise_feature(one, cutters, bench).candidates if item.drill}
    for drill in {item.drill.id for item in every.candidates if item.drill} - kept:
        wanted = Wanted(None, drill)
        rival = rival_of(asked_with(wanted, one, cutters, bench), wanted, bench.limits)
        assert rival is not None
        assert rival.drill is not None
        alone = [
            cutter for cutter in cutters if cutter.body != "drill" or cutter.id == drill
        ]  # suits more cutters then
        assert told(rival) == told(rival_of(everything(one, alone, bench), wanted, bench.limits))
        found += 1
    assert found


@settings(max_examples=40)
@given(questions(12))
def test_no_candidate_is_quicker_than_the_least_time(question: Question) -> None:
    one, cutters, bench = question.made()
    answer = advise_feature(one, cutters, bench)
    search, compared = region_search(answer.region, answer.facts, cutters, bench), 0
    for item in answer.candidates:
        cut = cut_of(cutter_in_region(item.cutter, search), answer.region, bench)
        if item.plan is None or item.way_in is None or item.way_in.time is None or cut is None:
            continue
        entries = ways()[item.method].entries(answer.region)
        method = METHODS[item.method]
        ready = method.prepared(cut)
        least = least_time(method, ready) + least_entry(method, ready, entries, search.drills.cutters)
        others = float(item.facts["corner_rest_time"]) + bench.machine.tool_change
        assert least + others <= float(item.facts["total_time"]) * (1 + 1e-9), (item.method, item.cutter.id)
        compared += 1
    assume(compared)


def test_of_a_large_crib_little_is_worked_out() -> None:
    """Else narrowing would be for nothing: of some thousand ways to clear a pocket, one in ten.

    Plunging is left out: only its arithmetic tells whether a cut with the side holds, which forbids it.
    """

    def others(answer: FeatureAdvice) -> list[Candidate]:
        return [item for item in answer.candidates if item.method != "plunge_roughing"]

    cutters = crib(400, random.Random(5))
    bench = bench_of(ASSIGNMENT)
    for given_ in (FEATURES[1], FEATURES[4], FEATURES[9]):
        whole, narrow = both(feature(given_, 1.0, {}), cutters, bench)
        planned = [sum(item.plan is not None for item in others(answer)) for answer in (whole, narrow)]
        assert planned[1] < 0.15 * planned[0], given_


def test_a_small_crib_is_worked_out_whole() -> None:
    """Then all that asks further, as what would change the answer does, finds every candidate."""
    one = feature(FEATURES[1], 1.0, {})
    bench = bench_of(ASSIGNMENT)
    whole = advise_feature(one, ASSIGNMENT.crib, bench)
    assert len(ASSIGNMENT.crib) <= advice.MANY
    assert len(advise_feature(one, ASSIGNMENT.crib, bench, whole=False).candidates) == len(whole.candidates)
