"""What every obligation is examined with: the rule base, the jobs tried, the solver; and what it finds."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

from advisor.inference import Inference
from advisor.knowledge.conditions import Facts
from advisor.knowledge.schema import Rule, RuleBase
from advisor.proof.evidence import Evidence
from advisor.proof.example_job import Shows, Witness
from advisor.proof.guided import guided_witness
from advisor.proof.jobs import Run, SmallJob, run_files, write_files
from advisor.proof.progress import Work
from advisor.proof.search import about
from advisor.proof.witness import chance_witness, near_witness, witness_beside
from advisor.proof.world import IMPOSSIBLE, REVIEW, UNDECIDED, Answer, World, overrides, together

BESIDE = 3  # jobs of the evidence near which something is looked for


class Finding(NamedTuple):
    """Something wrong with a rule base: which obligation fails for which rules, why, and a job that shows it.

    ``shows`` says what is to be seen when the job is run, ``seen`` tells whether it is; ``confirmed`` whether it was,
    read from its files and advised.
    """

    obligation: str
    names: tuple[str, ...]
    text: str
    job: SmallJob | None
    shows: str
    seen: Shows
    confirmed: bool = False


class Left(NamedTuple):
    """Something neither shown nor found wrong: ``undecided`` by the solver in its time, or possible by the facts while
    none of so many ``tries`` was a job that shows it.
    """

    obligation: str
    names: tuple[str, ...]
    undecided: bool
    tries: int = 0


@dataclass
class Tally:
    """One obligation: how much was to be shown, by what it was, and in how many seconds.

    ``shown`` are the rules of which the solver showed it.
    """

    obligation: str
    asked: int = 0
    plain: int = 0
    by_job: int = 0
    queries: int = 0
    shown: list[tuple[str, ...]] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    left: list[Left] = field(default_factory=list)
    seconds: float = 0.0

    @property
    def title(self) -> str:
        """The obligation in words."""
        return TITLES[self.obligation]

    @property
    def by_solver(self) -> int:
        """How much of it the solver showed."""
        return len(self.shown)

    @property
    def proved(self) -> int:
        """How much of it is shown."""
        return self.plain + self.by_job + self.by_solver


@dataclass(frozen=True)
class Court:
    """All that an obligation is examined with. Only what ``concerns`` it is examined of house rules."""

    base: RuleBase
    world: World
    inference: Inference
    evidence: Evidence
    concerns: Callable[[Rule], bool]
    seed: int
    tried: dict[Hashable, int] = field(default_factory=dict)
    work: Work = field(default_factory=Work)

    def ask(self, tally: Tally, firing: Sequence[Rule], silent: Sequence[Rule] = (), in_turn: bool = True) -> Answer:
        """The solver's answer, counted."""
        answer = together(self.world, firing, silent, in_turn)
        tally.queries += 1
        return answer

    def seek(self, facts: Facts, rules: Sequence[Rule], shows: Shows, *, unseen: bool = False) -> Witness:
        """A job that shows something, near these facts or about these rules; what was tried is kept as evidence.

        Where it is ``unseen`` in the evidence, jobs by chance are not tried again that all were tried before.
        """

        def heard(found: Run) -> bool:
            self.work.tick()
            self.evidence.add(found)
            return shows(found)

        close = near_witness(facts, rules, heard, self.inference, self.seed)
        if close.job is not None:
            return close
        guided = guided_witness(rules, heard, self.inference, self.seed) if rules else Witness(None, 0)
        tries = close.tries + guided.tries
        if guided.job is not None:
            return Witness(guided.job, tries)
        known = [job for rule in rules[:1] for job in self.evidence.some(rule, BESIDE)]
        for planned in (True,) if any(rule.stage == REVIEW for rule in rules) else (False, True):
            key = planned, about(rules)
            if unseen and key in self.tried:
                tries += self.tried[key]
                continue
            far = chance_witness(rules, planned, heard, self.inference, self.seed)
            tries += far.tries
            if far.job is not None:
                return Witness(far.job, tries)
            self.tried[key] = far.tries
        beside = witness_beside(known, rules, heard, self.inference, self.seed)
        return Witness(beside.job, tries + beside.tries)

    def pairs(self, wanted: Callable[[Rule, Rule], bool]) -> Iterator[tuple[Rule, Rule]]:
        """The ordered pairs of rules that are wanted, and of concern."""
        return pairs(self.base, self.concerns, wanted)


def pairs(
    base: RuleBase, concerns: Callable[[Rule], bool], wanted: Callable[[Rule, Rule], bool]
) -> Iterator[tuple[Rule, Rule]]:
    """The ordered pairs of rules that are wanted, and of concern."""
    bearing = {rule.id for rule in base.rules if concerns(rule)}
    for one in base.rules:
        for other in base.rules:
            if one is not other and wanted(one, other) and (one.id in bearing or other.id in bearing):
                yield one, other


def declared(one: Rule, other: Rule) -> bool:
    """Whether one of two rules is declared to take precedence over the other."""
    return overrides(one, other) or overrides(other, one)


def settled(tally: Tally, answer: Answer, names: tuple[str, ...]) -> bool:
    """Whether the solver showed that something cannot be, which is then noted of these rules."""
    if answer.can_be == IMPOSSIBLE:
        tally.shown.append(names)
        return True
    return False


def left_open(tally: Tally, answer: Answer, names: tuple[str, ...], tries: int) -> None:
    """Note that something was neither shown nor seen."""
    tally.left.append(Left(tally.obligation, names, answer.can_be == UNDECIDED, tries))


TITLES = {
    "fires": "every rule can fire",
    "apart": "no way is good and forbidden",
    "needed": "no rule only repeats another",
    "one_value": "one value for each fact",
    "circle": "no rule rests on itself",
    "order": "thresholds are in order",
}


def confirmed(found: Finding, inference: Inference) -> Finding:
    """A finding, with whether its job, written and read again, shows it."""
    if found.job is None:
        return found
    with TemporaryDirectory() as folder:
        write_files(found.job, Path(folder))
        return found._replace(confirmed=found.seen(run_files(Path(folder), inference)))
