"""How far the work is: a bar or a line on a terminal, nothing elsewhere."""

from __future__ import annotations

import gc
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from time import monotonic
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.progress import Progress

    from advisor.proof.progress import Work

FEW = 10  # features: a short run


class Bar:
    """A bar on stderr, there as long as the work is. Where stderr is no terminal, or a dumb one, there is none."""

    def __init__(self, total: int, what: str = "jobs") -> None:
        self.progress = None
        from advisor.cli.output import on_terminal

        if total < 2 or not on_terminal(sys.stderr):
            return
        from rich.console import Console
        from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

        # Drawn anew after each of them only: a thread that draws could do so while a result is written.
        columns = (TextColumn(what), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
        self.progress = Progress(*columns, console=Console(stderr=True), transient=True, auto_refresh=False)
        self.task = self.progress.add_task("", total=total)

    @contextmanager
    def shown(self) -> Iterator[Bar]:
        """The bar stands while this lasts."""
        if self.progress is None:
            yield self
            return
        with self.progress:
            yield self

    @contextmanager
    def away(self) -> Iterator[None]:
        """The bar makes room while something else is written."""
        if self.progress is None:
            yield
            return
        self.progress.stop()
        try:
            yield
        finally:
            self.progress.start()

    def step(self) -> None:
        """One more is done."""
        if self.progress is not None:
            self.progress.advance(self.task)
            self.progress.refresh()


@contextmanager
def long_work(features: int) -> Iterator[Callable[[], None]]:
    """With many features, which take a minute: memory is given back on the way, and a terminal sees how far it is.

    Gives what is to be called after each.
    """
    if features <= FEW:
        yield lambda: None
        return
    gc.enable()  # the start of the program switches it off, for a short run
    with Bar(features, "features").shown() as bar:
        yield bar.step


@contextmanager
def patience(cutters: int) -> Iterator[None]:
    """With a large crib, which takes seconds: memory is given back on the way, and a terminal told what is going on."""
    from advisor.choosing.advice import MANY

    if cutters <= MANY:
        yield
        return
    with at_work(f"looking through {cutters} cutters"):
        yield


MINUTE = 60.0
LINE_EVERY = 15.0  # s, where there is no terminal


def spoken(seconds: float) -> str:
    """A length of time as somebody says it who does not know it exactly."""
    if seconds < 10:
        return "a few seconds"
    if seconds < 1.5 * MINUTE:
        return f"{-(-seconds // 10) * 10:.0f} s"
    return f"{-(-seconds // MINUTE):.0f} min"


class Watch:
    """How far a proof is: a bar on a terminal; elsewhere first how long it takes, then a plain line now and then."""

    def __init__(self, rules: int) -> None:
        from advisor.cli.output import on_terminal

        self.rules, self.told = rules, 0.0
        self.bar = _proof_bar() if on_terminal(sys.stderr) else None

    @contextmanager
    def shown(self) -> Iterator[Watch]:
        """The bar stands while this lasts, and memory is given back on the way."""
        gc.enable()  # the start of the program switches it off, for a short run
        if self.bar is None:
            yield self
            return
        with self.bar:
            yield self

    def __call__(self, work: Work) -> None:
        """Show how far the work is."""
        part = work.part
        if part is None:
            return
        if self.bar is not None:
            told = f"{part.title}, {spoken(work.left)} left at most"
            self.bar.update(self.bar.task_ids[0], description=told, completed=work.spent, total=work.spent + work.left)
            self.bar.refresh()
            return
        from advisor.cli.output import remark

        if not self.told:
            rules = f"{self.rules} rule{'' if self.rules == 1 else 's'}"
            remark(f"proving {rules}: {spoken(work.spent + work.left)} at most")
        elif monotonic() - self.told >= LINE_EVERY:
            remark(f"{part.title}: {part.done} of at most {part.total}, {spoken(work.left)} left at most")
        else:
            return
        self.told = monotonic()


def _proof_bar() -> Progress:
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn

    columns = (TextColumn("proving the rules: {task.description}"), BarColumn(bar_width=20))
    found = Progress(*columns, console=Console(stderr=True), transient=True, auto_refresh=False)
    found.add_task("jobs by chance", total=None)
    return found


@contextmanager
def at_work(told: str) -> Iterator[Callable[[str], None]]:
    """While this lasts, memory is given back and a terminal told what is going on; what is yielded tells more of it."""
    gc.enable()  # the start of the program switches it off, for a short run
    from advisor.cli.output import on_terminal

    if not on_terminal(sys.stderr):
        yield lambda _: None
        return
    from rich.console import Console

    with Console(stderr=True).status(told) as status:
        yield lambda more: status.update(f"{told}: {more}")
