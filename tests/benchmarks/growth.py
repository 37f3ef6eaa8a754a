"""How the time of advice grows: ``python -m tests.benchmarks.growth``.

With the features of a job (1 to 64, none like another), with the cutters of the crib (20 to 2,000, none like another)
and with the rules (once to eight times as many, the copies with shifted thresholds). ``first`` is with a new inference:
rulesets are built and nothing is remembered. ``evidence`` is what ``why`` asks of four features, with what would change
the answer. Times are those of the processor, taken in turns, so that a busy computer slows all alike. As in the
command, no garbage is collected within a question.
"""

from __future__ import annotations

import gc
import random
import statistics
import time
from collections.abc import Sequence
from dataclasses import replace

from advisor.analysis.upgrades import with_changes
from advisor.choosing.advice import advise_feature
from advisor.inference import start
from advisor.knowledge.conditions import All, Any, Compare, Condition, quantise
from advisor.knowledge.schema import RuleBase
from advisor.knowledge.shipped import rule_base
from advisor.model.assignment import Assignment
from advisor.model.cutter import Cutter
from advisor.model.features import FeatureBase
from advisor.situation.bench import Bench, bench_of
from tests.benchmarks.advice import TWELVE, assignment, feature

PASSES = 5
FEATURES, CUTTERS, RULES = (1, 2, 4, 8, 16, 32, 64), (20, 40, 200, 2000), (1, 2, 4, 8)
LENGTHS = ("DC", "APMX", "LU", "LPR", "DN", "DCONMS", "RE", "dead_centre")


def crib(size: int, like: Sequence[Cutter]) -> tuple[Cutter, ...]:
    """Return so many cutters, each like one of a crib but a little wider or narrower, and longer or shorter."""
    source, found = random.Random(3), []
    for number in range(size):
        cutter = like[number % len(like)]
        times, longer = source.uniform(0.9, 1.1), source.uniform(1.0, 1.3)
        changed = {name: value * times for name in LENGTHS if (value := getattr(cutter, name)) is not None}
        reach = cutter.LU * times * longer
        changed |= {"id": f"{cutter.id}-{number}", "LU": reach, "LPR": reach + (cutter.LPR - cutter.LU) * times}
        found.append(cutter.model_copy(update=changed))
    return tuple(found)


def shifted(condition: Condition, times: float) -> Condition:
    """Return the condition with every number it compares with a little greater."""
    if isinstance(condition, Compare) and not isinstance(condition.value, str):
        return replace(condition, value=quantise(condition.value * times))
    if isinstance(condition, All | Any):
        return type(condition)(tuple(shifted(part, times) for part in condition.parts))
    return condition


def many(base: RuleBase, times: int) -> RuleBase:
    """Return a rule base so many times as large; the copies are asked but decide nothing, so the answers stay."""
    copies = [
        rule._replace(
            id=f"{rule.id}-{number}",
            condition=shifted(rule.condition, 1 + 0.01 * number),
            verdict="cautions",
            concludes=None,
            overrides=(),
            outright=False,
        )
        for number in range(1, times)
        for rule in base.rules
    ]
    rules = (*base.rules, *copies)
    return replace(base, rules=rules, by_id={rule.id: rule for rule in rules})


def features(count: int) -> list[FeatureBase]:
    """Return so many features, none with the numbers of another."""
    return [
        feature(TWELVE[number % len(TWELVE)], number, 0.7 + 0.6 * (number * 0.6180339887 % 1))
        for number in range(count)
    ]


class Asked:
    """One kind of question: what is asked, and the times it took at first and later [s a feature]."""

    def __init__(
        self, label: str, parts: Sequence[FeatureBase], cutters: Sequence[Cutter], bench: Bench, evidence: bool = False
    ) -> None:
        self.label, self.parts, self.cutters, self.bench, self.evidence = label, parts, cutters, bench, evidence
        self.first = self.once()
        self.later: list[float] = []

    def once(self) -> float:
        """Return the time of the processor for a feature [s]."""
        gc.collect()
        gc.disable()
        begun = time.process_time()
        for part in self.parts:
            answer = advise_feature(part, self.cutters, self.bench, whole=self.evidence)
            if self.evidence:
                with_changes(answer, part, self.cutters, self.bench)
        spent = time.process_time() - begun
        gc.enable()
        return spent / len(self.parts)


def measured(title: str, found: Sequence[Asked], beside: Asked, of_all: bool = False, passes: int = PASSES) -> None:
    """Ask all in turns, and print what each costs: a feature, or with ``of_all`` the whole job."""
    for _ in range(passes):
        for asked in found:
            asked.later.append(asked.once())
    base = statistics.median(beside.later) * (len(beside.parts) if of_all else 1)
    cold = beside.first * (len(beside.parts) if of_all else 1)
    print(f"\n{title:24} first ms   later ms    beside {beside.label}: first  later")
    for asked in found:
        times = len(asked.parts) if of_all else 1
        first, later = asked.first * times, statistics.median(asked.later) * times
        print(
            f"{asked.label:24} {1000 * first:8.1f} {1000 * later:10.1f} {first / cold:{len(beside.label) + 17}.2f}",
            end="",
        )
        print(f" {later / base:6.2f}")


def main() -> None:
    """Run all of it and print."""
    shop: Assignment = assignment()
    base = rule_base()

    def bench(rules: RuleBase) -> Bench:
        return bench_of(shop, start(rules))

    twelve = features(12)
    Asked("warm", twelve, shop.crib, bench(base))
    jobs = [Asked(f"{count} features", features(count), shop.crib, bench(base)) for count in FEATURES]
    measured("a job", jobs, jobs[0], of_all=True)
    cribs = [Asked(f"{size} cutters", twelve, crib(size, shop.crib), bench(base)) for size in CUTTERS]
    measured("a question", cribs, cribs[1])
    four = twelve[1::3]
    cribs = [Asked(f"{size} cutters", four, crib(size, shop.crib), bench(base), evidence=True) for size in CUTTERS]
    measured("evidence", cribs, cribs[1], passes=2)
    bases = [Asked(f"{len(base.rules) * times} rules", twelve, shop.crib, bench(many(base, times))) for times in RULES]
    measured("a question", bases, bases[0])


if __name__ == "__main__":
    main()
