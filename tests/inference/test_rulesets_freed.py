"""The engine holds one ruleset for each content, frees what is idle, and answers as before."""

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from advisor.knowledge.conditions import Compare, Known
from tests.inference.random_rules import rule

durable = pytest.importorskip("advisor.inference.durable")
rulesets = pytest.importorskip("advisor.inference.rulesets")

ROOT = Path(__file__).parents[2]


@pytest.fixture(autouse=True)
def none_before() -> Iterator[None]:
    rulesets.free_idle(0)
    yield
    rulesets.free_idle(0)


class Held:
    """Counts what the engine itself is told to make and to delete."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.made: set[int] = set()
        of_engine = rulesets.durable_rules_engine
        create, delete = of_engine.create_ruleset, of_engine.delete_ruleset

        def made(name: str, definition: str) -> int:
            self.made.add(handle := create(name, definition))
            return int(handle)

        def deleted(handle: int) -> None:
            delete(handle)
            self.made.remove(handle)

        monkeypatch.setattr(of_engine, "create_ruleset", made)
        monkeypatch.setattr(of_engine, "delete_ruleset", deleted)


@pytest.fixture
def held(monkeypatch: pytest.MonkeyPatch) -> Held:
    return Held(monkeypatch)


def family(limit: float, count: int = 1) -> durable.Family:
    return durable.Family([rule(f"r{place}", Compare("x", "<", limit + place)) for place in range(count)])


def test_families_that_ask_the_same_share_their_rulesets(held: Held) -> None:
    one, other = family(1.0, 40), family(1.0, 40)
    assert len(held.made) == rulesets.alive() == 2, "40 rules are two rulesets"
    assert one.ask({"x": 39.5}) == other.ask({"x": 39.5}) == ("r39",)
    third = family(1.5, 40)
    assert len(held.made) == 4
    assert (one.ask({"x": 40.2}), third.ask({"x": 40.2})) == ((), ("r39",))


def test_what_fires_is_told_to_the_family_that_asks() -> None:
    one, other = family(1.0), family(1.0)
    del one.callbacks["r0"]
    assert (one.ask({"x": 0.0}), other.ask({"x": 0.0})) == ((), ("r0",))


def test_other_ids_are_other_rulesets(held: Held) -> None:
    named = durable.Family([rule("other", Compare("x", "<", 1.0))])
    assert (family(1.0).ask({"x": 0.0}), named.ask({"x": 0.0})) == (("r0",), ("other",))
    assert len(held.made) == 2


def test_of_many_families_a_bounded_number_of_rulesets_is_kept(held: Held) -> None:
    for number in range(500):
        assert family(float(number)).ask({"x": number - 0.5}) == ("r0",)
        rulesets.free_idle(16)
        assert len(held.made) == rulesets.alive() <= 16


def test_the_rulesets_asked_last_are_those_that_are_kept(held: Held) -> None:
    first, *_ = families = [family(float(number)) for number in range(5)]
    first.ask({})
    before = set(held.made)
    rulesets.free_idle(2)
    assert held.made == {min(before), max(before)}
    assert [one.ask({"x": 3.5}) for one in families] == [(), (), (), (), ("r0",)]


def test_a_family_whose_rulesets_were_freed_answers_as_before() -> None:
    asked = durable.Family([*(rule(f"r{n}", Compare("x", "<", float(n))) for n in range(70)), rule("k", Known("y"))])
    questions = [{"x": n / 4, **({"y": 1.0} if n % 3 else {})} for n in range(280)]
    before = [asked.ask(facts) for facts in questions]
    again = []
    for number, facts in enumerate(questions):
        rulesets.free_idle(number % 3)
        again.append(asked.ask(facts))
    assert again == before


def test_a_refused_question_costs_its_ruleset_and_no_other(held: Held) -> None:
    one, other = family(1.0), family(2.0)
    for _ in range(50):
        with pytest.raises(durable.EngineError):
            one.ask({"x": 0.00001})  # written with an exponent
        assert len(held.made) == rulesets.alive() == 1
        assert (one.ask({"x": 0.5}), other.ask({"x": 1.5})) == (("r0",), ("r0",))


def test_a_hundred_and_forty_thousand_rulesets_are_more_than_the_engine_has_numbers_for(held: Held) -> None:
    """It has 131 071 numbers for rulesets, and gives out those of freed ones again."""
    of_engine = rulesets.durable_rules_engine
    tests = '{"r": {"all": [{"m": {"x": "q"}}]}}'
    for _ in range(140_000):
        of_engine.delete_ruleset(of_engine.create_ruleset("family", tests))
    assert not held.made
    assert family(1.0).ask({"x": 0.5}) == ("r0",)


def test_two_thousand_rulesets_that_are_freed_leave_memory_as_it_was() -> None:
    if not Path("/proc/self/statm").exists():
        pytest.skip("memory is read from /proc")
    body = """
import resource
from advisor.inference import rulesets
from advisor.inference.durable import Family
from advisor.knowledge.conditions import Compare
from tests.inference.random_rules import rule
def ask(first, last):
    for number in range(first, last):
        family = Family([rule(f"r{place}", Compare("x", "<", number + place / 100)) for place in range(20)])
        assert len(family.ask({"x": number - 1.0})) == 20
        rulesets.free_idle(8)
    return int(open("/proc/self/statm").read().split()[1]) * resource.getpagesize() / 1e6
print(-ask(0, 200) + ask(200, 2200))
"""
    done = subprocess.run(
        [sys.executable, "-c", body], cwd=ROOT, capture_output=True, text=True, timeout=300, check=False
    )
    assert done.returncode == 0, done.stderr[-1000:]
    assert float(done.stdout) < 20, "MB; 490 where they are not freed"
