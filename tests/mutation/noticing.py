"""What notices a mutant, the cheapest first: the rules' own examples, the expectations of the worked cases, the tests.

Of the tests, those that say what the advice for all cases is (snapshots, recorded answers, formulas) are asked here:
what differs from the answer of the rule base as it is, which the tests hold to what was kept, they would notice. The
others run as they are, over the mutant, for what is left.
"""

import signal
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from functools import cache, partial
from typing import Any, NamedTuple

import pytest

from advisor.choosing.advice import advise
from advisor.choosing.job_advice import Advice
from advisor.inference import Inference, evaluator, start
from advisor.knowledge.check import example_facts
from advisor.knowledge.conditions import Facts, holds
from advisor.knowledge.house import house_base
from advisor.knowledge.schema import Rule, RuleBase
from advisor.model.assignment import Assignment
from advisor.model.operations import Plan
from advisor.paths import cases_dir
from advisor.readers.assignment import read_assignment
from advisor.render import terminal
from advisor.review.verdict import review
from advisor.situation.bench import bench_of
from advisor.text.advice import advice_blocks
from advisor.text.why import why_blocks
from tests.cases import test_cases, worked
from tests.inference import record
from tests.jobs.completed import all_completed
from tests.mutation.mutants import Mutant
from tests.render import test_snapshots
from tests.review import planning, test_shipped_plans, test_thirty_plans
from tests.situation import test_formulas

EXAMPLES, CASES, TESTS = "examples", "cases", "tests"
REVIEW = "review"
SLOW = 20  # seconds of the processor after which advice that has not come counts as none
CASE_NAMES = test_cases.NAMES
COLUMNS = 80


@cache
def recorded() -> Mapping[str, list[Facts]]:
    """Return the facts of the recorded questions that each rule was asked."""
    found = defaultdict[str, list[Facts]](list)
    for entry in record.read():
        for rule_id in entry["rules"]:
            found[rule_id].append(entry["facts"])
    return found


@cache
def assignment(name: str) -> Assignment:
    """Return a case as read."""
    return read_assignment(cases_dir() / name / "job.yaml")


@cache
def advice_as_it_is(name: str, base: RuleBase) -> Advice:
    """Return the advice of the rule base as it is for a worked case."""
    return Advised(Mutant("none", "", ""), base)(name)


@cache
def planned(name: str, base: RuleBase) -> tuple[Plan, Advice]:
    """Return a plan of ``cases/plans.yaml``, and the advice of the rule base as it is for its job."""
    plan, assigned = test_thirty_plans.read(name)
    return plan, advise(assigned, bench_of(assigned, start(base, "evaluator")))


def judged_by(advice: Advice, inference: Inference) -> Advice:
    """Return an advice as it would be of rules that differ in what no advice asks."""
    return advice._replace(bench=advice.bench._replace(base=inference.base, inference=inference))


class Advised:
    """The advice of a mutant for the worked cases, each worked out when first asked."""

    def __init__(self, mutant: Mutant, base: RuleBase) -> None:
        self.mutant, self.original, self.base = mutant, base, mutant.base(base)
        self.inference = start(self.base, "evaluator")
        self.found: dict[str, Advice] = {}

    def __call__(self, name: str) -> Advice:
        """Return the advice for a case."""
        if name not in self.found:
            read = assignment(name)
            own = read.house
            inference = start(house_base(self.base, own), "evaluator") if own else self.inference
            if self.mutant.stage == REVIEW:  # no advice asks such a rule
                return judged_by(advice_as_it_is(name, self.original), inference)
            bench = bench_of(read, inference)
            if self.mutant.arithmetic and self.mutant.limits and not own:
                bench = bench._replace(limits=self.mutant.limits)
            self.found[name] = all_completed(advise(read, bench))
        return self.found[name]


