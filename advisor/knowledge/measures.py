"""The register of measures: every fact that a rule may read or conclude, as ``rules/measures.yaml`` declares it.

A measure says at which level it is known (feature, cutter, method with a cutter, candidate), since which stage, in
what unit and range, and by what formula, so that a rule can be checked before it is ever asked and a number can be
worked out again by hand.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

LEVELS = ("feature", "cutter", "method", "candidate")
STAGES = ("appraisal", "settings", "clearing", "cutter", "entry", "caution", "review")


class Measure(NamedTuple):
    """One registered fact.

    ``words`` lists the values of a fact of words; a numeric fact has ``range`` instead. ``formulas`` are expressions
    over other measures and thresholds, each with the method, entry or body it holds for (empty: for all). ``needs``
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

    def formula(self, *circumstances: str) -> str:
        """The formula that holds under these methods, entries or bodies; empty if there is none."""
        known = dict(self.formulas)
        return next((known[key] for key in (*circumstances, "") if key in known), "")

    @property
    def numeric(self) -> bool:
        """Whether the fact is a number rather than a word."""
        return not self.words


def later_level(first: str, second: str) -> str:
    """The more particular of two levels."""
    return max(first, second, key=LEVELS.index)


def read_measure(name: str, entry: Mapping[str, object]) -> Measure:
    """A measure from its entry in the register.

    Raises:
        ValueError: a field is missing or not one of the known words; the message says which.
    """
    known = {"what", "level", "since", "unit", "range", "words", "formula", "needs", "not_given", "concluded"}
    if strange := sorted(set(entry) - known):
        raise ValueError(f"{', '.join(strange)}; wanted only {', '.join(sorted(known))}")
    level, since = str(entry.get("level", "")), str(entry.get("since", "appraisal"))
    if level not in LEVELS or since not in STAGES:
        raise ValueError(f"level {level!r}, since {since!r}; wanted a level of {LEVELS} and a stage of {STAGES}")
    span, words = entry.get("range"), entry.get("words")
    if (span is None) == (words is None):
        raise ValueError("range and words; wanted one of the two: a [least, most] range, or a list of words")
    formula = entry.get("formula", {})
    if isinstance(formula, str):
        formula = {"": formula}
    if not isinstance(formula, dict):
        raise ValueError("formula; wanted an expression, or a mapping from method, entry or body to one")
    if not entry.get("what"):
        raise ValueError("nothing under 'what'; wanted a sentence")
    return Measure(
        name=name,
        what=str(entry["what"]),
        level=level,
        since=since,
        unit=str(entry.get("unit", "")),
        range=(float(span[0]), float(span[1])) if isinstance(span, list) else None,
        words=tuple(str(word) for word in words) if isinstance(words, list) else (),
        formulas=tuple((str(key), str(text)) for key, text in formula.items()),
        needs=tuple(str(need) for need in entry.get("needs", [])),  # type: ignore[attr-defined]
        not_given=str(entry.get("not_given", "")),
        concluded=bool(entry.get("concluded", False)),
    )
