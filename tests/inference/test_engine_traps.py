"""What is known to break the engine, each as a test that the adapter survives it.

What may crash the process runs in one of its own. How rulesets are freed: ``test_rulesets_freed.py``.
"""

import random
import subprocess
import sys
import threading
from collections.abc import Sequence
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.inference import evaluator
from advisor.knowledge.conditions import (
    MOST_ALTERNATIVES,
    All,
    Any,
    Compare,
    Condition,
    Known,
    alternatives,
    holds,
    quantise,
)
from tests.inference.random_rules import facts as random_facts
from tests.inference.random_rules import rule, tree

pytest.importorskip("durable.engine")

from advisor.inference import durable

ROOT = Path(__file__).parents[2]


def below(value: float, fact: str = "x") -> Compare:
    return Compare(fact, "<", quantise(value))


def family(conditions: Sequence[Condition]) -> durable.Family:
    return durable.Family([rule(f"r{place}", condition) for place, condition in enumerate(conditions)])


def run(body: str, seconds: float = 300) -> subprocess.CompletedProcess[str]:
    """Run a few lines after the usual imports, in a process of their own."""
    modules = (
        "advisor.inference.durable import *",
        "advisor.knowledge.conditions import *",
        "tests.inference.random_rules import rule",
    )
    head = "".join(f"from {module}\n" for module in modules)
    whole = [sys.executable, "-c", f"{head}{body}"]
    return subprocess.run(whole, cwd=ROOT, capture_output=True, text=True, timeout=seconds, check=False)


def in_a_process_of_its_own(body: str, seconds: float = 300) -> str:
    """Run a few lines after the usual imports; return what they print. A crash or a hang fails the test."""
    done = run(body, seconds)
    assert done.returncode == 0, f"exit {done.returncode}: {done.stderr[-1000:]}"
    return done.stdout.strip()


def test_two_hundred_rules_may_fire_on_one_question() -> None:
    body = (
        "f = Family([rule(f'r{n}', Compare('x', '<', float(n))) for n in range(200)])\n"
        "print(len(f.ask({'x': -1.0})), len(f.ask({'x': 100.0})))"
    )
    assert in_a_process_of_its_own(body) == "200 99"


def test_what_the_split_guards_against_is_real() -> None:
    """Without it, the 65th pending match of one ruleset is an error or a crash: else the split is for nothing."""
    done = run(
        "import advisor.inference.durable as d\nd.MOST_RULES = d.MOST_ALTERNATIVES = 1000\n"
        "f = Family([rule(f'r{n}', Compare('x', '<', float(n))) for n in range(80)])\nprint(len(f.ask({'x': -1.0})))"
    )
    assert done.returncode != 0
    assert done.stdout == ""


def test_a_rule_that_comes_true_in_several_ways_fires_once() -> None:
    asked = family([Any((below(1), below(2), below(3), All((below(4), Known("x"))))), below(0)])
    assert asked.ask({"x": 0.5}) == ("r0",)
    assert asked.ask({"x": 3.5}) == ("r0",)
    assert asked.ask({"x": -1.0}) == ("r0", "r1")
    assert asked.ask({"x": 9.0}) == ()


def test_alternatives_count_towards_what_a_ruleset_bears() -> None:
    """Thirty rules of three alternatives are few rules, but ninety matches."""
    body = (
        "three = lambda n: (Compare('x', '<', n + 1.0), Compare('x', '<', n + 2.0), Compare('y', '>', 0.0))\n"
        "rules = [rule(f'r{n}', Any(three(n))) for n in range(30)]\n"
        "assert len(list(chunks(rules))) == 2\n"
        "print(len(Family(rules).ask({'x': -1.0, 'y': 1.0})))"
    )
    assert in_a_process_of_its_own(body) == "30"


def test_rules_are_dealt_out_so_that_no_ruleset_has_more_than_it_bears() -> None:
    source = random.Random(11)
    rules = [rule(f"r{place}", tree(source, 2)) for place in range(200)]
    dealt = list(durable.chunks(rules))
    assert [one for chunk in dealt for one in chunk] == rules
    for chunk in dealt:
        assert len(chunk) <= durable.MOST_RULES
        assert sum(alternatives(one.condition) for one in chunk) <= MOST_ALTERNATIVES


