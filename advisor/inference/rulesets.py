"""The rulesets that durable-rules holds for this process: one for each content, a bounded number between two jobs.

The engine keeps a ruleset in C until it is told to delete it; nothing else frees its 0.2 to 0.4 MB. Families whose
rules ask the same share one ruleset, whatever house or path they were read from. What was freed is built again when it
is next asked, so freeing changes no answer.

The engine takes one question at a time: whoever builds, asks or frees holds the lock of ``one_question``, so families
may be asked from any number of threads.
"""

from __future__ import annotations

import signal
from collections import OrderedDict
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from threading import RLock
from typing import Any as Anything
from weakref import WeakValueDictionary

import durable_rules_engine
from durable import engine

from advisor.knowledge.conditions import Condition, Facts

Rules = tuple[tuple[str, Condition], ...]  # ids and conditions
NAME = "family"  # of every ruleset: each has a host of its own
ASKED = {"asked": "q"}
MOST_IDLE = 128  # rulesets that are kept between two jobs; the shipped rules alone have about half as many


class EngineError(RuntimeError):
    """The engine reported an error of its own; never advice."""


@contextmanager
def interrupts_wait() -> Iterator[None]:
    """An interrupt comes through only afterwards: the engine takes it for a fault of a rule, and may go on without."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, ())
    try:
        signal.pthread_sigmask(signal.SIG_BLOCK, (signal.SIGINT, signal.SIGTERM))
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


_lock = RLock()


@contextmanager
def one_question() -> Iterator[None]:
    """Nobody else asks the engine meanwhile, and interrupts come through only afterwards."""
    with interrupts_wait(), _lock:
        yield


class _QuietHost(engine.Host):  # type: ignore[misc]
    """A host without the two timer threads that a stock one starts."""

    def _run(self) -> None:
        return


@dataclass(eq=False)
class Content:
    """What one ruleset asks; there is one object for each, so that comparing is cheap.

    ``tests`` gives the engine's test of each of its rules, by the rule's id and a number.
    """

    tests: Callable[[], Mapping[tuple[str, int], Anything]]

    @classmethod
    def of(cls, rules: Rules, tests: Callable[[Rules], Mapping[tuple[str, int], Anything]]) -> Content:
        """The content of some rules, which is known by their ids and conditions alone."""
        found = _contents.get(rules)
        if found is None:
            found = _contents[rules] = cls(partial(tests, rules))
        return found


_contents: WeakValueDictionary[Rules, Content] = WeakValueDictionary()  # of families and rulesets that are there


class Ruleset:
    """A ruleset in the engine. ``fire`` is told the id of each rule that fires."""

    def __init__(self, content: Content) -> None:
        self.fire: Callable[[str], None] = lambda rule_id: None
        self.host = _QuietHost()
        definition: dict[str, Anything] = {"taken": {"all": [{"m": dict(ASKED)}], "run": lambda closure: None}}
        for (rule_id, place), test in content.tests().items():
            definition[f"{rule_id}/{place}"] = {"all": [{"m": test}], "run": self._consequent(rule_id)}
        self.host.register_rulesets({NAME: definition})

    def _consequent(self, rule_id: str) -> Callable[[Anything], None]:
        return lambda closure: self.fire(rule_id)

    def ask(self, facts: Facts) -> Anything:
        """The state of the engine after it was asked; nothing of the question stays."""
        state = self.host.assert_fact(NAME, {"sid": "q", "id": "q", **ASKED, **facts})
        self.host.delete_state(NAME, "q")
        return state

    def free(self) -> None:
        """Give its memory back; it cannot be asked any more."""
        ruleset = self.host._ruleset_directory.pop(NAME)
        self.host._ruleset_list.clear()
        durable_rules_engine.delete_ruleset(ruleset._handle)


_alive: OrderedDict[Content, Ruleset] = OrderedDict()  # the one asked last at the end


def alive() -> int:
    """How many rulesets the engine holds for this process."""
    return len(_alive)


def prepare(content: Content) -> None:
    """Have the ruleset of a content built, unless it is there."""
    with one_question():
        _built(content)


def ask(content: Content, facts: Facts, fire: Callable[[str], None]) -> None:
    """Ask the ruleset of a content; ``fire`` is told the id of each rule that fires. The caller holds ``one_question``.

    Raises:
        EngineError: a consequent failed, or the engine refused the fact.
    """
    ruleset = _built(content)
    ruleset.fire = fire
    try:
        state = ruleset.ask(facts)
    except Exception as error:
        # To delete the state of a refused question may free what was never set: the ruleset goes, and is built anew.
        _alive.pop(content).free()
        raise EngineError(f"durable-rules: {type(error).__name__}: {error}") from error
    if isinstance(state, Mapping) and state.get("exception"):
        raise EngineError(f"durable-rules: {state['exception']}")


def _built(content: Content) -> Ruleset:
    ruleset = _alive.get(content)
    if ruleset is None:
        ruleset = _alive[content] = Ruleset(content)
    else:
        _alive.move_to_end(content)
    return ruleset


def free_idle(most: int | None = None) -> None:
    """Free the rulesets that were not asked for the longest time, until ``most`` are left, else ``MOST_IDLE``.

    Meant for between two jobs: within one, nothing that it may ask again is freed, however many rulesets it has.
    """
    with one_question():
        while len(_alive) > (MOST_IDLE if most is None else most):
            _alive.popitem(last=False)[1].free()
