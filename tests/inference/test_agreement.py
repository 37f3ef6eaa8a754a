"""Engine and evaluator give the same answers; where they do not, that is an error and never advice."""

import random
from bisect import bisect_right
from collections.abc import Sequence

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from advisor.choosing.advice import advise
from advisor.inference import Disagreement, Inference, evaluator, questions, start
from advisor.inference.questions import Witnessed, places_of
from advisor.knowledge.conditions import (
    MOST_ALTERNATIVES,
    All,
    Compare,
    Facts,
    Known,
    alternatives,
    holds,
    parse,
    quantise,
)
from advisor.knowledge.schema import Rule
from advisor.knowledge.shipped import rule_base
from advisor.model.answer import FeatureAdvice
from advisor.paths import cases_dir
from advisor.readers.assignment import read_assignment
from advisor.situation.bench import bench_of, inference_of
from tests.cases import worked
from tests.inference.random_rules import THRESHOLDS, facts, rule, sources, tree
from tests.inference.situations import asked, real, situations

pytest.importorskip("durable.engine")

from advisor.inference import durable

SEEDS = (1, 2, 3, 4)
RULES = {
    seed: [rule(f"r{seed}-{place}", tree(random.Random(f"{seed}-{place}"), 2)) for place in range(60)] for seed in SEEDS
}
ENGINES = {seed: durable.Family(rules) for seed, rules in RULES.items()}
WITNESSES = {seed: evaluator.Family(rules) for seed, rules in RULES.items()}


@settings(max_examples=300)
@given(st.sampled_from(SEEDS), st.integers(0, 10**9))
def test_engine_and_evaluator_fire_the_same_rules(seed: int, number: int) -> None:
    asked = facts(random.Random(number))
    assert set(ENGINES[seed].ask(asked)) == set(WITNESSES[seed].ask(asked))


@settings(max_examples=60)
@given(st.lists(sources(), min_size=1, max_size=8), st.integers(0, 10**9))
def test_whatever_the_grammar_allows_is_understood_alike(found: list[object], number: int) -> None:
    """As many bases as a process may build without growing much: the engine never frees one."""
    rules = [rule(f"r{place}", parse(source, THRESHOLDS)) for place, source in enumerate(found)]
    assume(all(alternatives(one.condition) <= MOST_ALTERNATIVES for one in rules))
    engine, witness, source = durable.Family(rules), evaluator.Family(rules), random.Random(number)
    for _ in range(25):
        situation = facts(source)
        assert sorted(engine.ask(situation)) == sorted(witness.ask(situation))


def test_engine_and_evaluator_agree_on_the_whole_rule_base_in_random_situations() -> None:
    """A hundred times as many: tests/benchmarks/agreement.py. What is remembered is not asked for."""
    inference = inference_of(None, "durable")
    known = real(
        inference,
        ("winch-side-plate", "die-holder-with-drill", "spar-pocket-titanium", "die-insert-hardened", "valve-body-inch"),
    )
    tally = asked(inference, situations(7000, 7, known, rule_base()))
    assert tally.questions > 15_000
    silent = [name for name, times in tally.fired.items() if not times]
    assert len(silent) < 0.11 * len(tally.fired), f"the situations are too tame: never fired {silent}"


def test_the_random_rules_are_neither_always_nor_never_true() -> None:
    """Else the test above would prove little."""
    source, fired = random.Random(5), set()
    for _ in range(200):
        for seed in SEEDS:
            answer = WITNESSES[seed].ask(facts(source))
            assert len(answer) < 60
            fired.update(answer)
    assert len(fired) > 200


class _Mute(evaluator.Family):
    """An engine that does not hear one rule."""

    def ask(self, facts: Facts) -> tuple[str, ...]:
        return tuple(rule_id for rule_id in super().ask(facts) if rule_id != "past-the-bottom")


def test_a_disagreement_is_an_error_and_names_both_answers() -> None:
    base = rule_base()
    mute = Inference(base, _Mute, "mute")
    with pytest.raises(Disagreement, match=r"past-the-bottom.*clearance_below"):
        mute.fired("settings", "feature", {"floor": "no", "clearance_below": 5.0})


NARROW = cases_dir() / "guide-slot-narrow" / "job.yaml"
RULE = "narrow-slot-is-ramped"


def advised(inference: Inference) -> FeatureAdvice:
    assignment = read_assignment(NARROW)
    return advise(assignment, bench_of(assignment, inference)).features[0]


def without(rule_id: str) -> Inference:
    """Return an inference by the engine in which one rule's callback was taken out."""
    inference = start(rule_base(), "durable")
    rule = rule_base().by_id[rule_id]
    family = inference.family(rule.stage, rule.level, rule.methods[0])
    assert family is not None
    assert isinstance(family.engine, durable.Family)
    assert family.engine.callbacks.pop(rule_id)
    return inference