def test_the_ways_a_condition_can_come_true_multiply_under_all_and_add_under_any() -> None:
    pair = Any((below(1), below(2)))
    assert alternatives(below(1)) == alternatives(Known("x")) == 1
    assert alternatives(pair) == 2
    assert alternatives(All((pair, pair, below(3)))) == 4
    assert alternatives(Any((pair, All((pair, pair))))) == 6


def test_a_rule_with_more_ways_than_a_ruleset_bears_is_refused_by_name() -> None:
    pair = Any((below(1), below(2)))
    with pytest.raises(durable.EngineError, match=r"r0.*64 ways.*split the rule"):
        family([All((pair,) * 6)])


def test_a_fact_that_no_rule_takes_is_taken_all_the_same() -> None:
    """Untaken facts corrupt memory; the process must live through thousands and still answer."""
    body = (
        "f = Family([rule('r', Compare('x', '<', 1.0))])\n"
        "for n in range(3000):\n    assert f.ask({'x': 5.0, 'y': float(n)}) == ()\n    assert f.ask({}) == ()\n"
        "print(f.ask({'x': 0.0}))"
    )
    assert in_a_process_of_its_own(body) == "('r',)"


def test_twenty_thousand_questions_leave_memory_as_it_was() -> None:
    body = (
        "import resource\n"
        "def pages():\n    return int(open('/proc/self/statm').read().split()[1]) * resource.getpagesize() / 1e6\n"
        "f = Family([rule(f'r{n}', Compare('x', '<', float(n))) for n in range(8)])\n"
        "one = lambda n: f.ask({'x': n % 9 - 0.5, 'y': n + 0.25, 'w': f'word{n}'})\n"
        "ask = lambda times: [one(n) for n in range(times)] and None\n"
        "ask(2000)\nbefore = pages()\nask(20000)\nprint(pages() - before)"
    )
    if not Path("/proc/self/statm").exists():
        pytest.skip("memory is read from /proc")
    assert float(in_a_process_of_its_own(body)) < 20, "MB"


def test_twenty_thousand_questions_about_the_whole_rule_base_leave_memory_as_it_was() -> None:
    """A million, some minutes long: tests/benchmarks/endurance.py, which this runs."""
    if not Path("/proc/self/statm").exists():
        pytest.skip("memory is read from /proc")
    command = [sys.executable, "-m", "tests.benchmarks.endurance", "20000"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=300, check=False)
    assert done.returncode == 0, f"exit {done.returncode}: {done.stderr[-1000:]}"
    *told, last = done.stdout.splitlines()
    assert len(told) == 10
    assert float(last.removeprefix("last / first: ")) < 1.05


@pytest.mark.parametrize("value", [0.00001, -0.00001, 1e16, 1e300, 0.0001, 123456789.12345])
def test_a_number_that_would_be_written_with_an_exponent_is_understood(value: float) -> None:
    asked, seen = _SIGN, quantise(value)
    wanted = ("r0",) if seen < 0 else ("r1",) if seen == 0 else ("r2",)
    assert asked.ask({"x": seen}) == wanted


def test_what_quantising_guards_against_is_real() -> None:
    """Else quantising would be for nothing; the engine refuses the question and answers the next as before."""
    with pytest.raises(Exception, match=r"30[0-9]|204"):
        _SIGN.ask({"x": 0.00001})
    assert _SIGN.ask({"x": 1.0}) == ("r2",)


def test_a_refused_question_is_told_as_an_error_of_the_adapter() -> None:
    with pytest.raises(durable.EngineError):
        _SIGN.ask({"x": 0.00001})


def test_an_absent_fact_makes_every_comparison_false_in_the_engine_too() -> None:
    asked = family(
        [Compare("x", operator, 1.0) for operator in ("<", "<=", ">", ">=", "=", "!=")]
        + [Known("x"), Known("x", present=False)]
    )
    assert asked.ask({}) == ("r7",)
    assert asked.ask({"y": 1.0}) == ("r7",)
    assert asked.ask({"x": 1.0}) == ("r1", "r3", "r4", "r6")


def test_a_rule_that_only_asks_for_absence_fires_once_and_ends() -> None:
    """The engine also matches its own state message: a rule that this satisfied ran without end."""
    body = (
        "f = Family([rule('r', Known('x', present=False)), rule('s', All((Known('x', False), Known('y', False))))])\n"
        "print(f.ask({}), f.ask({'x': 1.0}), f.ask({'y': 1.0}))"
    )
    assert in_a_process_of_its_own(body) == "('r', 's') () ('r',)"


