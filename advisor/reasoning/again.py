"""Candidates that are not kept but worked out again when they are looked at: a job may have a thousand features, and
those of one take a megabyte.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import overload

from advisor.reasoning.advice import FeatureAdvice
from advisor.reasoning.candidates import Candidate


class _Again(Sequence[Candidate]):
    """The candidates of an answer, its best way the very same object. Those looked at last are kept, of one answer."""

    _latest: tuple[_Again, tuple[Candidate, ...]] | None = None

    def __init__(self, answer: FeatureAdvice, work: Callable[[], FeatureAdvice]) -> None:
        self.best, self.number, self.work = answer.best, len(answer.candidates), work

    def _whole(self) -> tuple[Candidate, ...]:
        if _Again._latest is None or _Again._latest[0] is not self:
            every = self.work().candidates
            _Again._latest = self, tuple(every) if self.best is None else (self.best, *every[1:])
        return _Again._latest[1]

    def __len__(self) -> int:
        return self.number

    @overload
    def __getitem__(self, place: int) -> Candidate: ...

    @overload
    def __getitem__(self, place: slice) -> tuple[Candidate, ...]: ...

    def __getitem__(self, place: int | slice) -> Candidate | tuple[Candidate, ...]:
        return self._whole()[place]

    def __iter__(self) -> Iterator[Candidate]:
        return iter(self._whole())


def without_candidates(answer: FeatureAdvice, work: Callable[[], FeatureAdvice]) -> FeatureAdvice:
    """The same answer, whose candidates are worked out again when they are looked at, by ``work``."""
    return answer._replace(candidates=_Again(answer, work))