def by_examples(mutant: Mutant, base: RuleBase) -> bool:
    """Return whether an example of a changed rule does not hold any more."""
    return any(
        holds(rule.condition, example_facts(rule, example)) is not example.fires
        for rule in mutant.rules.values()
        if rule is not None and _asks_otherwise(rule, base)
        for example in rule.examples
    )


def expectations(names: Sequence[str]) -> Iterator[Callable[[], None]]:
    """Yield every check of the expectations of some worked cases; each raises where an expectation is not met."""
    for name in names:
        for feature, entry in worked.expected(name)["features"].items():
            for key in {"method", "cutter", "entry", "grade"} & set(entry):
                yield partial(test_cases.test_the_way_and_its_grade_are_as_expected, name, feature, key)
            for key, test in BY_KEY.items():
                if key in entry:
                    yield partial(test, name, feature, entry[key])
        yield partial(test_cases.test_a_case_without_a_way_is_the_one_that_ends_with_one, name)
    for pair in test_cases.PAIRS:
        if set(pair) & set(names):
            yield partial(test_cases.test_each_of_a_pair_names_the_other_and_the_advice_flips, *pair)
    for pair, key in test_cases.FLIPS.items():
        if set(pair) & set(names):
            yield partial(test_cases.test_what_flips_is_what_the_pair_says, pair, key)


def expectations_of_plans() -> Iterator[Callable[[], None]]:
    """Yield every check of what the review must find in the plans that lie beside cases."""
    for case, name in test_shipped_plans.PLANS:
        yield partial(test_shipped_plans.test_a_plan_shows_what_it_was_written_to_show, case, name)
        yield partial(test_shipped_plans.test_a_plan_ends_with_1_where_anything_is_to_be_stopped, case, name)
    yield test_shipped_plans.test_the_good_plan_has_no_trap_and_nothing_above_consider
    yield test_shipped_plans.test_the_good_plan_is_praised_in_every_feature


def findings_in_plans(mutant: Mutant, base: RuleBase) -> Iterator[Callable[[], None]]:
    """Yield the check of what is found in each plan of ``cases/plans.yaml`` in which a changed rule is found."""
    inference = start(mutant.base(base), "evaluator")
    for name, found in test_thirty_plans.kept().items():
        if {line.split()[-1] for line in found} & set(mutant.rules):
            yield partial(_finds_as_before, name, inference, base)


def _finds_as_before(name: str, inference: Inference, base: RuleBase) -> None:
    plan, advice = planned(name, base)
    found = review(plan, advice.assignment, judged_by(advice, inference))
    assert test_thirty_plans.told(found) == list(test_thirty_plans.kept()[name])


BY_KEY: dict[str, Callable[[str, str, Any], None]] = {
    "levels": test_cases.test_the_levels_are_as_many_as_worked_out_by_hand,
    "rule": test_cases.test_the_rule_that_decides_is_among_the_reasons,
    "cautions": test_cases.test_the_cautions_are_given,
    "settings": test_cases.test_the_settings_that_practice_fixes_are_so,
    "not": test_cases.test_the_other_method_is_set_back_by_the_rule_that_ought_to,
}


def by_recording(mutant: Mutant, base: RuleBase) -> bool:
    """Return whether a changed rule answers a recorded question differently."""
    return any(
        (rule is not None and holds(rule.condition, facts)) is not holds(base.by_id[rule_id].condition, facts)
        for rule_id, rule in mutant.rules.items()
        for facts in recorded()[rule_id]
    )


class AsItIs(NamedTuple):
    """The reports of all cases with the rule base as it is, and the rules that fire in each."""

    texts: Mapping[str, str]
    fired: Mapping[str, set[str]]


def texts(names: Sequence[str]) -> Iterator[tuple[str, str]]:
    """Yield what the reports of some cases say, and the evidence for some features, as the snapshots keep them."""
    for name in names:
        yield name, terminal.text(advice_blocks(worked.advice(name)), COLUMNS)
    for case, feature in test_snapshots.EXPLAINED:
        blocks = why_blocks(worked.feature(case, feature), worked.advice(case))
        yield f"{case} {feature}", terminal.text(blocks, COLUMNS)