def test_a_rule_without_any_condition_does_not_hang() -> None:
    """An empty list of tests would keep the engine busy for ever. The loader refuses such a rule all the same."""
    assert evaluator.Family([rule("r", All(()))]).ask({}) == ("r",)
    body = "f = Family([rule('r', All(()))])\nprint(f.ask({}), f.ask({'x': 1.0}))"
    assert in_a_process_of_its_own(body, 5) == "('r',) ('r',)"


def test_the_failure_of_a_consequent_comes_to_light() -> None:
    def fail() -> None:
        raise ValueError("the consequent broke")

    asked = family([below(1), below(2)])
    kept = asked.callbacks["r1"]
    asked.callbacks["r1"] = fail
    with pytest.raises(durable.EngineError, match="the consequent broke"):
        asked.ask({"x": 0.0})
    asked.callbacks["r1"] = kept
    assert asked.ask({"x": 0.0}) == ("r0", "r1"), "and the next question is answered"


def test_what_fires_comes_from_the_callbacks_of_the_engine_alone() -> None:
    asked = family([below(1), below(2)])
    del asked.callbacks["r0"]
    assert asked.ask({"x": 0.0}) == ("r1",)


def test_no_timer_runs_behind_the_answers() -> None:
    before = set(threading.enumerate())
    assert family([below(1)]).ask({"x": 0.0}) == ("r0",)
    assert set(threading.enumerate()) == before
    body = (
        "import threading, time\nf = Family([rule('r', Compare('x', '<', 1.0))]); f.ask({'x': 0.0})\n"
        "time.sleep(0.3)\nprint(threading.active_count())"
    )
    assert in_a_process_of_its_own(body) == "1"


def test_an_answer_does_not_hang_on_the_question_before() -> None:
    asked = _SIGN
    for _ in range(3):
        assert asked.ask({"x": -1.0}) == ("r0",)
        assert asked.ask({"x": -1.0}) == ("r0",)
        assert asked.ask({}) == ()
        assert asked.ask({"x": 1.0}) == ("r2",)


_SIGN = family([Compare("x", "<", 0.0), Compare("x", "=", 0.0), Compare("x", ">", 0.0)])


def nested(pairs: int) -> Condition:
    """Return alternatives of two comparisons each: more than 13 of them nest too deep for the engine."""
    parts = (All((Compare(f"x{place}", ">", 1.0), Compare(f"y{place}", ">", 1.0))) for place in range(pairs))
    return Any(tuple(parts))


@pytest.mark.parametrize("pairs", [13, 14, 30, 60])
def test_a_condition_that_nests_too_deep_for_the_engine_is_taken_apart_and_fires_alike(pairs: int) -> None:
    asked, witness = family([nested(pairs)]), evaluator.Family([rule("r0", nested(pairs))])
    for place in range(pairs):
        facts = {f"x{place}": 2.0, f"y{place}": 2.0}
        assert asked.ask(facts) == witness.ask(facts) == ("r0",)
        assert asked.ask(facts | {f"y{place}": 1.0}) == witness.ask(facts | {f"y{place}": 1.0}) == ()
    every = {f"{name}{place}": 2.0 for name in "xy" for place in range(pairs)}
    assert asked.ask(every) == ("r0",)


def test_the_engine_itself_refuses_a_condition_that_nests_too_deep() -> None:
    """Else nothing would have to be taken apart."""
    parts = ", ".join(f"All((Compare('x{n}', '>', 1.0), Compare('y{n}', '>', 1.0)))" for n in range(14))
    body = (
        f"d.MOST_SEQUENCES = 1000\nfrom advisor.knowledge.conditions import Any\nFamily([rule('r', Any(({parts},)))])"
    )
    done = run(f"import advisor.inference.durable as d\n{body}")
    assert done.returncode != 0
    assert "113" in done.stderr


@given(st.integers(0, 10**6))
def test_the_alternatives_of_a_condition_say_what_the_condition_says(seed: int) -> None:
    source = random.Random(seed)
    whole = tree(source, 3)
    apart = [All(leaves) for leaves in durable.conjunctions(whole)]
    assert len(apart) == alternatives(whole)
    for _ in range(20):
        found = random_facts(source)
        assert holds(whole, found) == any(holds(part, found) for part in apart)
