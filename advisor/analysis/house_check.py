"""House rules checked: what they change in the rule base, and what that changes in the worked cases, or in jobs of
the shop's own, rule by rule.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from advisor.analysis.house_effect import Compared, compared
from advisor.analysis.house_trial import AdvisedJob, ChangeTrial, trials
from advisor.choosing.job_advice import Advice
from advisor.files.problems import Problem
from advisor.knowledge.house_checks import warnings
from advisor.knowledge.schema import RuleBase
from advisor.model.assignment import Assignment
from advisor.situation.bench import inference_of, shared_inference, without_each_change


class Checked(NamedTuple):
    """House rules with what they change. ``faults`` are cases or jobs that cannot be worked out with them; ``trials``
    are what each change does in jobs of the shop's own, where these were asked for.
    """

    folder: Path
    base: RuleBase
    warnings: tuple[Problem, ...]
    faults: tuple[Problem, ...]
    features: tuple[Compared, ...]
    trials: tuple[ChangeTrial, ...] | None = None

    @property
    def where(self) -> str:
        """What they were run on."""
        return "case" if self.trials is None else "job"

    @property
    def changed(self) -> tuple[Compared, ...]:
        """The features whose answer is another."""
        return tuple(found for found in self.features if found.changes)


def checked_house(folder: Path, jobs: Sequence[tuple[str, Assignment]] | None = None) -> Checked:
    """The house rules of a folder, run beside the shipped rules on every worked case, or on jobs under their names.

    Raises:
        BadInput: the house rules are not as they must be.
    """
    own, tried = inference_of(folder), list[AdvisedJob]()
    shipped, word = shared_inference(), "case" if jobs is None else "job"

    def keep(name: str, advice: Advice) -> None:
        if jobs is not None:
            tried.append(AdvisedJob(name, advice))

    every = tuple(compared(shipped, own, jobs, keep))
    faults = tuple(
        Problem(str(folder), None, "", f"{word} {found.case} that cannot be worked out ({found.fault})", "other values")
        for found in every
        if found.fault
    )
    features = tuple(found for found in every if not found.fault)
    found = None if jobs is None else tuple(trials(tried, own.base, without_each_change(folder)))
    return Checked(folder, own.base, warnings(shipped.base, own.base), faults, features, found)
