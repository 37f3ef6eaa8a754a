"""Tests as they are, run over a mutant in a child process: for what the quicker checks leave."""

import os
import signal
import sys
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from advisor.inference import start
from advisor.knowledge import shipped
from advisor.knowledge.schema import RuleBase
from advisor.situation import bench
from tests.mutation.mutants import Mutant

if TYPE_CHECKING:
    from advisor.proof.world import World

TESTS = Path(__file__).parents[1]
OF_ADVICE = (
    "methods/test_numbers_of_the_trade.py",
    "text/test_numbers_told.py",
    "choosing/test_rules_decide.py",
    "methods/test_drilled_first.py",
    "methods/test_drilled_holes.py",
    "methods/test_small_cutters.py",
    "choosing/test_ranking.py",
    "choosing/test_rest.py",
    "text/test_cautions_that_apply.py",
    "outside/test_facts_of_the_trade.py",
)
OF_REVIEW = (
    "review/test_numbers_of_plans.py",
    "review/test_findings.py",
    "review/test_weights.py",
    "review/test_shorter_cutter.py",
    "review/test_order.py",
    "review/test_hole_for_the_way_in.py",
    "review/test_getting_in.py",
    "review/test_full_width.py",
    "review/test_drilled_through.py",
    "review/test_drills_with_inserts.py",
    "review/test_thin.py",
    "review/test_thin_levels.py",
    "review/test_begun.py",
    "review/test_fair.py",
)
LONGEST = 300  # seconds of the processor after which the tests count as failed


class Likely:
    """Puts the tests first that a mutant is likely to fail: those named by its rule, then those whose files name it."""

    def __init__(self, mutant: Mutant) -> None:
        self.name = mutant.id.partition(" | ")[0]

    @pytest.hookimpl(trylast=True)
    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Sort the tests; those that are as likely stay in their order."""
        files = {item.path: self.name in item.path.read_text(encoding="utf-8") for item in items}
        items.sort(key=lambda item: (self.name not in item.nodeid, not files[item.path]))


def by_suite(mutant: Mutant, base: RuleBase) -> bool:
    """Return whether one of the tests fails, or does not end, where the shipped rule base is the mutant."""
    if " | outright | " in mutant.id:
        return by_proof(mutant, base)
    child = os.fork()
    if child == 0:
        os._exit(_run(mutant, base))
    _, status = os.waitpid(child, 0)
    return status != 0


def by_proof(mutant: Mutant, base: RuleBase) -> bool:
    """Return whether a way may be spoken for that a changed rule forbids: the proof of our own rules then fails.

    No one job shows it, since what is forbidden so is not worked out any further.
    """
    from advisor.proof.prove import TIMEOUT
    from advisor.proof.world import IMPOSSIBLE, together, world_of

    world = world_of(mutant.base(base), TIMEOUT)
    return any(
        together(world, [good, rule], in_turn=False).can_be != IMPOSSIBLE
        for rule in mutant.rules.values()
        if rule is not None
        for good in base.rules
        if good.verdict == "for"
    )


OVERRIDES = "overrides "


def cannot_matter(mutant: Mutant, base: RuleBase) -> bool:
    """Return whether the solver shows that nothing can notice the mutant: an override is gone, and wherever both rules
    fire, another rule takes precedence over the same one.
    """
    from advisor.proof.world import IMPOSSIBLE, overrides, together

    name, what, *_ = mutant.id.split(" | ")
    if not what.startswith(OVERRIDES):
        return False
    rule, other = base.by_id[name], base.by_id[what.removeprefix(OVERRIDES)]
    others = [one for one in base.rules if one.id != rule.id and overrides(one, other)]
    return together(_world(base), [rule, other], others, in_turn=False).can_be == IMPOSSIBLE


@cache
def _world(base: RuleBase) -> "World":
    """Return the world of the rule base as it is, the same for every mutant."""
    from advisor.proof.prove import TIMEOUT
    from advisor.proof.world import world_of

    return world_of(base, TIMEOUT)


def tests_for(mutant: Mutant) -> tuple[str, ...]:
    """Return the tests that may notice a mutant."""
    return OF_REVIEW if mutant.of_review else (*OF_ADVICE, *OF_REVIEW, "review/test_shipped_plans.py")


def _run(mutant: Mutant, base: RuleBase) -> int:
    """Run the tests in this process, which is then of no other use; the exit code."""
    signal.signal(signal.SIGPROF, signal.SIG_DFL)
    signal.setitimer(signal.ITIMER_PROF, LONGEST)
    silence = os.open(os.devnull, os.O_WRONLY)
    os.dup2(silence, sys.stdout.fileno())
    os.dup2(silence, sys.stderr.fileno())
    put_in_place(mutant.as_shipped(base))
    files = [str(TESTS / name) for name in tests_for(mutant)]
    here = ["-o", "addopts=--import-mode=importlib"]  # in this very process, which is the one that knows the mutant
    words = [*here, "-x", "-q", "-p", "no:cacheprovider", f"--rootdir={TESTS.parent}", *files]
    return int(pytest.main(words, plugins=[Likely(mutant)]))


def put_in_place(base: RuleBase) -> None:
    """Let everything in this process take another rule base for the shipped one, and ask it by the evaluator.

    What tests keep of the shipped one goes: their modules are imported anew.
    """
    original = shipped.rule_base
    for module in list(sys.modules.values()):
        if getattr(module, "rule_base", None) is original:
            module.rule_base = lambda: base
    bench.start = lambda asked, engine=None: start(asked, "evaluator")
    bench.shared_inference.cache_clear()
    for name in [name for name in sys.modules if name.startswith("tests.")]:
        del sys.modules[name]
