"""How much there is to prove, how far it is, and how long the rest takes at the pace until now."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from time import monotonic

TOLD_EVERY = 0.2  # s
SURE = 20  # jobs after which the pace is known
IN_JOBS = {"jobs": 1.0, "fires": 1.0, "apart": 2.0, "needed": 0.1, "one_value": 1.0}  # as long as so many jobs each


@dataclass
class Part:
    """One kind of work: how much of it there is and is done, and how long that took [s]."""

    title: str
    total: int
    done: int = 0
    seconds: float = 0.0


@dataclass
class Work:
    """What there is to do, part by part. ``tell`` is told of it now and then, once its pace is known."""

    tell: Callable[[Work], None] = lambda _: None
    parts: dict[str, Part] = field(default_factory=dict)
    now: str = ""
    _since: float = 0.0
    _told: float = 0.0

    def begin(self, name: str) -> None:
        """Go on to another part; what is left of the one before was not needed."""
        self._clock()
        if self.now in self.parts:
            self.parts[self.now].total = self.parts[self.now].done
        self.now, self._told = name, 0.0
        self._say()

    def at_most(self, total: int) -> None:
        """Set how much the part at hand comes to at most; never more than was said before."""
        part = self.parts[self.now]
        part.total = min(part.total, max(part.done, total))

    def step(self) -> None:
        """One more is done of the part at hand."""
        if (part := self.parts.get(self.now)) is not None:
            part.done += 1
            part.total = max(part.total, part.done)
            self._say()

    def tick(self) -> None:
        """Something was done of what is at hand: it may be told again."""
        self._say()

    @property
    def part(self) -> Part | None:
        """What is done at the moment."""
        return self.parts.get(self.now)

    @property
    def spent(self) -> float:
        """How long it took until now [s]."""
        return sum(part.seconds for part in self.parts.values())

    @property
    def left(self) -> float:
        """How long the rest takes at most, as far as can be told [s]: each part at its own pace, or else at a multiple
        of the pace of jobs.
        """
        jobs = self.parts["jobs"]
        job = jobs.seconds / max(1, jobs.done)
        return sum(
            (part.total - part.done) * (part.seconds / part.done if part.done else IN_JOBS[name] * job)
            for name, part in self.parts.items()
        )

    def _clock(self) -> None:
        at = monotonic()
        if self.now in self.parts:
            self.parts[self.now].seconds += at - self._since
        self._since = at

    def _say(self) -> None:
        if monotonic() - self._told >= TOLD_EVERY and self.now in self.parts and self.parts["jobs"].done >= SURE:
            self._clock()
            self._told = monotonic()
            self.tell(self)