def test_a_muted_callback_is_noticed_before_it_becomes_advice() -> None:
    with pytest.raises(Disagreement, match=RULE):
        advised(without(RULE))


def test_the_advice_rests_on_the_callbacks_of_the_engine(monkeypatch: pytest.MonkeyPatch) -> None:
    """With the witness told the same, the narrow slot loses the rule that speaks for it, and its grade."""
    heard = advised(start(rule_base(), "durable"))
    assert heard.best is not None
    assert (heard.best.method, heard.best.grade) == ("ramped_slotting", "good")
    assert RULE in {fired.id for fired in heard.best.fired}

    def believes_the_engine(family: Witnessed, asked: Facts) -> tuple[Rule, ...]:
        fired = family.engine.ask(family.question(asked))
        return tuple(family.rules[rule_id] for rule_id in sorted(fired, key=family.order.__getitem__))

    monkeypatch.setattr(Witnessed, "fresh", believes_the_engine)
    muted = advised(without(RULE))
    assert muted.grade == "workable"
    assert RULE not in {fired.id for candidate in muted.candidates for fired in candidate.fired}
    assert (
        muted.best is None
        or (muted.best.method, muted.best.entry) != (heard.best.method, heard.best.entry)
        or muted.grade != heard.grade
    )


def test_both_engines_give_the_same_advice_in_every_case() -> None:
    for folder in worked.folders():
        assignment = read_assignment(folder / "job.yaml")
        other = advise(assignment, bench_of(assignment, inference_of(assignment.house, "evaluator")))
        for one, two in zip(worked.advice(folder.name).features, other.features, strict=True):
            assert one.candidates == two.candidates, folder.name
            assert one.cautions == two.cautions, folder.name


def test_the_engine_that_answers_says_its_name() -> None:
    assert start(rule_base()).name == start(rule_base(), "durable").name == "durable-rules"
    assert start(rule_base(), "evaluator").name == "Python evaluator"


def test_what_no_rule_can_tell_apart_is_asked_once() -> None:
    """Facts between the same limits are one question; a fact at a limit is another."""
    asked = Witnessed([rule("r", All((Compare("x", "<", 1.0), Known("y"))))], _Counting)
    counting = asked.engine
    assert isinstance(counting, _Counting)
    for value in (0.1, 0.5, 0.99, 0.99994):
        assert [fired.id for fired in asked.ask({"x": value, "y": 3.0})] == ["r"]
    assert counting.count == 1
    assert asked.ask({"x": 1.0, "y": 3.0}) == ()
    assert asked.ask({"x": 0.99996, "y": 3.0}) == (), "seen as 1.0"
    assert asked.ask({"x": 1.5, "y": 3.0}) == ()
    assert asked.ask({"x": 0.5}) == ()
    assert counting.count == 4


class _Counting(evaluator.Family):
    def __init__(self, rules: Sequence[Rule]) -> None:
        super().__init__(rules)
        self.count = 0

    def ask(self, facts: Facts) -> tuple[str, ...]:
        self.count += 1
        return super().ask(facts)


@settings(max_examples=200)
@given(st.sampled_from(SEEDS), st.integers(0, 10**9))
def test_a_kept_answer_is_the_answer(seed: int, number: int) -> None:
    asked, found = _KEEPING[seed], facts(random.Random(number))
    assert {fired.id for fired in asked.ask(found)} == {one.id for one in RULES[seed] if holds(one.condition, found)}


@settings(max_examples=300)
@given(st.sampled_from((-7.1234, 0.0, 1.35, 12345678.9, 1e12, -1e12)), st.floats(-2e-4, 2e-4), st.booleans())
def test_a_number_is_placed_as_the_rules_see_it(value: float, beside: float, half: bool) -> None:
    """Numbers that a question is remembered by lie on the same side of a value as after they are quantised."""
    (_, cuts), *_ = places_of([rule("r", Compare("x", "<", value))])
    number = value + (beside if not half else 5e-5 if beside > 0 else -5e-5)
    seen = quantise(number)
    assert bisect_right(cuts, number) == (0 if seen < value else 1 if seen == value else 2)


def test_what_is_remembered_has_an_end(monkeypatch: pytest.MonkeyPatch) -> None:
    """And what was forgotten is asked again, with the same answer."""
    monkeypatch.setattr(questions, "MOST_ANSWERS", 10)
    remembering = Witnessed(
        [rule(f"r{place}", Compare("x", "<", float(place))) for place in range(50)], evaluator.Family
    )
    first = [remembering.ask({"x": place + 0.5}) for place in range(50)]
    assert len(remembering.answers) <= 10
    assert [remembering.ask({"x": place + 0.5}) for place in range(50)] == first
    assert remembering.questions == 100


_KEEPING = {seed: Witnessed(rules, evaluator.Family) for seed, rules in RULES.items()}