class Hearing(evaluator.Family):
    """A family of rules that notes which of them fire."""

    def __init__(self, heard: set[str], rules: Sequence[Rule]) -> None:
        super().__init__(rules)
        self.heard = heard

    def ask(self, facts: Facts) -> tuple[str, ...]:
        """Ask, note, and give the answer."""
        answer = super().ask(facts)
        self.heard.update(answer)
        return answer


def fired_in(name: str, base: RuleBase) -> set[str]:
    """Return the rules that fire anywhere in a case."""
    heard: set[str] = set()
    read = assignment(name)
    own = house_base(base, read.house) if read.house else base
    advise(read, bench_of(read, Inference(own, partial(Hearing, heard), "hearing")))
    return heard


@cache
def as_it_is(base: RuleBase) -> AsItIs:
    """Return what there is to see of the rule base as it is."""
    with over(Advised(Mutant("none", "", ""), base)):
        return AsItIs(dict(texts(CASE_NAMES)), {name: fired_in(name, base) for name in CASE_NAMES})


def cases_of(mutant: Mutant, base: RuleBase) -> tuple[list[str], list[str]]:
    """Return the cases in which a mutant can change the advice, and all, these first.

    A rule that fires as before changes nothing where it does not fire.
    """
    fired, ids = as_it_is(base).fired, set(mutant.rules)
    first = sorted(CASE_NAMES, key=lambda name: not ids & fired[name])
    as_before = mutant.limits is None and not any(_asks_otherwise(rule, base) for rule in mutant.rules.values())
    return [name for name in first if not as_before or not ids or ids & fired[name]], first


def _asks_otherwise(rule: Rule | None, base: RuleBase) -> bool:
    return rule is not None and rule.condition != base.by_id[rule.id].condition


def _tells_otherwise(base: RuleBase, names: Sequence[str]) -> bool:
    then = as_it_is(base).texts
    return any(now != then[name] for name, now in texts(names))


def noticed_quickly(mutant: Mutant, base: RuleBase) -> str | None:
    """Return what notices the mutant, of what can be asked without running tests as they are."""
    if by_examples(mutant, base):
        return EXAMPLES
    if mutant.stage == REVIEW:  # no advice asks such a rule
        with over(Advised(mutant, base)):
            if _fails(expectations_of_plans()):
                return CASES
        return TESTS if by_recording(mutant, base) or _fails(findings_in_plans(mutant, base)) else None
    touched, every = cases_of(mutant, base)
    with over(Advised(mutant, base)):
        if _fails(expectations(touched)) or (mutant.of_review and _fails(expectations_of_plans())):
            return CASES
        if by_recording(mutant, base) or _fails([partial(_tells_otherwise, base, every)]):
            return TESTS
        if mutant.of_review and _fails(findings_in_plans(mutant, base)):
            return TESTS
        formulas = [test_formulas.test_every_formula_gives_the_number_that_is_shown] if mutant.limits else []
        return TESTS if _fails(formulas) else None


@contextmanager
def over(advised: Advised) -> Iterator[None]:
    """Let the checks of the worked cases see another advice."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(worked, "advice", advised)
        patch.setattr(planning, "advice", advised)
        patch.setattr(test_formulas, "BASE", advised.base)
        yield


def _fails(checks: Iterable[Callable[[], object]]) -> bool:
    """Whether a check fails (or answers yes), or what it looks at cannot be worked out, or not in time."""
    signal.signal(signal.SIGPROF, _too_slow)
    signal.setitimer(signal.ITIMER_PROF, SLOW)  # not by the clock: other programs run beside it
    try:
        return any(each() for each in checks)
    except (Exception, pytest.fail.Exception):
        return True
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)


def _too_slow(*_: object) -> None:
    raise TimeoutError
