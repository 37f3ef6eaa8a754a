"""The answer for a whole job."""

from __future__ import annotations

from typing import NamedTuple

from advisor.model.answer import Failed, FeatureAdvice
from advisor.model.assignment import Assignment
from advisor.situation.bench import Bench


class Advice(NamedTuple):
    """The answer for a whole job; ``failed`` are the features without one, through a fault of our own."""

    assignment: Assignment
    bench: Bench
    features: tuple[FeatureAdvice, ...]
    failed: tuple[Failed, ...] = ()
