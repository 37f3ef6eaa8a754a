"""The register of measures: every fact that a rule may read or conclude, as ``rules/measures.yaml`` declares it.

A measure says at which level it is known (feature, cutter, method with a cutter, candidate), since which stage, in
what unit and range, and by what formula, so that a rule can be checked before it is ever asked and a number can be
worked out again by hand.
"""

from __future__ import annotations

from typing import NamedTuple

from advisor.files.unit_scales import in_prose

LEVELS = ("feature", "cutter", "method", "candidate")
EARLY = ("appraisal", "settings")  # the stages whose rules say what things are like, and how far one may go
JUDGING = ("clearing", "cutter", "entry")  # those whose rules speak for and against ways
STAGES = (*EARLY, *JUDGING, "caution", "review")
MEANING_FIGURES = 3  # of a length in what a measure or a threshold is


class Measure(NamedTuple):
    """One registered fact.

    ``words`` lists the values of a fact of words; a numeric fact has ``range`` instead, and one that is ``named`` any
    name that the shop gives, such as the id of a cutter. ``formulas`` are expressions
    over other measures and thresholds, each with the circumstance it holds for (``formulas.circumstances``; empty: for
    all others). ``needs``
    names optional inputs without which the measure is absent. ``concluded`` measures come from rules alone.
    ``typed`` says of one that is typed into a machine which way it is rounded when shown: ``down`` or ``up``.
    """

    name: str
    what: str
    level: str
    since: str = "appraisal"
    unit: str = ""
    range: tuple[float, float] | None = None
    words: tuple[str, ...] = ()
    formulas: tuple[tuple[str, str], ...] = ()
    needs: tuple[str, ...] = ()
    not_given: str = ""
    concluded: bool = False
    typed: str | None = None
    named: bool = False

    def formula(self, *circumstances: str) -> str:
        """The formula that holds under these methods, entries or bodies; empty if there is none."""
        known = dict(self.formulas)
        return next((known[key] for key in (*circumstances, "") if key in known), "")

    @property
    def meaning(self) -> str:
        """What it is, in the units that are shown."""
        return in_prose(self.what, MEANING_FIGURES)

    @property
    def numeric(self) -> bool:
        """Whether the fact is a number rather than a word."""
        return not self.words and not self.named

    def can_be(self, value: object) -> bool:
        """Whether a fact of words can have a value."""
        return isinstance(value, str) and (bool(value) if self.named else value in self.words)


def later_level(first: str, second: str) -> str:
    """The more particular of two levels."""
    return max(first, second, key=LEVELS.index)
