"""What is to be shown of a rule base, one obligation after the other, and what was found in it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from time import monotonic
from typing import NamedTuple

from advisor.inference import Inference, start
from advisor.knowledge.conditions import Compare, leaves
from advisor.knowledge.origin import of_house
from advisor.knowledge.satisfiability import ANOTHER
from advisor.knowledge.schema import Rule, RuleBase
from advisor.proof import obligations
from advisor.proof.context import TITLES, Court, Finding, Left, Tally, confirmed
from advisor.proof.evidence import JOBS, evidence, most_jobs
from advisor.proof.progress import Part, Work
from advisor.proof.world import world_of

TIMEOUT = 2.0


class Proof(NamedTuple):
    """What was shown of a rule base, and what was found."""

    tallies: tuple[Tally, ...]
    jobs: int
    seconds: float

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Everything that is wrong."""
        return tuple(found for tally in self.tallies for found in tally.findings)

    @property
    def left(self) -> tuple[Left, ...]:
        """Everything that is neither shown nor wrong."""
        return tuple(one for tally in self.tallies for one in tally.left)


def with_names(base: RuleBase) -> RuleBase:
    """The rule base with facts of words in place of names: those that its rules ask for, and one other."""
    measures = dict(base.measures)
    for name, measure in base.measures.items():
        if measure.named:
            asked = dict.fromkeys(
                str(leaf.value)
                for rule in base.rules
                for leaf in leaves(rule.condition)
                if isinstance(leaf, Compare) and leaf.fact == name
            )
            measures[name] = measure._replace(words=(*asked, ANOTHER), named=False)
    return replace(base, measures=measures)


def prove(
    base: RuleBase,
    *,
    house: bool = False,
    timeout: float = TIMEOUT,
    jobs: int = JOBS,
    seed: int = 1,
    real: Inference | None = None,
    tell: Callable[[Work], None] = lambda _: None,
) -> Proof:
    """What can be shown of a rule base, in so many jobs and with so many seconds for each question to the solver.

    Jobs are made and tried with the evaluator; the job of a finding is run once more from its files, with the ``real``
    inference where one is given. With ``house``, only what the shop's own changes bear on is examined. ``tell`` is told
    now and then how far it is.
    """
    begun = monotonic()
    base = with_names(base)
    inference = start(base, "evaluator")
    concerns: Callable[[Rule], bool] = (lambda rule: of_house(rule, base)) if house else (lambda _: True)
    concerned = tuple(filter(concerns, base.rules))
    jobs = jobs if concerned else 0
    work = Work(tell, {"jobs": Part("jobs by chance", most_jobs(concerned, jobs))})
    work.parts |= {name: Part(TITLES[name], many) for name, many in obligations.to_show(base, concerns).items()}
    work.begin("jobs")
    found = evidence(inference, seed, jobs, concerned, work, house)
    court = Court(base, world_of(base, timeout), inference, found, concerns, seed, work=work)
    tallies = []
    for name, examine in obligations.EXAMINED.items():
        tally, since = Tally(name), monotonic()
        work.begin(name)
        examine(court, tally)
        tally.findings = [confirmed(found, real or inference) for found in tally.findings]
        tally.seconds = monotonic() - since
        tallies.append(tally)
    return Proof(tuple(tallies), court.evidence.jobs, monotonic() - begun)
